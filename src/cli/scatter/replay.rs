//! One sample again, in full; and the list of inputs.

use super::arguments::Scatter as Arguments;
use super::job::Job;
use crate::cli::arguments::{Common, Format};
use crate::cli::failure::Failure;
use crate::cli::open::Opened;
use crate::cli::output::{note, print};
use crate::cli::run::present_compared;
use crate::cli::work::work;
use crate::model::spread::Subject;
use crate::show::report::{CAUTION, Drawn, Page, SampleShown, inputs_csv, inputs_table, replay_table};
use crate::study::ComparePlan;

/// Shows what was drawn for a sample and what came of it, state by state.
pub(super) fn replay(job: &Job, sample: u64, typed: &Arguments, common: &Common) -> Result<(), Failure> {
    let (samples, from) = (typed.samples, typed.from);
    if sample >= samples {
        return Err(Failure::Input(format!(
            "there is no sample {sample}: with --samples {samples} they are numbered 0 to {}",
            samples - 1
        )));
    }
    let draws = job.drawn(sample);
    let mut subject = job.subject.clone();
    job.design.apply(&draws, &mut subject);
    let drawn = job.design.dimensions.iter().zip(&draws);
    let shown = SampleShown {
        number: sample,
        samples,
        seed: typed.seed,
        sampler: typed.sampler.sampler(),
        spread: job.design.source.clone(),
        drawn: drawn
            .map(|(d, value)| Drawn {
                path: d.path.clone(),
                value: *value,
                usage: d.use_word().to_owned(),
                unit: d.unit().to_owned(),
                said: d.said(*value),
            })
            .collect(),
    };
    let mut page = Page::new(common.colour.on_stdout());
    replay_table(&mut page, &shown);
    let text = page.finish();
    if common.format == Format::Table {
        print(&text)?;
    }
    let reading = job.read(&subject);
    let case = reading.case.map_err(|why| Failure::Other(format!("sample {sample} makes no fragment: {why}")))?;
    let mut constructs = Vec::new();
    for (name, construct) in job.names.iter().zip(reading.constructs) {
        match construct {
            Ok(construct) => constructs.push(construct),
            Err(why) => note(&format!("sample {sample} makes no construct {name}: {why}")),
        }
    }
    let plan = ComparePlan { from: from.start(), push: Some(job.probe.plan()), rose: false };
    let results = work(&case, &constructs, &plan, common.quiet);
    present_compared(&Opened { named: case.name.clone(), case, constructs }, results, from, &job.probe, shown, common)
}

/// Shows every input that can be varied.
pub(super) fn list_inputs(subject: &Subject, common: &Common) -> Result<(), Failure> {
    let known = subject.known();
    match common.format {
        Format::Table | Format::Markdown => {
            let mut page = Page::new(common.colour.on_stdout());
            inputs_table(&mut page, &known);
            page.caution(CAUTION);
            print(&page.finish())
        }
        Format::Csv => print(&inputs_csv(&known)),
        Format::Json => Err(Failure::Input("`--inputs` is given as a table or as CSV, not as JSON".to_owned())),
    }
}
