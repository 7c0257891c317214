//! What can be typed: the one definition behind parsing, help, completions and man pages.

use super::colour::When;
use crate::figures::Style;
use crate::report::CAUTION;
use crate::study::Direction;
use crate::study::result::Start;
use clap::{Args, CommandFactory, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// How well a suture bridge holds a fractured piece of the shoulder socket's anterior rim.
///
/// A case (socket, fragment, tissue) and a construct (anchors, limbs, order of tying) are TOML
/// files, or names of built-in ones. Every number that is printed comes from a state whose balance
/// of forces has been checked.
#[derive(Debug, Parser)]
#[command(
    name = "rimhold",
    version,
    about,
    long_about,
    disable_help_subcommand = true
)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
    /// What holds for every command.
    #[command(flatten)]
    pub common: Common,
}

/// What holds for every command.
#[derive(Debug, Clone, Args)]
#[command(next_help_heading = "For every command")]
pub struct Common {
    /// Form of the output
    #[arg(long, global = true, value_name = "FORM", default_value = "table")]
    pub format: Format,
    /// Also draw the figures (SVG, PNG, CSV, caption) into this folder; other people's files there
    /// are left alone
    #[arg(long, global = true, value_name = "DIR")]
    pub figures: Option<PathBuf>,
    /// Say nothing but the output and mistakes
    #[arg(long, short, global = true)]
    pub quiet: bool,
    /// When to colour
    #[arg(
        long,
        alias = "color",
        global = true,
        value_name = "WHEN",
        default_value = "auto"
    )]
    pub colour: When,
}

/// Form of the output.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For reading
    Table,
    /// For machines: versioned and complete
    Json,
    /// For spreadsheets: one value a line, or one state of a push a line
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

/// How to push.
#[derive(Debug, Clone, Args)]
pub struct Pushing {
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
    /// Also push 1 mm in 24 directions round the bed plane
    #[arg(long)]
    pub rose: bool,
}

fn distance(text: &str) -> Result<f64, String> {
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

/// `rimhold report`.
#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold report quarter one-by-one two-by-two-crossed --out my-report",
    "With nothing given: one-by-one, two-by-two-crossed and single-row on the case quarter.\n  \
     Writing is all or nothing; a folder that is not a report of this program is never touched."
))]
pub struct Report {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE", default_value = "quarter")]
    pub case: String,
    /// Constructs: files, or built-in names
    #[arg(value_name = "CONSTRUCT")]
    pub constructs: Vec<String>,
    /// Folder of the report; an earlier report there is replaced once the new one is whole
    #[arg(long, value_name = "DIR", default_value = "rimhold-report")]
    pub out: PathBuf,
    /// Where DIR holds what this program did not write: leave it, and write into a new folder
    /// `rimhold-report` inside
    #[arg(long)]
    pub beside: bool,
    /// Style of the figures
    #[arg(long, default_value = "print")]
    pub style: Look,
    /// Figures as SVG alone: no PDF, no PNG
    #[arg(long)]
    pub svg_only: bool,
    /// Template of the methods section (minijinja); the built-in one when not given
    #[arg(long, value_name = "FILE")]
    pub template: Option<PathBuf>,
    /// Where tying starts
    #[arg(long, value_name = "POSE", default_value = "reduced")]
    pub from: From,
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

/// Style of figures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Look {
    /// Colour, columns of 85 or 180 mm
    Print,
    /// 16 to 9, large words
    Slide,
    /// As print, without colour
    Grey,
}

impl Look {
    /// The same for a figure.
    pub(super) fn style(self) -> Style {
        match self {
            Self::Print => Style::Print,
            Self::Slide => Style::Slide,
            Self::Grey => Style::Grey,
        }
    }
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

/// When every pull ends, whatever the construct says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Stop {
    /// At its tension
    Tension,
    /// As soon as the fragment is back where the limb pulls it; its tension is the cap
    Reduced,
}

/// How ties of several limbs are taken apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Split {
    /// Limbs that end in different anchors are tied one anchor after the other
    Anchor,
    /// Every limb alone
    Limb,
}

/// What a sweep varies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Sweep {
    /// Friction of the bed, 0.3 to 0.9
    Friction,
    /// The displaced pose, 0.25 to 1.5 times the case's own
    Displacement,
    /// The inferior hinge: intact, weak, none
    Hinge,
}

/// `rimhold tie`.
#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold tie quarter one-by-one --orders all --then-push",
    "With nothing given: all orders of two-by-two-crossed on the case quarter. An order names each tie \
     once, by any of its limbs (or screws) or several joined with +. A file has one order a line, ties parted by \
     commas, comments after #:\n    inferior-loop, bridge-lower, superior-loop   # as in practice\n  \
     Steps that differ by no more than 0.1 mm count as equal."
))]
pub struct Tie {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE")]
    pub case: Option<String>,
    /// Construct: a file, or a built-in name
    #[arg(value_name = "CONSTRUCT", default_value = "two-by-two-crossed")]
    pub construct: String,
    /// Where tying starts
    #[arg(long, value_name = "POSE", default_value = "displaced")]
    pub from: From,
    /// Orders to run: `own` (the construct's), `all` (of up to 6 ties; beyond that a sample of 120 that
    /// holds the own order, its reverse and bridge-first), or a file of orders. A file that is called
    /// like one of these words is named with its folder, as ./all
    #[arg(long, value_name = "own|all|FILE", conflicts_with = "order")]
    pub orders: Option<String>,
    /// An order, its ties parted by commas; may be repeated
    #[arg(long, value_name = "TIE,TIE,…")]
    pub order: Vec<String>,
    /// Seed of the sample where `all` is too many
    #[arg(long, default_value_t = crate::study::SEED)]
    pub seed: u64,
    /// When every pull ends, instead of each tie's own rule
    #[arg(long, value_name = "RULE")]
    pub stop: Option<Stop>,
    /// Take ties of several limbs apart
    #[arg(long, value_name = "BY")]
    pub split: Option<Split>,
    /// Also pull all limbs together, for comparison
    #[arg(long)]
    pub together: bool,
    /// Run the same orders against other inputs; several parted by commas
    #[arg(long, value_name = "OVER", value_delimiter = ',')]
    pub sweep: Vec<Sweep>,
    /// Push every result afterwards
    #[arg(long)]
    pub then_push: bool,
    /// Direction of that push, as for `push`
    #[arg(long, default_value = "inferior", value_parser = Direction::parse, allow_hyphen_values = true, requires = "then_push")]
    pub direction: Direction,
    /// How far to push, mm (0.05 to 10)
    #[arg(long, value_name = "MM", default_value = "2.0", value_parser = distance, allow_hyphen_values = true, requires = "then_push")]
    pub to: f64,
    /// Forbid the fragment to turn during that push
    #[arg(long, requires = "then_push")]
    pub guided: bool,
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
    #[arg(long, value_name = "POSE", default_value = "reduced")]
    pub from: From,
    /// Instead: predictions beside published bench tests and facts of the trade
    #[arg(long, conflicts_with_all = ["case", "construct"])]
    pub published: bool,
}

/// Which shoulder.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Shoulder {
    /// Right
    Right,
    /// Left
    Left,
}

/// `rimhold new`.
#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold new --side left --diameter 27 --width \"22 %\" --middle 4:00 --depth 9 --out case.toml",
    "What was not measured is written as a comment with the default that will be taken."
))]
pub struct New {
    /// Which shoulder
    #[arg(long)]
    pub side: Shoulder,
    /// Diameter of the best-fit circle of the inferior socket, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub diameter: f64,
    /// Width of the fragment: mm, or percent of the diameter ("25 %")
    #[arg(long, value_name = "WIDTH", allow_hyphen_values = true)]
    pub width: String,
    /// Clock position of the fragment's middle, as 4:00 or 4.5; 3 is anterior on either side
    #[arg(long, value_name = "CLOCK", allow_hyphen_values = true)]
    pub middle: String,
    /// Medial depth of the fragment at its middle, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub depth: Option<f64>,
    /// Tilt of the fracture plane, degrees; positive: runs outward as it goes medially
    #[arg(long, value_name = "DEG", allow_hyphen_values = true)]
    pub tilt: Option<f64>,
    /// Superoinferior length where it is shorter than the whole fracture line, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub length: Option<f64>,
    /// Displacement inferiorly along the fracture line, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub inferior: Option<f64>,
    /// Displacement medially down the fracture plane, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub medial: Option<f64>,
    /// Displacement out of the bed, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub out_of_bed: Option<f64>,
    /// Turn of the displaced fragment about the fracture line, degrees; positive: sits up
    #[arg(long, value_name = "DEG", allow_hyphen_values = true)]
    pub displaced_tilt: Option<f64>,
    /// Turn of the displaced fragment about the bed's normal, degrees
    #[arg(long, value_name = "DEG", allow_hyphen_values = true)]
    pub spin: Option<f64>,
    /// Turn of the displaced fragment about the direction down the plane, degrees
    #[arg(long, value_name = "DEG", allow_hyphen_values = true)]
    pub yaw: Option<f64>,
    /// Name of the case
    #[arg(long)]
    pub name: Option<String>,
    /// File to write; standard output when not given. An existing file is never overwritten
    #[arg(long, short, value_name = "FILE")]
    pub out: Option<PathBuf>,
}

/// What a schema describes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Described {
    /// A case file
    Case,
    /// A construct file
    Construct,
    /// What `--format json` prints
    Result,
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
fn example(command: &str, words: &str) -> String {
    let words = if words.is_empty() {
        String::new()
    } else {
        format!("\n  {words}")
    };
    format!("Example:\n  {command}{words}\n\nCaution: {CAUTION}")
}

/// The whole definition.
pub(super) fn definition() -> clap::Command {
    let named = |list: &[(&str, &str)]| list.iter().map(|b| b.0).collect::<Vec<_>>().join(", ");
    Arguments::command().max_term_width(100).after_help(format!(
        "Example:\n  rimhold compare\n  Two constructs on an invented case, with figures in plots/.\n\nBuilt-in cases: {}\nBuilt-in constructs: {}\n\nCaution: {CAUTION}",
        named(crate::case::CASES),
        named(crate::case::CONSTRUCTS)
    ))
}
