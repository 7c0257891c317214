//! What is written: whole, and never over what is not ours.

use crate::cli::Bench;

const MEASURED: [&str; 9] = ["new", "--side", "left", "--diameter", "27", "--width", "22 %", "--middle", "4:15"];

#[test]
fn new_writes_a_case_that_reads_back_and_never_overwrites() {
    let bench = Bench::new();
    let mut typed = MEASURED.to_vec();
    typed.extend(["--depth", "9", "--inferior", "-2.5", "--out", "mine.toml"]);
    bench.run(&typed).code(0).warns("wrote mine.toml");
    let text = std::fs::read_to_string(bench.path("mine.toml")).unwrap();
    assert!(text.contains(crate::cli::CAUTION));
    bench
        .run(&["check", "mine.toml"])
        .code(0)
        .says("Answer   left, ")
        .says("27.0 mm across")
        .says("middle at 4:15")
        .says("-2.5 mm inferior");
    bench.write("mine.toml", "precious");
    bench.run(&typed).code(1).warns("mine.toml exists");
    let kept = std::fs::read_to_string(bench.path("mine.toml")).unwrap();
    assert_eq!(kept, "precious");
    assert_eq!(bench.names(), ["mine.toml"]);
}

#[test]
fn new_prints_where_no_file_is_named_and_refuses_what_no_socket_has() {
    let bench = Bench::new();
    let end = bench.run(&MEASURED).code(0).says("side = \"left\"");
    assert!(end.out.contains("middle = \"4:15\""));
    bench
        .run(&["new", "--side", "right", "--diameter", "90", "--width", "80 %", "--middle", "9:00", "--out", "no.toml"])
        .code(2)
        .warns("`socket.diameter` is 90; allowed: 15 to 45 mm")
        .warns("`fragment.width` is 80")
        .warns("3 mistakes");
    for (width, middle) in [("wide", "4:00"), ("6", "4:75"), ("6", "noon")] {
        bench.run(&["new", "--side", "right", "--diameter", "26", "--width", width, "--middle", middle]).code(2);
    }
    assert!(bench.names().is_empty());
}

#[test]
fn a_figure_folder_with_a_foreign_file_loses_nothing() {
    let bench = Bench::new();
    std::fs::create_dir(bench.path("rimhold-figures")).unwrap();
    bench.write("rimhold-figures/notes.txt", "notes");
    // The last of all targets is foreign: the first must not have been written either.
    bench.write("rimhold-figures/construct-two-by-two-crossed.txt", "mine");
    let end = bench.run(&["compare"]).code(1).warns("construct-two-by-two-crossed.txt exists");
    assert!(end.out.contains("compression of the bed"), "the table is still there");
    assert_eq!(crate::cli::listed(&bench.path("rimhold-figures")), ["construct-two-by-two-crossed.txt", "notes.txt"]);
    let kept = std::fs::read_to_string(bench.path("rimhold-figures/construct-two-by-two-crossed.txt"));
    assert_eq!(kept.unwrap(), "mine");
}

#[test]
fn a_folder_that_cannot_be_is_other_trouble() {
    let bench = Bench::new();
    bench.write("file", "a file, no folder");
    bench.run(&["compare", "--tied-only", "--figures", "file/sub"]).code(1).warns("file");
    bench.run(&["compare", "--tied-only", "--figures", "file"]).code(1).warns("no figures were written");
    let kept = std::fs::read_to_string(bench.path("file")).unwrap();
    assert_eq!(kept, "a file, no folder");
}

#[test]
fn constructs_of_one_name_keep_figures_and_columns_of_their_own() {
    let bench = Bench::new();
    bench.run(&["compare", "quarter", "one-by-one", "one-by-one", "--figures", "f"]).code(0).says("one-by-one (2)");
    let drawn = crate::cli::listed(&bench.path("f"));
    assert!(drawn.iter().any(|n| n == "construct-one-by-one-2.svg"), "{drawn:?}");
    assert_eq!(drawn.len(), 16);
}
