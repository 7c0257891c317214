//! Writing is all or nothing, and what is not ours is left alone.

use crate::report::{ends, files, program};
use std::fs;
use std::path::Path;

/// Of a fragment that nothing holds there is least to compute and to draw, and its report is a whole one all the same.
const LOST: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/report/lost.toml");
const QUICK: [&str; 8] = ["report", LOST, "single-row", "--svg-only", "--quiet", "--samples", "0", "--no-suite"];

fn quick(more: &[&'static str]) -> Vec<&'static str> {
    [&QUICK[..], more].concat()
}

/// Names in a folder, sorted.
fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn a_folder_of_others_is_named_and_left_alone() {
    let room = tempfile::tempdir().unwrap();
    let theirs = room.path().join("talk");
    fs::create_dir_all(theirs.join("old")).unwrap();
    fs::write(theirs.join("notes.md"), "precious").unwrap();
    let before = files(room.path());
    let said = ends(room.path(), &quick(&["--out", "talk"]), 2);
    assert!(said.contains("talk") && said.contains("--beside"), "{said}");
    assert_eq!(files(room.path()), before);
    // With the flag we write beside what is there, again and again.
    for _ in 0..2 {
        ends(room.path(), &quick(&["--out", "talk", "--beside"]), 0);
        assert_eq!(names(&theirs), ["notes.md", "old", "rimhold-report"]);
        assert!(theirs.join("rimhold-report/index.html").exists());
    }
    // But not over what somebody put there.
    fs::write(theirs.join("rimhold-report/mine.txt"), "precious").unwrap();
    let before = files(room.path());
    let said = ends(room.path(), &quick(&["--out", "talk", "--beside"]), 2);
    // The reason is that of the folder inside, and the advice nothing that was already done.
    assert!(said.contains("rimhold-report"), "{said}");
    assert!(said.contains("(mine.txt)"), "{said}");
    assert!(said.contains("choose another --out"), "{said}");
    assert!(!said.contains("--beside"), "{said}");
    assert_eq!(files(room.path()), before);
    // A file where the folder should be, a manifest of somebody else, an empty folder, a link.
    fs::write(room.path().join("file"), "precious").unwrap();
    assert!(ends(room.path(), &quick(&["--out", "file"]), 2).contains("file"));
    let other = room.path().join("other");
    fs::create_dir(&other).unwrap();
    fs::write(other.join("manifest.json"), "{\"schema\": \"web/1\", \"outputs\": []}").unwrap();
    ends(room.path(), &quick(&["--out", "other"]), 2);
    assert_eq!(names(&other), ["manifest.json"]);
    fs::create_dir(room.path().join("empty")).unwrap();
    ends(room.path(), &quick(&["--out", "empty"]), 0);
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink("empty", room.path().join("link")).unwrap();
        assert!(ends(room.path(), &quick(&["--out", "link"]), 2).contains("link"));
    }
}

#[test]
fn an_earlier_report_is_replaced_unless_somebody_worked_on_it() {
    let room = tempfile::tempdir().unwrap();
    let made = room.path().join("r");
    ends(room.path(), &quick(&["--out", "r"]), 0);
    ends(room.path(), &["report", LOST, "one-by-one", "--samples", "0", "--no-suite", "--svg-only", "--out", "r"], 0);
    assert_eq!(names(room.path()), ["r"], "nothing is left beside it");
    assert!(!made.join("inputs/constructs/single-row.toml").exists());
    assert!(made.join("inputs/constructs/one-by-one.toml").exists());
    for (file, text) in [("methods.md", "my own words"), ("talk/notes.md", "precious")] {
        let path = made.join(file);
        let old = fs::read(&path).ok();
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, text).unwrap();
        let before = files(&made);
        let said = ends(room.path(), &quick(&["--out", "r"]), 2);
        assert!(said.contains(file), "{said}");
        assert_eq!(files(&made), before);
        match old {
            Some(bytes) => fs::write(&path, bytes).unwrap(),
            None => fs::remove_dir_all(path.parent().unwrap()).unwrap(),
        }
    }
    ends(room.path(), &quick(&["--out", "r"]), 0);
}

/// A run that is killed at any moment leaves the old report whole, or the new one.
#[cfg(unix)]
#[test]
fn an_interrupted_run_leaves_a_whole_report() {
    let room = tempfile::tempdir().unwrap();
    ends(room.path(), &quick(&["--out", "r"]), 0);
    let whole = files(&room.path().join("r"));
    for pause in [5, 20, 40, 80, 160, 320] {
        let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_rimhold"))
            .args(quick(&["--out", "r"]))
            .current_dir(room.path())
            .stdout(std::process::Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(std::time::Duration::from_millis(pause));
        child.kill().unwrap();
        child.wait().unwrap();
        let mut now = files(&room.path().join("r"));
        // Of two whole reports only the time in the manifest differs.
        assert!(now.contains_key("manifest.json"));
        now.insert("manifest.json".into(), whole["manifest.json"].clone());
        assert_eq!(now, whole, "killed after {pause} ms");
    }
}

/// A run that is asked to end (POSIX: SIGINT, SIGTERM) leaves no hidden room and no half of a report,
/// and ends as shells have it for Ctrl-C.
#[cfg(unix)]
#[test]
fn a_run_that_is_asked_to_end_leaves_nothing_behind() {
    use std::time::{Duration, Instant};
    let room = tempfile::tempdir().unwrap();
    ends(room.path(), &quick(&["--out", "r"]), 0);
    let whole = files(&room.path().join("r"));
    let (mut writing, mut working) = (0, 0);
    for (signal, pause) in
        [("INT", None), ("TERM", None), ("INT", Some(0)), ("TERM", Some(0)), ("INT", Some(300)), ("TERM", Some(1000))]
    {
        // Many samples give it work for some seconds.
        let many = "report small single-row --svg-only --quiet --samples 9000 --out r".split(' ').collect();
        let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_rimhold"))
            .args(match pause {
                None => many,
                Some(_) => quick(&["--out", "r"]),
            })
            .current_dir(room.path())
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::piped())
            .spawn()
            .unwrap();
        let clock = Instant::now();
        match pause {
            // While it still works: the first line that it says is of its studies.
            None => std::thread::sleep(Duration::from_millis(1500)),
            Some(pause) => {
                while names(room.path()).len() == 1 && child.try_wait().unwrap().is_none() {
                    assert!(clock.elapsed() < Duration::from_secs(60));
                    std::thread::yield_now();
                }
                std::thread::sleep(Duration::from_micros(pause));
            }
        }
        let kill = std::process::Command::new("kill").args(["-s", signal, &child.id().to_string()]).status();
        assert!(kill.is_ok());
        let end = child.wait_with_output().unwrap();
        let said = String::from_utf8_lossy(&end.stderr);
        assert_eq!(names(room.path()), ["r"], "{signal} {pause:?}: {said}");
        // It may have come to its end meanwhile.
        if end.status.code() != Some(0) {
            assert_eq!(end.status.code(), Some(130), "{signal} {pause:?}: {said}");
            *if pause.is_some() { &mut writing } else { &mut working } += 1;
        }
        let now = files(&room.path().join("r"));
        assert!(now.contains_key("manifest.json") && now.len() >= whole.len());
        // The old one is whole, or the new one.
        ends(room.path(), &quick(&["--out", "r"]), 0);
        let mut now = files(&room.path().join("r"));
        now.insert("manifest.json".into(), whole["manifest.json"].clone());
        assert_eq!(now, whole);
    }
    assert!(working > 0, "none was asked while it worked");
    assert!(writing > 0, "none was asked while it wrote");
}

/// Whoever can write the folder may have put there what looks like our own work in hand, with a link to
/// what is not theirs: no command follows it or touches it.
#[cfg(unix)]
#[test]
fn what_looks_like_our_own_work_in_hand_is_never_touched() {
    use std::os::unix::fs::symlink;
    let (shared, home) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    fs::write(home.path().join("letter"), "precious").unwrap();
    let planted = shared.path().join(".rimhold-abcdef.part");
    fs::create_dir(&planted).unwrap();
    symlink(home.path(), planted.join("earlier")).unwrap();
    symlink(home.path(), planted.join("new")).unwrap();
    symlink(home.path(), shared.path().join(".rimhold-link.part")).unwrap();
    let new = "new --side left --diameter 27 --width 6 --middle 4:00 --out case.toml";
    for typed in [
        &quick(&["--out", "r"])[..],
        &["compare", "small", "single-row", "--tied-only", "--figures", "."],
        &["scatter", "small", "single-row", "--samples", "2", "--cells", "100", "--steps", "2"],
        &new.split(' ').collect::<Vec<_>>(),
        &"place small one-by-one --starts 1 --evaluations 20 --cells 100 --no-wander".split(' ').collect::<Vec<_>>(),
        &["man", "."],
    ] {
        ends(shared.path(), typed, 0);
        assert_eq!(names(home.path()), ["letter"], "{typed:?}");
        assert_eq!(names(&planted), ["earlier", "new"], "{typed:?}");
        assert!(planted.join("earlier").is_symlink());
        assert!(shared.path().join(".rimhold-link.part").is_symlink());
        assert!(!shared.path().join("letter").exists(), "{typed:?}");
    }
}

/// A disk that takes no more, stood for by a limit on the size of a file: the write fails in the
/// middle just so (POSIX, `write`, EFBIG).
#[cfg(unix)]
#[test]
fn a_write_that_fails_is_one_message_and_no_loss() {
    let room = tempfile::tempdir().unwrap();
    ends(room.path(), &quick(&["--out", "r"]), 0);
    let before = files(room.path());
    // Where there is a report, and where folders must be made for it first.
    for out in ["r", "some/where/r"] {
        let script = format!(
            "trap '' XFSZ; ulimit -f 20; exec '{}' {} --out {out}",
            env!("CARGO_BIN_EXE_rimhold"),
            QUICK.map(|word| format!("'{word}'")).join(" ")
        );
        let end = std::process::Command::new("bash").args(["-c", &script]).current_dir(room.path()).output().unwrap();
        let said = String::from_utf8_lossy(&end.stderr);
        assert_eq!(end.status.code(), Some(1), "{said}");
        assert_eq!(said.trim().lines().count(), 1, "{said}");
        assert!(said.contains("no report was written"), "{said}");
        assert!(said.contains("what was there is as it was"), "{said}");
        assert_eq!(names(room.path()), ["r"], "{out}");
        assert_eq!(files(room.path()), before);
    }
}

#[test]
fn mistakes_are_told_before_the_work() {
    let room = tempfile::tempdir().unwrap();
    for (typed, says) in [
        (vec!["report", "nowhere.toml"], "nowhere.toml"),
        (vec!["report", "quarter", "nothing-like-it"], "nothing-like-it"),
        (vec!["report", "--to", "99"], "0.05 to 10"),
        (vec!["report", "--template", "none.md"], "none.md"),
        (vec!["report", "--style", "loud"], "slide"),
    ] {
        assert!(ends(room.path(), &typed, 2).contains(says));
    }
    // A pose that starts deeper in the bed than bone gives, and only when tying starts from it.
    fs::write(
        room.path().join("sunk.toml"),
        "side = \"right\"\n[socket]\ndiameter = 26.0\n[fragment]\nwidth = \"25 %\"\nmiddle = \"4:00\"\n\
         [displaced]\ninferior = 3.0\nout_of_bed = -1.5\ntilt = 5.0\n",
    )
    .unwrap();
    let typed = ["report", "sunk.toml", "--from", "displaced"];
    let said = ends(room.path(), &typed, 2);
    assert!(said.contains("sunk.toml:9:14"), "{said}");
    assert!(said.contains("lifts it clear of the bed"), "{said}");
    fs::remove_file(room.path().join("sunk.toml")).unwrap();
    assert!(names(room.path()).is_empty(), "nothing half-written");
    let end = program(room.path(), &["report", "--help"]);
    let help = String::from_utf8_lossy(&end.stdout);
    assert!(help.contains("not a medical device") && help.contains("Example"));
}
