//! From a scenario text to the answer of one winter.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| partywall_fuzz::winter(data));
