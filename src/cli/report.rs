//! The command `report`: everything that a talk and a methods section need, in one folder.

mod inputs;
mod interrupt;
mod pictures;
mod sweeps;
mod verified;

use super::arguments::Report;
use super::failure::Failure;
use super::folder::{self, MANIFEST};
use super::open::{Opened, check_start, open};
use super::output::{note, print};
use super::place::search;
use super::progress::Progress;
use super::scatter::InMemory;
use super::work::work;
use crate::show::report::CAUTION;
use crate::show::report::order_reading;
use crate::show::report::paper::{
    Found, Hashed, METHODS, Manifest, Output, Plate, Record, Run, bibliography, methods, missing, page, plates, sha256,
};
use crate::study::result::{Orders, Start};
use crate::study::{Chosen, ComparePlan, OrdersPlan, orders};
use inputs::Inputs;
use rayon::prelude::*;
use std::path::Path;

/// Constructs of a report when none are given.
const REPORTED: [&str; 3] = ["one-by-one", "two-by-two-crossed", "single-row"];
/// The commit that the program was built from, where the builder said so.
const COMMIT: Option<&str> = option_env!("RIMHOLD_COMMIT");

/// Runs the studies and writes the report.
pub(super) fn run(wanted: &Report, quiet: bool) -> Result<(), Failure> {
    let names =
        if wanted.constructs.is_empty() { REPORTED.map(str::to_owned).to_vec() } else { wanted.constructs.clone() };
    let opened = open(&wanted.case, &names)?;
    check_start(&opened, wanted.from.start())?;
    let inputs = Inputs::read(wanted, &names, &opened)?;
    let scatter = scatter(wanted, &names, quiet)?;
    let sweeps = sweeps::ready(wanted, &names, quiet)?;
    let folder = folder::place(&wanted.out, wanted.beside)?;
    interrupt::listen();
    // First: it may find that nothing can be sought.
    let place = match names.last().filter(|_| wanted.place) {
        Some(last) => {
            let how = (wanted.robust, wanted.against);
            let found = search(&wanted.case, last, wanted.from, wanted.seed, how, quiet)?;
            Some(found)
        }
        None => None,
    };
    let found = solve(wanted, &opened, quiet);
    let verified = verified::verify(wanted, &opened, &found, quiet)?;
    let scatter = scatter
        .map(|study| study.run(quiet))
        .transpose()
        .map_err(|e| Failure::Other(format!("the samples could not be kept: {e}")))?;
    let sweeps = sweeps::run(&sweeps, quiet)?;
    let drawn = plates(
        &opened.case,
        &opened.constructs,
        &found,
        scatter.as_ref(),
        &sweeps,
        place.as_ref(),
        wanted.style.style(),
    );
    let record = Record::new(&Run {
        case: &opened.case,
        constructs: &opened.constructs,
        found: &found,
        verified: &verified,
        scatter: scatter.as_ref(),
        sweeps: &sweeps,
        place: place.as_ref(),
        case_file: &inputs.case,
        construct_files: &inputs.constructs,
        from: wanted.from.start(),
        direction: &wanted.way.direction.name,
        to: wanted.way.to,
        guided: wanted.way.guided,
        plates: &drawn,
        commit: COMMIT.unwrap_or("unknown"),
        again: &inputs.again,
    });
    let mut outputs = texts(&record, &drawn, &inputs, quiet)?;
    outputs.extend(pictures::pictures(&drawn, wanted.svg_only, quiet)?);
    outputs.sort_by(|a, b| a.path.cmp(&b.path));
    outputs.push(manifest(&record, &inputs, &outputs)?);
    folder::write(&folder, &outputs)?;
    tell(&record, &folder, drawn.len(), quiet)?;
    if !found.iter().all(|f| f.tally().is_whole()) {
        return Err(Failure::uncertified());
    }
    Ok(())
}

/// The study of scatter, ready to be run: mistakes in a spread are told before the work.
fn scatter(wanted: &Report, names: &[String], quiet: bool) -> Result<Option<InMemory>, Failure> {
    if wanted.samples == 0 {
        return match wanted.indices {
            None => Ok(None),
            Some(_) => Err(Failure::Input("--indices needs samples\n  leave out --samples 0, or --indices".to_owned())),
        };
    }
    let study =
        InMemory::new(&wanted.case, names, wanted.from, &wanted.way, wanted.samples, wanted.seed, wanted.indices)?;
    if !quiet {
        for warning in study.warnings() {
            note(&format!("warning: {}; {}", warning.message, warning.advice));
        }
    }
    Ok(Some(study))
}

/// Ties in every order, from the displaced position where the case's is one that tying can start from.
fn tie(wanted: &Report, opened: &Opened, quiet: bool) -> Vec<Orders> {
    let from = match opened.case.sunk() {
        None => Start::Displaced,
        Some(_) => Start::Reduced,
    };
    let plan = OrdersPlan { from, ..OrdersPlan::default() };
    let chosen: Vec<Chosen> = opened.constructs.iter().map(|construct| Chosen::all(construct, wanted.seed)).collect();
    let total = chosen.iter().map(|c| c.orders.len()).sum();
    let progress = Progress::of("tying", total, quiet);
    opened
        .constructs
        .iter()
        .zip(&chosen)
        .map(|(construct, chosen)| {
            let done = || progress.step();
            let mut found = orders(&opened.case, construct, chosen, &plan, &done);
            found.reading = order_reading(construct, &found, &[]);
            found
        })
        .collect()
}

/// Ties, pushes, pushes all round, does it once more on a bed of cells half as wide, and ties in every
/// order.
fn solve(wanted: &Report, opened: &Opened, quiet: bool) -> Vec<Found> {
    let plan = ComparePlan { from: wanted.from.start(), push: Some(wanted.way.plan()), rose: true };
    let (case, constructs) = (&opened.case, &opened.constructs);
    let compared = work(case, constructs, &plan, quiet);
    let mut finer_case = case.clone();
    finer_case.bed.cells *= 4;
    let finer_plan = ComparePlan { rose: false, ..plan };
    let finer = work(&finer_case, constructs, &finer_plan, quiet);
    compared
        .into_iter()
        .zip(finer)
        .zip(tie(wanted, opened, quiet))
        .map(|((compared, finer), orders)| Found { compared, finer, orders })
        .collect()
}

fn output(path: impl Into<String>, text: impl Into<Vec<u8>>) -> Output {
    Output { path: path.into(), bytes: text.into() }
}

/// Page, methods, tables, record and what runs it again.
fn texts(record: &Record, drawn: &[Plate], inputs: &Inputs, quiet: bool) -> Result<Vec<Output>, Failure> {
    let (name, template) = match &inputs.template {
        Some((name, text)) => (name.as_str(), text.as_str()),
        None => ("methods.md (built in)", METHODS),
    };
    let methods = methods(record, name, template).map_err(|e| Failure::Input(e.to_string()))?;
    if !quiet {
        let gaps: Vec<&str> = missing(&methods).iter().map(|p| p.what).collect();
        if !gaps.is_empty() {
            note(&format!("rimhold: the methods section of {name} does not speak of: {}", gaps.join(", ")));
        }
    }
    let page = page(record, drawn).map_err(|e| Failure::Other(e.to_string()))?;
    let mut json = serde_json::to_string_pretty(record)
        .map_err(|e| Failure::Other(format!("results.json could not be made: {e}")))?;
    json.push('\n');
    let mut outputs = vec![
        output("index.html", page),
        output("methods.md", methods),
        output("references.bib", bibliography(&record.sources)),
        output("results.json", json),
        output("rerun.sh", format!("#!/bin/sh\ncd \"$(dirname \"$0\")\" && {}\n", inputs.again)),
    ];
    for (name, table) in record.all_tables() {
        outputs.push(output(format!("tables/{name}.csv"), table.csv()));
        let text = format!("{}\n{CAUTION}\n", table.page());
        outputs.push(output(format!("tables/{name}.md"), text));
    }
    let files = std::iter::once(&inputs.case).chain(&inputs.constructs);
    for (path, file) in inputs.paths.iter().zip(files) {
        outputs.push(output(path.clone(), file.text.clone()));
    }
    if let Some((_, text)) = &inputs.template {
        outputs.push(output("inputs/template.md", text.clone()));
    }
    Ok(outputs)
}

fn manifest(record: &Record, inputs: &Inputs, outputs: &[Output]) -> Result<Output, Failure> {
    let hashes = outputs.par_iter().map(|o| Hashed { name: o.path.clone(), sha256: sha256(&o.bytes) }).collect();
    let typed = std::env::args_os().map(|a| a.to_string_lossy().into_owned()).collect();
    let manifest = Manifest::new(record, &inputs.case, &inputs.constructs, typed, hashes);
    let mut text = serde_json::to_string_pretty(&manifest)
        .map_err(|e| Failure::Other(format!("{MANIFEST} could not be made: {e}")))?;
    text.push('\n');
    Ok(output(MANIFEST, text))
}

fn tell(record: &Record, folder: &Path, figures: usize, quiet: bool) -> Result<(), Failure> {
    if !quiet {
        note(&format!(
            "report in {}: index.html, methods.md, {figures} figures, {} tables; rerun.sh runs it again",
            folder.display(),
            record.all_tables().len()
        ));
    }
    print(&format!("{}\n\n{CAUTION}\n", record.answer.join("\n")))
}
