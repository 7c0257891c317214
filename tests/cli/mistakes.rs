//! Mistakes are told with their place, all of them, with exit code 2; other trouble is 1.

use crate::cli::Bench;

fn fixture(name: &str) -> String {
    format!("{}/tests/case_files/bad/{name}", env!("CARGO_MANIFEST_DIR"))
}

#[test]
fn a_mistake_in_a_file_has_its_place() {
    let bench = Bench::new();
    let case = bench.write(
        "typo.toml",
        "side = \"right\"\n[socket]\ndiametre = 26.0\n[fragment]\nwidth = nan\nmiddle = \"4:00\"\n",
    );
    for command in ["check", "settle", "compare"] {
        bench
            .run(&[command, &case, "one-by-one"])
            .code(2)
            .warns("typo.toml:3:1")
            .warns("did you mean `diameter`")
            .warns("typo.toml:5:9")
            .warns("mistakes in typo.toml");
    }
}

#[test]
fn each_class_of_bad_file_ends_with_two() {
    let bench = Bench::new();
    for (file, place) in [
        ("empty.toml", "empty.toml"),
        ("no-toml.toml", "no-toml.toml:"),
        ("not-utf8.toml", "not-utf8.toml"),
        ("many-mistakes.toml", "many-mistakes.toml:"),
        ("missing-values.toml", "missing-values.toml:"),
        ("impossible-taper.toml", "impossible-taper.toml:"),
        ("face-too-curved.toml", "face-too-curved.toml:"),
        ("construct-as-case.toml", "construct-as-case.toml:"),
    ] {
        let end = bench.run(&["check", &fixture(file)]).code(2).warns(place);
        assert!(end.out.is_empty(), "{file}");
    }
    for (file, place) in [
        ("wrong-order.toml", "wrong-order.toml:"),
        ("off-the-bone.toml", "off-the-bone.toml:"),
        ("unknown-anchor.toml", "unknown-anchor.toml:"),
        ("zero-loop.toml", "zero-loop.toml:"),
        ("no-turning-point.toml", "no-turning-point.toml:"),
    ] {
        let end = bench.run(&["compare", "quarter", "one-by-one", &fixture(file)]).code(2).warns(place);
        assert!(end.out.is_empty(), "{file}");
    }
}

#[test]
fn a_missing_file_lists_what_is_built_in_with_the_nearest() {
    let bench = Bench::new();
    bench
        .run(&["compare", "qarter"])
        .code(2)
        .warns("qarter: there is no such file")
        .warns("did you mean the built-in `quarter`")
        .warns("`hinge-weak`");
    bench.run(&["compare", "quarter", "one-by-on"]).code(2).warns("`one-by-one`").warns("`crater-fan`");
    bench.run(&["check", "."]).code(2).warns("directory");
}

#[test]
fn several_bad_files_are_all_told() {
    let bench = Bench::new();
    let bad = fixture("unknown-anchor.toml");
    let order = fixture("wrong-order.toml");
    bench
        .run(&["compare", "nowhere", &bad, "one-by-one", &order])
        .code(2)
        .warns("nowhere: there is no such file")
        .warns("unknown-anchor.toml:")
        .warns("wrong-order.toml:")
        .warns("3 files have mistakes");
    assert!(bench.names().is_empty());
}

#[test]
fn arguments_are_refused_in_plain_words() {
    let bench = Bench::new();
    for (typed, words) in [
        (vec![], "a command is needed\n\nHow well a suture bridge holds"),
        (vec![], "Example:\n  rimhold compare\n"),
        (vec!["settel"], "did you mean `settle`"),
        (vec!["compair"], "did you mean `compare`"),
        (vec!["tie", "--seed", "abc"], "a whole number from 0 to 18446744073709551615"),
        (vec!["compare", "--cells", "7"], "100 to 20000"),
        (vec!["compare", "--guidet"], "did you mean `--guided`"),
        (vec!["compare", "--to", "30"], "0.05 to 10 mm"),
        (vec!["compare", "--to", "nan"], "0.05 to 10 mm"),
        (vec!["compare", "--to", "-1"], "0.05 to 10 mm"),
        (vec!["compare", "--direction", "up"], "down the plane"),
        (vec!["compare", "--direction", "0,0,0"], "no length"),
        (vec!["compare", "--format", "xml"], "understood: table, json, csv"),
        (vec!["compare", "--from", "above"], "understood: reduced, displaced"),
        (vec!["settle", "quarter", "one-by-one", "third"], "`third`"),
        (vec!["lose", "quarter", "one-by-one", "--lost", "medial,nobody"], "no part `nobody`\n  its parts: inferior,"),
        (vec!["budget", "--left", "0"], "0.01 to 15 mm"),
        (vec!["new", "--side", "left"], "missing: --diameter"),
        (vec!["compare", "--figures"], "needs a value"),
        (vec!["compare", "--equal", "all"], "understood: anchor, bridge, total"),
        (vec!["verify", "--from", "displaced"], "missing: <CASE>"),
    ] {
        let end = bench.run(&typed).code(2).warns(words).warns("rimhold: ");
        assert!(end.out.is_empty(), "{typed:?}");
        assert!(!end.err.contains("error:"), "{}", end.err);
    }
}

#[test]
fn a_reader_that_closes_its_pipe_ends_the_program_quietly() {
    let bench = Bench::new();
    // The JSON is far larger than a pipe's buffer (64 KiB on Linux), so the write must fail.
    let mut child = bench
        .command(&["compare", "--format", "json"])
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let end = child.wait_with_output().unwrap();
    let err = String::from_utf8(end.stderr).unwrap();
    assert_eq!(end.status.code(), Some(0), "{err}");
    assert!(!err.contains("panicked") && !err.contains("rror"), "{err}");
}

/// What is typed may hold what steers a terminal (ECMA-48) or turns words round (Unicode's bidirectional controls):
/// a message names it and does not do it.
#[test]
fn control_characters_of_an_argument_are_told_and_not_done() {
    let bench = Bench::new();
    let wild = "a\u{1b}[2Jb\u{9b}1m\u{202e}c\u{7}";
    for typed in [
        vec![wild],
        vec!["compare", wild],
        vec!["compare", "quarter", wild],
        vec!["compare", "--direction", wild],
        vec!["sweep", wild],
        vec!["sweep", "--vary", wild],
        vec!["scatter", "--spread", wild],
        vec!["report", "--template", wild],
        vec!["tie", "--orders", wild],
        vec!["tie", "--order", wild],
        vec!["compare", "--figures", wild, "--format", wild],
        vec!["place", "--out", "a\u{1b}/b"],
        vec!["new", "--side", wild],
    ] {
        let end = bench.run(&typed);
        assert_ne!(end.code, Some(0), "{typed:?}");
        let raw = |c: char| (c.is_control() && c != '\n') || c == '\u{202e}';
        assert!(!end.err.contains(raw), "{typed:?}\n{:?}", end.err);
        assert!(end.out.is_empty(), "{typed:?}");
    }
    let end = bench.run(&["compare", "--out\u{1b}[2J"]);
    assert!(end.err.contains(r"\u{1b}[2J"), "{}", end.err);
}
