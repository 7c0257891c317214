//! The question of a run in words, so that it is gone on with only under the same one.

use super::arguments::Scatter as Arguments;
use super::checksum::checksum;
use super::job::Job;

/// What was asked, by name, so that samples of one question are never taken for those of another.
pub(super) fn asked(typed: &Arguments, job: &Job) -> Vec<(String, String)> {
    let mut list = texts_asked(job);
    let mut say = |name: &str, value: String| list.push((name.to_owned(), value));
    let lines: Vec<String> = job.design.dimensions.iter().map(|d| format!("{d:?}")).collect();
    let text = format!("{lines:?}{:?}", job.design.correlations);
    say("spread", format!("{} (text {:016x})", job.design.source, checksum(text.as_bytes())));
    say("seed", typed.seed.to_string());
    say("samples", typed.samples.to_string());
    say("sampler", format!("{:?}", typed.sampler.method()));
    say("from", format!("{:?}", job.probe.from));
    say("direction", format!("{} {:?}", typed.direction.name, <[f64; 3]>::from(typed.direction.vector)));
    say("to", format!("{} mm", typed.to));
    say("under", format!("{} N", typed.under));
    say("cells", typed.cells.to_string());
    say("steps", typed.steps.to_string());
    say("indices", typed.indices.unwrap_or(0).to_string());
    list
}

/// The version and the files of a question.
pub(super) fn texts_asked(job: &Job) -> Vec<(String, String)> {
    let mut list = vec![("version".to_owned(), env!("CARGO_PKG_VERSION").to_owned())];
    for (k, (name, text)) in job.subject.texts().enumerate() {
        let what = if k == 0 { "case".to_owned() } else { format!("construct {k}") };
        list.push((what, format!("{name} (text {:016x})", checksum(text.as_bytes()))));
    }
    list
}
