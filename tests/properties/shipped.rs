//! Every shipped construct on every shipped case, from the reduced and the displaced pose.

use crate::properties::verdict::{self, Verdict};
use rimhold::model::{CASES, CONSTRUCTS, Case, ConstructFile};
use rimhold::study::{self, result::Start};

#[test]
fn every_shipped_construct_ties_and_pushes_on_every_shipped_case() {
    let mut failed = Vec::new();
    for (case_name, _) in CASES {
        let case = Case::open(case_name).expect("a built-in case");
        for (name, _) in CONSTRUCTS {
            let construct = ConstructFile::open(name)
                .and_then(|file| file.fit(&case))
                .unwrap_or_else(|e| panic!("{name} on {case_name}: {e}"));
            for start in [Start::Reduced, Start::Displaced] {
                let plan = verdict::plan("inferior", false);
                let end = verdict::verdict(&case, &construct, start, &plan, &mut 0.0);
                println!("{case_name:13} {name:19} {start:9?} {end:?}");
                if !matches!(end, Ok(Verdict::Certified | Verdict::NotHeld(_))) {
                    failed.push(format!("{name} on {case_name} {start:?}: {end:?}"));
                }
            }
        }
    }
    assert!(failed.is_empty(), "{failed:#?}");
}

/// A fragment that starts far turned is not lost by lying there.
#[test]
fn where_tying_starts_is_not_where_the_fragment_is_lost() {
    let mut case = Case::open("quarter").expect("a built-in case");
    let construct = ConstructFile::open("single-row").and_then(|file| file.fit(&case)).expect("a built-in construct");
    (case.displaced.inferior, case.displaced.out_of_bed) = (0.0, 1.5);
    for spin in [30.0, 45.0] {
        case.displaced.spin = spin;
        let rig = study::rig(&case, &construct, Start::Displaced);
        let (hold, _) = study::tie(&case, &construct, &rig, Start::Displaced);
        assert!(!hold.ties.is_empty(), "spin {spin}: {:?}", hold.outcome);
    }
}
