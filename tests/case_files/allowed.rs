//! What a file may say, and what it is taken to mean.

use rimhold::anatomy::Place;
use rimhold::model::{Case, ConstructFile, NewCase, Side, Stop, StopRule, Tag, Width, builtin, new_case, parameter};

const CONSTRUCT: &str = r#"
[anchor.medial]
at = { neck = { along = "-10 %", beyond = 1.0 } }
[anchor.lateral]
at = { face = { along = "-10 %", inset = 2.5 } }
class = "mine"
[limb.bridge]
path = ["medial", { rim = "taut", friction = 0.2 }, { bite = { along = -3, locked = true } }, "rim", "lateral"]
strand = "thread"
friction = 0.3
[anchor-class.mine]
stiffness = "rigid"
[strand.thread]
rigidity = 900
[tying]
order = [{ limbs = "bridge", stop = "reduced", held = true }]
"#;

#[test]
fn a_word_nearer_to_the_limb_goes_first() {
    let quarter = builtin("quarter").unwrap();
    let case = Case::parse(
        "case.toml",
        &format!(
            "{quarter}\n[anchor-class.mine]\nstiffness = 12\nholding = 77\n[bite]\nbelow = 2.0\n[clamp]\ntension = 33\n"
        ),
    )
    .unwrap();
    let c = ConstructFile::parse("c.toml", CONSTRUCT).unwrap().fit(&case).unwrap();
    assert_eq!((c.anchors[1].stiffness, c.anchors[1].holding), (None, Some(77.0)));
    assert_eq!(c.anchors[0].class, "all-suture");
    assert_eq!(c.limbs[0].tension, 33.0);
    assert_eq!(c.limbs[0].strand.rigidity, 900.0);
    assert!(c.ties[0].held && c.ties[0].stop == StopRule::Reduced);
    let frictions: Vec<f64> = c.limbs[0]
        .path
        .iter()
        .map(|s| match s {
            Stop::Anchor { friction, .. } | Stop::Bite { friction, .. } | Stop::Crossing { friction, .. } => *friction,
        })
        .collect();
    assert_eq!(frictions, [0.3, 0.2, 0.3, 0.3, 0.3]);
    let Stop::Bite { point, locked, bite, .. } = &c.limbs[0].path[2] else {
        panic!("{:?}", c.limbs[0].path[2]);
    };
    assert!(*locked && bite.stiffness == 4.0);
    let wall = Place::Wall { along: rimhold::anatomy::Along::Mm(-3.0), below: 2.0 };
    assert_eq!(*point, case.fragment.locate(&wall).unwrap());
}

#[test]
fn a_byte_order_mark_and_line_ends_of_either_kind_change_nothing() {
    let text = builtin("quarter").unwrap();
    let plain = Case::parse("quarter.toml", text).unwrap();
    let marked = format!("\u{feff}{}", text.replace('\n', "\r\n"));
    assert_eq!(Case::parse("quarter.toml", &marked).unwrap(), plain);
    let bad = marked.replace("depth = 10.0", "depth = 99.0");
    let e = Case::parse("quarter.toml", &bad).unwrap_err();
    let line = text.lines().position(|l| l.starts_with("depth")).unwrap() + 1;
    assert_eq!(e.positions(), [Some((line, 9))]);
}

#[test]
fn soft_tissue_and_loads_are_read_in_either_form() {
    let base = builtin("quarter").unwrap();
    let case = Case::parse(
        "case.toml",
        &format!(
            r#"{base}
[envelope]
shift_stiffness = 0
turn_stiffness = 0
[tether.band]
fragment = {{ margin = {{ along = "90 %" }} }}
scapula = {{ rim = {{ along = "110 %" }} }}
[load.capsule]
at = {{ clock = {{ hours = "4:00", inset = 1 }} }}
force = 10
direction = "anteromedial"
when = "throughout"
[load.head]
at = {{ rim = {{ along = 0 }} }}
force = [1, -2, 3.5]
"#
        ),
    )
    .unwrap_or_else(|e| panic!("{e}"));
    assert!(case.envelope.is_none());
    assert_eq!(case.tethers[0].name, "band");
    assert_eq!(case.tethers[0].stiffness, 20.0);
    let capsule = &case.loads[0];
    assert!(capsule.during_tying && !case.loads[1].during_tying);
    assert!((capsule.force.norm() - 10.0).abs() < 1e-12);
    assert!(capsule.force.x > 0.0 && capsule.force.z < 0.0 && capsule.force.y == 0.0);
    assert_eq!(case.loads[1].force.as_slice(), [1.0, -2.0, 3.5]);
}

#[test]
fn crowded_anchors_a_rim_anchor_a_limb_through_bone_and_an_idle_anchor_are_warned_about() {
    let text = r#"
[anchor.a]
at = { face = { along = "80 %", inset = 0.5 } }
[anchor.b]
at = { face = { along = "60 %", inset = 0.5 } }
[limb.loop]
path = ["a", { bite = { along = "0 %", below = 3.0 } }, "a"]
[anchor.neck]
at = { neck = { along = "60 %", beyond = 1.0 } }
[limb.bridge]
path = ["neck", { rim = { along = "-60 %" } }, "a"]
"#;
    let case = Case::open("quarter").unwrap();
    let c = ConstructFile::parse("c.toml", text).unwrap().fit(&case).unwrap();
    let all: Vec<&str> = c.warnings.iter().map(|w| w.message.as_str()).collect();
    for part in [
        "a and b are",
        "anchor a sits 2.2 mm from the rim's edge, closer than 3 mm",
        "anchor a sits 0.3 mm from the fracture edge, closer than 0.5 mm",
        "limb bridge runs",
        "no limb uses anchor b",
    ] {
        assert!(all.iter().any(|m| m.contains(part)), "{part}: {all:?}");
    }
    // The straight legs of a labral loop are a stated simplification, not warned about.
    assert!(!all.iter().any(|m| m.contains("limb loop runs")), "{all:?}");
    assert!(c.warnings.iter().all(|w| !w.advice.is_empty()));
}

#[test]
fn screws_are_placed_aimed_and_tied_like_limbs() {
    let text = r#"
[anchor.a]
at = { face = { along = "-76 %", inset = 1.5 } }
[limb.loop]
path = ["a", { bite = { along = "-76 %", below = 3.0 } }, "a"]
[screw.middle]
at = { wall = { along = 0, below = 4.5 } }
[screw-none]
"#;
    let e = ConstructFile::parse("c.toml", text).unwrap_err();
    assert_eq!(e.problems.len(), 1, "{e}");
    let text = text.replace("[screw-none]\n", "");
    let case = Case::open("quarter").unwrap();
    let fit = |text: &str| ConstructFile::parse("c.toml", text)?.fit(&case);
    let c = fit(&text).unwrap();
    let screw = &c.screws[0];
    // Square to the fracture, a core of seven tenths, the rest from the table and recorded.
    assert!((screw.axis + case.fragment.normal).norm() < 1e-15);
    assert_eq!((screw.name.as_str(), screw.group.as_str()), ("middle", "screws"));
    assert!((screw.core - 0.7 * 2.7).abs() < 1e-12);
    for (path, tag) in [
        ("screw.*.direction", Tag::Practice),
        ("screw.*.diameter", Tag::Practice),
        ("screw.*.core", Tag::Memory),
        ("screw.*.head", Tag::Memory),
        ("screw.*.modulus", Tag::Memory),
        ("screw.*.working_length", Tag::Assumed),
        ("screw.*.foundation", Tag::Derived),
        ("screw.*.preload", Tag::Assumed),
    ] {
        let taken = c.defaults.iter().find(|t| t.path == path);
        assert_eq!(taken.map(|t| t.tag), Some(tag), "{path}");
    }
    // It meets the fracture plane where it says.
    let off = (screw.crossing() - case.fragment.bed_origin()).dot(&case.fragment.normal);
    assert!(off.abs() < 1e-12, "{off}");
    // Limbs first, then screws, when no order is given; in an order both are named alike, and a tie
    // with a screw ends at its pull.
    let ties: Vec<_> = c.ties.iter().map(|t| (t.limbs.len(), t.screws.len())).collect();
    assert_eq!(ties, [(1, 0), (0, 1)]);
    assert_eq!(c.ties.iter().map(|t| t.stop).collect::<Vec<_>>(), [StopRule::Reduced, StopRule::Tension]);
    let text = format!("{text}\n[tying]\norder = [[\"middle\", \"loop\"]]\n");
    let both = fit(&text).unwrap();
    assert_eq!((both.ties[0].limbs.as_slice(), both.ties[0].screws.as_slice()), (&[0][..], &[0][..]));
    assert_eq!(both.names_of(&both.ties[0]), ["loop", "middle"]);
    assert_eq!(both.ties[0].stop, StopRule::Tension);
    // Aimed at a point in the scapula, and along a direction.
    let aimed = "at = { wall = { along = 0, below = 4.5 } }\ntoward = { point = [0, 0, -6] }";
    let c = fit(&text.replace("at = { wall = { along = 0, below = 4.5 } }", aimed)).unwrap();
    let to = (rimhold::math::Vec3::new(0.0, 0.0, -6.0) - c.screws[0].head).normalize();
    assert!((c.screws[0].axis - to).norm() < 1e-12);
    let aimed = "at = { wall = { along = 0, below = 4.5 } }\ndirection = [-2, 1, 0]";
    let c = fit(&text.replace("at = { wall = { along = 0, below = 4.5 } }", aimed)).unwrap();
    assert!((c.screws[0].axis[0] + 2.0 * c.screws[0].axis[1]).abs() < 1e-12);
}

#[test]
fn screws_under_the_joint_through_each_other_and_through_an_anchor_are_warned_about() {
    let text = r#"
[anchor.a]
at = { crater = { along = "20 %", deep = 5.0 } }
[limb.bridge]
path = ["a", { margin = { along = "20 %" } }, "rim", "b"]
[anchor.b]
at = { face = { along = "20 %", inset = 3 } }
[screw.high]
at = { wall = { along = "-30 %", below = 2.0 } }
working_length = 30
[screw.low]
at = { wall = { along = "-25 %", below = 5.0 } }
[screw.near]
at = { wall = { along = "20 %", below = 5.5 } }
"#;
    let case = Case::open("quarter").unwrap();
    let c = ConstructFile::parse("c.toml", text).unwrap().fit(&case).unwrap();
    let all: Vec<&str> = c.warnings.iter().map(|w| w.message.as_str()).collect();
    for part in [
        "high leaves 0.0 mm of bone under the joint",
        "tip of screw high stands beyond",
        "screw high leaves 0.1 mm of bone to screw low",
        "of bone to anchor a",
        "the hole of screw high (2.7 mm)",
    ] {
        assert!(all.iter().any(|m| m.contains(part)), "{part}: {all:#?}");
    }
    assert!(!all.iter().any(|m| m.contains("to anchor b")), "{all:#?}");
}

#[test]
fn a_new_case_refuses_measurements_out_of_range_all_at_once() {
    let mut given = NewCase::new(Side::Right, f64::NAN, Width::Percent(60.0), 13.0);
    given.set("fragment.depth", Some(-1.0));
    let e = new_case(&given).unwrap_err();
    assert_eq!(e.problems.len(), 4, "{e}");
    let report = e.to_string();
    for part in ["`socket.diameter` is NaN", "1 to 50 %", "`fragment.middle` is 13", "`fragment.depth` is -1"] {
        assert!(report.contains(part), "{part}\n{report}");
    }
    let half = new_case(&NewCase::new(Side::Left, 26.0, Width::Percent(25.0), 4.5)).unwrap();
    assert!(half.contains("middle = \"4:30\""), "{half}");
    // What was not measured stays a default, and is recorded as one.
    let case = Case::parse("half.toml", &half).unwrap();
    for path in ["fragment.depth", "fragment.tilt", "displaced.inferior"] {
        assert!(case.defaults.iter().any(|t| t.path == path), "{path}");
    }
}

#[test]
fn the_table_allows_what_studies_ask_for() {
    for (path, low, high) in [
        ("bed.friction", 0.0, 1.5),
        ("bed.normal_stiffness", 0.1, 200.0),
        ("bed.cells", 100.0, 20_000.0),
        ("knot.tension", 0.1, 150.0),
        ("clamp.tension", 0.1, 150.0),
        ("fragment.width[percent]", 8.0, 45.0),
    ] {
        let row = parameter(path).unwrap();
        assert!(row.accepts(low) && row.accepts(high), "{path}");
        assert!(!row.accepts(f64::NAN) && !row.accepts(f64::INFINITY));
    }
}
