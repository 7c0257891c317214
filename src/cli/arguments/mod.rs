//! What can be typed: the one definition behind parsing, help, completions and man pages.

mod new;
mod report;
mod tie;

pub use new::{New, Shoulder};
pub use report::{Look, Report};
pub use tie::{Split, Stop, Sweep, Tie};

use super::colour::When;
use crate::show::report::CAUTION;
use crate::study::result::Start;
use crate::study::{Direction, PushPlan};
use clap::{Args, CommandFactory, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// How well a suture bridge holds a fractured piece of the shoulder socket's anterior rim.
///
/// A case (socket, fragment, tissue) and a construct (anchors, limbs, screws, order of tying) are TOML
/// files, or names of built-in ones. Every number that is printed comes from a state whose balance
/// of forces has been checked.
#[derive(Debug, Parser)]
#[command(name = "rimhold", version, about, long_about, disable_help_subcommand = true)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
    /// What every command accepts.
    #[command(flatten)]
    pub common: Common,
}

/// What every command accepts. One that has no use for an option says so, and goes on without it.
#[derive(Debug, Clone, Args)]
#[command(next_help_heading = "Accepted by every command, used where they apply")]
pub struct Common {
    /// Form of the output
    #[arg(long, global = true, value_name = "FORM", default_value = "table")]
    pub format: Format,
    /// Also draw the figures (SVG, PNG, CSV, caption; for `tie` an animation as GIF and its single
    /// pictures too) into this folder; other people's files there are left alone
    #[arg(long, global = true, value_name = "DIR")]
    pub figures: Option<PathBuf>,
    /// Say nothing but the output and mistakes
    #[arg(long, short, global = true)]
    pub quiet: bool,
    /// When to colour
    #[arg(long, alias = "color", global = true, value_name = "WHEN", default_value = "auto")]
    pub colour: When,
}

/// Form of the output.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For reading
    Table,
    /// For machines: versioned and complete
    Json,
    /// For spreadsheets: a line for each value, state of a push, or tie of an order; not for `verify`
    Csv,
    /// For a supplement: `verify` only
    Markdown,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Compare constructs on one case: hold, push, who carries the load, what gives first
    Compare(Compare),
    /// Compare constructs and write it all down: page, methods section, figures, tables, manifest
    Report(Report),
    /// Tie a construct on a case and report how it holds
    Hold(Hold),
    /// Tie a construct, push the fragment, and report how it resists
    Push(Push),
    /// Draw the uncertain inputs many times: how far do the answers move, and which input moves them
    Scatter(Box<super::scatter::arguments::Scatter>),
    /// Vary one or two inputs over a grid, or run a ready-made sweep
    Sweep(Box<super::scatter::arguments::Sweep>),
    /// Search better places for the anchors, and map how far each may wander
    Place(Box<super::place::arguments::Place>),
    /// Tie a construct in other orders, rank them, and say what each tie does to the fragment
    Tie(Box<Tie>),
    /// Read a case (and a construct), and print what was understood and which defaults were taken
    Check(Check),
    /// Run the verification that is built in, or hold the model against published bench tests
    Verify(Verify),
    /// Write a case file from what was measured on CT
    New(Box<New>),
    /// Print the JSON Schema of a kind of file, for editors and machines
    Schema(Schema),
    /// Print completions for a shell
    Completions(Completions),
    /// Write the man pages
    Man(Man),
}

/// A case and a construct.
#[derive(Debug, Clone, Args)]
pub struct Pair {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE", default_value = "quarter")]
    pub case: String,
    /// Construct: a file, or a built-in name
    #[arg(value_name = "CONSTRUCT", default_value = "one-by-one")]
    pub construct: String,
}

/// Where tying starts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum From {
    /// The fragment lies in its bed
    Reduced,
    /// The fragment lies where the case says that it was displaced to
    Displaced,
}

impl From {
    /// The same for a study.
    pub(super) fn start(self) -> Start {
        match self {
            Self::Reduced => Start::Reduced,
            Self::Displaced => Start::Displaced,
        }
    }
}

/// Where a push goes.
#[derive(Debug, Clone, Args)]
pub struct Way {
    /// Direction: inferior, superior, anterior, posterior, medial, lateral, anteromedial, or three
    /// numbers x,y,z (anterior, superior, lateral)
    #[arg(long, default_value = "inferior", value_parser = Direction::parse, allow_hyphen_values = true)]
    pub direction: Direction,
    /// How far to push, mm (0.05 to 10)
    #[arg(long, value_name = "MM", default_value = "2.0", value_parser = distance, allow_hyphen_values = true)]
    pub to: f64,
    /// Forbid the fragment to turn
    #[arg(long)]
    pub guided: bool,
}

impl Way {
    /// The same for a study: states are recorded every twentieth of a millimetre, 20 at least.
    pub(super) fn plan(&self) -> PushPlan {
        PushPlan {
            direction: self.direction.clone(),
            to: self.to,
            steps: ((self.to / 0.05).round() as usize).max(20),
            guided: self.guided,
            point: None,
        }
    }
}

/// How to push.
#[derive(Debug, Clone, Args)]
pub struct Pushing {
    /// Where to.
    #[command(flatten)]
    pub way: Way,
    /// Also push 1 mm in 24 directions round the bed plane
    #[arg(long)]
    pub rose: bool,
}

pub(super) fn distance(text: &str) -> Result<f64, String> {
    match text.trim().parse::<f64>() {
        Ok(mm) if (0.05..=10.0).contains(&mm) => Ok(mm),
        _ => Err("allowed: 0.05 to 10 mm".to_owned()),
    }
}

/// `rimhold compare`.
#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold compare quarter single-row one-by-one two-by-two-crossed --figures out",
    "With nothing given: one-by-one and two-by-two-crossed on the case quarter, figures in plots/."
))]
pub struct Compare {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE")]
    pub case: Option<String>,
    /// Constructs: files, or built-in names; loads are given as ratios to the first
    #[arg(value_name = "CONSTRUCT")]
    pub constructs: Vec<String>,
    /// Where tying starts
    #[arg(long, value_name = "POSE", default_value = "reduced")]
    pub from: From,
    /// How to push.
    #[command(flatten)]
    pub pushing: Pushing,
}

/// `rimhold hold`.
#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold hold quarter two-by-two-crossed --from displaced",
    "Per limb: how hard it presses the fragment on its bed, and where it drags it."
))]
pub struct Hold {
    /// What to tie.
    #[command(flatten)]
    pub pair: Pair,
    /// Where tying starts
    #[arg(long, value_name = "POSE", default_value = "reduced")]
    pub from: From,
}

/// `rimhold push`.
#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold push quarter one-by-one --direction anteromedial --rose",
    "The load is what must be applied at the fragment's centre to move it that far."
))]
pub struct Push {
    /// What to push.
    #[command(flatten)]
    pub pair: Pair,
    /// Where tying starts
    #[arg(long, value_name = "POSE", default_value = "reduced")]
    pub from: From,
    /// How to push.
    #[command(flatten)]
    pub pushing: Pushing,
}

/// `rimhold check`.
#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold check my-case.toml two-by-two",
    "Nothing is solved: this shows the geometry, the places of the anchors and every default taken."
))]
pub struct Check {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE", default_value = "quarter")]
    pub case: String,
    /// Constructs to put on it: files, or built-in names
    #[arg(value_name = "CONSTRUCT")]
    pub constructs: Vec<String>,
}

/// `rimhold verify`.
#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold verify quarter single-row --format markdown",
    "The suite, with refinement and balance of this calculation for a methods text. Exit code 1 when \
     anything is out of tolerance."
))]
pub struct Verify {
    /// Case whose own refinement and balance are added: a file, or a built-in name
    #[arg(value_name = "CASE", requires = "construct")]
    pub case: Option<String>,
    /// Construct on it: a file, or a built-in name
    #[arg(value_name = "CONSTRUCT")]
    pub construct: Option<String>,
    /// Where tying of that construct starts
    #[arg(long, value_name = "POSE", default_value = "reduced", requires = "case")]
    pub from: From,
    /// Instead: predictions beside published bench tests and facts of the trade
    #[arg(long, conflicts_with_all = ["case", "construct", "from"])]
    pub published: bool,
}

/// What a schema describes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Described {
    /// A case file
    Case,
    /// A construct file
    Construct,
    /// What `--format json` prints, of every command but `verify`
    Result,
    /// What `scatter --format json` prints
    Scatter,
    /// What `sweep --format json` prints
    Sweep,
    /// What `place --format json` prints
    Place,
    /// What `verify --format json` prints
    Verification,
}

/// `rimhold schema`.
#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold schema construct > construct.json",
    "With `#:schema ./construct.json` as its first line, an editor that knows schemas of TOML \
     completes and checks a construct beside it. Only `check` sees whether it fits the bone."
))]
pub struct Schema {
    /// What it describes
    #[arg(value_name = "KIND", default_value = "case")]
    pub kind: Described,
}

/// `rimhold completions`.
#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold completions bash > ~/.local/share/bash-completion/completions/rimhold",
    ""
))]
pub struct Completions {
    /// Shell
    pub shell: clap_complete::Shell,
}

/// `rimhold man`.
#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold man man1",
    "Files there that are not man pages of this program are never overwritten."
))]
pub struct Man {
    /// Folder for one page a command; without it the main page goes to standard output
    #[arg(value_name = "DIR")]
    pub folder: Option<PathBuf>,
}

/// The end of a command's help.
pub(super) fn example(command: &str, words: &str) -> String {
    let words = if words.is_empty() { String::new() } else { format!("\n  {words}") };
    format!("Example:\n  {command}{words}\n\nCaution: {CAUTION}")
}

/// The whole definition.
pub(super) fn definition() -> clap::Command {
    let named = |list: &[(&str, &str)]| list.iter().map(|b| b.0).collect::<Vec<_>>().join(", ");
    Arguments::command().max_term_width(100).after_help(format!(
        "Example:\n  rimhold compare\n  Two constructs on an invented case, with figures in plots/.\n\nBuilt-in cases: {}\nBuilt-in constructs: {}\n\nCaution: {CAUTION}",
        named(crate::model::CASES),
        named(crate::model::CONSTRUCTS)
    ))
}
