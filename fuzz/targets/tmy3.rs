//! The reader of `climate/formats/tmy3.rs`.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| partywall_fuzz::read(
    &partywall::climate::formats::tmy3::FORMAT,
    data
));
