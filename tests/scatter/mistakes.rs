//! Mistakes: each told once, with its place and a hint, all of them together, exit code 2.

use crate::room::Room;

fn wrong(room: &Room, arguments: &[&str]) -> String {
    let output = room.output(arguments);
    let err = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2), "{arguments:?}\n{err}");
    assert!(output.stdout.is_empty());
    // Long messages are broken into lines behind a rule.
    err.replace('│', " ").split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn all_mistakes_of_a_spread_are_told_together() {
    let room = Room::new();
    room.write(
        "spread.toml",
        r#"[spread]
bed.fricton = { uniform = [0.3, 0.9] }
bed.normal_stiffness = { normal = { mean = 10.0, sd = -1.0 } }
bed.shear_stiffness = { uniform = [10.0, 2.0] }
fragment.width = { triangular = [4.0, 12.0, 10.0] }
bed.edge_width = { lognormal = { median = 0.0, cv = 0.2 } }
friction.rim = { uniform = [0.1, 0.2], normal = { mean = 0.1, sd = 0.1 } }
tether.hinge = { discrete = { sound = 1.0 } }
friction.bone = 3.0
friction.labrum = { uniform = [0.1, 0.2], truncate = [0.3, 0.2] }
bite.stiffness = { uniform = [8.0, nan] }
correlation = [["friction.rim", "friction.bone", 1.5]]
"#,
    );
    let err = wrong(&room, &["scatter", "--spread", "spread.toml"]);
    for words in [
        "standard deviation above zero",
        "low end below its high end",
        "low ≤ mode ≤ high",
        "median above zero",
        "2 distributions, not one",
        "`sound` is no state of a hinge",
        "`friction.bone` is a number, not a distribution",
        "leaves nothing",
        "not a finite number",
        "rank correlation of 1.5",
        "spread.toml:3",
    ] {
        assert!(err.contains(words), "{words} in\n{err}");
    }
}

#[test]
fn what_does_not_fit_the_case_is_told_with_the_nearest_known_path() {
    let room = Room::new();
    room.write(
        "spread.toml",
        r#"[spread]
bed.fricton = { uniform = [0.3, 0.9] }
limb.bridge-upper.tension = { normal = { mean = 25.0, sd = 5.0 } }
"limb.*.tension" = { lognormal = { median = 1.0, cv = 0.3 }, use = "factor" }
bed.crush_strength = { uniform = [-400.0, 20.0] }
friction.rim = { uniform = [0.0, 0.2] }
friction.bone = { uniform = [0.0, 0.2] }
friction.labrum = { uniform = [0.0, 0.2] }
correlation = [
  ["friction.rim", "friction.bone", 0.9],
  ["friction.rim", "friction.labrum", 0.9],
  ["friction.bone", "friction.labrum", -0.9],
]
"#,
    );
    let err = wrong(&room, &["scatter", "quarter", "one-by-one", "--spread", "spread.toml"]);
    for words in [
        "`bed.fricton` is no input",
        "`bed.friction`",
        "`limb.bridge-upper.tension` is set by two lines",
        "95 % of the distribution of `bed.crush_strength` lie outside the physical range",
        "the correlations contradict each other",
        "4 mistakes",
    ] {
        assert!(err.contains(words), "{words} in\n{err}");
    }
}

#[test]
fn mistakes_of_a_case_and_of_its_spread_are_told_together() {
    let room = Room::new();
    let text = rimhold::model::builtin("quarter").unwrap().replace("tilt = 10.0", "tilt = 100.0");
    room.write("case.toml", &format!("{text}\n[spread]\nbed.friction = {{ uniform = [2.0, 1.0] }}\n"));
    let err = wrong(&room, &["scatter", "case.toml"]);
    assert!(err.contains("fragment.tilt") && err.contains("low end below"), "{err}");
    // The table is known to the other commands, and checked there as well.
    let err = wrong(&room, &["check", "case.toml"]);
    assert!(err.contains("low end below"), "{err}");
}

#[test]
fn what_lies_outside_the_physical_range_is_cut_and_said() {
    let room = Room::new();
    room.write("spread.toml", "[spread]\nbed.friction = { normal = { mean = 0.5, sd = 0.3 } }\n");
    let output = room.output(&[
        "scatter",
        "quarter",
        "one-by-one-bare",
        "--spread",
        "spread.toml",
        "--samples",
        "8",
        "--cells",
        "100",
        "--steps",
        "2",
    ]);
    let err = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(0), "{err}");
    // Φ(−0.5/0.3) + 1 − Φ(1/0.3) = 0.04779 + 0.00043, tables of the normal distribution.
    assert!(err.contains("4.8 % of the distribution of bed.friction"), "{err}");
}

#[test]
fn wrong_numbers_on_the_command_line_are_told() {
    let room = Room::new();
    for (arguments, words) in [
        (["scatter", "--samples", "0"], "whole number from 1"),
        (["scatter", "--cells", "7"], "100 to 20000"),
        (["scatter", "--indices", "0"], "whole number from 1"),
        (["scatter", "--indices", "100001"], "from 1 to 100000"),
        (["scatter", "--under", "-3"], "0 to 1000 N"),
        (["scatter", "--sampler", "dice"], "latin"),
        (["scatter", "--seed", "abc"], "a whole number from 0 to 18446744073709551615"),
        (["scatter", "--samples", "9999999"], "do not fit into memory; allowed: "),
        (["scatter", "--sample", "2000"], "numbered 0 to 1999"),
        (["scatter", "--spread", "none.toml"], "no such file"),
        (["sweep", "quarter", "one-by-one"], "nothing is varied"),
        (["sweep", "--vary", "bed.friction"], "write PATH=LOW..HIGH:NUMBER"),
        (["sweep", "--vary", "bed.friction=0.3..0.9:1"], "allowed are 2"),
        (["sweep", "--vary", "bed.friction=0.3..9:3"], "cannot be 9"),
        (["sweep", "--vary", "bed.fricton=0.3,0.4"], "did you mean `bed.friction`"),
        (["sweep", "--vary", "bed.friction=3%,4%"], "not given in percent"),
        (["sweep", "--vary", "bed.friction=x,y"], "no number"),
        (["sweep", "--vary", "bed.friction=0.4,0.5,0.4"], "0.4 is given twice"),
        (["sweep", "--vary", "fragment.width=20%,20%"], "20 % is given twice"),
        (["sweep", "--vary", "tether.hinge=0..2:5"], "a hinge has no state 0.5"),
        (
            ["sweep", "--vary", "tether.hinge=none,1.5"],
            "no state 1.5: it is whole, weak or not there; write 0 or none, 1 or weak, 2 or intact",
        ),
        (["sweep", "--vary", "tether.hinge=3,1"], "no state 3"),
        (["sweep", "--vary", "tether.hinge=-0.5,1"], "no state -0.5"),
        (["sweep", "--vary", "tether.hinge=sound"], "`sound` is no state of a hinge"),
        (["sweep", "--vary", "tether.hinge=weak,1"], "1 is given twice"),
        // Of a hinge that is not there a wildcard says nothing.
        (["sweep", "--vary", "tether.*.stiffness=5,20"], "`tether.*.stiffness` is no input of this case"),
        (["sweep", "--show", "colour"], "load-1mm"),
        (["sweep", "sise", "one-by-one"], "lower-end, size, tension"),
        (["sweep", "sizes", "one-by-one"], "no case or sweep `sizes`; did you mean `size`?"),
        (["sweep", "one-by-one", "quarter"], "this is a construct, and the case comes first"),
        (
            ["scatter", "one-by-one", "--quiet"],
            "this is a built-in construct, and the case comes first: CASE one-by-one",
        ),
        (["sweep", "--vary", "fragment.width=15..30:3"], "in percent as well, from 1 to 50 %: 15%..30%:3"),
        (["sweep", "--vary", "bed.friction=-1..9:3"], "cannot be -1 or 9; allowed: 0 to"),
    ] {
        let err = wrong(&room, &arguments);
        assert!(err.contains(words), "{arguments:?}: {words} in\n{err}");
    }
    // Half of them are in range: the other end alone is named.
    let err = wrong(&room, &["sweep", "--vary", "bed.friction=0.3,9"]);
    assert!(err.contains("cannot be 9;"), "{err}");
    let both = ["sweep", "--vary", "bed.x=1,2", "--vary", "bed.friction=0,9"];
    let err = wrong(&room, &both);
    assert!(err.contains("bed.x") && err.contains("cannot be 9"), "{err}");
}

/// A word that ends a path exactly is meant before any that only looks alike, and the list of all
/// paths is named.
#[test]
fn an_unknown_path_is_answered_with_those_that_end_in_its_word() {
    let room = Room::new();
    for (path, first) in [
        ("friction", "did you mean `bed.friction`"),
        ("Width", "did you mean `fragment.width`"),
        ("fragment.friction", "did you mean `bed.friction`"),
    ] {
        let vary = format!("{path}=0.3,0.4");
        let err = wrong(&room, &["sweep", "--vary", &vary]);
        for words in [first, "`rimhold scatter --inputs CASE CONSTRUCT` lists all", "`*` stands for a whole name"] {
            assert!(err.contains(words), "{path}: {words} in\n{err}");
        }
    }
}

#[test]
fn few_base_samples_are_warned_of() {
    let room = Room::new();
    // One input: the samples of the indices grow with their number.
    room.write("spread.toml", "[spread]\nbed.friction = { uniform = [0.4, 0.5] }\n");
    let ask = |base: &str| {
        let output = room.output(&[
            "scatter",
            "quarter",
            "one-by-one",
            "--spread",
            "spread.toml",
            "--samples",
            "1",
            "--cells",
            "100",
            "--steps",
            "2",
            "--indices",
            base,
            "--full",
        ]);
        assert_eq!(output.status.code(), Some(0));
        (String::from_utf8(output.stdout).unwrap(), String::from_utf8(output.stderr).unwrap())
    };
    let (table, warned) = ask("1");
    assert!(warned.contains("warning: 1 base sample for the indices"), "{warned}");
    // One is one, not ones.
    assert!(table.contains("  1 sample from "), "{table}");
    assert!(!table.contains("1 samples"), "{table}");
    assert!(!ask("64").1.contains("warning"));
}
