//! The reader of hourly series in `climate/formats/pvgis.rs`.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| partywall_fuzz::read(
    &partywall::climate::formats::pvgis::HOURLY,
    data
));
