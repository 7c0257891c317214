//! Each command does its work and reads well.

use crate::cli::{Bench, CAUTION, NEVER_HELD, verify};
use unicode_width::UnicodeWidthStr;

const ALL: [&str; 13] = [
    "single-row",
    "one-by-one",
    "one-by-one-bare",
    "two-by-two",
    "two-by-two-crossed",
    "mattress",
    "linked-pair",
    "crater-fan",
    "single-row-mattress",
    "two-by-two-tape",
    "one-screw",
    "two-screws",
    "two-screws-with-loops",
];

#[test]
fn compare_alone_prints_the_table_and_draws_into_a_folder_of_its_own() {
    let bench = Bench::new();
    let end = bench.run(&["compare"]).code(0);
    end.says("one-by-one").says("compression of the bed").says(CAUTION).warns("figures in rimhold-figures:");
    assert_eq!(bench.names(), ["rimhold-figures"]);
    let drawn = crate::cli::listed(&bench.path("rimhold-figures"));
    for stem in ["resistance", "load-sharing", "construct-one-by-one", "construct-two-by-two-crossed"] {
        for ending in ["svg", "png", "csv", "txt"] {
            assert!(drawn.contains(&format!("{stem}.{ending}")), "{drawn:?}");
        }
    }
    assert_eq!(drawn.len(), 16, "{drawn:?}");
    // Its own earlier figures may be drawn again.
    let end = bench.run(&["compare", "--quiet", "--full"]).code(0);
    end.says("Load sharing").says("In this model").says("Balance checked of all").says("What happens first");
}

#[test]
fn with_names_no_figure_is_drawn_unless_asked_for() {
    let bench = Bench::new();
    bench.run(&["compare", "quarter", "one-by-one-bare", "single-row"]).code(0);
    assert!(bench.names().is_empty());
    bench.run(&["compare", "quarter", "crater-fan", "--tied-only", "--figures", "deep/er"]).code(0);
    assert_eq!(crate::cli::listed(&bench.path("deep/er")).len(), 4);
}

#[test]
fn check_tells_the_segment_of_the_handbook() {
    // D 26, w 6.5: chord 22.517 mm, area 103.80 mm², 19.55 % of the circle, by the closed forms of
    // the circular segment (Bronshtein, Handbook of Mathematics, section 3.1.6).
    Bench::new()
        .run(&["check", "quarter", "one-by-one", "--full"])
        .code(0)
        .says("22.52 mm (chord)")
        .says("103.8 mm², 19.6 % of the circle")
        .says("bed.friction")
        .says("memory")
        .says("inferior-loop")
        .says(CAUTION);
}

#[test]
fn of_one_construct_all_is_told_as_tied_and_pushed() {
    let bench = Bench::new();
    bench
        .run(&["compare", "quarter", "two-by-two", "--from", "displaced", "--tied-only", "--full"])
        .code(0)
        .says("tied from the displaced position")
        .says("bridge-lower")
        .says("centre of pressure")
        .says("tilt, spin, yaw")
        .says("holding")
        .says("net force")
        .says("In this model two-by-two");
    bench
        .run(&["compare", "quarter", "two-by-two", "--direction=-1,0,-1", "--rose", "--full", "--draws", "0"])
        .code(0)
        .says("pushed along (-1,0,-1)")
        .says("load at 0.5 mm")
        .says("change")
        .says("together: the load")
        .says("Load at 1 mm by direction")
        .says("In this model two-by-two");
    let short = ["compare", "quarter", "one-by-one", "--guided", "--to", "0.6", "--full", "--draws", "0"];
    bench.run(&short).code(0).says("turning forbidden").says("beyond the push");
}

#[test]
fn a_fragment_that_is_not_held_is_a_finding_and_no_error() {
    let bench = Bench::new();
    let case = bench.write("lost.toml", NEVER_HELD);
    let one = bench.run(&["compare", &case, "one-by-one", "--full"]).code(0).says("fails: during the");
    assert!(one.out.lines().nth(1).unwrap().contains("fixation fails"), "{}", one.out);
    let end = bench
        .run(&["compare", &case, "one-by-one", "two-by-two", "--figures", "f"])
        .code(0)
        .says("fixation fails")
        .warns("no figures");
    // No number stands in the table: it has no row of a quantity.
    for words in ["stiffness at first", "compression of the bed", "load at"] {
        assert!(!end.out.contains(words), "{words}: {}", end.out);
    }
}

#[test]
fn every_table_and_help_fits_eighty_columns() {
    let bench = Bench::new();
    let mut runs: Vec<Vec<&str>> =
        vec![vec!["--help"], vec!["compare", "--help"], vec!["compare", "small", "single-row"]];
    // The tables are as wide on a coarse bed.
    let coarse = ["--cells", "100", "--draws", "0"];
    for case in ["quarter", "small", "large"] {
        let mut all = vec!["compare", case];
        all.extend(ALL);
        runs.push([&all[..], &coarse[..]].concat());
        runs.push([&all[..], &coarse[..], &["--full"]].concat());
        all[0] = "check";
        all.push("--full");
        runs.push(all);
    }
    let mut rose = vec!["compare", "hinge-weak", "--rose"];
    rose.extend(ALL);
    rose.extend(coarse);
    runs.push(rose);
    for name in ALL {
        runs.push([&["compare", "--tied-only", "--full", "hinge-intact", name][..], &coarse[..]].concat());
        runs.push([&["compare", "--full", "quarter", name, "--from", "displaced"][..], &coarse[..]].concat());
    }
    for run in runs {
        let end = bench.run(&run).code(0);
        for line in end.out.lines() {
            assert!(line.width() <= 80, "{run:?}\n{line}");
        }
    }
}

#[test]
fn the_joint_is_told_without_a_construct_with_one_and_where_none_holds() {
    let bench = Bench::new();
    let alone = bench.run(&["joint", "small", "--figures", "f"]).code(0).warns("joint-slides-small");
    let alone = alone.says("missing").says("friction").says("labrum").says(CAUTION);
    assert!(!alone.out.contains("settled"), "{}", alone.out);
    let drawn = crate::cli::listed(&bench.path("f"));
    assert_eq!(drawn.len(), 8, "{drawn:?}");
    let full = bench.run(&["joint", "quarter", "two-by-two-crossed", "--full"]).code(0);
    let full = full.says("settled").says("Every slide").says("by step-off and gap").says("balance checked");
    assert!(full.out.lines().all(|line| line.width() <= 80), "{}", full.out);
    let lost = bench.write("lost.toml", NEVER_HELD);
    bench.run(&["joint", &lost, "one-by-one"]).code(0).says("fixation fails").says("Not tied");
    // So soft and thick that the head sinks through: told, without a number.
    let soft = "[joint]\nhead_radius = 10\ncartilage_modulus = 0.05\ncartilage_thickness = 10\ncompression = 1000\n";
    let soft = bench.write("soft.toml", &format!("{NEVER_HELD}{soft}"));
    bench.run(&["joint", &soft]).code(0).says("does not bear").says("Nothing bears the head");
}

#[test]
fn wrong_numbers_of_the_joint_are_told_all_at_once_with_their_range() {
    let bench = Bench::new();
    let wrong = "[joint]\nhead_radius = 5\ncompresion = 3\ncartilage_modulus = \"soft\"\ncartilage_thickness = -1\n";
    let case = bench.write("wrong.toml", &format!("{NEVER_HELD}{wrong}"));
    let told = bench.run(&["joint", &case]).code(2).warns("10 to 40 mm").warns("did you mean `compression`");
    told.warns("`joint.cartilage_modulus`").warns("0.2 to 10 mm").warns("4 mistakes");
}

#[test]
fn every_help_has_an_example_and_the_caution() {
    let bench = Bench::new();
    const COMMANDS: [&str; 14] = [
        "",
        "compare",
        "settle",
        "lose",
        "budget",
        "joint",
        "drill",
        "tie",
        "check",
        "verify",
        "new",
        "schema",
        "completions",
        "man",
    ];
    for command in COMMANDS {
        for help in ["-h", "--help"] {
            let mut typed = vec![command, help];
            typed.retain(|w| !w.is_empty());
            let end = bench.run(&typed).code(0);
            let end = end.says("Example:\n  rimhold ");
            let flat = end.out.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(flat.contains(CAUTION), "{typed:?}");
        }
    }
}

#[test]
fn the_example_of_every_help_runs() {
    let bench = Bench::new();
    bench.write("my-case.toml", NEVER_HELD);
    for command in ["compare", "settle", "lose", "joint", "drill", "tie", "check", "verify", "new", "man"] {
        let help = bench.run(&[command, "--help"]).code(0).out;
        let line = help.lines().find_map(|l| l.strip_prefix("  rimhold ")).unwrap();
        let mut words: Vec<String> = Vec::new();
        for (k, part) in line.split('"').enumerate() {
            if k % 2 == 1 {
                words.push(part.to_owned());
            } else {
                words.extend(part.split_whitespace().map(str::to_owned));
            }
        }
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        if words == verify::TYPED {
            assert_eq!(verify::EXAMPLE.code, Some(0));
        } else {
            bench.run(&words).code(0);
        }
    }
}

#[test]
fn completions_and_man_pages_come_from_the_definition() {
    let bench = Bench::new();
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        bench.run(&["completions", shell]).code(0).says("compare").says("figures");
    }
    bench.run(&["man"]).code(0).says(".TH rimhold").says(CAUTION);
    bench.run(&["man", "pages"]).code(0);
    let pages = crate::cli::listed(&bench.path("pages"));
    for page in ["rimhold.1", "rimhold-compare.1", "rimhold-settle.1", "rimhold-new.1"] {
        assert!(pages.iter().any(|p| p == page), "{pages:?}");
    }
    let page = std::fs::read_to_string(bench.path("pages/rimhold-compare.1")).unwrap();
    assert!(page.contains("direction") && page.contains("Example"));
    // Again over its own pages, but not over another's.
    bench.run(&["man", "pages"]).code(0);
    bench.write("pages/rimhold-settle.1", "mine");
    bench.run(&["man", "pages"]).code(1).warns("rimhold-settle.1");
    let kept = std::fs::read_to_string(bench.path("pages/rimhold-settle.1")).unwrap();
    assert_eq!(kept, "mine");
}

#[test]
fn digits_do_not_depend_on_the_number_of_threads() {
    let bench = Bench::new();
    let run = |threads: &str| {
        let mut typed = vec!["compare", "quarter", "--format", "json", "--rose", "--draws", "8"];
        typed.extend(["one-by-one", "linked-pair", "two-by-two", "single-row"]);
        let mut command = bench.command(&typed);
        command.env("RAYON_NUM_THREADS", threads);
        command.output().unwrap().stdout
    };
    let one = run("1");
    assert!(one.len() > 10_000);
    assert_eq!(one, run("4"));
}

#[test]
fn colour_is_only_where_it_is_asked_for() {
    let bench = Bench::new();
    let escape = '\u{1b}';
    assert!(!bench.run(&["check"]).code(0).out.contains(escape));
    let end = bench.run(&["check", "--colour", "always"]).code(0);
    assert!(end.out.contains(escape));
    let end = bench.run(&["check", "nowhere", "--colour=always"]).code(2);
    assert!(end.err.contains(escape));
    let end = bench.run(&["check", "nowhere"]).code(2);
    assert!(!end.err.contains(escape));
}
