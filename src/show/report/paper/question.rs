//! What was asked of a run.

use super::fact::{Fact, Facts};
use super::record::Run;
use crate::show::prose::sentences;
use crate::show::report::CaseSummary;
use crate::show::words::{joined, pushed, start};
use minijinja::context;

/// The question in a sentence, the same looked back upon as a clause, and what it is made of.
pub(super) fn question(run: &Run<'_>, case: &CaseSummary) -> Facts {
    let names: Vec<String> = run.constructs.iter().map(|c| c.name.clone()).collect();
    let (to, pushed, from) = (Fact::exact(run.to, "mm"), pushed(run.direction), start(run.from));
    let (share, middle) = (case.width_share, &case.middle);
    let data = context! {
        names => joined(&names), side => case.side, case => case.name, share, middle, from, pushed, to => to.with_unit()
    };
    let [sentence, past] = [include_str!("../said/question.txt"), include_str!("../said/past.txt")]
        .map(|template| sentences(template, &data).concat());
    Facts(vec![
        ("sentence", sentence.into()),
        ("past", past.into()),
        ("from", from.into()),
        ("pushed", pushed.into()),
        ("to", to.into()),
        ("turning", if run.guided { "forbidden" } else { "free" }.into()),
    ])
}
