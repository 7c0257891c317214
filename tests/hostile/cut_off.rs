//! Runs that are interrupted or killed, at any moment and in the midst of writing.

use crate::hostile::{Least, kept, listed, program};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// Files below a folder with their bytes, hidden rooms left out.
fn contents(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    listed(folder)
        .into_iter()
        .filter(|p| !p.to_string_lossy().contains(".rimhold-"))
        .filter(|p| folder.join(p).is_file())
        .map(|p| (p.clone(), std::fs::read(folder.join(p)).unwrap()))
        .collect()
}

fn has_room(folder: &Path) -> bool {
    let inside = |folder: &Path| {
        std::fs::read_dir(folder)
            .into_iter()
            .flatten()
            .flatten()
            .any(|e| e.file_name().to_string_lossy().starts_with(".rimhold-"))
    };
    inside(folder) || inside(&folder.join("out"))
}

/// When a run is cut off.
#[derive(Clone, Copy)]
enum When {
    /// So long after its start.
    After(Duration),
    /// So long after its hidden room is there.
    Writing(Duration),
}

/// Starts a run and cuts it off; whether it was still running.
fn cut(folder: &Path, typed: &[&str], when: When, signal: &str) -> bool {
    let mut child =
        program(folder, typed).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
    let clock = Instant::now();
    let wait = match when {
        When::After(wait) => wait,
        When::Writing(wait) => {
            while !has_room(folder) && clock.elapsed() < Duration::from_secs(30) {
                if child.try_wait().unwrap().is_some() {
                    return false;
                }
                std::thread::yield_now();
            }
            wait
        }
    };
    std::thread::sleep(wait);
    if signal == "KILL" {
        // Without the detour over a program that sends it.
        let _ = child.kill();
    } else {
        let sent =
            Command::new("kill").args([&format!("-{signal}"), &child.id().to_string()]).stderr(Stdio::null()).status();
        assert!(sent.is_ok());
    }
    // Some end by the signal, some take back what they had begun and say so in their code.
    matches!(child.wait().unwrap().code(), None | Some(130))
}

#[test]
fn what_is_cut_off_leaves_whole_files_or_none() {
    let new = ["new", "--side", "left", "--diameter", "27", "--width", "22 %", "--middle", "4:15", "--out", "out.toml"];
    // Studies as short as they come: what is tried is how they write.
    let least = Least::new();
    let commands = [
        ("compare", "compare case.toml one-by-one one.toml --steps 4 --draws 0 --figures out"),
        ("tie", "tie case.toml one.toml --figures out"),
        ("report", "report lost.toml one-by-one --svg-only --no-suite --samples 0 --out out"),
        ("man", "man out"),
    ]
    .map(|(name, line)| (name, least.typed(line)));
    let mut commands: Vec<(&str, Vec<&str>)> =
        commands.iter().map(|(name, line)| (*name, line.split(' ').collect())).collect();
    commands.push(("new", new.to_vec()));
    let mut midsts = 0;
    for (name, typed) in &commands {
        let whole = tempfile::tempdir().unwrap();
        assert_eq!(kept(&mut program(whole.path(), typed)).code, Some(0));
        let whole = contents(whole.path());
        assert!(!whole.is_empty());
        let (mut runs, mut cut_off, mut midst, mut mixed) = (0, 0, 0, 0);
        for signal in ["INT", "TERM", "KILL"] {
            // SIGTERM goes the way of SIGINT.
            let few = signal == "TERM";
            let after = [0, 4, 16, 64].into_iter().skip(if few { 3 } else { 0 }).map(Duration::from_millis);
            let writing: &[u64] = match *name {
                _ if few => &[0],
                // It takes longest to draw, and writes as the others do.
                "tie" => &[0, 2000],
                _ => &[0, 500, 2000, 8000],
            };
            let writing = writing.iter().copied().map(Duration::from_micros);
            let moments: Vec<When> = after.map(When::After).chain(writing.map(When::Writing)).collect();
            for (k, when) in moments.iter().enumerate() {
                let folder = tempfile::tempdir().unwrap();
                std::fs::write(folder.path().join("foreign"), "mine").unwrap();
                runs += 1;
                cut_off += usize::from(cut(folder.path(), typed, *when, signal));
                midst += usize::from(has_room(folder.path()));
                let mut found = contents(folder.path());
                assert_eq!(found.remove(Path::new("foreign")).unwrap(), b"mine");
                for (path, bytes) in &found {
                    assert!(whole[path] == *bytes, "{name}, {signal}: {path:?} is not whole");
                }
                mixed += usize::from(!found.is_empty() && found.len() < whole.len());
                // What was killed in the midst may leave its hidden folder; one that was asked to end does not.
                assert!(signal == "KILL" || !has_room(folder.path()), "{name}, {signal}");
                if k + 1 != moments.len().min(4) {
                    continue;
                }
                // The next run finishes all the same.
                let again = kept(&mut program(folder.path(), typed));
                if *name == "new" && !found.is_empty() {
                    assert_eq!(again.code, Some(1), "{}", again.err);
                } else {
                    assert_eq!(again.code, Some(0), "{name}: {}", again.err);
                }
                let mut found = contents(folder.path());
                found.remove(Path::new("foreign"));
                assert!(found == whole, "{name}, {signal}");
            }
        }
        // Else this has tried nothing.
        assert!(cut_off > 0, "{name}: none was cut off");
        midsts += midst;
        println!(
            "| SIGINT and SIGKILL at 6 to 8 moments, SIGTERM at 2 | `{name}` | {cut_off} of {runs} runs cut off, {midst} while writing; every file in its place whole ({mixed} times some of the set); the next run finishes all the same | | |"
        );
    }
    assert!(midsts > 0, "none was cut off while it wrote");
}
