//! The reader of `climate/formats/nsrdb.rs`.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| partywall_fuzz::read(
    &partywall::climate::formats::nsrdb::FORMAT,
    data
));
