//! `rimhold live`: the page to think with.

use super::compare::COMPARED;
use super::open::names;
use super::say::{Failure, note, print};
use super::{Common, example};
use crate::CAUTION;
use crate::model::{case_source, construct_source};
use crate::page::{File, MOST, State, serve};
use crate::study::result::Start;
use clap::Args;

#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold live my-case.toml two-by-two-crossed --open",
    "With nothing given: two-by-two-crossed and one-by-one on the case quarter. The page is served to this machine alone; \
     Ctrl-C ends it. What is changed on the page is kept by its link and its downloads, not in your files."
))]
pub(super) struct Live {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE", default_value = "quarter")]
    case: String,
    /// Constructs, three at most: files, or built-in names
    #[arg(value_name = "CONSTRUCT")]
    constructs: Vec<String>,
    /// Where tying starts
    #[arg(long, value_name = "POSE", default_value = "displaced", value_enum)]
    from: Start,
    /// Push repairs as tied; by default they are settled first
    #[arg(long)]
    as_tied: bool,
    /// Port; a free one when not given
    #[arg(long, value_name = "N", default_value_t = 0)]
    port: u16,
    /// Also open the page in the browser
    #[arg(long)]
    open: bool,
}

impl Live {
    pub fn run(&self, common: &Common) -> Result<(), Failure> {
        let shown = names(&self.constructs, &[COMPARED[1], COMPARED[0]]);
        if shown.len() > MOST {
            return Err(Failure::Input(format!(
                "{} constructs are too many on one page; allowed: up to {MOST}",
                shown.len()
            )));
        }
        // Mistakes are told before anything is served.
        super::open::open(&self.case, &shown, self.from)?;
        let read = |source: Result<(crate::model::SourceText, String), crate::model::Problems>| {
            source.map(|(source, name)| File { name, text: source.text.to_string() }).map_err(Failure::from)
        };
        let begin = State {
            case: read(case_source(&self.case))?,
            constructs: shown.iter().map(|name| read(construct_source(name))).collect::<Result<_, _>>()?,
            shown: 0,
            from: self.from,
            settled: !self.as_tied,
            tied: None,
            lost: Vec::new(),
        };
        serve(begin, self.port, |address| {
            // Nobody is there to read it where this fails.
            let _ = print(&format!("{address}\n"));
            if !common.quiet {
                note(&format!("rimhold: the page is served at {address}; Ctrl-C ends it\n{CAUTION}"));
            }
            if self.open && !opened(address) {
                note("rimhold: no browser could be started; open the address above in one");
            }
        })
        .map_err(|e| Failure::Other(format!("the page cannot be served on port {}: {e}", self.port)))
    }
}

/// Starts the system's browser; whether there was one.
fn opened(address: &str) -> bool {
    let (program, before): (&str, &[&str]) = if cfg!(target_os = "macos") {
        ("open", &[])
    } else if cfg!(target_os = "windows") {
        ("cmd", &["/C", "start", ""])
    } else {
        ("xdg-open", &[])
    };
    std::process::Command::new(program).args(before).arg(address).spawn().is_ok()
}
