//! The reader of `climate/formats/open_meteo.rs`.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| partywall_fuzz::read(
    &partywall::climate::formats::open_meteo::FORMAT,
    data
));
