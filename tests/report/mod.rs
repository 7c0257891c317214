//! The report from outside: what it holds, that it can be trusted word by word, and how it is written.

mod folder;
mod further;
mod methods;
mod numbers;
mod page;
mod places;
mod screws;
mod studies;
mod swept;
mod whole;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::LazyLock;

/// The program, called in a folder.
fn program(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_rimhold")).args(arguments).current_dir(folder).output().unwrap()
}

/// As [`program`], which must end with `code`; what it said on standard error.
#[track_caller]
fn ends(folder: &Path, arguments: &[&str], code: i32) -> String {
    let end = program(folder, arguments);
    let said = String::from_utf8_lossy(&end.stderr).into_owned();
    assert_eq!(end.status.code(), Some(code), "{arguments:?}\n{said}");
    assert!(!said.contains("panicked"), "{said}");
    said
}

/// Every file below a folder by its path, with its bytes.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    fn walk(root: &Path, at: &Path, out: &mut BTreeMap<String, Vec<u8>>) {
        for entry in std::fs::read_dir(at).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                walk(root, &path, out);
            } else {
                let name = path.strip_prefix(root).unwrap().to_string_lossy().into_owned();
                out.insert(name, std::fs::read(&path).unwrap());
            }
        }
    }
    let mut out = BTreeMap::new();
    walk(folder, folder, &mut out);
    out
}

/// A report that several tests look at.
struct Made {
    room: tempfile::TempDir,
}

impl Made {
    fn new(arguments: &[&str]) -> Self {
        let room = tempfile::tempdir().unwrap();
        let mut all = vec!["report", "--out", "made"];
        all.extend(arguments);
        ends(room.path(), &all, 0);
        Self { room }
    }

    fn path(&self) -> PathBuf {
        self.room.path().join("made")
    }

    fn text(&self, name: &str) -> String {
        std::fs::read_to_string(self.path().join(name)).unwrap()
    }

    /// The page and its supplement.
    fn pages(&self) -> String {
        self.text("index.html") + &self.text("supplement.html")
    }

    fn json(&self, name: &str) -> serde_json::Value {
        serde_json::from_str(&self.text(name)).unwrap()
    }
}

/// Three constructs, as with nothing given, without PDF and PNG.
static THREE: LazyLock<Made> = LazyLock::new(|| Made::new(&["--svg-only"]));

/// One construct, turning forbidden, from the displaced position, pushed elsewhere. The program's own suite, which is
/// the same whatever a report is of, stands in the one of three constructs alone.
static ONE: LazyLock<Made> = LazyLock::new(|| {
    Made::new(&[
        "hinge-weak",
        "one-by-one",
        "--from",
        "displaced",
        "--direction",
        "anteromedial",
        "--to",
        "1.5",
        "--guided",
        "--no-suite",
        "--svg-only",
    ])
});

/// A case on which nothing is held: a head presses the fragment out before anything is tied.
static LOST: LazyLock<Made> = LazyLock::new(|| {
    let room = tempfile::tempdir().unwrap();
    std::fs::write(room.path().join("lost.toml"), include_str!("lost.toml")).unwrap();
    let typed = "report lost.toml one-by-one --out made --no-suite --svg-only --also lose,budget";
    ends(room.path(), &typed.split(' ').collect::<Vec<_>>(), 0);
    Made { room }
});

/// Names that mean something to a page, a table or a shell; a push that ends before any load is read;
/// neither samples nor suite.
static NAMES: LazyLock<Made> = LazyLock::new(|| {
    let room = tempfile::tempdir().unwrap();
    let file = "it's $HOME, a \"case\".toml";
    std::fs::write(
        room.path().join(file),
        "name = '<script>alert(1)</script> & \"x\" | y'\nside = \"left\"\n[socket]\ndiameter = 27.5\n\
         [fragment]\nwidth = 6.1\nmiddle = \"3:45\"\n",
    )
    .unwrap();
    let mut typed = vec!["report", file, "one-by-one", "one-by-one"];
    typed.extend(["--to", "0.3", "--out", "made", "--svg-only"]);
    typed.extend(["--samples", "0", "--no-suite"]);
    ends(room.path(), &typed, 0);
    Made { room }
});

/// Screws with limbs, and a screw alone.
static SCREWS: LazyLock<Made> = LazyLock::new(|| {
    Made::new(&[
        "quarter",
        "two-screws-with-loops",
        "one-screw",
        "--samples",
        "20",
        "--no-suite",
        "--svg-only",
        "--also",
        "drill,lose,budget,joint",
    ])
});

/// A search for better places beside the rest, as tied and to failure.
static PLACED: LazyLock<Made> = LazyLock::new(|| {
    Made::new(&[
        "quarter",
        "one-by-one",
        "--to",
        "failure",
        "--as-tied",
        "--samples",
        "0",
        "--no-suite",
        "--place",
        "--evaluations",
        "120",
        "--svg-only",
    ])
});

/// A robust search with a front: one anchor is free, and there are as few evaluations as give both.
static TRACED: LazyLock<Made> = LazyLock::new(|| {
    let room = tempfile::tempdir().unwrap();
    let mut few = rimhold::model::builtin("one-by-one").unwrap().to_owned();
    few.push_str("\n[place]\nfree = [{ path = \"anchor.lateral.along\", low = -6.0, high = 6.0 }]\n");
    std::fs::write(room.path().join("few.toml"), few).unwrap();
    let typed = "report quarter few.toml --samples 0 --no-suite --place --robust 10 --against reduction --evaluations 24 \
                 --svg-only --out made";
    ends(room.path(), &typed.split_whitespace().collect::<Vec<_>>(), 0);
    Made { room }
});

/// Sobol' indices and every ready-made sweep beside the rest.
static SWEPT: LazyLock<Made> = LazyLock::new(|| {
    Made::new(&[
        "quarter",
        "one-by-one",
        "two-by-two-crossed",
        "--samples",
        "20",
        "--indices",
        "16",
        "--sweep",
        "size",
        "--sweep",
        "lower-end",
        "--sweep",
        "size",
        "--sweep",
        "tension",
        "--no-suite",
        "--svg-only",
    ])
});

/// Every report that the texts are checked in.
fn all() -> [(&'static str, &'static Made); 8] {
    [
        ("three", &*THREE),
        ("one", &*ONE),
        ("screws", &*SCREWS),
        ("lost", &*LOST),
        ("names", &*NAMES),
        ("placed", &*PLACED),
        ("traced", &*TRACED),
        ("swept", &*SWEPT),
    ]
}
