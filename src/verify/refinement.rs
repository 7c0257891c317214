//! Refinement of one case and construct: cells of the bed, steps of the push, steps of the pulls.

use super::check::{Found, not_tied};
use super::series::{LEVELS, Refined, Series, Tolerated};
use crate::mechanics::{Ramp, Rig};
use crate::model::{Case, Construct};
use crate::par::*;
use crate::quantities::{View, quantity};
use crate::study::result::{Hold, Outcome, Push, Start};
use crate::study::{self, PushPlan, Tied};

const HALF: f64 = 0.005;
const WHY_HALF: &str = "half a percent, the rule for results of the bed";
const WHY_MEMORY: &str = "what is left of friction remembers when each cell slipped; near the end of a \
                          push the load hangs on a narrow strip of contact";
const WHY_COUNTED: &str = "counted in whole cells: half a cell of 0.5 mm on a strip of contact 2.8 mm wide (single \
                           row) is 9 %; columns of cells end at different places, which leaves 3.1 %";
const WHY_EDGE: &str = "the pressure at the middle of the outermost cell, 0.25 mm inside the edge: 5.3 % where \
                        contact is narrowest (single row, crater fan)";
const WHY_STICKING: &str = "carried by the cells that stick, counted like those in contact: 3.4 % (single row)";
const WHY_SEEN: &str = "a hundredth of a millimetre; eye and CT tell some tenths";
const WHY_TURN: &str = "0.13 deg at 5 deg, by the memory of friction (single row, 2.5 %); CT tells a degree or two";

const fn within(key: &'static str, floor: f64, tolerance: f64, reason: &'static str) -> Tolerated {
    Tolerated { key, floor, tolerance, reason }
}

/// What is refined of the tied state and the push.
const REPORTED: [Tolerated; 11] = [
    within("compression", 1.0, HALF, WHY_HALF),
    within("friction", 1.0, 0.01, WHY_MEMORY),
    within("contact", 5.0, 0.033, WHY_COUNTED),
    within("mean-pressure", 0.05, 0.033, WHY_COUNTED),
    within("peak-pressure", 0.05, 0.055, WHY_EDGE),
    within("step", 1.0, 0.01, WHY_SEEN),
    within("tilt", 5.0, 0.026, WHY_TURN),
    within("stiffness", 1.0, 0.035, WHY_STICKING),
    within("load-0.5mm", 1.0, HALF, WHY_HALF),
    within("load-1mm", 1.0, HALF, WHY_HALF),
    within("load-2mm", 1.0, 0.01, WHY_MEMORY),
];

/// Numbers of cells aimed at: the size of a cell is halved three times.
pub const CELLS: [usize; LEVELS] = [150, 600, 2400, 9600];
/// Recorded steps of the push.
pub const PUSHES: [usize; LEVELS] = [20, 40, 80, 160];
/// Steps of each pull.
pub const PULLS: [usize; LEVELS] = [10, 20, 40, 80];

/// A case with a construct, tied from where.
#[derive(Debug, Clone, Copy)]
pub struct Subject<'a> {
    /// The case.
    pub case: &'a Case,
    /// The construct on it.
    pub construct: &'a Construct,
    /// Where tying starts.
    pub from: Start,
}

impl Subject<'_> {
    /// Case and construct in words.
    pub fn name(&self) -> String {
        format!("{} on {}", self.construct.name, self.case.name)
    }

    fn rig(&self) -> Rig {
        study::rig(self.case, self.construct, self.from)
    }
}

/// A push along the default direction in so many steps.
fn push_in(subject: &Subject<'_>, rig: &Rig, tied: &Tied, steps: usize) -> Push {
    let plan = PushPlan { steps, ..PushPlan::default() };
    study::push(subject.case, subject.construct, rig, tied, &plan)
}

/// What a level of refinement reports.
#[derive(Debug, Clone, Copy)]
struct Level {
    /// The values of [`REPORTED`]; no number where there is none.
    values: [f64; REPORTED.len()],
    /// Whether the push ended in a finding, so that the loads beyond are not there to be had.
    ended: bool,
}

fn reported(subject: &Subject<'_>, hold: &Hold, push: &Push) -> Level {
    let ended = matches!(push.outcome, Outcome::NotHeld { .. });
    let view = View::of_state(subject.case, subject.construct, hold.tied.as_ref(), Some(push));
    let value = |q: Tolerated| hold.tied.as_ref().and_then(|_| (quantity(q.key).of)(&view));
    Level { values: REPORTED.map(|q| value(q).unwrap_or(f64::NAN)), ended }
}

/// Where the loads of a push begin in [`REPORTED`].
const LOADS: usize = 8;

/// The series of the quantities from `first` on.
fn series(
    subject: &Subject<'_>,
    (refined, levels, sizes): (Refined, [usize; LEVELS], [f64; LEVELS]),
    found: [Level; LEVELS],
    own: Level,
    first: usize,
) -> Vec<Series> {
    let name = subject.name();
    (first..REPORTED.len())
        .map(|q| {
            let values = found.map(|level| level.values[q]);
            let used = own.values[q];
            let series = Series::new(&name, refined, &REPORTED[q], levels, sizes, values, used);
            // Some that reach the mark and others that do not stay a failure: then the answer hangs
            // on the cells or steps.
            let nowhere = |level: &Level| level.ended && !level.values[q].is_finite();
            if q >= LOADS && found.iter().chain([&own]).all(nowhere) { series.not_reached() } else { series }
        })
        .collect()
}

fn held(what: &str, (hold, tied): (Hold, Option<Tied>)) -> Found<(Hold, Tied)> {
    let tied = tied.ok_or_else(|| not_tied(what, &hold.outcome))?;
    Ok((hold, tied))
}

/// Halves the cells of the bed three times, and ties and pushes on each.
///
/// # Errors
/// When the construct does not hold the fragment on one of the beds.
pub fn cells(subject: &Subject<'_>) -> Found<Vec<Series>> {
    let on = |cells: usize| {
        let mut case = subject.case.clone();
        case.bed.cells = cells;
        let subject = Subject { case: &case, ..*subject };
        let rig = subject.rig();
        let (hold, tied) =
            held(&format!("on {cells} cells"), study::tie(&case, subject.construct, &rig, subject.from))?;
        let push = push_in(&subject, &rig, &tied, PushPlan::default().steps);
        // The number of cells that fits the outline differs a little from the one aimed at.
        Ok::<_, String>((rig.bed.cells.len(), reported(&subject, &hold, &push)))
    };
    let own = subject.case.bed.cells;
    let mut aims = CELLS.to_vec();
    if !aims.contains(&own) {
        aims.push(own);
    }
    let found: Vec<_> = aims.par_iter().map(|n| on(*n)).collect::<Found<_>>()?;
    let used = aims.iter().position(|n| *n == own).unwrap_or(0);
    let levels = std::array::from_fn(|k| found[k].0);
    let sizes = levels.map(|n| libm::pow(n as f64, -0.5));
    let values = std::array::from_fn(|k| found[k].1);
    let way = (Refined::Cells, levels, sizes);
    Ok(series(subject, way, values, found[used].1, 0))
}

/// Halves the steps of the push three times.
///
/// # Errors
/// When the construct does not hold the fragment.
pub fn push_steps(subject: &Subject<'_>) -> Found<Vec<Series>> {
    let rig = subject.rig();
    let end = study::tie(subject.case, subject.construct, &rig, subject.from);
    let (hold, tied) = held("as given", end)?;
    let found: Vec<Level> =
        PUSHES.par_iter().map(|steps| reported(subject, &hold, &push_in(subject, &rig, &tied, *steps))).collect();
    let used = PUSHES
        .iter()
        .position(|n| *n == PushPlan::default().steps)
        .ok_or("the steps of a push are none of those tried")?;
    let sizes = PUSHES.map(|n| 1.0 / n as f64);
    let values = std::array::from_fn(|k| found[k]);
    let way = (Refined::PushSteps, PUSHES, sizes);
    Ok(series(subject, way, values, found[used], LOADS))
}

/// Halves the steps of every pull three times, and holds the steps that the study chooses against
/// them.
///
/// # Errors
/// When the construct does not hold the fragment in one of the ways.
pub fn pull_steps(subject: &Subject<'_>) -> Found<Vec<Series>> {
    let rig = subject.rig();
    let (case, construct, from) = (subject.case, subject.construct, subject.from);
    let look = |end: (Hold, Option<Tied>)| {
        let (hold, tied) = held("with other steps", end)?;
        let push = push_in(subject, &rig, &tied, PushPlan::default().steps);
        Ok::<_, String>(reported(subject, &hold, &push))
    };
    let mut ramps: Vec<Option<Ramp>> = PULLS
        .iter()
        .map(|steps| {
            let share = 1.0 / *steps as f64;
            Some(Ramp { first: share, largest: share, continued: false })
        })
        .collect();
    ramps.push(None);
    let found: Vec<_> = ramps
        .par_iter()
        .map(|ramp| {
            look(match ramp {
                Some(ramp) => study::tie_in_steps(case, construct, &rig, from, *ramp),
                None => study::tie(case, construct, &rig, from),
            })
        })
        .collect::<Found<_>>()?;
    let sizes = PULLS.map(|n| 1.0 / n as f64);
    let values = std::array::from_fn(|k| found[k]);
    let way = (Refined::PullSteps, PULLS, sizes);
    Ok(series(subject, way, values, found[LEVELS], 0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::ConstructFile;

    #[test]
    fn a_mark_that_no_level_reaches_passes_and_one_that_some_reach_fails() {
        let case = Case::open("quarter").unwrap();
        let construct = ConstructFile::open("one-by-one").unwrap();
        let subject = Subject { case: &case, construct: &construct.fit(&case).unwrap(), from: Start::Reduced };
        let whole = Level { values: [1.0; REPORTED.len()], ended: false };
        let mut short = whole;
        short.values[LOADS + 2] = f64::NAN;
        short.ended = true;
        let way = (Refined::Cells, [1, 2, 3, 4], [8.0, 4.0, 2.0, 1.0]);
        let last = |found, own| series(&subject, way, found, own, 0).pop().unwrap();
        let nowhere = last([short; LEVELS], short);
        assert!(nowhere.passed && !nowhere.reached);
        assert_eq!(nowhere.quantity, "load at 2 mm, not reached");
        assert!(last([whole; LEVELS], whole).passed);
        for (found, own) in
            [([short, short, short, whole], short), ([short; LEVELS], whole), ([whole, whole, whole, short], whole)]
        {
            let some = last(found, own);
            assert!(!some.passed && some.reached, "{some:?}");
        }
        // What is missing without a finding (an uncertified state) is a failure on every level too.
        let lost = Level { ended: false, ..short };
        assert!(!last([lost; LEVELS], lost).passed);
    }
}
