//! Case and construct files: the shipped ones fit, the bad ones say what, where and what to do.

use rimhold::case::{CASES, CONSTRUCTS, Case, ConstructFile};

#[test]
fn every_shipped_construct_fits_every_shipped_case() {
    for (case_name, _) in CASES {
        let case = Case::open(case_name).unwrap_or_else(|e| panic!("{e}"));
        for (name, _) in CONSTRUCTS {
            let file = ConstructFile::open(name).unwrap_or_else(|e| panic!("{e}"));
            let construct = file
                .fit(&case)
                .unwrap_or_else(|e| panic!("{case_name}: {e}"));
            for w in &construct.warnings {
                println!("{case_name} {name}: {}", w.message);
            }
        }
    }
}
