//! What is read.

use crate::hostile::{Ended, kept, program, row};
use rimhold::model::builtin;
use std::path::Path;

/// Refused with one clear message, by whatever reads it.
fn refused(folder: &Path, name: &str, words: &str) -> Vec<Ended> {
    [
        vec!["check", name],
        vec!["compare", "--tied-only", name],
        vec!["compare", "--draws", "0", "quarter", name],
        vec!["compare", "quarter", "one-by-one", name],
    ]
    .into_iter()
    .map(|typed| {
        let end = kept(&mut program(folder, &typed));
        assert_eq!(end.code, Some(2), "{typed:?}\n{}", end.err);
        assert!(end.out.is_empty(), "{typed:?}");
        assert!(end.err.contains(words), "{typed:?}\n{}", end.err);
        assert!(end.err.contains("help:"), "{typed:?}\n{}", end.err);
        // A text that small is read and refused at once.
        assert!(end.seconds < 10.0, "{typed:?}: {:.1} s", end.seconds);
        end
    })
    .collect()
}

#[test]
fn what_is_no_case_and_no_construct_is_refused_with_a_message() {
    let folder = tempfile::tempdir().unwrap();
    let quarter = builtin("quarter").unwrap();
    let fill = |line: &str, bytes: usize| line.repeat(bytes / line.len());
    let mut marked = quarter.as_bytes().to_vec();
    marked.extend([0xff, 0xfe]);
    // As editors save it: a mark first.
    let wide: Vec<u8> = std::iter::once(0xfeff).chain(quarter.encode_utf16()).flat_map(u16::to_le_bytes).collect();
    let texts: [(&str, Vec<u8>, &str); 12] = [
        (
            "lists nested 200 000 deep",
            format!("a = {}{}\n", "[".repeat(200_000), "]".repeat(200_000)).into(),
            "max recursion depth",
        ),
        (
            "tables in tables 100 000 deep",
            format!("a = {}1{}\n", "{a=".repeat(100_000), "}".repeat(100_000)).into(),
            "max recursion depth",
        ),
        ("a dotted name of 100 000 parts", format!("[{}a]\n", "a.".repeat(100_000)).into(), "recursion limit"),
        ("50 MB, one line", vec![b'#'; 50_000_000], "larger than 1 MB"),
        (
            "50 MB, a right case and comments",
            format!("{quarter}{}", fill("# filler\n", 50_000_000)).into(),
            "larger than 1 MB",
        ),
        ("1 MB of unknown keys", (0..80_000).map(|k| format!("k{k} = 1\n")).collect::<String>().into(), "unknown key"),
        ("1 MB in which each line is no TOML", fill("= = =\n", 1_000_000).into(), "not TOML"),
        ("1 MB of opened brackets", fill("[\n", 1_000_000).into(), "not TOML"),
        ("bytes that are not UTF-8", marked, "is not UTF-8 text"),
        ("UTF-16", wide, "is not UTF-8 text"),
        ("zero bytes", [quarter.as_bytes(), &[0; 1000]].concat(), "not TOML"),
        ("nothing", Vec::new(), "the file is empty"),
    ];
    for (what, bytes, words) in texts {
        std::fs::write(folder.path().join("hostile.toml"), bytes).unwrap();
        let ends = refused(folder.path(), "hostile.toml", words);
        row(what, "`check`, `compare`", &format!("exit 2, “{words}”"), &ends.iter().collect::<Vec<_>>());
    }
    for (what, name, words) in
        [("a file without an end", "/dev/zero", "a pipe or a device"), ("a folder", ".", "this is a directory")]
    {
        let ends = refused(folder.path(), name, words);
        row(what, name, &format!("exit 2, “{words}”"), &ends.iter().collect::<Vec<_>>());
    }
}

#[test]
fn line_ends_and_a_byte_order_mark_change_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: String| {
        std::fs::write(folder.path().join(format!("{name}.toml")), text).unwrap();
    };
    let mut ends = Vec::new();
    let (case, construct) = (builtin("quarter").unwrap(), builtin("mattress").unwrap());
    for (make, name) in [
        ((|text: &str| text.to_owned()) as fn(&str) -> String, "plain"),
        (|text: &str| text.replace('\n', "\r\n"), "CRLF"),
        (|text: &str| format!("\u{feff}{text}"), "mark"),
    ] {
        write("case", make(case));
        write("construct", make(construct));
        let typed = ["compare", "--draws", "0", "case.toml", "construct.toml", "--format", "json"];
        let end = kept(&mut program(folder.path(), &typed));
        assert_eq!(end.code, Some(0), "{name}: {}", end.err);
        ends.push(end);
    }
    assert_eq!(ends[0].out, ends[1].out);
    assert_eq!(ends[0].out, ends[2].out);
    row(
        "CRLF line ends; a byte-order mark",
        "`compare --format json`",
        "exit 0, the same bytes as without",
        &ends.iter().collect::<Vec<_>>(),
    );
}
