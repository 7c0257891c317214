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
            if let Ok(style) =
                ProgressStyle::with_template(&format!("{doing} {{pos}} of {{len}}  {{elapsed}}"))
            {
                shown.set_style(style);
            }
            shown.set_draw_target(ProgressDrawTarget::stderr());
            shown.enable_steady_tick(Duration::from_millis(200));
            let _ = wait.recv();
            shown.finish_and_clear();
        });
        Self {
            bar,
            watch: Some((done, watch)),
        }
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
        }
    }
}
