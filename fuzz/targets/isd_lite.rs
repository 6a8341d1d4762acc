//! The reader of `climate/formats/isd_lite.rs`.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| partywall_fuzz::read(
    &partywall::climate::formats::isd_lite::FORMAT,
    data
));
