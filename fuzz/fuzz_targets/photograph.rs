#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let _ = lidcard_fuzz::photograph::run(bytes);
});
