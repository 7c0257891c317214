//! From values of the free variables to what they are worth.

use super::super::result::Start;
use super::draws::{Common, ends, percentile};
use super::look::{Eye, Fate, Look, look};
use super::objective::Objective;
use super::rule::{FAR, Rules};
use crate::model::SAMPLES;
use crate::model::place::{PlaceTable, Variable};
use crate::model::spread::{Owner, Subject};
use crate::optimise::{Judged, Watcher};

/// Fineness at which places (mm), hours and tensions (N) are tried and written: nobody drills finer,
/// and a file then says exactly what was computed.
const FINE: f64 = 1000.0;

/// How finely to look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effort {
    /// Bed cells aimed at; the case's own when absent.
    pub cells: Option<usize>,
    /// Recorded steps of a push to 1 mm.
    pub steps: usize,
}

/// A question that a search asks again and again.
#[derive(Debug)]
pub struct Question {
    pub(super) subject: Subject,
    /// Free variables.
    pub variables: Vec<Variable>,
    /// Objectives.
    pub objectives: Vec<Objective>,
    pub(super) rules: Rules,
    /// Names of the anchors that are free.
    pub moved: Vec<String>,
    /// Where tying starts.
    pub(super) from: Start,
    /// Bed cells aimed at.
    pub(super) cells: usize,
    /// Recorded steps of a push to 1 mm.
    pub(super) steps: usize,
    /// The draws over which its objectives are percentiles.
    pub(super) common: Option<Common>,
}

impl Question {
    /// A question about the first construct of a subject.
    pub fn new(
        subject: &Subject,
        variables: &[Variable],
        objectives: &[Objective],
        from: Start,
        effort: Effort,
    ) -> Self {
        let mut subject = subject.clone();
        let cells = effort.cells.unwrap_or(subject.case().bed.cells);
        if effort.cells.is_some() {
            subject.set_cells(cells);
        }
        let table: Option<&PlaceTable> = subject.files().next().and_then(|f| f.place.as_ref());
        let rules = Rules::new(subject.case(), table);
        let mut moved: Vec<String> = Vec::new();
        for (anchor, _) in variables.iter().filter_map(Variable::coordinate) {
            if !moved.iter().any(|m| m == anchor) {
                moved.push(anchor.to_owned());
            }
        }
        Self {
            subject,
            variables: variables.to_vec(),
            objectives: objectives.to_vec(),
            rules,
            moved,
            from: Objective::start(objectives, from),
            cells,
            steps: effort.steps,
            common: None,
        }
    }

    /// The same, its objectives the 10th percentile (90th where less is better) over draws: one in which
    /// the fragment is lost or an anchor misses its bone counts as the worst, one without a certificate
    /// is left out. A design of which fewer than nine in ten draws are certified has no value.
    pub fn over(mut self, common: Option<Common>) -> Self {
        self.common = common;
        self
    }

    /// The bounds.
    pub fn bounds(&self) -> Vec<[f64; 2]> {
        self.variables.iter().map(|v| [v.low, v.high]).collect()
    }

    /// Where the construct has the variables.
    pub fn given(&self) -> Vec<f64> {
        self.variables.iter().map(|v| v.given).collect()
    }

    /// Values as they are tried: rounded, and inside their bounds.
    pub fn tried(&self, at: &[f64]) -> Vec<f64> {
        self.variables.iter().zip(at).map(|(v, x)| ((x * FINE).round() / FINE).clamp(v.low, v.high)).collect()
    }

    /// A subject with the variables set; as in its files where `at` is absent.
    pub(super) fn set(&self, at: Option<&[f64]>) -> Subject {
        let mut subject = self.subject.clone();
        for (variable, x) in self.variables.iter().zip(at.into_iter().flatten()) {
            subject.set(&variable.known, Owner::Construct(0), *x, false);
        }
        subject
    }

    /// Looks at a design, or at the construct as it is.
    pub fn look(&self, at: Option<&[f64]>) -> Look {
        let none = || Look::bare(Fate::Impossible(String::new()), self.objectives.len());
        self.looked(at, &()).unwrap_or_else(none)
    }

    /// The same, draws left out.
    pub(super) fn nominal(&self, at: Option<&[f64]>) -> Look {
        let at = at.map(|at| self.tried(at));
        self.once(&self.set(at.as_deref()), FAR)
    }

    /// The same, unless an end is asked for between its draws.
    pub(super) fn looked(&self, at: Option<&[f64]>, watch: &dyn Watcher) -> Option<Look> {
        let at = at.map(|at| self.tried(at));
        let at = at.as_deref();
        let mut nominal = self.nominal(at);
        if let (Some(common), Fate::Held) = (&self.common, &nominal.fate) {
            let draws = (0..common.draws.len())
                .map(|k| (!watch.stops()).then(|| self.drawn(at, common, k)))
                .collect::<Option<Vec<Look>>>()?;
            let ends = ends(&draws);
            nominal.nominal = Some(nominal.values.clone());
            for (k, objective) in self.objectives.iter().enumerate() {
                nominal.values[k] = percentile(*objective, &draws, k);
            }
            if !ends.suffice() {
                nominal.fate =
                    Fate::Silent(format!("of {} draws {} have no certificate", ends.all(), ends.uncertified));
            } else if nominal.values.iter().any(Option::is_none) {
                let why = "lost or off the bone in a tenth of the draws";
                nominal.fate = Fate::NotHeld(why.to_owned());
            }
            nominal.draws = Some(ends);
        }
        Some(nominal)
    }

    /// A look under one draw.
    pub fn drawn(&self, at: Option<&[f64]>, common: &Common, k: usize) -> Look {
        let mut subject = self.set(at);
        let present = |path: &str| {
            let k = self.variables.iter().position(|v| v.path() == path)?;
            at.map(|at| at[k])
        };
        common.design.apply_over(&common.draws[k], &present, &mut subject);
        // Where an anchor lands nobody asks for its distance from others.
        self.once(&subject, f64::INFINITY)
    }

    fn once(&self, subject: &Subject, far: f64) -> Look {
        let mut reading = subject.read();
        let both = reading.case.and_then(|case| Ok((case, reading.constructs.swap_remove(0)?)));
        let (case, construct) = match both {
            Ok(both) => both,
            Err(why) => return Look::bare(Fate::Impossible(why), self.objectives.len()),
        };
        let eye = Eye {
            objectives: &self.objectives,
            rules: &self.rules,
            moved: &self.moved,
            from: self.from,
            steps: self.steps,
            samples: SAMPLES,
            far,
        };
        look(&case, &construct, &eye)
    }

    /// What a look is worth to a search for its objective with this number.
    pub fn judged(&self, look: &Look, objective: usize) -> Judged {
        Judged {
            cost: look.values[objective].map_or(f64::NAN, |v| self.objectives[objective].cost(v)),
            violation: look.violation(),
        }
    }
}
