//! Ready-made sweeps: questions that are asked at every meeting.

use super::Plan;
use crate::study::result::Start;

/// A ready-made sweep.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Named {
    /// Its name.
    pub name: &'static str,
    /// The question.
    pub question: &'static str,
    /// Built-in case.
    pub case: &'static str,
    /// Built-in constructs.
    pub constructs: &'static [&'static str],
    /// What is varied.
    pub vary: &'static [&'static str],
    /// What is shown first.
    pub show: &'static [&'static str],
    /// Where tying starts.
    pub from: Start,
}

/// All of them. Cases and constructs are our own inventions.
pub const NAMED: [Named; 3] = [
    Named {
        name: "lower-end",
        question: "Does the lower end close: medial anchor along the crater against the stiffness of the inferior hinge?",
        case: "hinge-intact",
        constructs: &["one-by-one-bare", "one-by-one"],
        vary: &["anchor.medial.along=-60%..60%:13", "tether.hinge.stiffness=0.5,2,5,10,20,60"],
        show: &["lower-off", "lower-gap"],
        from: Start::Displaced,
    },
    Named {
        name: "size",
        question: "From which size of the fragment does one-by-one no longer do?",
        case: "quarter",
        constructs: &["one-by-one", "two-by-two-crossed"],
        vary: &["fragment.width=10%..40%:16"],
        show: &["load-1mm", "load-2mm", "step"],
        from: Start::Reduced,
    },
    Named {
        name: "tension",
        question: "At which tension does more compression stop helping, and how does that depend on friction?",
        case: "quarter",
        constructs: &["one-by-one"],
        vary: &["limb.*.tension=10..80:8", "bed.friction=0.3..0.9:7"],
        show: &["load-1mm", "compression"],
        from: Start::Reduced,
    },
];

impl Named {
    /// The one of a name.
    pub fn find(name: &str) -> Option<&'static Self> {
        NAMED.iter().find(|n| n.name == name)
    }

    /// What it asks.
    pub fn plan(&'static self) -> Plan {
        let words = |list: &[&str]| list.iter().map(|w| (*w).to_owned()).collect();
        Plan { named: Some(self), vary: words(self.vary), show: words(self.show), from: self.from, ..Plan::default() }
    }
}
