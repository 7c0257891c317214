//! What is wrong with a file is told with line, column, allowed range and hint.

use crate::case_files::fixture;
use rimhold::model::{Case, ConstructFile, Problems, builtin};

/// Line, column, part of the message, part of the label, part of the hint.
type Expected = (usize, usize, &'static str, &'static str, &'static str);

fn check(problems: &Problems, expected: &[Expected]) {
    let report = problems.to_string();
    assert_eq!(problems.problems.len(), expected.len(), "{report}");
    for ((problem, position), want) in problems.problems.iter().zip(problems.positions()).zip(expected) {
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
    ConstructFile::read(&fixture(name)).and_then(|file| file.fit(&case)).expect_err(name)
}

#[test]
fn all_mistakes_of_a_case_are_told_together() {
    check(
        &case_problems("many-mistakes.toml"),
        &[
            (1, 8, "`side` is \"rigth\"", "`right`, `left`", "did you mean `right`?"),
            (4, 12, "`socket.diameter` is 99", "15 to 45 mm", "usually 23 to 30 mm"),
            (5, 1, "unknown key `socket.face_radus`", "not known", "did you mean `face_radius`?"),
            (8, 9, "`fragment.width` is 60 %", "1 to 50 %", "share of the circle"),
            (9, 10, "\"4:75\", not a clock position", "0:00", "write \"4:30\""),
            (10, 9, "`fragment.depth` is a text, not a number", "a number", "10 when not given"),
            (13, 12, "`bed.friction` is NaN, not a finite number", "0 to 1.5", "0.3 to 0.6"),
            (14, 9, "`bed.cells` is 600.5, not a whole number", "100 to 20000", "600 when"),
            (17, 8, "`displaced.spin` is inf, not a finite", "-60 to 60 °", "5 when not given"),
        ],
    );
}

#[test]
fn all_mistakes_of_phases_are_told_together() {
    check(
        &case_problems("phases.toml"),
        &[
            (12, 8, "`phase[1].high` is 900", "0 to 500 N", "largest load of a cycle"),
            (16, 8, "two phases are called `sling`", "again", "its own name"),
            (18, 8, "`phase[2].high` is below `phase[2].low`", "20 N, but the least load is 30 N", "from `low` up"),
            (19, 10, "`phase[2].cycles` is 2.5, not a whole number", "1 to 100000", ""),
            (20, 13, "`phase[2].direction`: `upward` is no direction", "no direction", "anteroinferior"),
            (22, 1, "`phase[3].name` is missing", "does not give `name`", "sling"),
            (22, 1, "`phase[3].high` is missing", "does not give `high`", "largest load"),
            (23, 1, "unknown key `phase[3].highh`", "not known", "did you mean `high`?"),
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
            (1, 1, "`socket.diameter` is missing", "[socket]", "usually 23 to 30 mm"),
            (2, 1, "`fragment.width` is missing", "[fragment]", "from rim to fracture line"),
            (2, 1, "`fragment.middle` is missing", "[fragment]", "\"4:00\""),
        ],
    );
}

#[test]
fn impossible_geometry_names_the_measurement_to_look_at() {
    check(&case_problems("impossible-taper.toml"), &[(7, 9, "beyond ±45°", "look at `depth` first", "measure again")]);
    check(
        &case_problems("face-too-curved.toml"),
        &[(4, 15, "the face radius 12 mm", "look at `face_radius`", "measure again")],
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
            (8, 12, "along 12.00 mm is off the medial margin", "off the bone", "11.26 mm"),
            (9, 11, "is on the fragment", "not on the scapula", "beyond the fragment's ends"),
            (11, 6, "`load.capsule.at` is 6.52 mm off the fragment", "along", "-11.26 to 11.26"),
            (12, 9, "has 2 numbers, not three", "[x, y, z]", "x anterior"),
            (16, 13, "\"anteromedail\"", "not a word", "did you mean `anteromedial`?"),
        ],
    );
}

#[test]
fn one_kind_of_file_given_for_the_other_is_recognised() {
    check(
        &case_problems("construct-as-case.toml"),
        &[(7, 2, "unknown key `anchor`", "not known", "belongs in a construct file")],
    );
}

#[test]
fn columns_count_characters() {
    check(&case_problems("µ-columns.toml"), &[(3, 14, "unknown key `fragment.µ`", "not known", "`width`")]);
    let text =
        "name = \"µµ\"\nside = 1\nsocket = { \"µµ\" = 1, diameter = 1 }\nfragment = { width = 6.5, middle = 4 }\n";
    let e = Case::parse("columns.toml", text).unwrap_err();
    assert_eq!(e.positions(), [Some((2, 8)), Some((3, 12)), Some((3, 33))]);
    assert!(e.to_string().contains("columns.toml:3:33]"), "{e}");
}

#[test]
fn unknown_stops_are_told_with_the_nearest_known_one() {
    check(
        &construct_problems("unknown-anchor.toml"),
        &[
            (7, 9, "names the anchor `medail`", "unknown anchor", "did you mean `medial`?"),
            (9, 21, "unknown stop `rimm`", "not a stop", "did you mean `rim`?"),
        ],
    );
}

#[test]
fn a_limb_has_to_turn_on_the_fragment_and_to_have_a_length() {
    check(
        &construct_problems("no-turning-point.toml"),
        &[
            (7, 8, "`bridge` has no turning point", "never touches", "\"rim\""),
            (9, 8, "`nowhere` has no length", "one anchor only", "over the rim"),
            (11, 19, "`open` ends on the fragment", "has to be an anchor", "closed = true"),
            (13, 26, "consecutive stops of the limb `stutter`", "same point", "leave one out"),
        ],
    );
    check(
        &construct_problems("zero-loop.toml"),
        &[(4, 7, "`zero` has no length: all its points", "zero length", "move its anchor")],
    );
}

#[test]
fn an_order_names_every_limb_once() {
    check(
        &construct_problems("wrong-order.toml"),
        &[
            (13, 9, "the order never ties `upper`", "not in this order", "mistyped"),
            (13, 20, "names `uper`", "unknown limb", "did you mean `upper`?"),
            (13, 28, "ties `lower` twice", "again here", "exactly once"),
            (13, 38, "names no limb", "empty", "at least one"),
            (13, 62, "unknown key `tying.order[4].stopp`", "not known", "did you mean `stop`?"),
        ],
    );
}

#[test]
fn crooked_limbs_are_told() {
    check(
        &construct_problems("wrong-limbs.toml"),
        &[
            (7, 37, "\"-140 %x\"", "-200 to 200 %", "\"25 %\""),
            (8, 11, "`limb.lower.tension` is -5", "0.1 to 150 N", "20 to 80 N"),
            (10, 8, "is a text, not a list of stops", "a list", "a list"),
            (11, 10, "\"glue\"", "`knot`, `knotless`", "known here"),
            (13, 8, "has 1 stop", "2 to 12 stops", "from anchor to anchor"),
            (14, 10, "is a text, not true or false", "true or false", "true or false"),
            (16, 19, "is 2 stops, not one", "not a stop", "`rim`"),
            (18, 19, "does not say where it turns", "no `along`", "margin = {"),
        ],
    );
}

#[test]
fn what_does_not_fit_this_case_points_into_the_construct() {
    check(
        &construct_problems("off-this-case.toml"),
        &[
            (2, 6, "`anchor.medial.at`: along 11.90 mm is off the neck", "off the bone", "11.26"),
            (4, 6, "`anchor.lateral.at` is on the fragment", "not on the scapula", "intact bone"),
            (5, 9, "\"hard-boddy\", an unknown class", "`hard-body`", "did you mean `hard-body`?"),
            (9, 25, "along -13.51 mm is off the rim", "off the bone", "percentage"),
            (10, 10, "\"cords\", an unknown class", "`cord`", "did you mean `cord`?"),
            (12, 24, "`limb.deep.path[3]`", "off the bone", "half chord"),
            (14, 65, "consecutive stops of the limb `zero`", "same point", "leave one out"),
            (16, 6, "4.00 mm above the face", "off the bone", "z is lateral"),
        ],
    );
}

#[test]
fn mistakes_of_screws_are_told_together() {
    check(
        &construct_problems("screws-astray.toml"),
        &[
            (6, 8, "both called `upper`", "the screw here", "its own name"),
            (10, 8, "`screw.thick.core` is 3", "below the diameter", "thinner"),
            (11, 8, "`screw.thick.head` is 2.5", "above the diameter", "wider"),
            (12, 11, "`screw.thick.preload` is 5000", "1 to 2000 N", "usually 30 to 300 N"),
            (15, 13, "both aim the screw", "one of the two", "keep `toward`"),
            (19, 13, "`screw.flat.direction` has no length", "no direction", "x anterior"),
            (20, 1, "unknown key `screw.flat.lenght`", "not known here", "`working_length`"),
            (22, 9, "never ties `upper`, `screw-3`, `flat`", "not in this order", "mistyped"),
            (22, 19, "screws alone cannot stop when", "no limb", "tie a reducing limb first"),
            (22, 58, "no such limb or screw", "unknown limb or screw", "`thick`"),
            (22, 65, "names no limb or screw", "empty", "at least one limb or screw"),
            (
                22,
                69,
                "not the name of a limb or screw, a list of names or a table",
                "allowed: the name of a limb or screw",
                "write the name of a limb or screw",
            ),
        ],
    );
    check(
        &construct_problems("screws-off-this-case.toml"),
        &[
            (2, 6, "3.04 mm off the fragment", "along 0.00 mm", "10.00 mm below its face"),
            (5, 13, "runs 72° off square", "up to 70°", "into the scapula"),
            (7, 6, "seats 0.00 mm before", "1 mm or more", "medial margin"),
            (10, 13, "misses the fracture bed", "along -9.44 mm", "turn its direction"),
            (13, 10, "is on the fragment", "not on the scapula", "intact bone"),
        ],
    );
}

#[test]
fn files_that_cannot_be_read_are_one_plain_message() {
    let huge = tempfile::NamedTempFile::new().unwrap();
    huge.as_file().set_len(1024 * 1024 + 1).unwrap();
    for (path, message) in [
        (fixture("empty.toml"), "the file is empty"),
        (fixture("not-utf8.toml"), "line 2 is not UTF-8"),
        (fixture(""), "this is a directory"),
        (fixture("nowhere.toml"), "there is no such file"),
        (huge.path().to_owned(), "larger than 1 MB"),
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
fn tables_written_as_a_list_are_refused_with_what_to_write() {
    let case = builtin("quarter").unwrap();
    let tether = "fragment = { rim = { along = \"-92 %\" } }\nscapula = { rim = { along = \"-108 %\" } }\n";
    let load = "at = { rim = { along = 0 } }\nforce = 5\ndirection = \"medial\"\n";
    for (key, body) in [("tether", tether), ("load", load), ("strand", "rigidity = 900\n"), ("anchor-class", "")] {
        let e = Case::parse("c.toml", &format!("{case}\n[[{key}]]\nname = \"a b\"\n{body}")).unwrap_err();
        assert_eq!(e.problems.len(), 1, "{e}");
        assert!(e.to_string().contains(&format!("write [{key}.\"a b\"] in place of [[{key}]]")), "{e}");
        Case::parse("c.toml", &format!("{case}\n[{key}.\"a b\"]\n{body}")).unwrap_or_else(|e| panic!("{e}"));
    }
    // What is wrong inside such a list is told in the same report.
    let text = "[[anchor]]\nname = \"a\"\nat = { face = { along = 0, inset = 99 } }\n[limb.l]\npath = [\"a\", \"rim\", \"a\"]\n\
                [[screw]]\nat = { wall = { along = 0, below = 4.5 } }\n[[place.reach]]\nportal = [0, 0, 30]\nhalf_angle = 40\n";
    let e = ConstructFile::parse("c.toml", text).unwrap_err();
    let report = e.to_string();
    for part in ["write [anchor.a]", "99, outside its range", "write [screw.1]", "`place.reach` is a list"] {
        assert!(report.contains(part), "{part}\n{report}");
    }
    assert!(!report.contains("not defined"), "{report}");
}

#[test]
fn a_name_is_the_same_with_and_without_blanks_where_it_is_used() {
    let case = Case::open("quarter").unwrap();
    let text = "[anchor.\"=1\"]\nat = { face = { along = 0, inset = 2 } }\nclass = \" Mine \"\n[anchor-class.Mine]\nstiffness = \"Rigid\"\n\
                [limb.a]\npath = [\" =1\", \"Rim\", { eyelet = \"=1 \" }, { rim = \"TAUT\" }, \"=1\"]\nstrand = \" cord\"\n\
                fixing = \"Knot\"\n[tying]\norder = [\" a \"]\n[place.reach.x]\nportal = [0, 0, 30]\nhalf_angle = 40\nanchors = [\"=1 \"]\n";
    let e = ConstructFile::parse("c.toml", text).and_then(|f| f.fit(&case));
    // Only the last two stops may be one anchor, which is another matter.
    let construct = e.unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(construct.anchors[0].name, "=1");
    assert_eq!(construct.anchors[0].stiffness, None);
}

#[test]
fn a_width_is_allowed_or_not_in_either_unit() {
    let case = |width: &str| {
        let text = format!(
            "side = \"Right\"\n[socket]\ndiameter = 26\nface_radius = \"Flat\"\n[fragment]\nwidth = {width}\nmiddle = 4\n"
        );
        Case::parse("c.toml", &text).map(|c| c.fragment.shape.width)
    };
    assert!((case("\"2 %\"").unwrap() - 0.52).abs() < 1e-12);
    assert!(case("0.52").is_ok());
    for width in ["\"1.9 %\"", "0.494"] {
        let e = case(width).unwrap_err().to_string();
        assert!(e.contains("allowed: 0.5 to 22 mm"), "{e}");
    }
    for width in ["\"50 %\"", "13"] {
        assert!(case(width).unwrap_err().to_string().contains("radius"), "{width}");
    }
    for (percent, mm) in [("\"45 %\"", "11.7"), ("\"48 %\"", "12.48"), ("\"3 %\"", "0.78")] {
        assert_eq!(case(percent).is_ok(), case(mm).is_ok(), "{percent}");
    }
}

#[cfg(unix)]
#[test]
fn what_is_no_file_is_told_and_never_waited_for() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let room = tempfile::tempdir().unwrap();
    let at = |name: &str| room.path().join(name);
    assert!(std::process::Command::new("mkfifo").arg(at("pipe")).status().unwrap().success());
    symlink(at("loop"), at("loop")).unwrap();
    symlink(at("nothing"), at("nowhere")).unwrap();
    symlink(at("shut/case.toml"), at("inside")).unwrap();
    std::fs::create_dir(at("shut")).unwrap();
    std::fs::write(at("shut/case.toml"), builtin("quarter").unwrap()).unwrap();
    std::fs::set_permissions(at("shut"), std::fs::Permissions::from_mode(0o000)).unwrap();
    // Whoever may read everything sees no shut folder.
    let shut = std::fs::metadata(at("shut/case.toml")).is_err();
    for (path, message) in [
        (at("pipe"), "a pipe or a device"),
        ("/dev/zero".into(), "a pipe or a device"),
        (at("loop"), "too many levels of symbolic links"),
        (at("nowhere"), "a link that leads to no file"),
        (at("shut/case.toml"), if shut { "permission denied" } else { "" }),
        (at("inside"), if shut { "permission denied" } else { "" }),
        (at("missing"), "there is no such file"),
        (at("pipe").join("case.toml"), "there is no such file"),
    ] {
        for read in [Case::read(&path), Case::open(path.to_str().unwrap())] {
            let report = read.map_or_else(|e| e.to_string(), |_| String::new());
            assert!(report.contains(message), "{}: {report}", path.display());
        }
    }
    std::fs::set_permissions(at("shut"), std::fs::Permissions::from_mode(0o700)).unwrap();
}

#[test]
fn a_report_underlines_the_text_and_colours_only_when_asked() {
    let problems = case_problems("doubled.toml");
    let plain = problems.render(false);
    assert!(!plain.contains('\u{1b}'));
    assert!(problems.render(true).contains('\u{1b}'));
    assert!(plain.contains(" 2 │ side = \"left\"\n   · ──┬─\n"), "{plain}");
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
    let e = ConstructFile::parse("c.toml", &text).unwrap_err().to_string();
    assert!(e.contains("25 tables of `limb` are too many"), "{e}");
    assert!(e.contains("up to 24"), "{e}");
    let mut text = builtin("quarter").unwrap().to_owned();
    for k in 0..13 {
        text += &format!("[load.l{k}]\nat = {{ rim = {{ along = 0 }} }}\nforce = 1\ndirection = \"medial\"\n");
    }
    let e = Case::parse("c.toml", &text).unwrap_err().to_string();
    assert!(e.contains("13 tables of `load` are too many"), "{e}");
}

#[test]
fn a_file_cannot_steer_the_terminal_that_shows_it() {
    // A raw escape is no TOML; an escaped one in a name is TOML, and no name.
    for text in ["side = \"\u{1b}[31mright\"\n", "side = \"right\"\n\"\\u001b[2J\" = 1\n[tether.\"\\u001b[2J\"]\n"] {
        let e = Case::parse("a\u{1b}b.toml", text).unwrap_err();
        assert!(!e.to_string().contains('\u{1b}'), "{e:?}");
    }
}
