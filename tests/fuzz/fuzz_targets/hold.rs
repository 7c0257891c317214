//! Bytes as a case and a construct, tied.
#![no_main]

#[path = "../inputs.rs"]
#[allow(dead_code)]
mod inputs;
#[path = "../mutator.rs"]
mod mutator;

use libfuzzer_sys::{Corpus, fuzz_mutator, fuzz_target, fuzzer_mutate};

// Only what can be tied is worth keeping.
fuzz_target!(|bytes: &[u8]| -> Corpus { if inputs::hold(bytes) { Corpus::Keep } else { Corpus::Reject } });

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    // Few changes are the fuzzer's own: they seldom leave something that can be tied.
    match mutator::mutate(&data[..size], max_size, seed, mutator::Manner::Gentle) {
        Some(text) if seed % 20 != 0 => {
            data[..text.len()].copy_from_slice(&text);
            text.len()
        }
        _ => fuzzer_mutate(data, size, max_size),
    }
});
