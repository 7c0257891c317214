//! `tie`: ranking, reading, orders typed and read, sweeps, and its mistakes.

use crate::cli::{Bench, CAUTION, NEVER_HELD};
use serde_json::Value;
use unicode_width::UnicodeWidthStr;

fn json(bench: &Bench, arguments: &[&str]) -> Value {
    let mut typed = vec!["tie"];
    typed.extend(arguments);
    typed.extend(["--format", "json", "--quiet"]);
    let end = bench.run(&typed).code(0);
    assert!(end.err.is_empty(), "{}", end.err);
    serde_json::from_str(&end.out).unwrap()
}

#[test]
fn tie_alone_ranks_all_orders_and_reads_them() {
    let bench = Bench::new();
    let end = bench
        .run(&["tie", "--full"])
        .code(0)
        .says("two-by-two-crossed on quarter, tied from the displaced position in 6 orders")
        .says("Orders by the largest step that they leave")
        .says("A B C *")
        .says("the bed can")
        .says("Reading")
        .says(CAUTION);
    let flat = end.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("N of shear;"), "{flat}");
    assert!(bench.names().is_empty());
}

#[test]
fn the_constructs_own_order_is_run_alone_where_asked_for() {
    let bench = Bench::new();
    bench.run(&["tie", "quarter", "one-by-one", "--orders", "own"]).code(0).says("1 order tried").says("A B C *");
    let document = json(&bench, &["quarter", "one-by-one", "--orders", "own", "--together", "--then-push"]);
    let orders = &document["orders"];
    assert_eq!(orders["runs"].as_array().unwrap().len(), 1);
    assert_eq!(orders["runs"][0]["own"], true);
    assert_eq!(orders["together"]["together"], true);
    assert!(orders["runs"][0]["push"]["load_at"][1].as_f64().unwrap() > 0.0);
    assert_eq!(document["asked"]["orders"], "own");
    assert_eq!(document["asked"]["direction"], "inferior");
}

#[test]
fn orders_are_typed_or_read_and_a_tie_is_named_by_any_of_its_limbs() {
    let bench = Bench::new();
    let file = bench.write(
        "orders.txt",
        "# our practice\ninferior-loop, bridge-lower, superior-loop\n\n  bridge-upper + bridge-lower , inferior-loop,superior-loop # bridge first\r\n",
    );
    let read = json(&bench, &["quarter", "one-by-one", "--orders", &file]);
    let typed = json(
        &bench,
        &[
            "quarter",
            "one-by-one",
            "--order",
            "inferior-loop,bridge-upper,superior-loop",
            "--order",
            "bridge-lower,inferior-loop,superior-loop",
        ],
    );
    assert_eq!(read["orders"]["runs"], typed["orders"]["runs"]);
    let orders: Vec<String> =
        read["orders"]["runs"].as_array().unwrap().iter().map(|r| r["order"].to_string()).collect();
    assert!(orders.contains(&"[0,1,2]".into()) && orders.contains(&"[1,0,2]".into()));
}

#[test]
fn every_mistake_in_orders_has_its_place_and_a_hint() {
    let bench = Bench::new();
    let file = bench.write(
        "orders.txt",
        "# a comment\ninferior-lop, bridge-lower, superior-loop\ninferior-loop, superior-loop\n\
         inferior-loop, bridge-lower, bridge-upper, superior-loop\n\
         inferior-loop+superior-loop, bridge-lower, superior-loop\n\
         inferior-loop, , bridge-lower, superior-loop\n\
         superior-loop, bridge-lower, inferior-loop\n\
         superior-loop, bridge-upper, inferior-loop\n",
    );
    let end = bench.run(&["tie", "quarter", "one-by-one", "--orders", &file]).code(2);
    assert!(end.out.is_empty());
    let end = end
        .warns("orders.txt:2:1")
        .warns("did you mean `inferior-loop`")
        .warns("orders.txt:3:1")
        .warns("never ties `bridge-lower+bridge-upper`")
        .warns("orders.txt:4:30")
        .warns("ties `bridge-lower+bridge-upper` twice")
        .warns("orders.txt:5:15")
        .warns("belongs to the tie superior-loop")
        .warns("orders.txt:6:15")
        .warns("no limb is named here")
        .warns("orders.txt:8:1")
        .warns("stands already in line 7");
    assert!(end.err.contains("mistakes in orders.txt"), "{}", end.err);
    // Typed orders: the line counts the options.
    bench
        .run(&[
            "tie",
            "quarter",
            "one-by-one",
            "--order",
            "inferior-loop,bridge-lower,superior-loop",
            "--order",
            "superior-loop,bridge,inferior-loop",
        ])
        .code(2)
        .warns("--order:2:15")
        .warns("is no limb of one-by-one");
    bench.run(&["tie", "quarter", "one-by-one", "--order", ""]).code(2).warns("no limb is named here");
    let empty = bench.write("empty.txt", "# nothing\n");
    bench
        .run(&["tie", "quarter", "one-by-one", "--orders", &empty])
        .code(2)
        .warns("no order stands here")
        .warns("inferior-loop, bridge-lower+bridge-upper, superior-loop");
    bench.run(&["tie", "quarter", "one-by-one", "--orders", "nowhere.txt"]).code(2).warns("nowhere.txt");
    bench.run(&["tie", "--orders", "all", "--order", "a"]).code(2).warns("cannot stand beside");
    bench.run(&["tie", "--direction", "medial"]).code(2).warns("--then-push");
    bench.run(&["tie", "--as-tied"]).code(2).warns("--then-push");
}

const SUNK: &str = "side = \"right\"\n[socket]\ndiameter = 26.0\n[fragment]\nwidth = \"25 %\"\n\
    middle = \"4:00\"\n[displaced]\ninferior = 3.0\nout_of_bed = -1.5\ntilt = 5.0\n";

#[test]
fn a_pose_too_deep_in_the_bed_is_told_with_what_lifts_it() {
    let bench = Bench::new();
    let case = bench.write("sunk.toml", SUNK);
    for typed in [
        vec!["tie", &case],
        vec!["compare", &case, "--from", "displaced"],
        vec!["settle", &case, "--from", "displaced"],
    ] {
        let end = bench.run(&typed).code(2);
        assert!(end.out.is_empty());
        let end = end
            .warns("sunk.toml:9:14")
            .warns("inside the bed, deeper than the 1 mm")
            .warns("mm too deep")
            .warns("lifts it clear of the bed");
        // What the hint says is enough.
        let clear: String = end
            .err
            .split("out_of_bed = ")
            .last()
            .unwrap()
            .chars()
            .take_while(|c| c.is_ascii_digit() || matches!(c, '.' | '-'))
            .collect();
        let lifted = SUNK.replace("out_of_bed = -1.5", &format!("out_of_bed = {clear}"));
        let lifted = bench.write("lifted.toml", &lifted);
        let document = json(&bench, &[&lifted, "one-by-one"]);
        let before = document["orders"]["before"]["gap"]["value"].as_f64().unwrap();
        assert!(before > 0.0, "{before}");
    }
    // From the reduced position it does not matter.
    bench.run(&["tie", &case, "--from", "reduced"]).code(0);
    // No such table in the file: the place is the file.
    let shallow = SUNK.replace("out_of_bed = -1.5", "out_of_bed = -0.2");
    let shallow = bench.write("shallow.toml", &shallow);
    bench.run(&["tie", &shallow]).code(0);
}

#[test]
fn a_stop_rule_that_cannot_be_met_is_a_finding() {
    let bench = Bench::new();
    let end = bench.run(&["tie", "quarter", "one-by-one", "--stop", "reduced", "--full"]).code(0);
    let flat = end.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("but reached its cap of 25 N") && flat.contains("at its cap,"), "{flat}");
    let document = json(&bench, &["quarter", "one-by-one", "--stop", "tension"]);
    assert_eq!(document["asked"]["stop"], "tension");
    for tie in document["orders"]["runs"][0]["hold"]["ties"].as_array().unwrap() {
        assert_eq!(tie["end"], "tension");
    }
}

#[test]
fn an_order_that_is_not_held_is_a_finding() {
    let bench = Bench::new();
    bench.run(&["tie", "--orders", "all", "--full"]).code(0).says("fixation fails");
    let lost = bench.write("lost.toml", NEVER_HELD);
    bench.run(&["tie", &lost, "one-by-one", "--orders", "all", "--then-push"]).code(0).says("fails");
}

#[test]
fn sweeps_have_a_table_each_and_keep_to_the_schema() {
    let bench = Bench::new();
    bench
        .run(&["tie", "quarter", "single-row", "--sweep", "friction,displacement,hinge"])
        .code(0)
        .says("Against friction of the bed")
        .says("Against the displaced pose")
        .says("Against the inferior hinge")
        .says("intact");
    let schema = rimhold::show::report::json_schema();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let lost = bench.write("lost.toml", NEVER_HELD);
    for typed in [
        vec![],
        vec!["quarter", "crater-fan", "--orders", "all", "--together", "--then-push"],
        vec!["hinge-weak", "single-row", "--sweep", "hinge,friction", "--stop", "reduced"],
        vec!["small", "two-by-two-crossed", "--split", "anchor", "--from", "reduced"],
        vec![lost.as_str(), "one-by-one", "--orders", "all"],
    ] {
        let document = json(&bench, &typed);
        let errors: Vec<String> =
            validator.iter_errors(&document).map(|e| format!("{}: {e}", e.instance_path())).collect();
        assert!(errors.is_empty(), "{typed:?}\n{}", errors.join("\n"));
        assert_eq!(document["asked"]["command"], "tie");
    }
}

#[test]
fn screws_take_part_in_orders() {
    let bench = Bench::new();
    let typed = ["quarter", "two-screws-with-loops", "--order"];
    let order = "inferior-loop,superior-loop,upper,lower";
    let document = json(&bench, &[&typed[..], &[order, "--stop", "reduced"]].concat());
    let ties = document["orders"]["runs"][0]["hold"]["ties"].as_array().unwrap();
    assert_eq!(ties[2]["screws"][0], "upper");
    assert_eq!(ties[1]["lock"]["limbs"][0], "upper");
    // Taking ties apart loses no screw and ties none twice.
    let split = json(&bench, &["quarter", typed[1], "--split", "limb", "--orders", "own"]);
    assert_eq!(split["orders"]["runs"][0]["order"].as_array().unwrap().len(), 4);
    let label = split["orders"]["runs"][0]["label"].as_str().unwrap();
    assert_eq!(label, "inferior-loop, lower, upper, superior-loop");
    // A screw alone stops at its preload, whatever the rule for limbs.
    assert_eq!(ties[2]["end"], "tension");
    assert_eq!(ties[2]["pulled"], ties[2]["target"]);
    bench
        .run(&[&["tie"], &typed[..], &["inferior-loop,superior-loop,uper,lower"]].concat())
        .code(2)
        .warns("is no limb or screw of two-screws-with-loops")
        .warns("did you mean `upper`");
}

#[test]
fn more_than_six_ties_are_sampled_and_it_says_so() {
    let bench = Bench::new();
    let mut text = String::from("[anchor.a]\nat = { face = { along = 0.0, inset = 3.0 } }\n");
    for k in 0..7 {
        text.push_str(&format!(
            "[limb.l{k}]\npath = [\"a\", {{ bite = {{ along = {}.0, below = 3.0 }} }}, \"a\"]\ntension = 4.0\n",
            k * 2 - 6
        ));
    }
    let construct = bench.write("seven.toml", &text);
    let ran = |seed: &str| -> Vec<String> {
        let typed = ["quarter", &construct, "--orders", "all", "--seed", seed];
        let document = json(&bench, &typed);
        assert_eq!(document["orders"]["sampled"]["of"], 5040);
        assert_eq!(document["orders"]["sampled"]["seed"].to_string(), seed);
        let runs = document["orders"]["runs"].as_array().unwrap();
        let mut orders: Vec<String> = runs.iter().map(|r| r["order"].to_string()).collect();
        orders.sort();
        orders.dedup();
        assert_eq!(orders.len(), 120);
        assert!(orders.contains(&"[0,1,2,3,4,5,6]".into()));
        assert!(orders.contains(&"[6,5,4,3,2,1,0]".into()));
        orders
    };
    assert_ne!(ran("1"), ran("2"));
    let end = bench.run(&["tie", "quarter", &construct, "--orders", "all"]).code(0);
    let flat = end.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("120 of 5040 orders (a sample of seed 1)"), "{flat}");
}

#[test]
fn csv_has_a_line_a_tie_and_as_many_fields_as_heads() {
    let bench = Bench::new();
    let end = bench
        .run(&["tie", "quarter", "single-row", "--orders", "all", "--sweep", "hinge", "--format", "csv", "--quiet"])
        .code(0);
    let rows = crate::cli::formats::csv(&end.out);
    assert!(rows.iter().all(|r| r.len() == rows[0].len()));
    let of = |name: &str| rows[0].iter().position(|h| h == name).unwrap();
    let (sweep, tie, order) = (of("sweep"), of("tie"), of("order"));
    let plain: Vec<_> = rows[1..].iter().filter(|r| r[sweep].is_empty()).collect();
    assert_eq!(plain.iter().filter(|r| r[tie] == "0").count(), 6);
    assert!(plain.iter().any(|r| r[order].contains(", ")));
    assert!(rows.iter().any(|r| r[sweep] == "hinge"));
}

#[test]
fn what_a_later_tie_does_to_a_screw_is_told() {
    let bench = Bench::new();
    let typed = ["tie", "quarter", "two-screws-with-loops", "--from", "reduced", "--orders", "own", "--format"];
    let end = bench.run(&[&typed[..], &["csv"]].concat()).code(0);
    let rows = crate::cli::formats::csv(&end.out);
    assert!(rows.iter().all(|r| r.len() == rows[0].len()));
    let of = |name: &str| rows[0].iter().position(|h| h == name).unwrap();
    let value = |row: &[String], name: &str| row[of(name)].parse::<f64>().unwrap();
    // A change is what stands now less what stood before, whatever is tied.
    let ties = &rows[2..];
    for name in ["lower", "upper"] {
        let (pull, change) = (format!("pull of the head of {name} (N)"), format!("change of {name} (N)"));
        let mut was = 0.0;
        for row in ties {
            let now = value(row, &pull);
            assert!((value(row, &change) - (now - was)).abs() < 1e-9, "{name}");
            was = now;
        }
    }
    // The largest loss of a head, looked for in the numbers, is told in the reading.
    let lost = |name: &str, k: usize| {
        let pull = format!("pull of the head of {name} (N)");
        (!ties[k][of("members")].contains(name)).then(|| value(&ties[k - 1], &pull) - value(&ties[k], &pull))
    };
    let (loss, head) = ["lower", "upper"]
        .into_iter()
        .flat_map(|name| (1..ties.len()).filter_map(move |k| Some((lost(name, k)?, name))))
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .unwrap();
    assert!(loss > 0.1, "{loss}");
    let document = json(&bench, &typed[1..5]);
    let reading = document["orders"]["reading"].to_string();
    let words = format!("takes {loss:.1} N from {head}, which keeps");
    assert!(reading.contains(&words), "{words}\n{reading}");
}

#[test]
fn digits_of_tie_do_not_depend_on_the_number_of_threads() {
    let bench = Bench::new();
    let run = |threads: &str| {
        let typed = [
            "tie",
            "quarter",
            "two-by-two-crossed",
            "--orders",
            "all",
            "--split",
            "anchor",
            "--sweep",
            "hinge",
            "--then-push",
            "--format",
            "json",
        ];
        let mut command = bench.command(&typed);
        command.env("RAYON_NUM_THREADS", threads);
        command.output().unwrap().stdout
    };
    let one = run("1");
    assert!(one.len() > 10_000);
    assert_eq!(one, run("3"));
}

#[test]
fn tables_of_tie_fit_eighty_columns() {
    let bench = Bench::new();
    for run in [
        vec!["tie", "--together", "--then-push", "--sweep", "friction,hinge,displacement"],
        vec!["tie", "large", "--orders", "all", "--split", "anchor"],
        vec!["tie", "quarter", "single-row", "--orders", "all", "--then-push"],
        vec!["tie", "small", "mattress", "--orders", "all"],
        vec!["tie", "quarter", "two-screws-with-loops", "--orders", "all", "--together"],
        vec!["tie", "quarter", "linked-pair", "--orders", "all"],
    ] {
        let end = bench.run(&run).code(0);
        for line in end.out.lines() {
            assert!(line.width() <= 80, "{run:?}\n{line}");
        }
    }
}

#[test]
fn ranges_in_the_help_are_those_of_the_studies() {
    use rimhold::study::{BAND, FRICTIONS, MOST_WHOLE, MULTIPLES, SAMPLE};
    let help = Bench::new().run(&["tie", "--help"]).code(0).out;
    let help = help.split_whitespace().collect::<Vec<_>>().join(" ");
    let ends = |of: &[f64]| format!("{} to {}", of[0], of[of.len() - 1]);
    for words in [
        format!("Friction of the bed, {}", ends(&FRICTIONS)),
        format!("{} times the case's own", ends(&MULTIPLES)),
        format!("of up to {MOST_WHOLE} ties; beyond that a sample of {SAMPLE} that"),
        format!("differ by no more than {BAND} mm count as equal"),
    ] {
        assert!(help.contains(&words), "{words}\n{help}");
    }
}

/// The letters by which ties are named in what is printed are taken where orders are typed.
#[test]
fn ties_are_named_by_their_letters_too() {
    let bench = Bench::new();
    let run =
        |order: &str| bench.run(&["tie", "quarter", "one-by-one", "--order", order, "--format", "csv"]).code(0).out;
    let lettered = run("B, C, A");
    assert_eq!(lettered, run("bridge-lower, superior-loop, inferior-loop"));
    assert_ne!(lettered, run("A, B, C"));
    bench.run(&["tie", "quarter", "one-by-one", "--order", "A, B, D"]).code(2).warns("`D` is no limb");
}
