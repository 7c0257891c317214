//! What the command writes, over what, and what an end that is asked for leaves.

use crate::place::outside::small;
use crate::room::Room;
use std::process::{Child, Stdio};
use std::time::{Duration, Instant};

/// Whether a run was refused before its search: nothing printed, exit code 1; what was said.
fn refused(room: &Room, out: &str) -> String {
    let output = room.output(&small(out, &["--no-wander"]));
    let err = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1), "{err}");
    assert!(output.stdout.is_empty(), "refused before the search: {err}");
    err
}

/// An answer that somebody went on working with is his; one that is as it was written may go.
#[test]
fn an_edited_answer_is_left_alone() {
    let room = Room::coarse();
    room.run(&small("best.toml", &["--no-wander"]));
    let written = room.read("best.toml");
    room.run(&small("best.toml", &["--no-wander", "--seed", "2"]));
    let second = room.read("best.toml");
    assert_ne!(written, second, "replaced");
    for edited in [
        second.replace("# Seed", "# My notes: the second one. Seed"),
        second.replace("name = ", "# kept for Monday\nname = "),
        format!("{second}\n"),
        second.replacen("places sought", "my places, sought", 1),
        // As an earlier version wrote it, without a hash.
        second.lines().filter(|l| !l.contains("SHA-256")).fold(String::new(), |t, l| t + l + "\n"),
    ] {
        assert_ne!(edited, second);
        room.write("best.toml", &edited);
        let said = refused(&room, "best.toml");
        assert!(said.contains("changed since") && said.contains("--out"), "{said}");
        assert_eq!(room.read("best.toml"), edited);
    }
    room.write("best.toml", &second);
    room.run(&small("best.toml", &["--no-wander"]));
    assert_eq!(room.read("best.toml"), written);
}

#[test]
fn what_cannot_be_written_is_refused_before_the_search() {
    let room = Room::coarse();
    let said = refused(&room, &format!("{}.toml", "long".repeat(100)));
    assert!(said.contains("longlong"), "{said}");
    // A folder that takes no file from anybody, on the systems that have it.
    if std::path::Path::new("/proc/self").is_dir() {
        let said = refused(&room, "/proc/best.toml");
        assert!(said.contains("/proc"), "{said}");
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let locked = room.0.path().join("locked");
        std::fs::create_dir(&locked).unwrap();
        std::fs::set_permissions(&locked, PermissionsExt::from_mode(0o555)).unwrap();
        // Whoever may do everything may write there too.
        if std::fs::write(locked.join("try"), "").is_err() {
            refused(&room, "locked/best.toml");
        }
    }
    let names = std::fs::read_dir(room.0.path()).unwrap().map(|entry| entry.unwrap().file_name());
    let left: Vec<_> = names.filter(|name| name != "coarse.toml").collect();
    assert!(left.len() <= 1, "{left:?}");
}

/// The command in the file is one that a shell takes, whatever the names.
#[cfg(unix)]
#[test]
fn the_command_in_the_file_can_be_typed_again() {
    let room = Room::coarse();
    room.write("my case (2); it's.toml", &room.read("coarse.toml"));
    let mut typed = small("best.toml", &["--no-wander"]);
    typed[1] = "my case (2); it's.toml";
    room.run(&typed);
    let first = room.read("best.toml");
    let line = first.lines().find_map(|l| l.strip_prefix("# Command: rimhold "));
    let script = format!("'{}' {} --quiet --no-wander --out again.toml", env!("CARGO_BIN_EXE_rimhold"), line.unwrap());
    let done = std::process::Command::new("sh").args(["-c", &script]).current_dir(room.0.path()).output().unwrap();
    assert!(done.status.success(), "{script}\n{done:?}");
    assert_eq!(room.read("again.toml"), first);
}

fn started(room: &Room, more: &[&str]) -> Child {
    let mut typed = vec!["place", "coarse.toml", "one-by-one", "--out", "best.toml", "--quiet"];
    typed.extend(more);
    let mut command = room.command(&typed);
    command.stdout(Stdio::piped()).stderr(Stdio::piped());
    command.spawn().unwrap()
}

/// A search of a second or two, then maps on a bed of 20,000 cells that take minutes.
const LONG_MAPS: [&str; 8] = ["--evaluations", "20", "--starts", "1", "--cells", "20000", "--steps", "100"];

/// Waits until the answer is there, which the search writes before it goes on.
fn answered(room: &Room, child: &mut Child) {
    let start = Instant::now();
    while !room.has("best.toml") {
        assert_eq!(child.try_wait().unwrap(), None, "ended before its answer");
        assert!(start.elapsed() < Duration::from_secs(300), "no answer");
        std::thread::sleep(Duration::from_millis(20));
    }
}

#[cfg(unix)]
fn interrupt(child: &Child) {
    let sent = std::process::Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap();
    assert!(sent.success());
}

/// When the answer cannot be written after all, it is printed all the same.
#[test]
fn an_answer_that_cannot_be_written_is_printed() {
    let room = Room::coarse();
    let more = ["--evaluations", "300", "--starts", "1", "--cells", "1000", "--no-wander"];
    let mut child = started(&room, &more);
    // Into its way, once the search runs.
    std::thread::sleep(Duration::from_millis(700));
    assert_eq!(child.try_wait().unwrap(), None);
    room.write("best.toml", "mine = true\n");
    let output = child.wait_with_output().unwrap();
    let err = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1), "{err}");
    assert!(err.contains("best.toml exists"), "{err}");
    let table = String::from_utf8(output.stdout).unwrap();
    assert!(table.contains("better places for the anchors of one-by-one"), "{table}");
    assert_eq!(room.read("best.toml"), "mine = true\n");
}

#[cfg(unix)]
#[test]
fn an_interrupted_search_keeps_the_best_so_far() {
    let room = Room::coarse();
    let more = ["--evaluations", "1000000", "--starts", "64", "--cells", "4000"];
    let child = started(&room, &more);
    // Long past the start, far from the end: each start takes longer than that.
    std::thread::sleep(Duration::from_secs(5));
    interrupt(&child);
    let output = child.wait_with_output().unwrap();
    let err = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(130), "{err}");
    assert!(err.contains("best so far"), "{err}");
    assert!(err.contains("not finished: the search"), "{err}");
    let text = room.read("best.toml");
    assert!(text.contains("Interrupted: the best so far"), "{text}");
    room.run(&["check", "coarse.toml", "best.toml"]);
}

/// The search is through and its answer written; a Ctrl-C while maps are made ends them at once, and what
/// was found is told.
#[cfg(unix)]
#[test]
fn an_end_asked_for_among_the_maps_comes_at_once() {
    let room = Room::coarse();
    let mut more = LONG_MAPS.to_vec();
    more.extend(["--format", "json"]);
    let mut child = started(&room, &more);
    answered(&room, &mut child);
    interrupt(&child);
    let asked = Instant::now();
    let output = child.wait_with_output().unwrap();
    // One look at such a bed takes a second or two beside other work; the maps some hundreds of them.
    assert!(asked.elapsed() < Duration::from_secs(60), "{:?}", asked.elapsed());
    let err = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(130), "{err}");
    assert!(err.contains("may wander"), "{err}");
    assert!(!err.contains("not finished: the search"), "{err}");
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let place = &json["place"];
    assert_eq!(place["complete"], false);
    assert_eq!(place["starts"][0]["ended"], "budget");
    let unfinished = place["unfinished"].as_array().unwrap();
    let maps = place["wander"].as_array().unwrap().len();
    let missing = unfinished.iter().filter(|u| u.as_str().unwrap().contains("wander"));
    assert_eq!(missing.count() + maps, 2, "{unfinished:?}");
    assert!(!room.read("best.toml").contains("Interrupted"));
    room.run(&["check", "coarse.toml", "best.toml"]);
}

/// A second one ends the program where it is; the answer was written before.
#[cfg(unix)]
#[test]
fn a_second_end_loses_no_answer() {
    let room = Room::coarse();
    let mut child = started(&room, &LONG_MAPS);
    answered(&room, &mut child);
    interrupt(&child);
    std::thread::sleep(Duration::from_millis(50));
    interrupt(&child);
    assert_eq!(child.wait().unwrap().code(), Some(130));
    room.run(&["check", "coarse.toml", "best.toml"]);
}
