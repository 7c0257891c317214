//! The inputs that fuzzing found worth keeping, replayed without the fuzzer; the slowest is printed.
//! How to fuzz: DEVELOPERS.md.

#[path = "fuzz/inputs.rs"]
mod inputs;
#[path = "fuzz/mutator.rs"]
mod mutator;

use mutator::{Manner, mutate};
use std::path::PathBuf;
use std::time::Instant;

fn kept(target: &str) -> Vec<(PathBuf, Vec<u8>)> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/corpus").join(target);
    let mut paths: Vec<PathBuf> = std::fs::read_dir(&folder)
        .unwrap_or_else(|e| panic!("{}: {e}", folder.display()))
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.sort();
    paths
        .into_iter()
        .map(|path| {
            let bytes = std::fs::read(&path).unwrap();
            (path, bytes)
        })
        .collect()
}

fn replay(target: &str, with: impl Fn(&[u8]) -> bool) -> usize {
    let all = kept(target);
    assert!(all.len() > 20, "{} inputs of {target}", all.len());
    let mut slowest = (0.0, PathBuf::new());
    let mut through = 0;
    let count = all.len();
    for (path, bytes) in all {
        println!("{}", path.display());
        let clock = Instant::now();
        through += usize::from(with(&bytes));
        let seconds = clock.elapsed().as_secs_f64();
        if seconds > slowest.0 {
            slowest = (seconds, path);
        }
    }
    println!("{count} inputs of {target}, slowest {slowest:?}");
    through
}

#[test]
fn kept_inputs_are_read_as_cases() {
    replay("case", |bytes| {
        inputs::case(bytes);
        true
    });
}

#[test]
fn kept_inputs_are_read_as_constructs() {
    replay("construct", |bytes| {
        inputs::construct(bytes);
        true
    });
}

#[test]
fn kept_inputs_are_tied() {
    let tied = replay("hold", inputs::hold);
    assert!(tied > 20, "only {tied} can be tied");
}

#[test]
fn kept_inputs_are_searched_for_places() {
    let searched = replay("place", inputs::place);
    assert!(searched > 10, "only {searched} can be searched");
}

/// A few changes of each kept input by the fuzzer's own mutator: what it does is tried here too.
#[test]
fn changed_inputs_are_read_or_refused() {
    for (target, read) in [("case", inputs::case as fn(&[u8])), ("construct", inputs::construct)] {
        let mut changed = 0;
        for (k, (_, bytes)) in kept(target).into_iter().enumerate() {
            for round in 0..4 {
                let seed = u32::try_from(4 * k).unwrap() + round;
                for manner in [Manner::Wild, Manner::Gentle] {
                    if let Some(text) = mutate(&bytes, 8000, seed, manner) {
                        changed += usize::from(text != bytes);
                        read(&text);
                    }
                }
            }
        }
        assert!(changed > 200, "{changed}");
    }
}
