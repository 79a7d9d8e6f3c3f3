#![no_main]

#[path = "../../tests/support/laws.rs"]
mod laws;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| laws::formula(bytes));
