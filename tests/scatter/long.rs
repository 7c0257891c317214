//! Long runs from outside: the same digits for any number of threads, and what Ctrl-C leaves.

use crate::room::Room;
use std::io::{Read, Seek};
use std::process::Stdio;
use std::time::{Duration, Instant};

/// A run of about two seconds.
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

#[test]
fn digits_do_not_depend_on_threads() {
    let room = Room::new();
    let inputs = "[spread]\nbed.friction = { uniform = [0.4, 0.5] }\nbite.stiffness = { uniform = [3.0, 5.0] }\n";
    room.write("spread.toml", inputs);
    let outputs: Vec<String> = ["1", "2", "7"]
        .map(|threads| {
            let mut arguments = RUN.to_vec();
            arguments[3] = "single-row";
            arguments[5] = "40";
            arguments.extend(["--indices", "16", "--spread", "spread.toml"]);
            let output = room.command(&arguments).env("RAYON_NUM_THREADS", threads).output().unwrap();
            assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
            String::from_utf8(output.stdout).unwrap()
        })
        .into();
    assert!(outputs[0].lines().count() > 40);
    assert!(outputs[0].contains("Sobol' index of compression"));
    assert_eq!(outputs[0], outputs[1]);
    assert_eq!(outputs[0], outputs[2]);
    assert_eq!(std::fs::read_dir(room.0.path()).unwrap().count(), 1);
}

/// Processor time that a process has used, s (Linux: proc(5), fields 14 and 15 of `stat`); none when it is gone.
#[cfg(target_os = "linux")]
fn worked(child: &std::process::Child) -> Option<f64> {
    let stat = std::fs::read_to_string(format!("/proc/{}/stat", child.id())).ok()?;
    let fields: Vec<&str> = stat.rsplit(')').next()?.split_whitespace().collect();
    if fields[0] == "Z" {
        return None;
    }
    // A tick is a hundredth of a second, as sysconf(_SC_CLK_TCK) has it on Linux.
    Some((fields[11].parse::<f64>().ok()? + fields[12].parse::<f64>().ok()?) / 100.0)
}

/// Starts a run, lets it work for so many seconds of processor time, and asks it to end; with how it ended,
/// the processor time that it took for that.
#[cfg(target_os = "linux")]
fn interrupted(room: &Room, arguments: &[&str], after: f64) -> (std::process::Output, f64) {
    // Into a file: nobody reads a pipe while it is waited for.
    let (mut out, path) = tempfile::NamedTempFile::new().unwrap().into_parts();
    let to = Stdio::from(out.try_clone().unwrap());
    let child = room.command(arguments).stdout(to).stderr(Stdio::piped()).spawn().unwrap();
    let start = Instant::now();
    let wait = || {
        assert!(start.elapsed() < Duration::from_secs(300), "it neither works nor ends");
        std::thread::sleep(Duration::from_millis(5));
    };
    while worked(&child).expect("it ended by itself") < after {
        wait();
    }
    let sent = std::process::Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap();
    assert!(sent.success());
    let (asked, mut last) = (worked(&child).unwrap_or(after), after);
    while let Some(now) = worked(&child) {
        last = now;
        wait();
    }
    let mut ended = child.wait_with_output().unwrap();
    out.rewind().unwrap();
    out.read_to_end(&mut ended.stdout).unwrap();
    drop(path);
    (ended, last - asked)
}

/// What is complete is written, nothing is left behind, and another question can be asked in its place.
#[cfg(target_os = "linux")]
#[test]
fn an_interrupted_run_says_what_is_complete_and_leaves_nothing_behind() {
    let room = Room::new();
    let mut many = RUN.to_vec();
    many[5] = "300000";
    let (broken, _) = interrupted(&room, &many, 1.5);
    let (out, err) = (String::from_utf8(broken.stdout).unwrap(), String::from_utf8(broken.stderr).unwrap());
    assert_eq!(broken.status.code(), Some(130), "{err}");
    let done = err.split_once("interrupted: ").and_then(|(_, rest)| rest.split_once(" of 300000 samples are done"));
    let done: u64 = done.expect(&err).0.parse().unwrap();
    assert!(done > 0);
    assert!(out.lines().count() > 100, "what is complete is written");
    assert_eq!(std::fs::read_dir(room.0.path()).unwrap().count(), 0);
    let mut sweep = vec!["sweep", "quarter", "one-by-one", "--vary", "bed.friction=0.3..0.9:900", "--cells", "600"];
    sweep.extend(["--quiet", "--format", "csv"]);
    let (broken, _) = interrupted(&room, &sweep, 1.0);
    let err = String::from_utf8(broken.stderr).unwrap();
    assert_eq!(broken.status.code(), Some(130), "{err}");
    assert!(err.contains(" of 900 points are done and stand above"), "{err}");
    assert!(broken.stdout.len() > 100);
}

/// On a bed of 20000 cells a sample takes a second of processor time and more: the end comes within a step of
/// it, not after a batch of samples.
#[cfg(target_os = "linux")]
#[test]
fn the_end_comes_in_the_midst_of_a_sample() {
    let ask = ["scatter", "quarter", "one-by-one", "--cells", "20000", "--samples", "500", "--steps", "40"];
    let room = Room::new();
    let (broken, took) = interrupted(&room, &ask, 2.0);
    let err = String::from_utf8(broken.stderr).unwrap();
    assert_eq!(broken.status.code(), Some(130), "{err}");
    println!("{took} s of processor time to end");
    // A batch of 128 samples took a hundred.
    assert!(took < 3.0, "{took}");
}
