//! Rigs that once ended without a certificate, kept as files: each must end certified or in a named
//! finding. The first lines of a case name what went wrong, and how it was started and pushed.

use crate::properties::verdict;

use rimhold::model::{Case, ConstructFile};
use rimhold::study::result::Start;
use std::path::PathBuf;
use verdict::Verdict;

/// How each rig kept in a folder ends.
fn ends(folder: &str) -> Vec<(String, Result<Verdict, String>)> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut names: Vec<String> = std::fs::read_dir(&folder)
        .expect("the folder of kept rigs")
        .filter_map(|entry| {
            let name = entry.expect("an entry").file_name();
            Some(name.to_str()?.strip_suffix("-case.toml")?.to_owned())
        })
        .collect();
    names.sort();
    assert!(!names.is_empty(), "no rig is kept");
    let mut ends = Vec::new();
    for name in names {
        let read = |kind: &str| {
            let path = folder.join(format!("{name}-{kind}.toml"));
            std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
        };
        let text = read("case");
        let case = Case::parse("case.toml", &text).unwrap_or_else(|e| panic!("{name}: {e}"));
        let construct = ConstructFile::parse("construct.toml", &read("construct"))
            .and_then(|file| file.fit(&case))
            .unwrap_or_else(|e| panic!("{name}: {e}"));
        let line = text
            .lines()
            .find_map(|line| line.strip_prefix("# start "))
            .unwrap_or_else(|| panic!("{name}: no line `# start …, push …`"));
        let mut words = line.split(", ");
        let start = match words.next() {
            Some("reduced") => Start::Reduced,
            Some("displaced") => Start::Displaced,
            other => panic!("{name}: start {other:?}"),
        };
        let direction =
            words.next().and_then(|word| word.strip_prefix("push ")).unwrap_or_else(|| panic!("{name}: no push"));
        let guided = words.next() == Some("guided");
        let end = verdict::verdict(&case, &construct, start, &verdict::plan(direction, guided), &mut 0.0);
        println!("{name}: {end:?}");
        ends.push((name, end));
    }
    ends
}

#[test]
fn kept_rigs_end_certified_or_in_a_named_finding() {
    let failed: Vec<_> = ends("tests/regression")
        .into_iter()
        .filter(|(_, end)| !matches!(end, Ok(Verdict::Certified | Verdict::NotHeld(_))))
        .collect();
    assert!(failed.is_empty(), "{failed:#?}");
}
