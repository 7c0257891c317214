//! What was asked of a run.

use super::fact::Fact;
use super::record::Run;
use crate::show::report::CaseSummary;
use crate::show::words::{self, start};
use serde::Serialize;

/// What was asked of the run.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Question {
    /// The whole question in a sentence.
    pub sentence: String,
    /// The same looked back upon, as a clause: "how … held …".
    pub past: String,
    /// Where tying started.
    pub from: String,
    /// Direction of the push as an adverb.
    pub pushed: String,
    /// How far it was pushed.
    pub to: Fact,
    /// Whether turning was free or forbidden.
    pub turning: String,
}

impl Question {
    /// What a run was asked.
    pub(super) fn new(run: &Run<'_>, case: &CaseSummary) -> Self {
        let names: Vec<String> = run.constructs.iter().map(|c| c.name.clone()).collect();
        let to = Fact::exact(run.to, "mm");
        let pushed = words::pushed(run.direction);
        Self {
            sentence: format!(
                "On the {} shoulder of the case {}, with a fragment of {} of the socket's width broken off \
             at {}, how do {} hold it when they are tied from the {} position, and with what load \
             do they resist when the fragment is pushed {pushed} by {}?",
                case.side,
                case.name,
                words::percent(case.width_share),
                case.middle,
                words::joined(&names),
                start(run.from),
                to.with_unit()
            ),
            past: format!(
                "how {} held a fragment of {} of the socket's width, broken off at {} of a {} shoulder \
             (case {}), when tied from the {} position, and with what load they resisted when it \
             was pushed {pushed} by {}",
                words::joined(&names),
                words::percent(case.width_share),
                case.middle,
                case.side,
                case.name,
                start(run.from),
                to.with_unit()
            ),
            from: start(run.from).to_owned(),
            pushed,
            to,
            turning: if run.guided { "forbidden" } else { "free" }.to_owned(),
        }
    }
}
