//! The folder as a whole: what is in it, the same bytes each time, hashes, and running it again.

use crate::report::{THREE, ends, files};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;

fn hash(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|b| format!("{b:02x}")).collect()
}

/// Two runs in every format, compared byte by byte; then each form of each figure looked at.
#[test]
fn two_runs_give_the_same_bytes_in_every_format() {
    let room = tempfile::tempdir().unwrap();
    let typed = ["report", "quarter", "single-row", "--samples", "16", "--no-suite", "--quiet", "--out"];
    for out in ["a", "b"] {
        let mut all = typed.to_vec();
        all.push(out);
        ends(room.path(), &all, 0);
    }
    let (a, b) = (files(&room.path().join("a")), files(&room.path().join("b")));
    assert!(a.keys().eq(b.keys()));
    for (name, bytes) in a.iter().filter(|f| f.0 != "manifest.json") {
        assert!(*bytes == b[name], "{name}");
    }
    // The manifests differ in what was typed, which no hash covers.
    let manifest = |files: &BTreeMap<String, Vec<u8>>| {
        let mut json: serde_json::Value = serde_json::from_slice(&files["manifest.json"]).unwrap();
        assert!(json.as_object_mut().unwrap().remove("command_line").is_some());
        json
    };
    assert_eq!(manifest(&a), manifest(&b));
    let stems: Vec<&str> = a.keys().filter_map(|n| n.strip_prefix("figures/")?.strip_suffix(".svg")).collect();
    assert!(stems.len() >= 8, "{stems:?}");
    for stem in stems {
        for (ending, head) in [
            (".pdf", &b"%PDF-"[..]),
            ("-300dpi.png", b"\x89PNG"),
            ("-600dpi.png", b"\x89PNG"),
            (".txt", b"# rimhold figure"),
        ] {
            let bytes = &a[&format!("figures/{stem}{ending}")];
            assert!(bytes.starts_with(head), "{stem}{ending}");
        }
        // A table begins with its heading.
        assert!(!a[&format!("figures/{stem}.csv")].starts_with(b"#"), "{stem}");
        // PNG (ISO/IEC 15948): width at byte 16. At 600 dpi twice the dots of 300, but for rounding.
        let wide = |dpi: u32| {
            let png = &a[&format!("figures/{stem}-{dpi}dpi.png")];
            u32::from_be_bytes(png[16..20].try_into().unwrap())
        };
        assert!(wide(600).abs_diff(2 * wide(300)) <= 1, "{stem}");
    }
}

#[test]
fn the_manifest_has_every_hash() {
    let made = files(&THREE.path());
    let manifest = THREE.json("manifest.json");
    let listed: BTreeMap<String, String> = manifest["outputs"]
        .as_array()
        .unwrap()
        .iter()
        .map(|o| {
            let word = |key: &str| o[key].as_str().unwrap().to_owned();
            (word("name"), word("sha256"))
        })
        .collect();
    assert_eq!(listed.len(), made.len() - 1, "all files but itself");
    for (name, sum) in &listed {
        assert_eq!(*sum, hash(&made[name]), "{name}");
    }
    let case = include_bytes!("../../configs/cases/quarter.toml");
    assert_eq!(manifest["case"]["sha256"], hash(case));
    assert_eq!(manifest["lock_sha256"], hash(include_bytes!("../../Cargo.lock")));
    assert_eq!(manifest["version"], env!("CARGO_PKG_VERSION"));
    assert!(manifest["commit"].as_str().is_some_and(|c| !c.is_empty()));
    assert_eq!(manifest["parameters"].as_object().unwrap().len(), 4);
    assert!(manifest["tolerances"].as_object().unwrap().len() > 10);
    assert!(manifest.get("wall_time_s").is_none());
    for (name, input) in [("inputs/case/quarter.toml", "quarter"), ("inputs/constructs/one-by-one.toml", "one-by-one")]
    {
        assert_eq!(made[name], rimhold::model::builtin(input).unwrap().as_bytes());
    }
}

/// The line of `rerun.sh`, from inside the folder, with the program on the path.
#[cfg(unix)]
#[test]
fn a_report_runs_again_to_the_same_results() {
    // A robust search takes long; its line is looked at elsewhere.
    for (name, made) in crate::report::all().into_iter().filter(|made| made.0 != "traced") {
        let bin = std::path::Path::new(env!("CARGO_BIN_EXE_rimhold")).parent().unwrap();
        let path = format!("{}:{}", bin.display(), std::env::var("PATH").unwrap());
        let end =
            std::process::Command::new("sh").arg(made.path().join("rerun.sh")).env("PATH", path).output().unwrap();
        assert!(end.status.success(), "{name}: {}", String::from_utf8_lossy(&end.stderr));
        let (mut first, mut again) = (files(&made.path()), files(&made.room.path().join("again")));
        for made in [&mut first, &mut again] {
            made.remove("manifest.json");
        }
        assert!(first.keys().eq(again.keys()), "{name}");
        for (file, bytes) in &first {
            assert!(*bytes == again[file], "{name}: {file}");
        }
    }
}

#[test]
fn every_style_makes_a_report_and_says_so_in_the_line_that_repeats_it() {
    let room = tempfile::tempdir().unwrap();
    for style in ["slide", "grey"] {
        let typed = "report small single-row --samples 16 --no-suite --svg-only --style STYLE --out STYLE"
            .replace("STYLE", style);
        let typed: Vec<&str> = typed.split(' ').collect();
        ends(room.path(), &typed, 0);
        let line = std::fs::read_to_string(room.path().join(style).join("rerun.sh")).unwrap();
        assert!(line.contains(&format!("--style={style}")), "{line}");
        assert_eq!(line.lines().count(), 2);
    }
    let sheet = |style: &str| std::fs::read_to_string(room.path().join(style).join("figures/sheet.svg"));
    assert!(sheet("slide").unwrap().contains("width=\"254.00mm\" height=\"142.88mm\""));
    assert!(sheet("grey").unwrap().contains("width=\"180.00mm\""));
}
