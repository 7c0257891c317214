//! The shipped files fit each other, and mean what they are meant to.

use crate::case_files::fitted;
use rimhold::model::{CASES, CONSTRUCTS, Case, Fixing, Side, StopRule, Tag, builtin};
use std::path::Path;

#[test]
fn every_shipped_construct_fits_every_shipped_case() {
    for (case, _) in CASES {
        for (name, _) in CONSTRUCTS {
            let construct = fitted(case, name);
            assert_eq!(construct.name, *name);
            // Four anchors on the face of a small fragment are crowded, and the program says so; a
            // hole of 2.7 mm with as much bone on either side asks for more than these fragments have.
            let crowded = *case == "small" && name.starts_with("two-by-two");
            let crowded = crowded || (*case == "small" && *name == "two-screws-with-loops");
            let (split, rest): (Vec<_>, Vec<_>) =
                construct.warnings.iter().partition(|w| w.message.starts_with("the hole of screw"));
            assert_eq!(!rest.is_empty(), crowded, "{case}, {name}: {rest:?}");
            assert_eq!(split.len(), construct.screws.len(), "{case}, {name}");
        }
    }
}

#[test]
fn shipped_files_on_disk_are_the_built_in_ones() {
    for (folder, files) in [("cases", CASES), ("constructs", CONSTRUCTS)] {
        let mut on_disk: Vec<String> = std::fs::read_dir(Path::new("configs").join(folder))
            .unwrap()
            .map(|e| e.unwrap().path())
            .map(|p| p.file_stem().unwrap().to_string_lossy().into_owned())
            .collect();
        let mut built_in: Vec<&str> = files.iter().map(|f| f.0).collect();
        on_disk.sort();
        built_in.sort_unstable();
        assert_eq!(on_disk, built_in);
        for (name, text) in files {
            let path = Path::new("configs").join(folder).join(format!("{name}.toml"));
            assert_eq!(std::fs::read_to_string(path).unwrap(), *text);
            assert_eq!(builtin(name), Some(*text));
        }
    }
    assert_eq!(builtin("nothing"), None);
}

#[test]
fn the_default_case_has_the_handbook_chord_and_records_its_defaults() {
    let case = Case::open("quarter").unwrap();
    // Circular segment of a circle of diameter 26 cut by a width of 6.5 (formula of any handbook):
    // chord 2√(13² − 6.5²) = 22.517 mm.
    assert!((case.fragment.chord() - 22.517).abs() < 5e-4);
    assert_eq!(case.side, Side::Right);
    assert_eq!(case.displaced.inferior, 3.0);
    assert!((case.displaced.spin.to_degrees() - 5.0).abs() < 1e-12);
    assert_eq!(case.bed.friction, 0.46);
    assert_eq!(case.bed.cells, 600);
    assert!(case.tethers.is_empty() && case.loads.is_empty());
    let friction = case.defaults.iter().find(|t| t.path == "bed.friction").unwrap();
    assert_eq!((friction.value.as_str(), friction.tag), ("0.46", Tag::Memory));
    for given in ["socket.diameter", "fragment.depth", "displaced.inferior"] {
        assert!(case.defaults.iter().all(|t| t.path != given), "{given}");
    }
    let weak = Case::open("hinge-weak").unwrap();
    assert_eq!((weak.tethers[0].stiffness, weak.tethers[0].slack), (5.0, 2.0));
}

#[test]
fn loops_are_knotted_and_reduce_and_bridges_are_clamped_at_their_tension() {
    let c = fitted("quarter", "one-by-one");
    let order: Vec<Vec<&str>> =
        c.ties.iter().map(|t| t.limbs.iter().map(|&k| c.limbs[k].name.as_str()).collect()).collect();
    assert_eq!(order, [vec!["inferior-loop"], vec!["bridge-lower", "bridge-upper"], vec!["superior-loop"]]);
    for (tie, stop) in c.ties.iter().zip([StopRule::Reduced, StopRule::Tension, StopRule::Reduced]) {
        assert_eq!(tie.stop, stop);
    }
    for limb in &c.limbs {
        let expected = if limb.name.ends_with("loop") {
            ("loop", Fixing::Knot, 25.0, 0.4, 140.0)
        } else {
            ("bridge", Fixing::Knotless, 25.0, 0.0, 88.0)
        };
        let found = (limb.group.as_str(), limb.fixing, limb.tension, limb.knot_slack, limb.knot_limit);
        assert_eq!(found, expected, "{}", limb.name);
        assert_eq!(limb.strand.rigidity, 2000.0);
    }
    assert_eq!(c.anchors[0].stiffness, Some(30.0));
    assert_eq!(c.anchors[0].holding, Some(185.0));
    assert!(c.defaults.iter().any(|t| t.path == "clamp.limit" && t.tag == Tag::Derived));
    let closed = fitted("quarter", "linked-pair");
    assert!(closed.limbs[0].closed && closed.limbs[0].fixing == Fixing::Knot);
}
