//! The command line: one file a command, each from arguments over a plan and its run to what is shown.
//!
//! Exit codes: 0 done, also when the finding is that a fragment is not held; 2 something that was
//! typed or read is wrong; 1 anything else, such as a folder that cannot be written; 130 interrupted,
//! by Ctrl-C or in an interrupted run whose complete part was written. A reader that closes its pipe
//! ends the program quietly.

mod again;
mod budget;
mod check;
mod compare;
mod draw;
mod drill;
mod figures;
mod folder;
mod joint;
mod live;
mod lose;
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
    /// Also print the long tables, events and readings behind the answer
    #[arg(long, global = true)]
    full: bool,
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
    /// A case file from what was measured on CT
    New(Box<new::New>),
    /// What was understood, and every default taken
    Check(check::Check),
    /// The fragment as entered, constructs on it
    Draw(draw::Draw),
    /// What holds better; of one alone, all of it
    #[command(aliases = ["hold", "push"])]
    Compare(compare::Compare),
    /// In which order to tie
    Tie(Box<tie::Tie>),
    /// Better places for the anchors
    Place(Box<place::Place>),
    /// Before drilling: reach, and bone left
    Drill(drill::Drill),
    /// The uncertain inputs drawn many times
    Scatter(Box<scatter::Scatter>),
    /// One or two inputs over their range
    Sweep(Box<sweep::Sweep>),
    /// What minutes and cycles leave of a repair
    Settle(settle::Settle),
    /// Under assumed loads of rehabilitation
    Budget(budget::Budget),
    /// What a repair hangs on, part by part
    Lose(lose::Lose),
    /// Stability and pressure of the joint
    Joint(joint::Joint),
    /// Checks of this build; beside bench tests
    Verify(verify::Verify),
    /// A page to think with: drag, tie, pull, cut
    Live(live::Live),
    /// Page, figures, methods, tables in one folder
    Report(Box<report::Report>),
    /// The JSON Schema of a kind of file
    Schema(schema::Schema),
    /// Completions for a shell
    Completions(man::Completions),
    /// The man pages
    Man(man::Man),
}

/// The commands by what one wants.
const WANTED: [(&str, &[&str]); 5] = [
    ("My patient", &["new", "check", "draw"]),
    ("Which construct", &["compare", "tie", "place", "drill"]),
    ("Why, and how sure", &["scatter", "sweep", "verify"]),
    ("Afterwards", &["settle", "lose", "budget", "joint"]),
    ("For a talk or a paper", &["live", "report"]),
];

/// What stands where no command was typed, and as the help of all: the commands by question.
fn overview(definition: &clap::Command) -> String {
    let mut text = "How well a suture bridge holds a fractured piece of the glenoid's anterior rim.\n".to_owned();
    for (want, commands) in WANTED {
        for (k, name) in commands.iter().enumerate() {
            let about = definition.find_subcommand(name).and_then(clap::Command::get_about);
            let about = about.map(ToString::to_string).unwrap_or_default();
            text += &format!("{:<23}{name:<13}{about}\n", if k == 0 { want } else { "" });
        }
    }
    text + "For machines           schema, completions, man; elsewhere --format json or csv\nExample:\n  rimhold compare\n  rimhold new --side right --diameter 26 --width 25% --middle 4:00 --out my.toml\n  \
            rimhold compare my.toml one-by-one two-by-two-crossed\n"
}

/// The end of a command's help.
fn example(command: &str, words: &str) -> String {
    let words = if words.is_empty() { String::new() } else { format!("\n  {words}") };
    format!("Example:\n  {command}{words}\n\nCaution: {CAUTION}")
}

/// Names that can be typed for a file.
fn built_in() -> String {
    let named = |list: &[(&str, &str)]| list.iter().map(|b| b.0).collect::<Vec<_>>().join(", ");
    let [cases, constructs] = [crate::model::CASES, crate::model::CONSTRUCTS].map(named);
    format!("Built-in cases: {cases}\n  Built-in constructs: {constructs}")
}

/// The whole definition, for parsing, help, completions, man pages and checks.
fn definition() -> clap::Command {
    // A word is the same in capitals.
    fn any_case(command: clap::Command) -> clap::Command {
        // A flag has no word of its own.
        let words = |a: clap::Arg| if a.get_action().takes_values() { a.ignore_case(true) } else { a };
        command.mut_args(words).mut_subcommands(any_case)
    }
    let all = any_case(Arguments::command()).max_term_width(80).after_help(example("rimhold compare", ""));
    let mut help = crate::show::report::Page::new(false);
    help.plain(&format!("Caution: {CAUTION}"));
    let help = overview(&all) + &help.finish();
    all.override_help(help)
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
        let Some((name, own)) = matches.subcommand() else {
            return Ok(());
        };
        if common.format == Format::Markdown && name != "verify" {
            return Err(Failure::Input("--format markdown is for `verify`: give table, json or csv".to_owned()));
        }
        if !common.quiet {
            common.say_what_is_not_used(name);
        }
        match &self.command {
            Command::Compare(typed) => typed.run(common),
            Command::Scatter(typed) => typed.run(common),
            Command::Sweep(typed) => typed.run(common),
            Command::Place(typed) => typed.run(common, own),
            Command::Report(typed) => typed.run(common.quiet, own),
            Command::Settle(typed) => typed.run(common),
            Command::Budget(typed) => typed.run(common),
            Command::Lose(typed) => typed.run(common),
            Command::Drill(typed) => typed.run(common),
            Command::Joint(typed) => typed.run(common),
            Command::Tie(typed) => typed.run(common),
            Command::Check(typed) => typed.run(common),
            Command::Draw(typed) => typed.run(common),
            Command::Verify(typed) => typed.run(common),
            Command::New(typed) => typed.run(common),
            Command::Live(typed) => typed.run(common),
            Command::Schema(typed) => typed.run(),
            Command::Completions(typed) => typed.run(),
            Command::Man(typed) => typed.run(common.quiet),
        }
    }
}

impl Common {
    /// Options that have no meaning for a command are named, rather than passed over in silence.
    fn say_what_is_not_used(&self, command: &str) {
        for (option, is_given, without) in [
            (
                "--figures",
                self.figures.is_some(),
                ["report", "live", "schema", "completions", "man", "check", "verify"],
            ),
            (
                "--format",
                self.format != Format::Table,
                ["report", "live", "schema", "completions", "man", "new", "draw"],
            ),
        ] {
            if is_given && without.contains(&command) {
                note(&format!("rimhold: {option} has no meaning for `{command}` and is not used"));
            }
        }
    }
}
