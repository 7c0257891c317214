//! Values at the edges of what is allowed, beyond them, and as many of everything as there may be.

use crate::hostile::{Ended, kept, program, row};
use rimhold::model::{Parameter, builtin, parameters};
use std::path::Path;
use toml::{Table, Value};

/// Sets a dotted path, making tables on the way.
fn set(file: &mut Table, path: &str, value: Value) {
    let (tables, key) = path.rsplit_once('.').expect("a table and a key");
    let mut table = file;
    for name in tables.split('.') {
        let next = table.entry(name).or_insert_with(|| Value::Table(Table::new()));
        table = next.as_table_mut().expect("a table");
    }
    table.insert(key.to_owned(), value);
}

/// The rows that have a key of their own in a case.
fn rows() -> impl Iterator<Item = &'static Parameter> {
    parameters()
        .iter()
        .filter(|p| p.path.contains('.') && !p.path.contains('*'))
        // A search is told in a construct; its mistakes are in `place/mistakes.rs`.
        .filter(|p| !p.path.starts_with("place."))
}

/// A case in which every element is there.
fn case() -> Table {
    let text = format!(
        "{}\n[load.capsule]\nat = {{ rim = {{ along = 0 }} }}\nforce = 5.0\ndirection = \"medial\"\n",
        builtin("hinge-intact").unwrap()
    );
    text.parse().unwrap()
}

fn write(folder: &Path, file: &Table) {
    let text = toml::to_string(file).unwrap();
    std::fs::write(folder.join("case.toml"), text).unwrap();
}

/// Every value at either end of its range ends in a result or a finding, and one in no range in a
/// message.
#[test]
fn edges_of_the_ranges_are_computed_and_what_lies_beyond_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let (mut computed, mut refused, mut bone): (Vec<Ended>, Vec<Ended>, Vec<Ended>) = Default::default();
    for parameter in rows() {
        let (low, high) = parameter.allowed;
        let path = parameter.path.replace("[percent]", "");
        let value = |number: f64| {
            if parameter.unit == "%" { Value::String(format!("{number} %")) } else { Value::Float(number) }
        };
        for number in [low, high] {
            let mut file = case();
            set(&mut file, &path, value(number));
            write(folder.path(), &file);
            let typed = ["compare", "--tied-only", "case.toml", "two-by-two-crossed"];
            let end = kept(&mut program(folder.path(), &typed));
            if end.code == Some(2) {
                // In its range, but no bone has it together with the rest.
                let told = [
                    "look at `",
                    "of this circle, outside its range",
                    "off the bone",
                    "off the fragment",
                    "on the fragment",
                ];
                assert!(told.iter().any(|words| end.err.contains(words)), "{path} = {number}\n{}", end.err);
                bone.push(end);
            } else {
                assert_eq!(end.code, Some(0), "{path} = {number}\n{}", end.err);
                computed.push(end);
            }
        }
        let mut strange = vec![low.next_down(), high.next_up(), f64::NAN, f64::INFINITY];
        strange.extend([1e308, -1e308]);
        let least = parameter.accepts(5e-324) && !parameter.is_whole();
        if !least {
            strange.push(5e-324);
        }
        for number in strange {
            let mut file = case();
            set(&mut file, &path, value(number));
            write(folder.path(), &file);
            let end = kept(&mut program(folder.path(), &["check", "case.toml"]));
            assert_eq!(end.code, Some(2), "{path} = {number}\n{}", end.err);
            assert!(end.err.contains("allowed: "), "{path} = {number}\n{}", end.err);
            refused.push(end);
        }
        if least {
            let mut file = case();
            set(&mut file, &path, value(5e-324));
            write(folder.path(), &file);
            let end = kept(&mut program(folder.path(), &["compare", "--tied-only", "case.toml"]));
            assert_eq!(end.code, Some(0), "{path} = 5e-324\n{}", end.err);
            computed.push(end);
        }
    }
    assert!(computed.len() > 60 && refused.len() > 200);
    let all = |ends: &[Ended]| ends.len();
    row(
        &format!("values at the edges of their ranges, and denormal ({})", all(&computed)),
        "`compare --tied-only`, each value alone",
        "exit 0, certified or a named finding",
        &computed.iter().collect::<Vec<_>>(),
    );
    row(
        &format!("values at the edges that no bone has together ({})", all(&bone)),
        "`compare --tied-only`",
        "exit 2, the measurement to look at",
        &bone.iter().collect::<Vec<_>>(),
    );
    row(
        &format!("next beyond an edge, NaN, ±∞, ±1e308 ({})", all(&refused)),
        "`check`",
        "exit 2, value and range",
        &refused.iter().collect::<Vec<_>>(),
    );
}

/// A construct with so many limbs of so many stops.
fn construct(limbs: usize, stops: usize) -> String {
    let mut text = String::new();
    for k in 0..24 {
        let along = -60.0 + 5.0 * k as f64;
        let place = if k % 2 == 0 {
            format!("face = {{ along = \"{along} %\", inset = 2.5 }}")
        } else {
            format!("neck = {{ along = \"{along} %\", beyond = 1 }}")
        };
        text += &format!("[anchor.a{k}]\nat = {{ {place} }}\n");
    }
    for k in 0..limbs {
        let rims: Vec<String> = (0..stops - 2)
            .map(|j| {
                let along = (13 * (k + 5 * j)) as f64 % 130.0 - 65.0;
                format!("{{ rim = {{ along = \"{along} %\" }} }}")
            })
            .collect();
        text += &format!("[limb.l{k}]\npath = [\"a{}\", {}, \"a{}\"]\n", k % 24, rims.join(", "), (k + 1) % 24);
    }
    text
}

/// A construct of so many screws and nothing else.
fn screws(count: usize) -> String {
    (0..count)
        .map(|k| {
            let along = -60 + 5 * k as i32;
            let below = if k % 2 == 0 { 6.0 } else { 3.0 };
            format!("[screw.s{k}]\nat = {{ wall = {{ along = \"{along} %\", below = {below:.1} }} }}\n")
        })
        .collect()
}

#[test]
fn as_much_of_everything_as_there_may_be_is_computed_and_one_more_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let save = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    let tissue = |count: usize| {
        (0..count)
            .map(|k| {
                let along = -85 + 14 * k as i32;
                format!(
                    "[tether.t{k}]\nfragment = {{ rim = {{ along = \"{along} %\" }} }}\nscapula = {{ face = {{ along = \"{along} %\", inset = 3 }} }}\n[load.l{k}]\nat = {{ rim = {{ along = \"{along} %\" }} }}\nforce = 2\ndirection = \"medial\"\n"
                )
            })
            .collect::<String>()
    };
    let quarter = builtin("quarter").unwrap();
    let most = format!("{quarter}\n[bed]\ncells = 20000\n{}", tissue(12));
    save("case.toml", &most);
    save("most.toml", &construct(24, 12));
    save("short.toml", &construct(24, 3));
    for (what, typed) in [
        (
            "20 000 cells, 12 tethers, 12 loads, 24 anchors, 24 limbs of 3 stops",
            vec!["compare", "--draws", "0", "case.toml", "short.toml", "--to", "10"],
        ),
        ("the same with limbs of 12 stops", vec!["compare", "--draws", "0", "case.toml", "most.toml", "--to", "10"]),
        ("20 000 cells, a rose", vec!["compare", "--draws", "0", "case.toml", "two-by-two-crossed", "--rose"]),
    ] {
        let end = kept(&mut program(folder.path(), &typed));
        assert_eq!(end.code, Some(0), "{typed:?}\n{}", end.err);
        row(what, &format!("`{}`", typed[0]), "exit 0", &[&end]);
    }
    save("screws.toml", &screws(24));
    let typed = ["compare", "--draws", "0", "case.toml", "screws.toml", "--to", "10"];
    let end = kept(&mut program(folder.path(), &typed));
    assert_eq!(end.code, Some(0), "{}", end.err);
    row("20 000 cells, 12 tethers, 12 loads, 24 screws", "`compare`", "exit 0", &[&end]);
    save("more.toml", &screws(25));
    let typed = ["compare", "--tied-only", "quarter", "more.toml"];
    let end = kept(&mut program(folder.path(), &typed));
    assert_eq!(end.code, Some(2), "{}", end.err);
    assert!(end.err.contains("up to 24"), "{}", end.err);
    row("25 screws", "`compare --tied-only`", "exit 2, the number allowed", &[&end]);
    let mut many = vec!["compare", "--draws", "0", "--figures", "plots", "quarter"];
    many.extend(["one-by-one"; 24]);
    let end = kept(&mut program(folder.path(), &many));
    assert_eq!(end.code, Some(0), "{}", end.err);
    row("24 constructs, with figures", "`compare`", "exit 0", &[&end]);
    many.push("two-by-two");
    let end = kept(&mut program(folder.path(), &many));
    assert_eq!(end.code, Some(2), "{}", end.err);
    assert!(end.err.contains("25 constructs are too many"), "{}", end.err);

    let more = [
        ("cells", format!("{quarter}\n[bed]\ncells = 20001\n"), "100 to 20000"),
        ("cells", format!("{quarter}\n[bed]\ncells = 1e18\n"), "100 to 20000"),
        ("tethers", format!("{quarter}\n{}", tissue(13)), "up to 12"),
    ];
    let mut ends = Vec::new();
    for (what, text, words) in more {
        save("more.toml", &text);
        let end = kept(&mut program(folder.path(), &["compare", "--tied-only", "more.toml"]));
        assert_eq!(end.code, Some(2), "{what}\n{}", end.err);
        assert!(end.err.contains(words), "{what}\n{}", end.err);
        ends.push(end);
    }
    for (text, words) in
        [(construct(25, 3), "up to 24"), (construct(1, 13), "2 to 12 stops"), (construct(8000, 3), "up to 24")]
    {
        save("more.toml", &text);
        let end = kept(&mut program(folder.path(), &["compare", "--tied-only", "quarter", "more.toml"]));
        assert_eq!(end.code, Some(2), "{}", end.err);
        assert!(end.err.contains(words), "{}", end.err);
        ends.push(end);
    }
    for typed in [
        vec!["compare", "--draws", "0", "--to", "10.001"],
        vec!["compare", "--draws", "0", "--to", "1e300"],
        vec!["compare", "--draws", "0", "--direction", "0,0,0"],
        vec!["compare", "--draws", "0", "--direction", "nan,0,0"],
    ] {
        let end = kept(&mut program(folder.path(), &typed));
        assert_eq!(end.code, Some(2), "{typed:?}\n{}", end.err);
        ends.push(end);
    }
    row(
        "one more than there may be: cells, tethers, loads, limbs, stops, distance; 8000 limbs",
        "`compare`",
        "exit 2, the number allowed",
        &ends.iter().collect::<Vec<_>>(),
    );
}
