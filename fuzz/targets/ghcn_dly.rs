//! The reader of `climate/formats/ghcn_dly.rs`.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| partywall_fuzz::read(
    &partywall::climate::formats::ghcn_dly::FORMAT,
    data
));
