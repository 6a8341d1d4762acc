//! The reader of typical years in `climate/formats/pvgis.rs`.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| partywall_fuzz::read(
    &partywall::climate::formats::pvgis::TMY,
    data
));
