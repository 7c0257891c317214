//! Mistakes: each told once, with its place and what to do, exit code 2, nothing written.

use crate::room::Room;

/// What is said of one-by-one on quarter with a `[place]` table.
fn wrong(more: &str) -> String {
    wrong_on(&Room::new(), "quarter", more)
}

/// The same on another case.
fn wrong_on(room: &Room, case: &str, more: &str) -> String {
    let path = room.with("one-by-one", more);
    told(room, &["place", case, &path, "--out", "best.toml", "--evaluations", "40", "--cells", "100"])
}

fn told(room: &Room, arguments: &[&str]) -> String {
    let output = room.output(arguments);
    let err = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2), "{err}");
    assert!(output.stdout.is_empty());
    assert!(!room.has("best.toml"));
    err.replace('│', " ").split_whitespace().collect::<Vec<_>>().join(" ")
}

#[track_caller]
fn has(text: &str, parts: &[&str]) {
    for part in parts {
        assert!(text.contains(part), "{part}\n{text}");
    }
}

#[test]
fn all_mistakes_of_a_table_are_told_together() {
    let text = wrong(
        r#"[place]
free = [
    { path = "anchor.medial.alog" },
    { path = "strand.cord.rigidity" },
    { path = "anchor.medial.beyond", low = 3.0, high = 1.0 },
    { path = "anchor.medial.beyond", low = "10 %" },
]
limits = { spacing = -1.0 }
"#,
    );
    // What can be seen in the file alone comes first.
    has(&text, &["runs from 3 to 1", "`place.limits.spacing` is -1", "construct.toml:"]);
    let text = wrong(
        r#"[place]
free = [
    { path = "anchor.medial.alog" },
    { path = "strand.cord.rigidity" },
    { path = "anchor.medial.beyond", low = "10 %" },
    { path = "anchor.lateral.inset", low = 1.0, high = 30.0 },
    { path = "anchor.*.along" },
    { path = "anchor.medial.along" },
]
"#,
    );
    has(
        &text,
        &[
            "`anchor.medial.alog` is no input",
            "`anchor.medial.along`",
            "is no coordinate of an anchor",
            "is not given in percent",
            "cannot be 30",
            "allowed: 0 to 20 mm",
            "named by two lines",
        ],
    );
}

#[test]
fn nothing_free_and_nothing_that_changes_anything() {
    let room = Room::new();
    let text = wrong("[place]\nfree = []\n");
    has(&text, &["`place.free` has 0 lines", "nothing to search"]);
    // An anchor that no limb leads to, with room all round.
    let spare = r#"[anchor.spare]
at = { face = { along = 0.0, inset = 11.0 } }
[place]
free = [LINES{ path = "anchor.spare.along", low = -1.0, high = 1.0 }]
"#;
    let text = wrong(&spare.replace("LINES", ""));
    has(&text, &["no free variable changes the objective or a constraint: anchor.spare.along"]);
    // Beside one that counts it is left where it is, and said.
    let path = room.with("one-by-one", &spare.replace("LINES", "{ path = \"limb.*.tension\" }, "));
    let text = room.run(&[
        "place",
        "quarter",
        &path,
        "--out",
        "with-spare.toml",
        "--evaluations",
        "30",
        "--starts",
        "1",
        "--cells",
        "100",
        "--steps",
        "2",
        "--full",
        "--quiet",
    ]);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    has(&text, &["changes nothing", "was left where it is"]);
    assert!(room.read("with-spare.toml").contains("along = 0.0, inset = 11.0"));
}

#[test]
fn bounds_that_exclude_every_start() {
    let text = wrong("[place]\nfree = [{ path = \"anchor.lateral.along\", low = 14.0, high = 16.0 }]\n");
    has(&text, &["the bounds exclude every start", "every anchor on its bone", "widen the ranges"]);
}

#[test]
fn constraints_that_contradict_each_other_are_named() {
    // Far from the post there is too little left to the rim.
    let text = wrong(
        r#"[anchor.post]
at = { face = { along = "-5 %", inset = 8.0 } }
[place]
limits = { spacing = 6.0, rim_distance = 9.0 }
free = [{ path = "anchor.lateral.inset", low = 0.5, high = 9.0 }]
"#,
    );
    has(&text, &["contradict each other", "distance between anchors", "distance from the rim edge"]);
}

#[test]
fn a_construct_that_is_held_nowhere() {
    let room = Room::new();
    let case = format!(
        "{}\n[load.head]\nat = {{ wall = {{ along = 0.0, below = 4.0 }} }}\nforce = 450.0\ndirection = [1.0, -0.5, 0.5]\nwhen = \"throughout\"\n",
        rimhold::model::builtin("quarter").unwrap()
    );
    let case = room.write("case.toml", &case);
    let text = wrong_on(&room, &case, "");
    has(&text, &["held nowhere in the box"]);
}

#[test]
fn options_that_say_nothing() {
    let room = Room::new();
    let text = told(&room, &["place", "--against", "inferior", "--out", "best.toml"]);
    has(&text, &["--against names the objective itself"]);
    let text = told(&room, &["place", "--robust", "3", "--out", "best.toml"]);
    has(&text, &["10 to 10000"]);
}
