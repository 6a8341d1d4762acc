//! The reader of `climate/formats/epw.rs`.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| partywall_fuzz::read(
    &partywall::climate::formats::epw::FORMAT,
    data
));
