//! The program under hostile input and faults, from outside: what is read, what is written, what is
//! cut off. Each run has a limit of time and of memory, and ends with a message and an exit code.
//!
//! `cargo test --release --test hostile -- --nocapture --test-threads 1` prints what happened as rows
//! of the table on the evidence page.

mod cut_off;
mod input;
mod output;
mod values;

use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// Longest that a run may take here, seconds. The slowest one below takes about a tenth of it alone
/// on a machine; tests share theirs.
const LONGEST: f64 = 60.0;
/// Most memory that a run may hold at once, kB.
const MOST_MEMORY: u64 = 500_000;
/// Most that a run may say on standard error, bytes: a person reads it.
const MOST_WORDS: usize = 20_000;

const PROGRAM: &str = env!("CARGO_BIN_EXE_rimhold");

/// The least that there is to compute where what is tried is how it is written: a case of few cells, one in which
/// nothing holds, of which a report is a whole folder all the same, and a construct of one limb.
struct Least {
    folder: tempfile::TempDir,
}

impl Least {
    fn new() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let save = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).expect("a file");
        save("case.toml", &format!("{}\n[bed]\ncells = 100\n", rimhold::model::builtin("small").expect("a case")));
        save("lost.toml", crate::cli::NEVER_HELD);
        save(
            "one.toml",
            "[anchor.a]\nat = { face = { along = 0, inset = 3 } }\n[anchor.b]\nat = { neck = { along = 0, beyond = 1 } }\n\
             [limb.l]\npath = [\"b\", \"rim\", \"a\"]\n",
        );
        Self { folder }
    }

    /// A command with the names of these files as the paths that they have.
    fn typed(&self, line: &str) -> String {
        let words = line.split(' ').map(|word| match word {
            "case.toml" | "lost.toml" | "one.toml" => self.folder.path().join(word).display().to_string(),
            _ => word.to_owned(),
        });
        words.collect::<Vec<_>>().join(" ")
    }
}

/// The program in a folder, ready to be given more.
fn program(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(PROGRAM);
    command.args(arguments).current_dir(folder);
    command
}

/// How a run ended.
#[derive(Debug)]
struct Ended {
    code: Option<i32>,
    out: Vec<u8>,
    err: String,
    seconds: f64,
    /// Most memory held at once, kB, as the kernel counts it; 0 where it does not say.
    peak: u64,
}

/// Runs to the end, within the limits.
fn run(command: &mut Command) -> Ended {
    command.stdin(Stdio::null()).stderr(Stdio::piped());
    let clock = Instant::now();
    let mut child = command.spawn().expect("the program starts");
    let out = drain(child.stdout.take());
    let err = drain(child.stderr.take());
    let mut peak = 0;
    let status = loop {
        peak = peak.max(memory(&child));
        if let Some(status) = child.try_wait().expect("a child to wait for") {
            break status;
        }
        if clock.elapsed().as_secs_f64() > LONGEST {
            child.kill().expect("it can be ended");
            panic!("{command:?} takes over {LONGEST} s");
        }
        std::thread::sleep(Duration::from_millis(2));
    };
    let ended = Ended {
        code: status.code(),
        out: out.join().expect("its output"),
        err: String::from_utf8_lossy(&err.join().expect("its messages")).into_owned(),
        seconds: clock.elapsed().as_secs_f64(),
        peak,
    };
    assert!(ended.peak < MOST_MEMORY, "{command:?}: {} kB", ended.peak);
    assert!(!ended.err.contains("panicked"), "{command:?}\n{}", ended.err);
    assert!(ended.err.len() < MOST_WORDS, "{command:?}\n{}", ended.err);
    ended
}

/// As [`run`], with its output kept.
fn kept(command: &mut Command) -> Ended {
    run(command.stdout(Stdio::piped()))
}

fn drain(stream: Option<impl Read + Send + 'static>) -> std::thread::JoinHandle<Vec<u8>> {
    std::thread::spawn(move || {
        let mut bytes = Vec::new();
        if let Some(mut stream) = stream {
            stream.read_to_end(&mut bytes).expect("a stream to read");
        }
        bytes
    })
}

/// Most memory that a child has held so far, kB.
fn memory(child: &Child) -> u64 {
    let status = std::fs::read_to_string(format!("/proc/{}/status", child.id()));
    status
        .ok()
        .and_then(|s| {
            let line = s.lines().find_map(|l| l.strip_prefix("VmHWM:"))?;
            line.split_whitespace().next()?.parse().ok()
        })
        .unwrap_or(0)
}

/// One row of the table on the evidence page.
fn row(tried: &str, how: &str, happened: &str, runs: &[&Ended]) {
    let seconds = runs.iter().map(|r| r.seconds).fold(0.0, f64::max);
    let peak = runs.iter().map(|r| r.peak).max().unwrap_or(0);
    // Too quick to be looked at, or run by a shell, whose memory says nothing.
    let peak = match peak {
        0..4000 => "—".to_owned(),
        kilobytes => format!("{:.0} MB", kilobytes as f64 / 1000.0),
    };
    println!("| {tried} | {how} | {happened} | {seconds:.2} s | {peak} |");
}

/// Names below a folder, sorted, those in hidden rooms too.
fn listed(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut left = vec![folder.to_owned()];
    while let Some(next) = left.pop() {
        for entry in std::fs::read_dir(&next).into_iter().flatten() {
            let path = entry.expect("an entry").path();
            if path.is_dir() && !path.is_symlink() {
                left.push(path.clone());
            }
            found.push(path.strip_prefix(folder).expect("below it").to_owned());
        }
    }
    found.sort();
    found
}
