//! The ready-made sweeps of a report.

use super::super::arguments::Report;
use super::super::failure::Failure;
use super::super::output::note;
use super::super::scatter::Reported;
use crate::show::report::paper::ReportedSweep;

/// The sweeps asked for, each once: mistakes are told before the work.
pub(super) fn ready(wanted: &Report, names: &[String], quiet: bool) -> Result<Vec<Reported>, Failure> {
    let mut asked: Vec<&str> = Vec::new();
    for name in &wanted.sweep {
        if !asked.contains(&name.as_str()) {
            asked.push(name);
        }
    }
    let mut ready = Vec::new();
    for name in asked {
        let sweep = Reported::new(name, &wanted.case, names, &wanted.way)?;
        if !quiet && !sweep.left_out().is_empty() {
            note(&format!("--sweep {name}: left out, without such an input: {}", sweep.left_out().join(", ")));
        }
        ready.push(sweep);
    }
    Ok(ready)
}

/// Runs them, one after the other.
pub(super) fn run(ready: &[Reported], quiet: bool) -> Result<Vec<ReportedSweep>, Failure> {
    let one = |sweep: &Reported| Ok(ReportedSweep { sweep: sweep.run(quiet)?, left_out: sweep.left_out().to_vec() });
    let done: std::io::Result<Vec<ReportedSweep>> = ready.iter().map(one).collect();
    done.map_err(|e| Failure::Other(format!("the points of a sweep could not be kept: {e}")))
}
