//! Unpacking of gzip and zip, and whatever is found inside.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| partywall_fuzz::whole(data));
