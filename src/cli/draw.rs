//! `rimhold draw`: a fragment as entered, and constructs on it.

use super::open::open;
use super::progress::Progress;
use super::say::{Failure, print};
use super::{Common, compare::FIGURES, example, figures, stop};
use crate::CAUTION;
use crate::show::figures::{Theme, fragment};
use crate::study::result::{Compared, Start};
use crate::study::{ComparePlan, compare_all};
use clap::Args;
use std::path::Path;

#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold draw my-case.toml two-by-two-crossed",
    &format!("The fragment en face and in section with its measures; figures in {FIGURES}/ when no folder is given.")
))]
pub(super) struct Draw {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE", default_value = "quarter")]
    case: String,
    /// Constructs to tie on it: files, or built-in names
    #[arg(value_name = "CONSTRUCT")]
    constructs: Vec<String>,
    /// Where tying starts
    #[arg(long, value_name = "POSE", default_value_t = ComparePlan::default().from, value_enum)]
    from: Start,
}

impl Draw {
    pub fn run(&self, common: &Common) -> Result<(), Failure> {
        let opened = open(&self.case, &self.constructs, self.from)?;
        let plan = ComparePlan { from: self.from, push: None, rose: false, ..ComparePlan::default() };
        let results = compare_all(&opened.case, &opened.constructs, &plan, &Progress::start(common.quiet));
        let first = fragment(&opened.case, &Theme::double());
        print(&format!("{}\n\n{CAUTION}\n", first.alt))?;
        let mut drawn = vec![first];
        drawn.extend(figures::compared(&opened.case, &opened.constructs, &results));
        let folder = common.figures.as_deref().unwrap_or(Path::new(FIGURES));
        let _gently = stop::gently();
        figures::tell(figures::write(&drawn, folder), folder, common.quiet)?;
        Failure::if_doubtful(results.iter().any(Compared::is_doubtful))
    }
}
