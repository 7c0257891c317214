//! The command line: one file a command, each from arguments over a plan and its run to what is shown.
//!
//! Exit codes: 0 done, also when the finding is that a fragment is not held; 2 something that was
//! typed or read is wrong; 1 anything else, such as a folder that cannot be written; 130 interrupted,
//! by Ctrl-C or in an interrupted run whose complete part was written. A reader that closes its pipe
//! ends the program quietly.

mod again;
mod check;
mod compare;
mod draw;
mod figures;
mod folder;
mod man;
mod new;
mod open;
mod place;
mod present;
mod progress;
mod refusal;
mod report;
mod say;
mod scatter;
mod schema;
mod settle;
mod stop;
mod sweep;
mod tie;
mod values;
mod verify;

use crate::CAUTION;
use clap::{ArgMatches, Args, CommandFactory, FromArgMatches, Parser, Subcommand, ValueEnum, error::ErrorKind};
pub use say::Failure;
use say::{When, note, styled};
use std::ffi::OsString;
use std::path::PathBuf;
pub use stop::catch as catch_signals;

/// How well a suture bridge holds a fractured piece of the shoulder socket's anterior rim.
///
/// A case (socket, fragment, tissue) and a construct (anchors, limbs, screws, order of tying) are TOML
/// files, or names of built-in ones. Every number that is printed comes from a state whose balance
/// of forces has been checked.
#[derive(Debug, Parser)]
#[command(name = "rimhold", version, about, long_about, disable_help_subcommand = true)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
    #[command(flatten)]
    common: Common,
}

/// What every command accepts. One that has no use for an option says so, and goes on without it.
#[derive(Debug, Clone, Args)]
#[command(next_help_heading = "Accepted by every command, used where they apply")]
struct Common {
    /// Form of the output
    #[arg(long, global = true, value_name = "FORM", default_value = "table")]
    format: Format,
    /// Also draw the figures (SVG, PNG, CSV, caption; for `tie` an animation as GIF and its single
    /// pictures too) into this folder; other people's files there are left alone
    #[arg(long, global = true, value_name = "DIR")]
    figures: Option<PathBuf>,
    /// Say nothing but the output and mistakes
    #[arg(long, short, global = true)]
    quiet: bool,
    /// When to colour
    #[arg(long, alias = "color", global = true, value_name = "WHEN", default_value = "auto")]
    colour: When,
}

/// Form of the output.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// For reading
    Table,
    /// For machines: versioned and complete
    Json,
    /// For spreadsheets: a line for each value, state of a push, or tie of an order; not for `verify`
    Csv,
    /// For a supplement: `verify` only
    Markdown,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Compare constructs on one case: hold, push, who carries the load, what gives first
    Compare(compare::Compare),
    /// Compare constructs and write it all down: page, methods section, figures, tables, manifest
    Report(Box<report::Report>),
    /// Tie a construct on a case and report how it holds
    Hold(compare::Hold),
    /// Tie a construct, push the fragment, and report how it resists
    Push(compare::Push),
    /// Settle a tied repair: relaxation and cycles of load, what moves and which part loses how much
    Settle(settle::Settle),
    /// Draw the uncertain inputs many times: how far do the answers move, and which input moves them
    Scatter(Box<scatter::Scatter>),
    /// Vary one or two inputs over a grid, or run a ready-made sweep
    Sweep(Box<sweep::Sweep>),
    /// Search better places for the anchors, and map how far each may wander
    Place(Box<place::Place>),
    /// Tie a construct in other orders, rank them, and say what each tie does to the fragment
    Tie(Box<tie::Tie>),
    /// Read a case (and a construct), and print what was understood and which defaults were taken
    Check(check::Check),
    /// Draw the fragment of a case with its measures, before any construct and with some
    Draw(draw::Draw),
    /// Run the verification that is built in, or hold the model against published bench tests
    Verify(verify::Verify),
    /// Write a case file from what was measured on CT
    New(Box<new::New>),
    /// Print the JSON Schema of a kind of file, for editors and machines
    Schema(schema::Schema),
    /// Print completions for a shell
    Completions(man::Completions),
    /// Write the man pages
    Man(man::Man),
}

/// The end of a command's help.
fn example(command: &str, words: &str) -> String {
    let words = if words.is_empty() { String::new() } else { format!("\n  {words}") };
    format!("Example:\n  {command}{words}\n\nCaution: {CAUTION}")
}

/// The whole definition, for parsing, help, completions, man pages and checks.
fn definition() -> clap::Command {
    let named = |list: &[(&str, &str)]| list.iter().map(|b| b.0).collect::<Vec<_>>().join(", ");
    let end = example(
        "rimhold compare",
        &format!("Two constructs on an invented case, with figures in {}/.", compare::FIGURES),
    );
    let (end, caution) = end.split_once("\n\n").unwrap_or((&end, ""));
    // A word is the same in capitals.
    fn any_case(command: clap::Command) -> clap::Command {
        command.mut_args(|a| a.ignore_case(true)).mut_subcommands(any_case)
    }
    any_case(Arguments::command()).max_term_width(80).after_help(format!(
        "{end}\n\nBuilt-in cases: {}\nBuilt-in constructs: {}\n\n{caution}",
        named(crate::model::CASES),
        named(crate::model::CONSTRUCTS)
    ))
}

/// What was typed, the program's own name first, understood.
///
/// # Errors
/// What is said instead of a run: what is wrong with it, or the help that was asked for.
pub fn parse(given: &[OsString]) -> Result<Typed, Failure> {
    let colour = When::asked(given);
    let matches = definition().color(colour.for_help()).try_get_matches_from(given);
    let typed = matches.and_then(|matches| Ok(Typed { arguments: Arguments::from_arg_matches(&matches)?, matches }));
    typed.map_err(|e| match e.kind() {
        ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => Failure::Help(styled(&e, colour)),
        _ => refusal::of(&e, given),
    })
}

/// A command that was understood.
#[derive(Debug)]
pub struct Typed {
    arguments: Arguments,
    matches: ArgMatches,
}

impl Typed {
    /// Runs it.
    ///
    /// # Errors
    /// Why it stopped before it was done.
    pub fn run(&self) -> Result<(), Failure> {
        self.arguments.run(&self.matches)
    }
}

impl Arguments {
    fn run(&self, matches: &ArgMatches) -> Result<(), Failure> {
        let common = &self.common;
        if common.format == Format::Markdown && !matches!(self.command, Command::Verify(_)) {
            return Err(Failure::Input("--format markdown is for `verify`: give table, json or csv".to_owned()));
        }
        let own = matches.subcommand();
        if let (Some((name, _)), false) = (own, common.quiet) {
            self.say_what_is_not_used(name);
        }
        match (&self.command, own) {
            (Command::Compare(typed), _) => typed.run(common),
            (Command::Hold(typed), _) => typed.run(common),
            (Command::Push(typed), _) => typed.run(common),
            (Command::Scatter(typed), _) => typed.run(common),
            (Command::Sweep(typed), _) => typed.run(common),
            (Command::Place(typed), Some((_, own))) => typed.run(common, own),
            (Command::Report(typed), Some((_, own))) => typed.run(common.quiet, own),
            (Command::Place(_) | Command::Report(_), None) => Ok(()),
            (Command::Settle(typed), _) => typed.run(common),
            (Command::Tie(typed), _) => typed.run(common),
            (Command::Check(typed), _) => typed.run(common),
            (Command::Draw(typed), _) => typed.run(common),
            (Command::Verify(typed), _) => typed.run(common),
            (Command::New(typed), _) => typed.run(common),
            (Command::Schema(typed), _) => typed.run(),
            (Command::Completions(typed), _) => typed.run(),
            (Command::Man(typed), _) => typed.run(common.quiet),
        }
    }

    /// Options that have no meaning for a command are named, rather than passed over in silence.
    fn say_what_is_not_used(&self, command: &str) {
        let made = matches!(
            self.command,
            Command::Report(_)
                | Command::New(_)
                | Command::Draw(_)
                | Command::Schema(_)
                | Command::Completions(_)
                | Command::Man(_)
        );
        let draws = matches!(self.command, Command::New(_) | Command::Draw(_));
        let undrawn = !draws && (made || matches!(self.command, Command::Check(_) | Command::Verify(_)));
        for (option, unused) in [
            ("--figures", undrawn && self.common.figures.is_some()),
            ("--format", made && self.common.format != Format::Table),
        ] {
            if unused {
                note(&format!("rimhold: {option} has no meaning for `{command}` and is not used"));
            }
        }
    }
}
