//! What is written: where it cannot be, nothing is, and nothing else is lost.

use crate::hostile::{Least, PROGRAM, kept, listed, program, row, run};
use std::fs::File;
use std::os::unix::fs::symlink;
use std::process::{Command, Stdio};

const MEASURED: [&str; 9] = ["new", "--side", "left", "--diameter", "27", "--width", "22 %", "--middle", "4:15"];

#[test]
fn a_symbolic_link_is_never_written_through() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    std::fs::write(at("precious"), "precious").unwrap();
    std::fs::create_dir(at("rimhold-figures")).unwrap();
    std::fs::create_dir(at("man1")).unwrap();
    let links = ["mine.toml", "rimhold-figures/resistance.svg", "man1/rimhold.1"];
    let new = [&MEASURED[..], &["--out", "mine.toml"]].concat();
    let typed = [new, vec!["compare"], vec!["man", "man1"]];
    for target in ["precious", "nowhere", "."] {
        let mut ends = Vec::new();
        for (link, typed) in links.iter().zip(&typed) {
            symlink(at(target), at(link)).unwrap();
            let before = listed(folder.path());
            let end = kept(&mut program(folder.path(), typed));
            assert_eq!(end.code, Some(1), "{typed:?}\n{}", end.err);
            assert!(end.err.contains("exists"), "{}", end.err);
            assert_eq!(listed(folder.path()), before, "{typed:?}");
            assert!(at(link).is_symlink());
            std::fs::remove_file(at(link)).unwrap();
            ends.push(end);
        }
        let kept = std::fs::read_to_string(at("precious")).unwrap();
        assert_eq!(kept, "precious");
        row(
            match target {
                "precious" => "target is a link to a file",
                "nowhere" => "target is a link to nothing",
                _ => "target is a link to a folder",
            },
            "`new --out`, `compare`, `man`",
            "exit 1, “exists”; link and file as they were, nothing written",
            &ends.iter().collect::<Vec<_>>(),
        );
    }
}

#[test]
fn standard_output_that_is_full_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let least = Least::new();
    let place = least.typed(PLACE);
    let mut ends = Vec::new();
    for typed in [
        vec!["--help"],
        vec!["check"],
        vec!["compare", "quarter", "one-by-one", "--tied-only"],
        vec!["compare", "quarter", "one-by-one", "--curve", "--format", "csv"],
        vec!["compare", "quarter", "--format", "json", "--draws", "0"],
        vec!["tie", "quarter", "one-by-one"],
        vec!["scatter", "--samples", "4"],
        SWEEP.split(' ').collect(),
        place.split(' ').collect(),
        vec!["verify", "--published", "--draws", "8"],
        vec!["schema"],
        vec!["man"],
        vec!["completions", "bash"],
        MEASURED.to_vec(),
    ] {
        let full = File::options().write(true).open("/dev/full").unwrap();
        let end = run(program(folder.path(), &typed).stdout(full));
        assert_eq!(end.code, Some(1), "{typed:?}\n{}", end.err);
        let told = "rimhold: standard output could not be written: No space left on device";
        assert!(end.err.contains(told), "{typed:?}\n{}", end.err);
        ends.push(end);
    }
    row(
        "standard output on a full device",
        "every command, `> /dev/full`",
        "exit 1, one message",
        &ends.iter().collect::<Vec<_>>(),
    );
}

#[test]
fn a_reader_that_goes_ends_every_command_quietly() {
    let folder = tempfile::tempdir().unwrap();
    let least = Least::new();
    let place = least.typed(PLACE);
    let sweep = format!("{SWEEP} --quiet");
    let mut ends = Vec::new();
    for typed in [
        "--help",
        "check",
        "compare quarter one-by-one --tied-only",
        "compare quarter one-by-one --curve --format csv",
        "compare quarter --format json --rose --draws 0",
        "tie quarter one-by-one",
        "scatter --samples 4 --quiet",
        &sweep,
        &place,
        // Without the suite, which takes most of a run and is written the same way.
        "verify --published --draws 8 --quiet",
        "schema construct",
        "man",
        "completions bash",
    ] {
        let line = format!("'{PROGRAM}' {typed} | head -n 1; exit ${{PIPESTATUS[0]}}");
        let mut shell = Command::new("bash");
        shell.args(["-c", &line]).current_dir(folder.path());
        let end = kept(&mut shell);
        // Whether the reader was gone already depends on who is faster; quiet it is either way.
        assert_eq!(end.code, Some(0), "{typed}\n{}", end.err);
        assert!(end.err.is_empty(), "{typed}\n{}", end.err);
        ends.push(end);
    }
    row(
        "a reader that closes its pipe",
        "every command, `\\| head -n 1`",
        "exit 0, quietly",
        &ends.iter().collect::<Vec<_>>(),
    );
    let line = format!("'{PROGRAM}' check >&- 2>&-");
    let end = kept(Command::new("bash").args(["-c", &line]).current_dir(folder.path()));
    assert_eq!(end.code, Some(0));
    row("both outputs closed", "`check >&- 2>&-`", "exit 0", &[&end]);
}

/// A short sweep.
const SWEEP: &str = "sweep quarter one-by-one --vary bed.friction=0.5,0.6 --cells 100 --steps 2";

/// A short search for places, on the bed of few cells.
const PLACE: &str = "place case.toml one-by-one --starts 1 --evaluations 20 --cells 100 --steps 2 --no-wander --quiet";

/// What writes figures and a report, of the least that there is to draw.
const COMPARE: &str = "compare case.toml single-row --steps 4 --draws 0 --quiet --figures plots";
const TIE: &str = "tie case.toml one.toml --quiet --figures plots";
const REPORT: &str = "report lost.toml single-row --svg-only --no-suite --samples 0 --quiet --out plots";

/// Runs a script as root of a user namespace of its own, where it may mount a small disk on `disk`.
/// None where the system does not allow that.
fn on_a_small_disk(options: &str, script: &str) -> Option<crate::hostile::Ended> {
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("disk")).unwrap();
    let mount = format!("mount -t tmpfs -o {options} tmpfs disk");
    let namespace = |script: &str| {
        let mut command = Command::new("unshare");
        command.args(["-rm", "bash", "-c", script]).current_dir(folder.path());
        command
    };
    let allowed = namespace(&mount).stdout(Stdio::null()).stderr(Stdio::null()).status();
    if !allowed.is_ok_and(|s| s.success()) {
        println!("(no namespace of one's own here: a small disk was not tried)");
        return None;
    }
    Some(kept(&mut namespace(&format!("{mount} && cd disk && {script}"))))
}

#[test]
fn on_a_full_disk_all_is_written_or_nothing() {
    let least = Least::new();
    let case = least.typed("case.toml");
    let (mut told, mut went) = (0, 0);
    let mut ends = Vec::new();
    let new = MEASURED.map(|w| format!("'{w}'")).join(" ");
    for (typed, name) in [
        (least.typed(COMPARE), "compare"),
        (least.typed(TIE), "tie"),
        (least.typed(REPORT), "report"),
        (format!("{} --out made.toml", least.typed(PLACE)), "place"),
        ("man plots --quiet".to_owned(), "man"),
        (format!("{new} --out made.toml --quiet"), "new"),
    ] {
        // From a disk that has no room for the first file to one that has for all.
        // What a search leaves has to be readable to its end.
        let whole = match name {
            "place" => format!("test ! -e made.toml || '{PROGRAM}' check {case} made.toml >/dev/null || code=99;"),
            _ => String::new(),
        };
        for kilobytes in [4, 64, 512, 32768] {
            let script = format!(
                "echo mine > foreign; '{PROGRAM}' {typed} >/dev/null; code=$?; {whole} find . -mindepth 1 | sort; grep -c mine foreign; exit $code"
            );
            let Some(end) = on_a_small_disk(&format!("size={kilobytes}k"), &script) else {
                return;
            };
            let found = String::from_utf8_lossy(&end.out).into_owned();
            let written = found.lines().filter(|l| l.starts_with("./plots/") || *l == "./made.toml").count();
            assert!(found.ends_with("\n1\n"), "{found}");
            assert!(!found.contains(".part"), "{name}, {kilobytes} kB\n{found}");
            match end.code {
                Some(0) => {
                    assert!(written > 0, "{name}, {kilobytes} kB\n{found}");
                    went += 1;
                }
                Some(1) => {
                    // A search writes its answer as soon as it has settled, and keeps it.
                    let most = usize::from(name == "place");
                    assert!(written <= most, "{name}, {kilobytes} kB\n{found}");
                    assert_eq!(end.err.contains("the answer stands in"), written == 1, "{}", end.err);
                    assert!(!found.contains("./plots"), "{name}, {kilobytes} kB\n{found}");
                    // A report says it in words of its own.
                    let told_as = ["No space left on device", "the disk is full"];
                    assert!(told_as.iter().any(|w| end.err.contains(w)), "{}", end.err);
                    assert_eq!(end.err.trim().lines().count(), 1, "{}", end.err);
                    told += 1;
                }
                code => panic!("{name}, {kilobytes} kB: {code:?}\n{}", end.err),
            }
            ends.push(end);
        }
    }
    assert!(told > 8 && went > 4, "told {told}, went {went}");
    row(
        &format!("a full disk: 4 kB to 32 MB ({} runs)", told + went),
        "`compare`, `tie`, `report`, `place`, `man`, `new` on a small tmpfs",
        &format!(
            "{told} times exit 1, one message, nothing written (of `place` at most its answer, whole); {went} times all written"
        ),
        &ends.iter().collect::<Vec<_>>(),
    );
}

#[test]
fn where_nothing_may_be_written_nothing_is() {
    let least = Least::new();
    let new = MEASURED.map(|w| format!("'{w}'")).join(" ");
    let mut ends = Vec::new();
    for typed in [
        least.typed(COMPARE),
        least.typed(TIE),
        least.typed(REPORT),
        format!("{} --out made.toml", least.typed(PLACE)),
        "man --quiet pages".to_owned(),
        format!("{new} --quiet --out made.toml"),
    ] {
        let script = format!(
            "mount -o remount,ro . && cd . && '{PROGRAM}' {typed} >/dev/null; code=$?; find . -mindepth 1; exit $code"
        );
        let Some(end) = on_a_small_disk("size=1m", &script) else {
            return;
        };
        assert_eq!(end.code, Some(1), "{typed}\n{}", end.err);
        assert!(end.out.is_empty(), "{typed}");
        assert!(end.err.contains("Read-only file system"), "{}", end.err);
        assert_eq!(end.err.trim().lines().count(), 1, "{}", end.err);
        ends.push(end);
    }
    row(
        "a disk that may only be read",
        "`compare`, `tie`, `report`, `place`, `man`, `new`",
        "exit 1, one message",
        &ends.iter().collect::<Vec<_>>(),
    );
}
