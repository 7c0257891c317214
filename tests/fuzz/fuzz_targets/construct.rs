//! Bytes as a construct file, put on the default case.
#![no_main]

#[path = "../inputs.rs"]
#[allow(dead_code)]
mod inputs;
#[path = "../mutator.rs"]
mod mutator;

use libfuzzer_sys::{fuzz_mutator, fuzz_target, fuzzer_mutate};

fuzz_target!(|bytes: &[u8]| inputs::construct(bytes));

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    // Every third change is the fuzzer's own, with the words of its dictionary.
    match mutator::mutate(&data[..size], max_size, seed, mutator::Manner::Wild) {
        Some(text) if seed % 3 != 0 => {
            data[..text.len()].copy_from_slice(&text);
            text.len()
        }
        _ => fuzzer_mutate(data, size, max_size),
    }
});
