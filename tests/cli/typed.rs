//! What is typed on the command line: words in capitals, numbers that are none, mistyped commands,
//! files that come through a pipe.

use crate::cli::{Bench, Ended};
use rimhold::model::builtin;
use std::io::Write;
use std::process::Stdio;

#[test]
fn words_are_the_same_in_capitals() {
    let bench = Bench::new();
    let sides = ["right", "Right", "RIGHT"].map(|side| {
        bench.run(&["new", "--side", side, "--diameter", "26", "--width", "25 %", "--middle", "4:00"]).code(0).out
    });
    assert!(sides[1] == sides[0] && sides[2] == sides[0]);
    let named = |direction: &str, from: &str| {
        bench
            .run(&["compare", "quarter", "one-by-one", "--direction", direction, "--from", from, "--draws", "0"])
            .code(0)
            .out
    };
    assert_eq!(named("Inferior", "Reduced"), named("inferior", "reduced"));
}

#[test]
fn a_number_that_is_none_is_told_its_range_and_what_it_is() {
    let bench = Bench::new();
    let measured = ["--side", "left", "--width", "6", "--middle", "4"];
    for (arguments, range, hint) in [
        (vec!["scatter", "--seed", "abc"], "a whole number from 0 to 18446744073709551615", "Seed"),
        (vec!["scatter", "--seed", "-1"], "a whole number from 0 to", "Seed"),
        (vec!["scatter", "--sample", "x"], "a whole number from 0 to", "Show one sample"),
        (vec!["scatter", "--samples", "1e3"], "a whole number from 1 to 10000000", "Number of samples"),
        (vec!["scatter", "--under", "nan"], "0 to 1000 N", "Load under which"),
        (vec!["tie", "--seed", "1.5"], "a whole number from 0 to", "Seed"),
        (vec!["place", "--seed", ""], "a whole number from 0 to", "Seed"),
        (vec!["place", "--starts", "65"], "a whole number from 1 to 64", "Independent starts"),
        (vec!["report", "--seed", "0x1"], "a whole number from 0 to", "Seed"),
        (vec!["report", "--samples", "20001"], "a whole number from 0 to 20000", "Samples of the inputs"),
        (vec!["compare", "--to", "inf"], "0.05 to 10 mm", "How far"),
        ([&["new", "--diameter", "wide"], &measured[..]].concat(), "15 to 45 mm", "Diameter of the best-fit circle"),
        ([&["new", "--diameter", "26", "--spin", "a"], &measured[..]].concat(), "-60 to 60 °", "bed's normal"),
    ] {
        bench.run(&arguments).code(2).warns(&format!("allowed: {range}")).warns(hint);
    }
}

#[test]
fn a_mistyped_command_is_told_the_nearest_one() {
    let bench = Bench::new();
    for (typed, meant) in
        [("compair", "compare"), ("Setle", "settle"), ("scater", "scatter"), ("complesions", "completions")]
    {
        let told = bench.run(&[typed]).code(2).err;
        assert!(told.contains(&format!("did you mean `{meant}`?")), "{told}");
    }
}

/// A run with a text piped to standard input.
fn piped(bench: &Bench, arguments: &[&str], text: &[u8]) -> Ended {
    let mut command = bench.command(arguments);
    let mut child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    // A program that has read enough closes the pipe.
    let _ = child.stdin.take().unwrap().write_all(text);
    Ended::of(child.wait_with_output().unwrap(), arguments)
}

#[test]
fn a_case_is_read_from_a_pipe_once() {
    let bench = Bench::new();
    let text = builtin("quarter").unwrap().as_bytes();
    let arguments = |case| ["scatter", case, "one-by-one", "--samples", "3", "--format", "csv"];
    let file = bench.run(&arguments("quarter")).code(0).out;
    for name in ["-", "/dev/stdin"] {
        assert_eq!(piped(&bench, &arguments(name), text).code(0).out, file, "{name}");
    }
    // A displaced pose is looked up in the text again.
    piped(&bench, &["compare", "-", "one-by-one", "--from", "displaced"], text).code(0);
    piped(&bench, &["check", "-"], b"side = 3\n").code(2).warns("standard input:1:8");
    piped(&bench, &["check", "-"], &vec![b'#'; 1024 * 1024 + 1]).code(2).warns("larger than 1 MB");
}

#[test]
fn cells_and_steps_are_typed() {
    let bench = Bench::new();
    let states = |steps: &str| {
        let typed = ["compare", "quarter", "one-by-one", "--curve", "--steps", steps, "--format", "csv"];
        let out = bench.run(&typed).code(0).out;
        out.lines().count()
    };
    assert_eq!(states("80"), states("20") + 60);
    // Finer pulls change little: 0.2 % of the loads is what they are said to.
    let pressed = |pull: &str| {
        let typed = ["compare", "quarter", "one-by-one", "--tied-only", "--pull-steps", pull, "--format", "json"];
        let out = bench.run(&typed).code(0).out;
        let found: serde_json::Value = serde_json::from_str(&out).unwrap();
        found["constructs"][0]["found"]["hold"]["tied"]["bed"]["compression"].as_f64().expect("a compression")
    };
    let (usual, fine) = (pressed("20"), pressed("100"));
    assert!(usual != fine && (usual / fine - 1.0).abs() < 2e-3, "{usual} {fine}");
    bench
        .run(&["compare", "quarter", "one-by-one", "--pull-steps", "1"])
        .code(2)
        .warns("a whole number from 5 to 1000");
}

#[test]
fn defaults_that_are_not_used_are_not_counted() {
    let bench = Bench::new();
    let case =
        bench.write("c.toml", "side = \"right\"\n[socket]\ndiameter = 26\n[fragment]\nwidth = 6.5\nmiddle = 4\n");
    let counted = |from: &str| -> usize {
        let out = bench.run(&["compare", &case, "one-by-one", "--from", from, "--tied-only", "--full"]).code(0).out;
        let words: Vec<&str> = out.split_whitespace().collect();
        let at = words.windows(3).position(|w| w == ["values", "were", "not"]).expect("a count");
        words[at - 1].parse().unwrap()
    };
    // The six numbers of a displaced pose.
    assert_eq!(counted("displaced"), counted("reduced") + 6);
    let construct = bench.write(
        "k.toml",
        "[anchor.a]\nat = { face = { along = 0, inset = 3 } }\nstiffness = 20\n[anchor.b]\n\
         at = { neck = { along = 0, beyond = 1 } }\nstiffness = \"rigid\"\n[limb.l]\npath = [\"b\", \"rim\", \"a\"]\n",
    );
    // Without blanks: a long path may go on in the next line.
    let told: String = bench.run(&["check", &case, &construct, "--full"]).code(0).out.split_whitespace().collect();
    assert!(told.contains("displaced.inferior") && !told.contains("anchor-class.all-suture.stiffness"), "{told}");
}
