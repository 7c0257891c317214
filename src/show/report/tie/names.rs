//! Names of ties and orders: a letter where space is short, words where it is not.

use crate::model::{Construct, letter};
use crate::study::result::OrderRun;

/// The ties of a construct, named.
pub(in super::super) struct TieNames {
    letters: Vec<String>,
    words: Vec<String>,
    members: Vec<String>,
    /// What is tied first and then where all are tied together.
    together: [&'static str; 2],
}

impl TieNames {
    pub fn of(construct: &Construct) -> Self {
        let group = |k: usize| construct.limbs[k].group.as_str();
        let words = construct.ties.iter().map(|tie| {
            let names = construct.names_of(tie);
            // A tie of a whole group of limbs bears the group's name.
            let whole = tie.limbs.first().filter(|_| names.len() > 1).map(|k| group(*k));
            let is_whole = |first: &&str| {
                let members = (0..construct.limbs.len()).filter(|k| group(*k) == *first);
                tie.screws.is_empty() && members.eq(sorted(&tie.limbs))
            };
            match whole.filter(is_whole) {
                Some(group) => format!("the {group}"),
                None => names.join(" with "),
            }
        });
        Self {
            letters: (0..construct.ties.len()).map(letter).collect(),
            words: words.collect(),
            members: construct.ties.iter().map(|tie| construct.names_of(tie).join(" + ")).collect(),
            together: match (construct.limbs.is_empty(), construct.screws.is_empty()) {
                (false, false) => ["limbs", "screws"],
                _ => ["all"; 2],
            },
        }
    }

    /// The letter of a tie.
    pub fn letter(&self, tie: usize) -> &str {
        &self.letters[tie]
    }

    /// The tie `k` of a run: its letter, or what was tied where all were tied together.
    pub fn tie(&self, run: &OrderRun, k: usize) -> &str {
        if run.together { self.together[k.min(1)] } else { self.letter(run.order[k]) }
    }

    /// A tie in words: "inferior-loop", "the bridge".
    pub fn words(&self, tie: usize) -> &str {
        &self.words[tie]
    }

    /// Letter, words and members of every tie.
    pub fn all(&self) -> impl Iterator<Item = (&str, &str, &str)> {
        let one = |k: usize| (self.letters[k].as_str(), self.words[k].trim_start_matches("the "), &*self.members[k]);
        (0..self.letters.len()).map(one)
    }

    /// Letters and members in one line.
    pub fn list(&self) -> String {
        self.all().map(|(letter, _, members)| format!("{letter}: {members}")).collect::<Vec<_>>().join("; ")
    }

    /// An order in letters; a run of all limbs together has a word.
    pub fn order(&self, run: &OrderRun) -> String {
        if run.together {
            return "together".to_owned();
        }
        let letters: Vec<&str> = run.order.iter().map(|t| self.letter(*t)).collect();
        letters.join(" ")
    }

    /// An order in as few words as there are: "inferior-loop, bridge, superior-loop".
    pub fn listed(&self, order: &[usize]) -> String {
        order.iter().map(|t| self.words[*t].trim_start_matches("the ")).collect::<Vec<_>>().join(", ")
    }

    /// An order in words: "inferior-loop, the bridge, superior-loop".
    pub fn sequence(&self, order: &[usize]) -> String {
        let words: Vec<&str> = order.iter().map(|t| self.words(*t)).collect();
        words.join(", then ")
    }
}

fn sorted(limbs: &[usize]) -> Vec<usize> {
    let mut sorted = limbs.to_vec();
    sorted.sort_unstable();
    sorted
}
