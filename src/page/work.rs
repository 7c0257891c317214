//! The work behind an answer: what was computed of the last states is kept, so that only what a change touches is computed.

use super::answer::{Answer, Stage, answer, lost_words, orders, plan, timeline};
use super::ask::{Ask, State};
use super::change::{Mistake, Read, changed};
use super::draw::{Drawing, drawing};
use crate::list::distinct;
use crate::model::{Construct, Plane};
use crate::par;
use crate::show::figures::{Figure, Style, construct as construct_figure, resistance, tie_strip};
use crate::study::result::Push;
use crate::study::{Chosen, Moment, OrdersPlan, Refused, Trial, TrialPlan, Watcher, orders as run_orders};
use serde::{Deserialize, Serialize};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Instant;

/// Trials that are kept.
const KEPT: usize = 16;

/// A trial under all that it depends on.
type Known = (String, Arc<Trial>);

/// Trials of the last questions, the newest last.
#[derive(Debug, Default)]
pub(super) struct Work {
    known: Mutex<Vec<Known>>,
}

/// Why there is no answer.
#[derive(Debug)]
pub(super) enum Refusal {
    /// Mistakes in what was asked.
    Mistakes(Vec<Mistake>),
    /// A newer question has come.
    Superseded,
}

impl From<Vec<Mistake>> for Refusal {
    fn from(mistakes: Vec<Mistake>) -> Self {
        Self::Mistakes(mistakes)
    }
}

impl From<Refused> for Refusal {
    fn from(refused: Refused) -> Self {
        match refused {
            Refused::Ended => Self::Superseded,
            refused => Self::Mistakes(Mistake::said("the page", refused.to_string(), "")),
        }
    }
}

/// Whether nobody waits for the answer any more.
pub(super) type Ends<'a> = &'a (dyn Fn() -> bool + Sync);

/// Ends a study then.
struct Until<'a>(Ends<'a>);

impl Watcher for Until<'_> {
    fn stops(&self) -> bool {
        (self.0)()
    }
}

/// A row of states that are played.
#[derive(Debug, Serialize)]
pub(super) struct Played {
    heading: &'static str,
    stages: Vec<Shown>,
}

#[derive(Debug, Serialize)]
struct Shown {
    #[serde(flatten)]
    stage: Stage,
    #[serde(flatten)]
    picture: Option<Drawing>,
}

/// Which figure is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Kind {
    Construct,
    Resistance,
    TieStrip,
}

/// A figure for print.
#[derive(Debug, Clone, Deserialize)]
pub(super) struct Wanted {
    pub state: State,
    pub figure: Kind,
    pub format: Form,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum Form {
    Svg,
    Png,
}

/// A construct's name with what it has lost.
fn named(state: &State, construct: usize, name: &str) -> String {
    match lost_words(state).filter(|_| construct == state.shown) {
        Some(lost) => format!("{name} without {lost}"),
        None => name.to_owned(),
    }
}

/// Resolution of a figure as PNG, dots per inch.
const DPI: u32 = 300;

impl Work {
    /// Answers a question.
    pub fn answer(&self, ask: &Ask, ends: Ends<'_>) -> Result<Answer, Refusal> {
        let begun = Instant::now();
        let (state, stopped) = match &ask.change {
            None => (ask.state.clone(), None),
            Some(change) => changed(&ask.state, change)?,
        };
        let read = Read::of(&state)?;
        let state = read.tidied(state);
        let trials = self.trials(&state, &read, !ask.quick, ends)?;
        let before = match &ask.before {
            None => Vec::new(),
            // Of an older state nothing new is said: where it cannot be read there is no curve of it.
            Some(state) => match Read::of(state) {
                Ok(read) => self.trials(state, &read, !ask.quick, ends)?,
                Err(_) => Vec::new(),
            },
        };
        let mut found = answer(&state, &read, &trials, &before, ask.push, ask.dark);
        (found.number, found.stopped) = (ask.number, stopped);
        found.engine_ms = begun.elapsed().as_secs_f64() * 1e3;
        Ok(found)
    }

    /// Ties from inferior to superior, and the bridge first, state by state.
    pub fn orders(&self, ask: &Ask, ends: Ends<'_>) -> Result<Vec<Played>, Refusal> {
        let read = Read::of(&ask.state)?;
        let (_, construct) = &read.constructs[ask.state.shown];
        let asked: Vec<_> = orders(&read.case, construct).into_iter().enumerate().collect();
        let play = |(row, (heading, order)): &(usize, (&'static str, Vec<usize>))| {
            let mut ordered = construct.clone();
            ordered.ties = order.iter().map(|k| construct.ties[*k].clone()).collect();
            let plan = TrialPlan { from: ask.state.from, push: None, ..TrialPlan::default() };
            let trial = Trial::run(&read.case, &ordered, &plan, &Until(ends)).map_err(Refusal::from)?;
            let picture = |k: usize| {
                let reached = k <= trial.found.hold.ties.len();
                let state = if reached { trial.state(Moment::After(k)) } else { trial.given_up() }?;
                Some(drawing((&read.case, &ordered), &state, &[], Plane::Face, &format!("row{row}-{k}"), ask.dark))
            };
            // What comes after the tie that fails is never reached.
            let reached = trial.found.hold.ties.len() + 2;
            let stages = timeline(&ordered, &trial).into_iter().take(reached).enumerate();
            Ok(Played { heading, stages: stages.map(|(k, stage)| Shown { stage, picture: picture(k) }).collect() })
        };
        par::map(&asked, play).into_iter().collect()
    }

    /// A figure for print as bytes; `None` where there is nothing to draw.
    pub fn figure(&self, wanted: &Wanted, ends: Ends<'_>) -> Result<Option<(String, Vec<u8>)>, Refusal> {
        let state = &wanted.state;
        let read = Read::of(state)?;
        let (_, construct) = &read.constructs[state.shown];
        let theme = Style::Print.double();
        let figure: Option<Figure> = match wanted.figure {
            Kind::TieStrip => {
                let plan = OrdersPlan { from: state.from, ..OrdersPlan::default() };
                let [(_, rising), (_, bridge)] = orders(&read.case, construct);
                let chosen = Chosen::these(distinct([(0..construct.ties.len()).collect(), rising, bridge]));
                let found = run_orders(&read.case, construct, &chosen, &plan, &Until(ends));
                if ends() {
                    return Err(Refusal::Superseded);
                }
                Some(tie_strip(&read.case, construct, &found, &theme))
            }
            // What was lost is part of the name of what is drawn.
            Kind::Construct => {
                let trials = self.trials(state, &read, true, ends)?;
                let named = Construct { name: named(state, state.shown, &construct.name), ..construct.clone() };
                let tied = trials[state.shown].state(Moment::Tied);
                tied.map(|tied| construct_figure(&read.case, &named, &tied, &Style::Print.drawing()))
            }
            Kind::Resistance => {
                let trials = self.trials(state, &read, true, ends)?;
                let named = |(k, trial): (usize, &Arc<Trial>)| {
                    let push = trial.found.push.clone()?;
                    Some(Push { construct: named(state, k, &push.construct), ..push })
                };
                let pushes: Vec<Push> = trials.iter().enumerate().filter_map(named).collect();
                let pushes: Vec<&Push> = pushes.iter().collect();
                (!pushes.is_empty()).then(|| resistance(&pushes, &theme))
            }
        };
        Ok(figure.and_then(|figure| match wanted.format {
            Form::Svg => Some((format!("{}.svg", figure.name), figure.svg.into_bytes())),
            Form::Png => Some((format!("{}.png", figure.name), figure.png(DPI).ok()?)),
        }))
    }

    /// The trials of a state's constructs: those that are known, and the others on all cores.
    fn trials(&self, state: &State, read: &Read, whole: bool, ends: Ends<'_>) -> Result<Vec<Arc<Trial>>, Refusal> {
        let numbers: Vec<usize> = (0..read.constructs.len()).collect();
        let one = |k: &usize| {
            let key = |plan: &TrialPlan| format!("{plan:?}\n{}\n{}", state.case.text, state.constructs[*k].text);
            // A whole one answers a quick question too.
            if let Some(trial) = self.known(&key(&plan(state, *k, true))) {
                return Ok(trial);
            }
            let plan = plan(state, *k, whole);
            let key = key(&plan);
            if let Some(trial) = self.known(&key) {
                return Ok(trial);
            }
            let (_, construct) = &read.constructs[*k];
            let trial = Arc::new(Trial::run(&read.case, construct, &plan, &Until(ends))?);
            self.keep(key, &trial);
            Ok(trial)
        };
        par::map(&numbers, one).into_iter().collect()
    }

    fn known(&self, key: &str) -> Option<Arc<Trial>> {
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        let at = known.iter().position(|k| k.0 == key)?;
        // What was asked for last is forgotten last.
        let found = known.remove(at);
        let trial = Arc::clone(&found.1);
        known.push(found);
        Some(trial)
    }

    fn keep(&self, key: String, trial: &Arc<Trial>) {
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if known.len() == KEPT {
            known.remove(0);
        }
        known.push((key, Arc::clone(trial)));
    }
}
