//! Each command: open, work, write.

use super::arguments::{Arguments, Command, Common, Format, From, Pushing};
use super::failure::Failure;
use super::open::{Opened, check_start, open};
use super::output::{json, note, print};
use super::work::work;
use super::{arguments, figures, make, place, report, scatter, verify};
use crate::show::report::{
    Asked, CAUTION, CaseSummary, ConstructSummary, Described, Document, Page, SampleShown, Versus, case_csv,
    case_table, compare_table, compared, curve_csv, hold_table, push_table, result_csv,
};
use crate::study::ComparePlan;
use crate::study::result::Compared;
use crate::study::scatter::Probe;
use std::path::{Path, PathBuf};

/// Folder of the figures of `compare` when nothing is given.
const PLOTS: &str = "plots";
/// Constructs that are compared when none are given.
const COMPARED: [&str; 2] = ["one-by-one", "two-by-two-crossed"];

/// Runs a command.
pub(super) fn run(arguments: &Arguments) -> Result<(), Failure> {
    let common = &arguments.common;
    if common.format == Format::Markdown && !matches!(arguments.command, Command::Verify(_)) {
        return Err(Failure::Input("--format markdown is for `verify`: give table, json or csv".to_owned()));
    }
    match &arguments.command {
        Command::Check(check) => {
            unused(common, "check", common.figures.is_some().then_some("--figures"));
            let opened = open(&check.case, &check.constructs)?;
            let asked = asked("check", None, None);
            present(&opened, Vec::new(), &asked, None, common)
        }
        Command::Hold(hold) => {
            let opened = open(&hold.pair.case, std::slice::from_ref(&hold.pair.construct))?;
            study("hold", &opened, hold.from, None, common, common.figures.clone())
        }
        Command::Push(push) => {
            let opened = open(&push.pair.case, std::slice::from_ref(&push.pair.construct))?;
            let folder = common.figures.clone();
            study("push", &opened, push.from, Some(&push.pushing), common, folder)
        }
        Command::Compare(compare) => {
            let case = compare.case.as_deref().unwrap_or("quarter");
            let names = if compare.constructs.is_empty() {
                COMPARED.map(str::to_owned).to_vec()
            } else {
                compare.constructs.clone()
            };
            let opened = open(case, &names)?;
            let folder = common.figures.clone().or_else(|| compare.case.is_none().then(|| PathBuf::from(PLOTS)));
            let pushing = Some(&compare.pushing);
            study("compare", &opened, compare.from, pushing, common, folder)
        }
        Command::Scatter(typed) => scatter::scatter(typed, common),
        Command::Sweep(typed) => scatter::sweep(typed, common),
        Command::Place(typed) => place::place(typed, common),
        Command::Tie(tie) => super::tie::tie(tie, common),
        Command::Report(wanted) => {
            made(common, "report");
            report::run(wanted, common.quiet)
        }
        Command::Verify(given) => {
            unused(common, "verify", common.figures.is_some().then_some("--figures"));
            verify::verify(given, common)
        }
        Command::New(new) => {
            made(common, "new");
            make::new(new, common.quiet)
        }
        Command::Completions(completions) => {
            made(common, "completions");
            let mut text = Vec::new();
            clap_complete::generate(completions.shell, &mut arguments::definition(), "rimhold", &mut text);
            print(&String::from_utf8_lossy(&text))
        }
        Command::Schema(schema) => {
            made(common, "schema");
            make::schema(schema.kind)
        }
        Command::Man(man) => {
            made(common, "man");
            make::man(man, common.quiet)
        }
    }
}

/// Says that an option has no meaning for a command, rather than pass over it in silence.
pub(super) fn unused(common: &Common, command: &str, option: Option<&str>) {
    if let (Some(option), false) = (option, common.quiet) {
        note(&format!("rimhold: {option} has no meaning for `{command}` and is not used"));
    }
}

fn made(common: &Common, command: &str) {
    unused(common, command, common.figures.is_some().then_some("--figures"));
    unused(common, command, (common.format != Format::Table).then_some("--format"));
}

pub(super) fn asked(command: &str, from: Option<From>, pushing: Option<&Pushing>) -> Asked {
    Asked {
        command: command.to_owned(),
        from: from.map(From::start),
        direction: pushing.map(|p| p.way.direction.name.clone()),
        to: pushing.map(|p| p.way.to),
        guided: pushing.map(|p| p.way.guided),
        rose: pushing.map(|p| p.rose),
        orders: None,
        stop: None,
        split: None,
    }
}

fn study(
    command: &str,
    opened: &Opened,
    from: From,
    pushing: Option<&Pushing>,
    common: &Common,
    folder: Option<PathBuf>,
) -> Result<(), Failure> {
    check_start(opened, from.start())?;
    let plan =
        ComparePlan { from: from.start(), push: pushing.map(|p| p.way.plan()), rose: pushing.is_some_and(|p| p.rose) };
    let results = work(&opened.case, &opened.constructs, &plan, common.quiet);
    let written = folder.as_deref().map(|folder| figures::write(folder, &opened.case, &opened.constructs, &results));
    let uncertified = results.iter().any(Compared::is_doubtful);
    present(opened, results, &asked(command, Some(from), pushing), None, common)?;
    if let (Some(written), Some(folder)) = (written, &folder) {
        tell(&written?, folder, common.quiet);
    }
    if uncertified {
        return Err(Failure::uncertified());
    }
    Ok(())
}

pub(super) fn tell(written: &[PathBuf], folder: &Path, quiet: bool) {
    if quiet {
        return;
    }
    if written.is_empty() {
        note("no figures: nothing was held that could be drawn");
        return;
    }
    // One line a figure: its four files differ in their endings only.
    note(&format!("figures in {}:", folder.display()));
    let mut figures: Vec<(String, Vec<String>)> = Vec::new();
    for path in written {
        let word = |part: Option<&std::ffi::OsStr>| part.map_or_else(String::new, |s| s.to_string_lossy().into_owned());
        let (stem, ending) = (word(path.file_stem()), word(path.extension()));
        match figures.iter_mut().find(|f| f.0 == stem) {
            Some(figure) => figure.1.push(ending),
            None => figures.push((stem, vec![ending])),
        }
    }
    for (stem, endings) in figures {
        note(&format!("  {stem} ({})", endings.join(", ")));
    }
}

/// A sample of a study of scatter, shown as a comparison.
pub(super) fn present_compared(
    opened: &Opened,
    results: Vec<Compared>,
    from: From,
    probe: &Probe,
    sample: SampleShown,
    common: &Common,
) -> Result<(), Failure> {
    let asked = Asked {
        command: "compare".to_owned(),
        from: Some(from.start()),
        direction: Some(probe.direction.name.clone()),
        to: Some(probe.to),
        guided: Some(false),
        rose: Some(false),
        orders: None,
        stop: None,
        split: None,
    };
    present(opened, results, &asked, Some(sample), common)
}

/// Prints what was understood and found.
fn present(
    opened: &Opened,
    results: Vec<Compared>,
    asked: &Asked,
    sample: Option<SampleShown>,
    common: &Common,
) -> Result<(), Failure> {
    let case = CaseSummary::new(&opened.case);
    let constructs: Vec<ConstructSummary> =
        opened.constructs.iter().map(|c| ConstructSummary::new(&opened.case, c)).collect();
    match common.format {
        Format::Table | Format::Markdown => print(&table(opened, &case, &constructs, &results, asked, common)),
        Format::Csv => {
            if !common.quiet {
                for warning in constructs.iter().flat_map(|c| &c.warnings) {
                    note(&format!("warning: {}", warning.message));
                }
            }
            print(&match (asked.command.as_str(), results.first()) {
                ("check", _) | (_, None) => case_csv(&case, &constructs),
                ("push", Some(Compared { push: Some(p), .. })) => curve_csv(p),
                _ => result_csv(&opened.case, &opened.constructs, &results, sample.as_ref()),
            })
        }
        Format::Json => {
            let reading = compared(&results);
            let versus = if asked.command == "compare" { Versus::first(&results) } else { Vec::new() };
            let mut results = results.into_iter();
            let described = constructs
                .into_iter()
                .zip(&opened.constructs)
                .map(|(summary, construct)| Described::new(&opened.case, construct, summary, results.next()))
                .collect();
            let mut document = Document::new(asked.clone(), case, described);
            document.sample = sample;
            document.reading = reading;
            document.versus_first = versus;
            json(&document)
        }
    }
}

fn table(
    opened: &Opened,
    case: &CaseSummary,
    constructs: &[ConstructSummary],
    results: &[Compared],
    asked: &Asked,
    common: &Common,
) -> String {
    let mut page = Page::new(common.colour.on_stdout());
    match asked.command.as_str() {
        "check" => case_table(&mut page, case, constructs),
        "compare" => compare_table(&mut page, &opened.case, &opened.constructs, results),
        _ => {
            for result in results {
                match &result.push {
                    Some(push) => push_table(&mut page, push, result.rose.as_deref()),
                    None => hold_table(&mut page, &opened.case, &result.hold),
                }
            }
            page.remarks(case, constructs);
        }
    }
    if !results.is_empty() {
        page.reading(results, &compared(results));
    }
    page.caution(CAUTION);
    page.finish()
}
