//! The reader of `climate/formats/ghcn_long.rs`.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| partywall_fuzz::read(
    &partywall::climate::formats::ghcn_long::FORMAT,
    data
));
