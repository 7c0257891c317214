//! The schemas that editors read, held against the files by a validator that knows nothing of this
//! program (crate `jsonschema`, JSON Schema draft 07).

#[path = "properties/random.rs"]
#[allow(dead_code)]
mod random;

use jsonschema::Validator;
use rimhold::model::{
    CASES, CONSTRUCTS, Case, ConstructFile, NewCase, Side, Width, case_schema, construct_schema, new_case, parameters,
};
use serde_json::{Value, json};
use std::path::Path;
use std::process::Command;

/// A file that uses every key of its kind.
const EVERY_KEY: [(&str, &str); 2] = [
    ("case", include_str!("../src/model/schema/every-key-of-a-case.toml")),
    ("construct", include_str!("../src/model/schema/every-key-of-a-construct.toml")),
];

fn validator(kind: &str) -> Validator {
    let schema = match kind {
        "case" => case_schema(),
        _ => construct_schema(),
    };
    jsonschema::draft7::meta::validate(&schema).expect("a schema of draft 07");
    jsonschema::draft7::new(&schema).expect("a schema")
}

/// TOML as JSON; a number that JSON has no word for becomes null.
fn as_json(text: &str) -> Value {
    let table: toml::Table = text.parse().unwrap_or_else(|e| panic!("{e}\n{text}"));
    serde_json::to_value(table).expect("JSON")
}

#[track_caller]
fn accepted(validator: &Validator, name: &str, text: &str) {
    let document = as_json(text);
    let errors: Vec<String> = validator.iter_errors(&document).map(|e| format!("{}: {e}", e.instance_path())).collect();
    assert!(errors.is_empty(), "{name}\n{}", errors.join("\n"));
}

#[test]
fn schemas_on_disk_are_what_the_program_prints() {
    for kind in ["case", "construct"] {
        let out = Command::new(env!("CARGO_BIN_EXE_rimhold")).args(["schema", kind]).output().unwrap();
        assert!(out.status.success());
        let path = format!("configs/schema/{kind}.json");
        let on_disk = std::fs::read_to_string(&path).unwrap();
        assert!(on_disk == String::from_utf8(out.stdout).unwrap(), "make it anew: rimhold schema {kind} > {path}");
    }
    let out = Command::new(env!("CARGO_BIN_EXE_rimhold")).args(["schema", "result"]).output().unwrap();
    let printed: Value = serde_json::from_slice(&out.stdout).unwrap();
    assert_eq!(printed, rimhold::show::report::json_schema());
}

#[test]
fn every_shipped_file_names_its_schema_and_keeps_to_it() {
    for (folder, kind, files) in [("cases", "case", CASES), ("constructs", "construct", CONSTRUCTS)] {
        let validator = validator(kind);
        for (name, text) in files {
            let line = text.lines().next().unwrap();
            let named = line
                .strip_prefix("#:schema ")
                .unwrap_or_else(|| panic!("{name}: the first line names no schema: {line}"));
            let path = Path::new("configs").join(folder).join(named);
            assert_eq!(
                path.canonicalize().unwrap(),
                Path::new("configs/schema").join(format!("{kind}.json")).canonicalize().unwrap()
            );
            accepted(&validator, name, text);
        }
    }
}

#[test]
fn what_the_program_accepts_the_schema_accepts() {
    let (of_a_case, of_a_construct) = (validator("case"), validator("construct"));
    for (kind, text) in EVERY_KEY {
        accepted(&validator(kind), kind, text);
    }
    for seed in 1..=150 {
        let (trial, _) = random::trial(seed);
        accepted(&of_a_case, &format!("case {seed}"), &trial.case_text);
        accepted(&of_a_construct, &format!("construct {seed}"), &trial.construct_text);
    }
    let mut given = NewCase::new(Side::Left, 27.0, Width::Percent(22.0), 4.25);
    given.name = Some("a \"name\" with µ".into());
    given.set("displaced.spin", Some(3.0));
    accepted(&of_a_case, "new", &new_case(&given).unwrap());
    // Other ways to write the same, as the reader takes them.
    let head = "side = \"right\"\nsocket = { diameter = 26 }\n";
    for fragment in [
        "width = 6\nmiddle = 4",
        "width = \"6.5mm\"\nmiddle = \"4\"",
        "width = \" 25% \"\nmiddle = \"04:30\"",
        "width = \"2.5e1 %\"\nmiddle = 4.0",
        "width = \"+25 %\"\nmiddle = 4.0",
    ] {
        let text = format!("{head}[fragment]\n{fragment}\n");
        Case::parse("case.toml", &text).unwrap_or_else(|e| panic!("{e}"));
        accepted(&of_a_case, fragment, &text);
    }
}

#[test]
fn wrong_files_are_refused_where_a_schema_can_tell() {
    // What a schema cannot see: geometry, names defined elsewhere, the whole of an order.
    for (name, kind, refused) in [
        ("many-mistakes", "case", true),
        ("missing-values", "case", true),
        ("construct-as-case", "case", true),
        ("off-the-bone", "case", true),
        ("empty", "case", true),
        ("empty", "construct", true),
        ("µ-columns", "case", true),
        ("impossible-taper", "case", false),
        ("face-too-curved", "case", false),
        ("unknown-anchor", "construct", true),
        ("wrong-limbs", "construct", true),
        ("wrong-order", "construct", true),
        ("construct-as-case", "construct", true),
        ("no-turning-point", "construct", false),
        ("off-this-case", "construct", false),
        ("zero-loop", "construct", false),
    ] {
        let text = std::fs::read_to_string(format!("tests/case_files/bad/{name}.toml")).unwrap();
        let valid = validator(kind).is_valid(&as_json(&text));
        assert_eq!(!valid, refused, "{name}");
    }
}

/// Every path to a value in a document.
fn paths(value: &Value, at: &str, found: &mut Vec<String>) {
    found.push(at.to_owned());
    match value {
        Value::Object(entries) => {
            for (key, inner) in entries {
                paths(inner, &format!("{at}/{key}"), found);
            }
        }
        Value::Array(list) => {
            for (k, inner) in list.iter().enumerate() {
                paths(inner, &format!("{at}/{k}"), found);
            }
        }
        _ => {}
    }
}

/// Each value of a file with every key is spoilt in turn: schema and program refuse it both.
#[test]
fn each_value_spoilt_is_refused_by_schema_and_program_alike() {
    for (kind, text) in EVERY_KEY {
        let validator = validator(kind);
        let whole = as_json(text);
        let mut all = Vec::new();
        paths(&whole, "", &mut all);
        let mut spoilt = 0;
        for path in all {
            for by in [json!(1e9), json!(true), json!("no\u{1}thing"), json!([7]), json!({ "no": 1 })] {
                let mut document = whole.clone();
                let value = document.pointer_mut(&path).expect("a path of this document");
                if value.is_boolean() && by.is_boolean() {
                    continue;
                }
                match (&mut *value, &by) {
                    // A table keeps its keys and gets one that is not known.
                    (Value::Object(entries), Value::Object(more)) => {
                        entries.extend(more.clone());
                    }
                    _ => *value = by.clone(),
                }
                let written = match toml::to_string(&document) {
                    Ok(written) => written,
                    // A document that is no table cannot be written at all.
                    Err(_) => continue,
                };
                let read = match kind {
                    "case" => Case::parse("c.toml", &written).map(|_| ()),
                    _ => ConstructFile::parse("c.toml", &written).map(|_| ()),
                };
                assert!(!validator.is_valid(&document), "{kind}{path} = {by}");
                assert!(read.is_err(), "{kind}{path} = {by}\n{written}");
                spoilt += 1;
            }
        }
        assert!(spoilt > 400, "{spoilt}");
    }
}

#[test]
fn tables_written_as_a_list_and_names_that_no_path_can_carry_are_refused_by_both() {
    let of_a_construct = validator("construct");
    let text = |anchors: &str, names: [&str; 2]| {
        format!("{anchors}[limb.a]\npath = [\"{}\", \"rim\", \"{}\"]\n", names[0], names[1])
    };
    let tables = |a: &str, b: &str| {
        let quoted = |name: &str| if name.is_empty() { "\"\"".to_owned() } else { format!("\"{name}\"") };
        text(
            &format!(
                "[anchor.{}]\nat = {{ face = {{ along = 0, inset = 2 }} }}\n[anchor.{}]\nat = {{ neck = {{ along = 0, beyond = 1 }} }}\n",
                quoted(a),
                quoted(b)
            ),
            [a, b],
        )
    };
    let good = tables("=1", "b 2");
    accepted(&of_a_construct, "tables", &good);
    ConstructFile::parse("c.toml", &good).unwrap_or_else(|e| panic!("{e}"));
    let list = good
        .replace("[anchor.\"=1\"]", "[[anchor]]\nname = \"=1\"")
        .replace("[anchor.\"b 2\"]", "[[anchor]]\nname = \"b 2\"");
    assert!(!of_a_construct.is_valid(&as_json(&list)));
    let e = ConstructFile::parse("c.toml", &list).unwrap_err();
    assert_eq!(e.problems.len(), 1, "{e}");
    assert!(e.to_string().contains("write [anchor.\"=1\"] in place of [[anchor]]"), "{e}");
    for name in ["b.1", "*", "a,b", "a+b", "#1", " =1", ""] {
        let bad = tables("a", name);
        assert!(!of_a_construct.is_valid(&as_json(&bad)), "{name}");
        assert!(ConstructFile::parse("c.toml", &bad).is_err(), "{name}");
    }
}

/// The number of a table as a person writes it.
fn plain(value: f64) -> String {
    format!("{value}").replace('-', "\u{2212}")
}

/// The tables of keys, one a table of the files.
fn numbers() -> String {
    let mut text = String::new();
    let mut table = None;
    for row in parameters() {
        let (of, key) = row.path.rsplit_once('.').unwrap_or(("", row.path));
        if table != Some(of) {
            table = Some(of);
            let head = if of.is_empty() {
                "A place".to_owned()
            } else {
                match of.strip_prefix("phase") {
                    // A list, in order; each has its name inside.
                    Some(_) => "`[[phase]]`".to_owned(),
                    None => format!("`[{}]`", of.replace('*', "NAME")),
                }
            };
            text += &format!(
                "\n### {head}\n\n| key | what | unit | usually | default | allowed | backing |\n|---|---|---|---|---|---|---|\n"
            );
        }
        let [low, high, least, most] = [row.low, row.high, row.allowed.0, row.allowed.1].map(plain);
        let default = row.default.map_or_else(|| "—".to_owned(), plain);
        let tag = format!("{:?}", row.tag).to_lowercase();
        let backing = if row.source.is_empty() { tag } else { format!("{tag}: {}", row.source) };
        let key = key
            .replace("[percent]", " (in %)")
            .replace("[rim]", " (of a clock position)")
            .replace("[magnitude]", " (with a direction)")
            .replace("_error", "_error (in studies only)");
        let unit = if row.unit.is_empty() { "—" } else { row.unit };
        text += &format!(
            "| {key} | {} | {unit} | {low} to {high} | {default} | {least} to {most} | {backing} |\n",
            row.meaning
        );
    }
    text
}

#[test]
fn the_reference_of_the_files_says_what_the_table_says() {
    let path = "configs/README.md";
    let text = std::fs::read_to_string(path).unwrap();
    let (before, rest) = text.split_once("<!-- numbers -->\n").expect("a mark");
    let (now, after) = rest.split_once("<!-- end of numbers -->").expect("a mark");
    if std::env::var_os("RIMHOLD_WRITE").is_some() {
        let new = format!("{before}<!-- numbers -->\n{}\n<!-- end of numbers -->{after}", numbers());
        std::fs::write(path, new).unwrap();
        return;
    }
    assert!(
        now == format!("{}\n", numbers()),
        "write it anew: RIMHOLD_WRITE=1 cargo test --release --test program reference"
    );
    // What the reference shows can be read: the first block is a case, the second a construct.
    let blocks: Vec<&str> = before.split("```toml\n").skip(1).filter_map(|b| b.split("```").next()).collect();
    let case = Case::parse("case.toml", blocks[0]).unwrap_or_else(|e| panic!("{e}"));
    ConstructFile::parse("construct.toml", blocks[1]).and_then(|f| f.fit(&case)).unwrap_or_else(|e| panic!("{e}"));
}
