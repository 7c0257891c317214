//! Long runs from outside: the same digits for any number of threads, after Ctrl-C, after a kill.

use crate::room::Room;
use std::process::Stdio;
use std::time::{Duration, Instant};

/// A run of about two seconds in chunks of 128 samples.
const RUN: [&str; 13] = [
    "scatter",
    "quarter",
    "one-by-one",
    "mattress",
    "--samples",
    "1500",
    "--cells",
    "100",
    "--steps",
    "4",
    "--quiet",
    "--format",
    "csv",
];

fn with<'a>(more: &[&'a str]) -> Vec<&'a str> {
    let mut all = RUN.to_vec();
    all.extend(more);
    all
}

#[test]
fn digits_do_not_depend_on_threads() {
    let room = Room::new();
    let outputs: Vec<String> = ["1", "2", "7"]
        .map(|threads| {
            let mut arguments = RUN.to_vec();
            arguments[5] = "300";
            arguments.extend(["--indices", "24"]);
            let output = room.command(&arguments).env("RAYON_NUM_THREADS", threads).output().unwrap();
            assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
            String::from_utf8(output.stdout).unwrap()
        })
        .into();
    assert!(outputs[0].lines().count() > 300);
    assert!(outputs[0].contains("Sobol' index of compression"));
    assert_eq!(outputs[0], outputs[1]);
    assert_eq!(outputs[0], outputs[2]);
    assert!(!room.has("scatter.samples"), "a finished run leaves nothing behind");
}

/// Starts a run, waits until two chunks are on disk, and sends it a signal.
#[cfg(unix)]
fn broken_off(room: &Room, arguments: &[&str], signal: &str) -> std::process::Output {
    let child = room.command(arguments).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let store = room.0.path().join("scatter.samples");
    let start = Instant::now();
    // A chunk of 128 samples of two constructs is larger than 100 kB.
    while std::fs::metadata(&store).map_or(0, |m| m.len()) < 200_000 {
        assert!(start.elapsed() < Duration::from_secs(60), "no samples after a minute");
        std::thread::sleep(Duration::from_millis(5));
    }
    let pid = child.id().to_string();
    let sent = std::process::Command::new("kill").args([signal, &pid]).status().unwrap();
    assert!(sent.success());
    child.wait_with_output().unwrap()
}

#[cfg(unix)]
#[test]
fn an_interrupted_run_says_so_and_goes_on_to_the_identical_answer() {
    let whole = Room::new().run(&RUN);
    let room = Room::new();
    let broken = broken_off(&room, &RUN, "-INT");
    let (out, err) = (String::from_utf8(broken.stdout).unwrap(), String::from_utf8(broken.stderr).unwrap());
    assert_eq!(broken.status.code(), Some(130), "{err}");
    assert!(err.contains("interrupted") && err.contains("--resume"), "{err}");
    assert!(out.lines().count() > 100, "what is complete is written");
    assert_ne!(out, whole);
    // Without --resume the samples are not overwritten.
    let again = room.output(&RUN);
    assert_eq!(again.status.code(), Some(2));
    assert!(String::from_utf8(again.stderr).unwrap().contains("not finished"));
    let resumed = room.run(&with(&["--resume"]));
    assert_eq!(resumed, whole);
    assert!(!room.has("scatter.samples"));
}

#[cfg(unix)]
#[test]
fn a_killed_run_loses_no_whole_chunk() {
    let whole = Room::new().run(&RUN);
    let room = Room::new();
    let broken = broken_off(&room, &RUN, "-KILL");
    assert_eq!(broken.status.code(), None);
    let store = room.0.path().join("scatter.samples");
    let kept = std::fs::metadata(&store).unwrap().len();
    // As if the kill had come in the middle of a write: a torn tail, and then rubbish.
    let mut bytes = std::fs::read(&store).unwrap();
    bytes.extend_from_slice(&[1, 0, 0, 0, 9, 9, 9]);
    std::fs::write(&store, &bytes).unwrap();
    let resumed = room.run(&with(&["--resume", "--store", "scatter.samples"]));
    assert_eq!(resumed, whole);
    // Named by the user, the file stays; it holds all that was there before and the rest.
    assert!(std::fs::metadata(&store).unwrap().len() > kept);
    // A damaged chunk and all behind it are done again.
    let mut bytes = std::fs::read(&store).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 0x40;
    std::fs::write(&store, &bytes).unwrap();
    let mended = room.run(&with(&["--resume", "--store", "scatter.samples"]));
    assert_eq!(mended, whole);
}

#[test]
fn a_run_goes_on_only_with_the_same_question() {
    let room = Room::new();
    room.write("case.toml", rimhold::model::builtin("quarter").unwrap());
    let ask = |more: &[&str]| {
        let mut all = vec![
            "scatter",
            "case.toml",
            "one-by-one-bare",
            "--samples",
            "20",
            "--cells",
            "100",
            "--steps",
            "2",
            "--store",
            "kept",
            "--quiet",
        ];
        all.extend(more);
        let output = room.output(&all);
        (output.status.code(), String::from_utf8(output.stderr).unwrap())
    };
    assert_eq!(ask(&[]).0, Some(0));
    assert_eq!(ask(&["--resume"]).0, Some(0), "a finished run can be read again");
    for (more, named) in [
        (["--seed", "2"], "seed: the file has 1, asked for is 2"),
        (["--under", "60"], "under: the file has 50 N, asked for is 60 N"),
        (["--sampler", "random"], "sampler: the file has LatinHypercube, asked for is Random"),
    ] {
        let mut all = vec!["--resume"];
        all.extend(more);
        let (code, err) = ask(&all);
        assert_eq!(code, Some(2), "{err}");
        assert!(err.contains(named), "{err}");
    }
    let text = rimhold::model::builtin("quarter").unwrap().replace("10.0", "11.0");
    room.write("case.toml", &text);
    let (code, err) = ask(&["--resume"]);
    assert_eq!(code, Some(2));
    assert!(err.contains("case: the file has"), "{err}");
    // Nothing that is not ours is touched.
    room.write("kept", "my notes");
    let (code, err) = ask(&["--resume"]);
    assert_eq!(code, Some(2), "{err}");
    assert_eq!(ask(&[]).0, Some(2));
    assert_eq!(std::fs::read_to_string(room.0.path().join("kept")).unwrap(), "my notes");
    let (code, err) = {
        let output = room.output(&["scatter", "--resume"]);
        (output.status.code(), String::from_utf8(output.stderr).unwrap())
    };
    assert_eq!(code, Some(2));
    assert!(err.contains("there is no `scatter.samples`"), "{err}");
}
