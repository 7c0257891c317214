//! Case and construct files: the shipped ones fit, the bad ones say what, where and what to do,
//! and nothing that can be typed makes the reader panic.

use proptest::prelude::*;
use rimhold::anatomy::Place;
use rimhold::case::{
    CASES, CONSTRUCTS, Case, Construct, ConstructFile, Fixing, NewCase, Problems, Side, Stop,
    StopRule, Tag, Width, builtin, new_case, parameter,
};
use std::path::Path;

fn fixture(name: &str) -> std::path::PathBuf {
    Path::new("tests/case_files").join(name)
}

fn fitted(case: &str, construct: &str) -> Construct {
    let case = Case::open(case).unwrap_or_else(|e| panic!("{e}"));
    ConstructFile::open(construct)
        .and_then(|file| file.fit(&case))
        .unwrap_or_else(|e| panic!("{e}"))
}

// ---------------------------------------------------------------- the shipped files

#[test]
fn every_shipped_construct_fits_every_shipped_case() {
    for (case, _) in CASES {
        for (name, _) in CONSTRUCTS {
            let construct = fitted(case, name);
            assert_eq!(construct.name, *name);
            // Four anchors on the face of a small fragment are crowded, and the program says so.
            let crowded = *case == "small" && name.starts_with("two-by-two");
            assert_eq!(
                !construct.warnings.is_empty(),
                crowded,
                "{case}, {name}: {:?}",
                construct.warnings
            );
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
            let path = Path::new("configs")
                .join(folder)
                .join(format!("{name}.toml"));
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
    assert_eq!(case.bed.friction, 0.5);
    assert_eq!(case.bed.cells, 600);
    assert!(case.tethers.is_empty() && case.loads.is_empty());
    let friction = case
        .defaults
        .iter()
        .find(|t| t.path == "bed.friction")
        .unwrap();
    assert_eq!(
        (friction.value.as_str(), friction.tag),
        ("0.5", Tag::Memory)
    );
    for given in ["socket.diameter", "fragment.depth", "displaced.inferior"] {
        assert!(case.defaults.iter().all(|t| t.path != given), "{given}");
    }
    let weak = Case::open("hinge-weak").unwrap();
    assert_eq!(
        (weak.tethers[0].stiffness, weak.tethers[0].slack),
        (5.0, 2.0)
    );
}

#[test]
fn loops_are_knotted_and_reduce_and_bridges_are_clamped_at_their_tension() {
    let c = fitted("quarter", "one-by-one");
    let order: Vec<Vec<&str>> = c
        .ties
        .iter()
        .map(|t| t.limbs.iter().map(|&k| c.limbs[k].name.as_str()).collect())
        .collect();
    assert_eq!(
        order,
        [
            vec!["inferior-loop"],
            vec!["bridge-lower", "bridge-upper"],
            vec!["superior-loop"]
        ]
    );
    for (tie, stop) in c
        .ties
        .iter()
        .zip([StopRule::Reduced, StopRule::Tension, StopRule::Reduced])
    {
        assert_eq!(tie.stop, stop);
    }
    for limb in &c.limbs {
        let expected = if limb.name.ends_with("loop") {
            ("loop", Fixing::Knot, 25.0, 0.4, 140.0)
        } else {
            ("bridge", Fixing::Knotless, 50.0, 0.0, 88.0)
        };
        let found = (
            limb.group.as_str(),
            limb.fixing,
            limb.tension,
            limb.knot_slack,
            limb.knot_limit,
        );
        assert_eq!(found, expected, "{}", limb.name);
        assert_eq!(limb.strand.rigidity, 2000.0);
    }
    assert_eq!(c.anchors[0].stiffness, Some(30.0));
    assert_eq!(c.anchors[0].holding, Some(185.0));
    assert!(
        c.defaults
            .iter()
            .any(|t| t.path == "clamp.limit" && t.tag == Tag::Derived)
    );
    let closed = fitted("quarter", "linked-pair");
    assert!(closed.limbs[0].closed && closed.limbs[0].fixing == Fixing::Knot);
}

// ---------------------------------------------------------------- what a file may say

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
    let c = ConstructFile::parse("c.toml", CONSTRUCT)
        .unwrap()
        .fit(&case)
        .unwrap();
    assert_eq!(
        (c.anchors[1].stiffness, c.anchors[1].holding),
        (None, Some(77.0))
    );
    assert_eq!(c.anchors[0].class, "all-suture");
    assert_eq!(c.limbs[0].tension, 33.0);
    assert_eq!(c.limbs[0].strand.rigidity, 900.0);
    assert!(c.ties[0].held && c.ties[0].stop == StopRule::Reduced);
    let frictions: Vec<f64> = c.limbs[0]
        .path
        .iter()
        .map(|s| match s {
            Stop::Anchor { friction, .. }
            | Stop::Bite { friction, .. }
            | Stop::Crossing { friction, .. } => *friction,
        })
        .collect();
    assert_eq!(frictions, [0.3, 0.2, 0.3, 0.3, 0.3]);
    let Stop::Bite {
        point,
        locked,
        stiffness,
        ..
    } = &c.limbs[0].path[2]
    else {
        panic!("{:?}", c.limbs[0].path[2]);
    };
    assert!(*locked && *stiffness == 15.0);
    let wall = Place::Wall {
        along: rimhold::anatomy::Along::Mm(-3.0),
        below: 2.0,
    };
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
[[tether]]
name = "band"
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
"#;
    let case = Case::open("quarter").unwrap();
    let c = ConstructFile::parse("c.toml", text)
        .unwrap()
        .fit(&case)
        .unwrap();
    let all: Vec<&str> = c.warnings.iter().map(|w| w.message.as_str()).collect();
    for part in [
        "a and b are",
        "anchor a sits",
        "limb loop runs",
        "no limb uses anchor b",
    ] {
        assert!(all.iter().any(|m| m.contains(part)), "{part}: {all:?}");
    }
    assert!(c.warnings.iter().all(|w| !w.advice.is_empty()));
}

// ---------------------------------------------------------------- what is wrong with a file

/// Line, column, part of the message, part of the label, part of the hint.
type Expected = (usize, usize, &'static str, &'static str, &'static str);

fn check(problems: &Problems, expected: &[Expected]) {
    let report = problems.to_string();
    assert_eq!(problems.problems.len(), expected.len(), "{report}");
    for ((problem, position), want) in problems
        .problems
        .iter()
        .zip(problems.positions())
        .zip(expected)
    {
        let (line, column, message, label, hint) = *want;
        assert_eq!(position, Some((line, column)), "{message}\n{report}");
        assert!(problem.message.contains(message), "{message}\n{report}");
        assert!(problem.label.contains(label), "{label}\n{report}");
        let given = problem.hint.as_deref().unwrap_or("");
        assert!(given.contains(hint), "{hint}\n{report}");
        // The report itself gives file, line and column.
        let place = format!("{}:{line}:{column}]", problems.source.name);
        assert!(report.contains(&place), "{place}\n{report}");
    }
}

fn case_problems(name: &str) -> Problems {
    Case::read(&fixture(name)).expect_err(name)
}

fn construct_problems(name: &str) -> Problems {
    let case = Case::open("quarter").unwrap();
    ConstructFile::read(&fixture(name))
        .and_then(|file| file.fit(&case))
        .expect_err(name)
}

#[test]
fn all_mistakes_of_a_case_are_told_together() {
    check(
        &case_problems("many-mistakes.toml"),
        &[
            (
                1,
                8,
                "`side` is \"rigth\"",
                "`right`, `left`",
                "did you mean `right`?",
            ),
            (
                4,
                12,
                "`socket.diameter` is 99",
                "15 to 45 mm",
                "usually 23 to 30 mm",
            ),
            (
                5,
                1,
                "unknown key `socket.face_radus`",
                "not known",
                "did you mean `face_radius`?",
            ),
            (
                8,
                9,
                "`fragment.width` is 60 %",
                "4 to 48 %",
                "share of the circle",
            ),
            (
                9,
                10,
                "\"4:75\", not a clock position",
                "0:00",
                "write \"4:30\"",
            ),
            (
                10,
                9,
                "`fragment.depth` is a text, not a number",
                "a number",
                "10 when not given",
            ),
            (
                13,
                12,
                "`bed.friction` is NaN, not a finite number",
                "0 to 1.5",
                "0.3 to 0.9",
            ),
            (
                14,
                9,
                "`bed.cells` is 600.5, not a whole number",
                "100 to 20000",
                "600 when",
            ),
            (
                17,
                8,
                "`displaced.spin` is inf, not a finite",
                "-60 to 60 °",
                "5 when not given",
            ),
        ],
    );
}

#[test]
fn a_key_given_twice_does_not_hide_the_other_mistakes() {
    check(
        &case_problems("doubled.toml"),
        &[
            (2, 1, "`side` is given twice", "second time", "remove one"),
            (10, 12, "`bed.friction` is 9", "0 to 1.5", "bone on bone"),
        ],
    );
}

#[test]
fn missing_measurements_are_asked_for() {
    check(
        &case_problems("missing-values.toml"),
        &[
            (1, 1, "`side` is missing", "the file", "side = \"right\""),
            (
                1,
                1,
                "`socket.diameter` is missing",
                "[socket]",
                "usually 23 to 30 mm",
            ),
            (
                2,
                1,
                "`fragment.width` is missing",
                "[fragment]",
                "from rim to fracture line",
            ),
            (
                2,
                1,
                "`fragment.middle` is missing",
                "[fragment]",
                "\"4:00\"",
            ),
        ],
    );
}

#[test]
fn impossible_geometry_names_the_measurement_to_look_at() {
    check(
        &case_problems("impossible-taper.toml"),
        &[(
            7,
            9,
            "beyond ±45°",
            "look at `depth` first",
            "measure again",
        )],
    );
    check(
        &case_problems("face-too-curved.toml"),
        &[(
            4,
            15,
            "the face radius 12 mm",
            "look at `face_radius`",
            "measure again",
        )],
    );
}

#[test]
fn text_that_is_no_toml_is_shown_where_it_breaks() {
    check(
        &case_problems("no-toml.toml"),
        &[
            (2, 8, "not TOML: unclosed table", "here", "`key = value`"),
            (4, 6, "not TOML: key with no value", "here", "`key = value`"),
        ],
    );
}

#[test]
fn places_off_their_bone_and_crooked_loads_are_told() {
    check(
        &case_problems("off-the-bone.toml"),
        &[
            (
                8,
                12,
                "along 12.00 mm is off the medial margin",
                "off the bone",
                "11.26 mm",
            ),
            (
                9,
                11,
                "is on the fragment",
                "not on the scapula",
                "beyond the fragment's ends",
            ),
            (
                11,
                6,
                "`load.capsule.at` is 6.52 mm off the fragment",
                "along",
                "-11.26 to 11.26",
            ),
            (12, 9, "has 2 numbers, not three", "[x, y, z]", "x anterior"),
            (
                16,
                13,
                "\"anteromedail\"",
                "not a word",
                "did you mean `anteromedial`?",
            ),
        ],
    );
}

#[test]
fn one_kind_of_file_given_for_the_other_is_recognised() {
    check(
        &case_problems("construct-as-case.toml"),
        &[(
            7,
            2,
            "unknown key `anchor`",
            "not known",
            "belongs in a construct file",
        )],
    );
}

#[test]
fn columns_count_characters() {
    check(
        &case_problems("µ-columns.toml"),
        &[(3, 14, "unknown key `fragment.µ`", "not known", "`width`")],
    );
    let text = "name = \"µµ\"\nside = 1\nsocket = { \"µµ\" = 1, diameter = 1 }\nfragment = { width = 6.5, middle = 4 }\n";
    let e = Case::parse("columns.toml", text).unwrap_err();
    assert_eq!(e.positions(), [Some((2, 8)), Some((3, 12)), Some((3, 33))]);
    assert!(e.to_string().contains("columns.toml:3:33]"), "{e}");
}

#[test]
fn unknown_stops_are_told_with_the_nearest_known_one() {
    check(
        &construct_problems("unknown-anchor.toml"),
        &[
            (
                7,
                9,
                "names the anchor `medail`",
                "unknown anchor",
                "did you mean `medial`?",
            ),
            (
                9,
                21,
                "unknown stop `rimm`",
                "not a stop",
                "did you mean `rim`?",
            ),
        ],
    );
}

#[test]
fn a_limb_has_to_turn_on_the_fragment_and_to_have_a_length() {
    check(
        &construct_problems("no-turning-point.toml"),
        &[
            (
                7,
                8,
                "`bridge` has no turning point",
                "never touches",
                "\"rim\"",
            ),
            (
                9,
                8,
                "`nowhere` has no length",
                "one anchor only",
                "over the rim",
            ),
            (
                11,
                19,
                "`open` ends on the fragment",
                "has to be an anchor",
                "closed = true",
            ),
            (
                13,
                26,
                "consecutive stops of the limb `stutter`",
                "same point",
                "leave one out",
            ),
        ],
    );
    check(
        &construct_problems("zero-loop.toml"),
        &[(
            4,
            7,
            "`zero` has no length: all its points",
            "zero length",
            "move its anchor",
        )],
    );
}

#[test]
fn an_order_names_every_limb_once() {
    check(
        &construct_problems("wrong-order.toml"),
        &[
            (
                13,
                9,
                "the order never ties `upper`",
                "not in this order",
                "mistyped",
            ),
            (
                13,
                20,
                "names `uper`",
                "unknown limb",
                "did you mean `upper`?",
            ),
            (13, 28, "ties `lower` twice", "again here", "exactly once"),
            (13, 38, "names no limb", "empty", "at least one"),
            (
                13,
                62,
                "unknown key `tying.order[4].stopp`",
                "not known",
                "did you mean `stop`?",
            ),
            (
                14,
                12,
                "`tying.retained` is 1.2",
                "0.05 to 1",
                "1 when not given",
            ),
        ],
    );
}

#[test]
fn crooked_limbs_are_told() {
    check(
        &construct_problems("wrong-limbs.toml"),
        &[
            (7, 37, "\"-140 %x\"", "-200 to 200 %", "\"25 %\""),
            (
                8,
                11,
                "`limb.lower.tension` is -5",
                "0.1 to 300 N",
                "20 to 80 N",
            ),
            (10, 8, "is a text, not a list of stops", "a list", "a list"),
            (11, 10, "\"glue\"", "`knot`, `knotless`", "known here"),
            (
                13,
                8,
                "has 1 stop",
                "2 to 12 stops",
                "from anchor to anchor",
            ),
            (
                14,
                10,
                "is a text, not true or false",
                "true or false",
                "true or false",
            ),
            (16, 19, "is 2 stops, not one", "not a stop", "`rim`"),
            (
                18,
                19,
                "does not say where it turns",
                "no `along`",
                "margin = {",
            ),
        ],
    );
}

#[test]
fn what_does_not_fit_this_case_points_into_the_construct() {
    check(
        &construct_problems("off-this-case.toml"),
        &[
            (
                2,
                6,
                "`anchor.medial.at`: along 11.90 mm is off the neck",
                "off the bone",
                "11.26",
            ),
            (
                4,
                6,
                "`anchor.lateral.at` is on the fragment",
                "not on the scapula",
                "intact bone",
            ),
            (
                5,
                9,
                "\"hard-boddy\", an unknown class",
                "`hard-body`",
                "did you mean `hard-body`?",
            ),
            (
                9,
                25,
                "along -13.51 mm is off the rim",
                "off the bone",
                "percentage",
            ),
            (
                10,
                10,
                "\"cords\", an unknown class",
                "`cord`",
                "did you mean `cord`?",
            ),
            (12, 24, "`limb.deep.path[3]`", "off the bone", "half chord"),
            (
                14,
                65,
                "consecutive stops of the limb `zero`",
                "same point",
                "leave one out",
            ),
        ],
    );
}

#[test]
fn files_that_cannot_be_read_are_one_plain_message() {
    let huge = tempfile::NamedTempFile::new().unwrap();
    huge.as_file().set_len(10 * 1024 * 1024 + 1).unwrap();
    for (path, message) in [
        (fixture("empty.toml"), "the file is empty"),
        (fixture("not-utf8.toml"), "line 2 is not UTF-8"),
        (fixture(""), "this is a directory"),
        (fixture("nowhere.toml"), "there is no such file"),
        (huge.path().to_owned(), "larger than 10 MB"),
    ] {
        for problems in [
            Case::read(&path).unwrap_err(),
            ConstructFile::read(&path).unwrap_err(),
            Case::open(path.to_str().unwrap()).unwrap_err(),
        ] {
            let report = problems.to_string();
            assert_eq!(problems.problems.len(), 1);
            assert!(report.contains(message), "{report}");
            assert!(report.contains(path.to_str().unwrap()), "{report}");
            assert!(report.contains("help:"), "{report}");
        }
    }
    let e = Case::open("quartr").unwrap_err().to_string();
    assert!(e.contains("did you mean the built-in `quarter`?"), "{e}");
    let e = ConstructFile::open("one-by-on").unwrap_err().to_string();
    assert!(e.contains("`one-by-one`"), "{e}");
}

#[test]
fn a_report_underlines_the_text_and_colours_only_when_asked() {
    let problems = case_problems("doubled.toml");
    let plain = problems.render(false);
    assert!(!plain.contains('\u{1b}'));
    assert!(problems.render(true).contains('\u{1b}'));
    assert!(
        plain.contains(" 2 │ side = \"left\"\n   · ──┬─\n"),
        "{plain}"
    );
    assert!(plain.contains("2 mistakes in "), "{plain}");
    for line in case_problems("many-mistakes.toml").to_string().lines() {
        assert!(line.chars().count() <= 100, "{line}");
    }
}

#[test]
fn too_many_of_anything_is_refused() {
    let mut text = String::from("[anchor.a]\nat = { face = { along = 0, inset = 2 } }\n");
    for k in 0..25 {
        text += &format!("[limb.l{k}]\npath = [\"a\", \"rim\", \"a\"]\n");
    }
    let e = ConstructFile::parse("c.toml", &text)
        .unwrap_err()
        .to_string();
    assert!(e.contains("25 tables of `limb` are too many"), "{e}");
    assert!(e.contains("up to 24"), "{e}");
    let mut text = builtin("quarter").unwrap().to_owned();
    for k in 0..13 {
        text += &format!(
            "[load.l{k}]\nat = {{ rim = {{ along = 0 }} }}\nforce = 1\ndirection = \"medial\"\n"
        );
    }
    let e = Case::parse("c.toml", &text).unwrap_err().to_string();
    assert!(e.contains("13 tables of `load` are too many"), "{e}");
}

// ---------------------------------------------------------------- anything at all

/// Reads a text as both kinds of file and renders what comes out.
fn read_as_anything(text: &str, case: &Case) {
    let mut reports = Vec::new();
    match Case::parse("any.toml", text) {
        Ok(_) => {}
        Err(e) => reports.push(e),
    }
    match ConstructFile::parse("any.toml", text).and_then(|file| file.fit(case)) {
        Ok(_) => {}
        Err(e) => reports.push(e),
    }
    for e in reports {
        assert!(!e.problems.is_empty());
        for (line, column) in e.positions().into_iter().flatten() {
            assert!(line >= 1 && column >= 1);
        }
        let report = e.render(false);
        assert!(!report.contains("[Failed to read contents"), "{report}");
        assert!(!report.is_empty());
    }
}

/// A small generator (Marsaglia's xorshift, 64 bit), so that a failure repeats.
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % n.max(1) as u64) as usize
    }
}

#[test]
fn damaged_files_never_panic() {
    let case = Case::open("quarter").unwrap();
    let mut texts: Vec<Vec<u8>> = CASES
        .iter()
        .chain(CONSTRUCTS)
        .map(|f| f.1.as_bytes().to_vec())
        .collect();
    let mut names: Vec<_> = std::fs::read_dir("tests/case_files")
        .unwrap()
        .map(|e| e.unwrap().path())
        .collect();
    names.sort();
    texts.extend(names.iter().map(|p| std::fs::read(p).unwrap()));
    let tokens = [
        "nan",
        "-inf",
        "[",
        "]",
        "{",
        "}",
        "\"",
        "'''",
        "=",
        "\n",
        "\r",
        "\u{feff}",
        "µ",
        "[[limb]]",
        "1e999",
        "0x",
        "-0",
        "99999999999999999999999999999999999999999999",
        "\u{1b}[31m",
        "[limb.\"\"]",
        "[anchor.\"\"]",
        "[strand.\"\"]\nrigidity=1",
        "[tether.\"\"]",
        "1979-05-27",
        "true",
        "{}",
        "[]",
        "\u{0}",
        "\\u0000",
        "\"\\u001b\"",
        "a.b.c = 1",
        "closed = true",
    ];
    let mut dice = Dice(0x5eed_0001);
    for round in 0..6000 {
        let mut bytes = texts[round % texts.len()].clone();
        for _ in 0..=dice.below(4) {
            let at = dice.below(bytes.len() + 1);
            match dice.below(5) {
                0 if !bytes.is_empty() => {
                    let k = dice.below(bytes.len());
                    bytes[k] = dice.below(256) as u8;
                }
                1 => {
                    let end = (at + dice.below(40)).min(bytes.len());
                    bytes.drain(at..end);
                }
                2 => {
                    let other = &texts[dice.below(texts.len())];
                    let from = dice.below(other.len());
                    let to = (from + dice.below(60)).min(other.len());
                    bytes.splice(at..at, other[from..to].to_vec());
                }
                3 => {
                    let token = tokens[dice.below(tokens.len())];
                    bytes.splice(at..at, token.bytes());
                }
                _ => {
                    // A value replaced by a strange one, where it parses as TOML.
                    let text = String::from_utf8_lossy(&bytes).into_owned();
                    let places: Vec<usize> = text.match_indices("= ").map(|m| m.0 + 2).collect();
                    if !places.is_empty() {
                        let from = places[dice.below(places.len())];
                        let to = text[from..]
                            .find([',', '}', '\n'])
                            .map_or(text.len(), |k| from + k);
                        let token = tokens[dice.below(tokens.len())];
                        bytes = format!("{}{token}{}", &text[..from], &text[to..]).into_bytes();
                    }
                }
            }
        }
        read_as_anything(&String::from_utf8_lossy(&bytes), &case);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 512, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,200}|[\\[\\]{}=\"'.,\n\ra-z0-9 \\-+%#]{0,200}") {
        read_as_anything(&text, &Case::open("quarter").unwrap());
    }

    #[test]
    fn a_new_case_reads_back_as_it_was_measured(
        left in any::<bool>(),
        diameter in 23.0..30.0f64,
        percent in 8.0..45.0f64,
        in_mm in any::<bool>(),
        middle in 0.0..12.0f64,
        depth in 6.0..15.0f64,
        tilt in -5.0..20.0f64,
        inferior in -5.0..14.0f64,
        spin in -20.0..20.0f64,
        length in proptest::option::of(8.0..25.0f64),
    ) {
        let mut given = NewCase::new(
            if left { Side::Left } else { Side::Right },
            diameter,
            if in_mm { Width::Mm(0.01 * percent * diameter) } else { Width::Percent(percent) },
            middle,
        );
        given.name = Some("a \"name\" with \\ in it".into());
        (given.depth, given.tilt, given.length) = (depth, tilt, length);
        (given.inferior, given.spin) = (inferior, spin);
        match new_case(&given) {
            Ok(text) => {
                let case = Case::parse("new.toml", &text).unwrap();
                prop_assert_eq!(&case.name, "a \"name\" with \\ in it");
                prop_assert_eq!(case.side, given.side);
                let shape = case.fragment.shape;
                prop_assert_eq!(case.fragment.socket.radius, 0.5 * diameter);
                // A percentage is rounded once on either way through it.
                prop_assert!((shape.width - 0.01 * percent * diameter).abs() < 1e-12);
                prop_assert_eq!(shape.depth, depth);
                prop_assert_eq!(shape.tilt, tilt.to_radians());
                prop_assert_eq!(shape.length, length);
                prop_assert!((shape.direction - rimhold::anatomy::clock_angle(middle)).abs() < 1e-12);
                prop_assert_eq!(case.displaced.inferior, inferior);
                prop_assert_eq!(case.displaced.spin, spin.to_radians());
            }
            // Only a shape that no socket can have is refused, and it says which measurement.
            Err(e) => prop_assert!(e.to_string().contains("look at `"), "{}", e),
        }
    }
}

#[test]
fn a_new_case_refuses_measurements_out_of_range_all_at_once() {
    let mut given = NewCase::new(Side::Right, f64::NAN, Width::Percent(60.0), 13.0);
    given.depth = -1.0;
    let e = new_case(&given).unwrap_err();
    assert_eq!(e.problems.len(), 4, "{e}");
    let report = e.to_string();
    for part in [
        "`socket.diameter` is NaN",
        "4 to 48 %",
        "`fragment.middle` is 13",
        "`fragment.depth` is -1",
    ] {
        assert!(report.contains(part), "{part}\n{report}");
    }
    let half = new_case(&NewCase::new(Side::Left, 26.0, Width::Percent(25.0), 4.5)).unwrap();
    assert!(half.contains("middle = \"4:30\""), "{half}");
}

#[test]
fn the_table_allows_what_studies_ask_for() {
    for (path, low, high) in [
        ("bed.friction", 0.0, 1.5),
        ("bed.normal_stiffness", 0.1, 200.0),
        ("bed.cells", 100.0, 20_000.0),
        ("knot.tension", 0.1, 300.0),
        ("clamp.tension", 0.1, 300.0),
        ("fragment.width[percent]", 8.0, 45.0),
    ] {
        let row = parameter(path).unwrap();
        assert!(row.accepts(low) && row.accepts(high), "{path}");
        assert!(!row.accepts(f64::NAN) && !row.accepts(f64::INFINITY));
    }
}
