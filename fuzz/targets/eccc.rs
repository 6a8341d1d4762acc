//! The reader of `climate/formats/eccc.rs`.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| partywall_fuzz::read(
    &partywall::climate::formats::eccc::FORMAT,
    data
));
