//! Case and construct files: the shipped ones fit, the bad ones say what, where and what to do,
//! and nothing that can be typed makes the reader panic.

use rimhold::model::{Case, Construct, ConstructFile};
use std::path::{Path, PathBuf};

mod allowed;
mod anything;
mod drill;
mod inputs;
mod shipped;
mod wrong;

fn fixture(name: &str) -> PathBuf {
    Path::new("tests/case_files/bad").join(name)
}

fn fitted(case: &str, construct: &str) -> Construct {
    let case = Case::open(case).unwrap_or_else(|e| panic!("{e}"));
    ConstructFile::open(construct).and_then(|file| file.fit(&case)).unwrap_or_else(|e| panic!("{e}"))
}
