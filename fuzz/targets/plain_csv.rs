//! The reader of `climate/formats/plain_csv.rs`.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| partywall_fuzz::read(
    &partywall::climate::formats::plain_csv::FORMAT,
    data
));
