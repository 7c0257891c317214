//! A sign of life for what takes longer than a second, and the end that was asked for.

use super::stop;
use crate::optimise::Judged;
use crate::study::Watcher;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressState, ProgressStyle};
use std::fmt::Write;
use std::io::IsTerminal;
use std::sync::Mutex;
use std::time::Duration;

/// What is not worth showing.
const PATIENCE: Duration = Duration::from_secs(1);

/// Looks on for the user: a bar on standard error that appears after a second, nothing when that is no
/// terminal.
pub(super) struct Progress {
    bar: ProgressBar,
    /// What a search seeks: whether more is better, and its unit.
    sought: Option<(bool, String)>,
    best: Mutex<f64>,
}

impl Progress {
    /// A bar, unless there is to be quiet.
    pub fn start(quiet: bool) -> Self {
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        if !quiet && std::io::stderr().is_terminal() {
            let shown = bar.downgrade();
            std::thread::spawn(move || {
                std::thread::sleep(PATIENCE);
                if let Some(bar) = shown.upgrade().filter(|bar| !bar.is_finished()) {
                    bar.set_draw_target(ProgressDrawTarget::stderr());
                    bar.enable_steady_tick(Duration::from_millis(200));
                }
            });
        }
        Self { bar, sought: None, best: Mutex::new(f64::INFINITY) }
    }

    /// The same with the best so far of a search.
    pub fn seeking(more_is_better: bool, unit: &str, quiet: bool) -> Self {
        let mut progress = Self::start(quiet);
        progress.sought = Some((more_is_better, unit.to_owned()));
        progress
    }
}

/// How fast, in three digits at most.
fn rate(per_second: f64) -> String {
    match per_second {
        r if r >= 10.0 => format!("{r:.0}/s"),
        r if r >= 1.0 => format!("{r:.1}/s"),
        r => format!("{r:.2}/s"),
    }
}

impl Watcher for Progress {
    fn stage(&self, steps: u64, what: &'static str) {
        let left = if steps > 0 {
            "{pos} of {len} {prefix}  {rate}  {eta} left"
        } else {
            "{pos} {prefix}  {rate}  {elapsed}  {msg}"
        };
        if let Ok(style) = ProgressStyle::with_template(left) {
            let key = |state: &ProgressState, out: &mut dyn Write| _ = out.write_str(&rate(state.per_sec()));
            self.bar.set_style(style.with_key("rate", key));
        }
        self.bar.set_prefix(what);
        self.bar.reset();
        if steps > 0 {
            self.bar.set_length(steps);
        }
    }

    fn step(&self) {
        self.bar.inc(1);
    }

    fn judged(&self, _: &[f64], judged: &Judged) {
        self.bar.inc(1);
        let (Some((more_is_better, unit)), true, Ok(mut best)) = (&self.sought, judged.is_feasible(), self.best.lock())
        else {
            return;
        };
        if judged.cost < *best {
            *best = judged.cost;
            let value = if *more_is_better { -judged.cost } else { judged.cost };
            self.bar.set_message(format!("best so far {value:.3} {unit}"));
        }
    }

    fn stops(&self) -> bool {
        stop::asked()
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn a_rate_has_three_digits_at_most() {
        assert_eq!([993.2972, 31.46, 3.146, 0.031_46].map(super::rate), ["993/s", "31/s", "3.1/s", "0.03/s"]);
    }
}
