//! A sign of life for what takes longer than a second.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::IsTerminal;
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::thread::JoinHandle;
use std::time::Duration;

/// What is not worth showing.
const PATIENCE: Duration = Duration::from_secs(1);

/// A bar on standard error that appears after a second; nothing when that is no terminal.
pub(super) struct Progress {
    bar: ProgressBar,
    watch: Option<(Sender<()>, JoinHandle<()>)>,
}

impl Progress {
    /// A bar over `total` pieces of solving.
    pub fn start(total: usize, quiet: bool) -> Self {
        Self::of("solving", total, quiet)
    }

    /// A bar over `total` pieces of what `doing` says.
    pub fn of(doing: &'static str, total: usize, quiet: bool) -> Self {
        let bar = ProgressBar::with_draw_target(Some(total as u64), ProgressDrawTarget::hidden());
        if quiet || !std::io::stderr().is_terminal() {
            return Self { bar, watch: None };
        }
        let (done, wait) = channel::<()>();
        let shown = bar.clone();
        let watch = std::thread::spawn(move || {
            if wait.recv_timeout(PATIENCE) != Err(RecvTimeoutError::Timeout) {
                return;
            }
            if let Ok(style) = ProgressStyle::with_template(&format!("{doing} {{pos}} of {{len}}  {{elapsed}}")) {
                shown.set_style(style);
            }
            shown.set_draw_target(ProgressDrawTarget::stderr());
            shown.enable_steady_tick(Duration::from_millis(200));
            let _ = wait.recv();
            shown.finish_and_clear();
        });
        Self { bar, watch: Some((done, watch)) }
    }

    /// The same for long work: how many, how fast, how much longer. `done` of them are done already.
    pub fn long(total: u64, done: u64, what: &str, quiet: bool) -> Self {
        let bar = ProgressBar::with_draw_target(Some(total), ProgressDrawTarget::hidden());
        let shown = !quiet && std::io::stderr().is_terminal();
        let template = format!("{{pos}} of {{len}} {what}  {{per_sec}}  {{eta}} left");
        if let (true, Ok(style)) = (shown, ProgressStyle::with_template(&template)) {
            bar.set_style(style);
            bar.set_draw_target(ProgressDrawTarget::stderr());
            bar.enable_steady_tick(Duration::from_millis(200));
        }
        bar.set_position(done);
        bar.reset_eta();
        Self { bar, watch: None }
    }

    /// Work of unknown length: how much is done, and the best so far.
    pub fn open(what: &str, quiet: bool) -> Self {
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        let shown = !quiet && std::io::stderr().is_terminal();
        let template = format!("{{pos}} {what}  {{per_sec}}  {{elapsed}}  {{msg}}");
        if let (true, Ok(style)) = (shown, ProgressStyle::with_template(&template)) {
            bar.set_style(style);
            bar.set_draw_target(ProgressDrawTarget::stderr());
            bar.enable_steady_tick(Duration::from_millis(200));
        }
        Self { bar, watch: None }
    }

    /// Says something beside the count.
    pub fn say(&self, words: String) {
        self.bar.set_message(words);
    }

    /// One piece is done.
    pub fn step(&self) {
        self.bar.inc(1);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some((done, watch)) = self.watch.take() {
            drop(done);
            let _ = watch.join();
        } else {
            self.bar.finish_and_clear();
        }
    }
}
