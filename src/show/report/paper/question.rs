//! What was asked of a run.

use super::fact::{Fact, Facts};
use super::record::Run;
use crate::show::prose::sentences;
use crate::show::report::CaseSummary;
use crate::show::words::{joined, pushed, word};
use minijinja::context;

/// The question in a sentence, the same looked back upon as a clause, and what it is made of.
pub(super) fn question(run: &Run<'_>, case: &CaseSummary) -> Facts {
    let names: Vec<String> = run.constructs.iter().map(|c| c.name.clone()).collect();
    let push = run.push;
    let (to, pushed, from) = (Fact::exact(push.to, "mm"), pushed(&push.direction.name), word(&run.from));
    let how_far = match push.to_failure {
        true => format!("to failure, by {} at most", to.with_unit()),
        false => format!("by {}", to.with_unit()),
    };
    let (share, middle) = (case.width_share, &case.middle);
    let data = context! {
        names => joined(&names), side => case.side, case => case.name, share, middle, from, pushed, how_far
    };
    let [sentence, past] = [include_str!("../said/question.txt"), include_str!("../said/past.txt")]
        .map(|template| sentences(template, &data).concat());
    Facts(vec![
        ("sentence", sentence.into()),
        ("past", past.into()),
        ("from", from.into()),
        ("pushed", pushed.into()),
        ("to", to.into()),
        ("how_far", how_far.into()),
        ("settled", push.settled.into()),
        ("turning", if push.guided { "forbidden" } else { "free" }.into()),
    ])
}
