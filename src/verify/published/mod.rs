//! Published bench tests and facts of the trade beside what the model predicts. Nothing is tuned: the
//! inputs are drawn from the spread of the program's own table of values, and no value of that table
//! is calibrated on one of these studies.

mod ask;
mod band;
mod design;

pub use band::Where;
pub use band::{Band, Comparison, Published, Verdict};
pub use design::{DRAWS, Input, SEED};

use crate::anatomy::Socket;
use crate::math::Vec3;
use crate::mechanics::joint::Piece;
use crate::par;
use crate::study::{self, Direction};
use band::widest;
use design::Draw;
use schemars::JsonSchema;
use serde::Serialize;

/// A fact of the trade, and what the model answers.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Fact {
    /// What is held true (common practice, no source).
    pub fact: String,
    /// How the model is asked.
    pub asked: String,
    /// Answer with every input at its default.
    pub at_defaults: Option<bool>,
    /// Draws that answer yes.
    pub yes: usize,
    /// Draws that answer no.
    pub no: usize,
    /// Draws without an answer.
    pub without: usize,
    /// The widest end of one input's spread over which every draw says yes.
    pub always: Option<Where>,
    /// The same for no.
    pub never: Option<Where>,
}

/// Predictions beside publications.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Predictions {
    /// Draws of the design.
    pub draws: usize,
    /// Seed of the design.
    pub seed: u64,
    /// The inputs with their spreads.
    pub inputs: Vec<Input>,
    /// Numbers of the model that are calibrated on one of the studies; such a comparison would not
    /// count.
    pub calibrated: Vec<String>,
    /// Quantities.
    pub comparisons: Vec<Comparison>,
    /// Facts of the trade.
    pub facts: Vec<Fact>,
    /// Published values that the model has nothing to hold against, and why.
    pub left_out: Vec<String>,
}

/// What one draw answers.
struct Answers {
    rows: ask::Rows,
    limbs: [Option<[f64; 2]>; 2],
    stability: [Option<f64>; 2],
    facts: Vec<Option<bool>>,
}

fn answers(draw: &Draw) -> Answers {
    Answers {
        rows: ask::rows(draw),
        limbs: ask::limbs(draw),
        stability: stability(draw),
        facts: ask::QUESTIONS.iter().map(|q| (q.answer)(draw)).collect(),
    }
}

/// Missing width of the face in the defect, mm: 20 % of the socket's length in the study.
const DEFECT: f64 = 6.0;

/// Stability ratio (%) of a head on cartilage without friction and labrum, slid anteriorly over the intact rim and over
/// a defect at 3 o'clock.
fn stability(draw: &Draw) -> [Option<f64>; 2] {
    let Ok(case) = draw.joint(DEFECT) else {
        return [None; 2];
    };
    let anterior = Direction::of_shoulder("anterior", Vec3::x());
    [Piece::Whole, Piece::Missing].map(|piece| {
        let slide = study::slid(&case, &piece, &anterior);
        slide.is_borne().then_some(100.0 * slide.ratio)
    })
}

/// Slope of the face at distance `r` (mm) from the middle, by a central difference of its height.
pub fn slope(socket: &Socket, r: f64) -> f64 {
    let h = 1e-4;
    (socket.face_height(r + h) - socket.face_height(r - h)) / (2.0 * h)
}

/// Load at 1 mm of a double row over that of a single row in the one bench test of such fragments.
pub const DOUBLE_OVER_SINGLE: f64 = 2.01;

const SPIEGL: &str = "Spiegl et al., Am J Sports Med 2014, 10.1177/0363546514532782: 14 pairs, fragment 25 % of \
                      the width, sawn, ten cycles of 5 to 25 N, anteromedial pull of unknown angle";
const PARK: &str = "Park et al., J Shoulder Elbow Surg 2007;16:461: four against two limbs of a tendon bridge";
const YAMAMOTO: &str = "Yamamoto et al., Am J Sports Med 2009;37:949: stability ratio of the socket, head pushed \
                        anteriorly under 50 N";

/// A quantity of a draw's answers.
type Pick = fn(&Answers) -> Option<f64>;

fn load(rows: &Answers, row: usize, mark: usize) -> Option<f64> {
    rows.rows[row][mark]
}

fn ratio(a: &Answers, row: usize, mark: usize) -> Option<f64> {
    let (double, single) = (load(a, row, mark)?, load(a, 0, mark)?);
    (single > 0.0).then(|| double / single)
}

fn slope_of(a: &Answers, row: usize) -> Option<f64> {
    Some(load(a, row, 1)? - load(a, row, 0)?)
}

fn offset(a: &Answers, row: usize, mark: usize) -> Option<f64> {
    Some(load(a, row, mark)? - load(a, 0, mark)?)
}

fn limb_ratio(a: &Answers, what: usize) -> Option<f64> {
    let [two, four] = a.limbs;
    Some(four?[what] / two?[what])
}

/// Every quantity: study, name, unit, how to take it from a draw, what was published.
fn quantities() -> Vec<(&'static str, &'static str, &'static str, Pick, Option<Published>)> {
    let single = |mark: usize| {
        if mark == 0 { Published::specimens(30.2, 14.0, 54.1) } else { Published::specimens(63.7, 26.6, 118.8) }
    };
    let double = |mark: usize| {
        if mark == 0 { Published::specimens(60.6, 39.0, 93.3) } else { Published::specimens(94.4, 43.4, 151.2) }
    };
    let derived = Published::derived;
    vec![
        (SPIEGL, "single row: load at 1 mm", "N", |a| load(a, 0, 0), single(0)),
        (SPIEGL, "single row: load at 2 mm", "N", |a| load(a, 0, 1), single(1)),
        (SPIEGL, "single row: slope 1 to 2 mm", "N/mm", |a| slope_of(a, 0), derived(33.5)),
        (SPIEGL, "double row, two-by-two: load at 1 mm", "N", |a| load(a, 2, 0), double(0)),
        (SPIEGL, "double row, two-by-two: load at 2 mm", "N", |a| load(a, 2, 1), double(1)),
        (SPIEGL, "double row, two-by-two: slope 1 to 2 mm", "N/mm", |a| slope_of(a, 2), derived(33.8)),
        (SPIEGL, "two-by-two over single row, at 1 mm", "", |a| ratio(a, 2, 0), derived(DOUBLE_OVER_SINGLE)),
        (SPIEGL, "two-by-two over single row, at 2 mm", "", |a| ratio(a, 2, 1), derived(1.48)),
        (SPIEGL, "two-by-two less single row, at 1 mm", "N", |a| offset(a, 2, 0), derived(30.4)),
        (SPIEGL, "two-by-two less single row, at 2 mm", "N", |a| offset(a, 2, 1), derived(30.7)),
        (SPIEGL, "double row, one-by-one: load at 1 mm", "N", |a| load(a, 1, 0), double(0)),
        (SPIEGL, "double row, one-by-one: load at 2 mm", "N", |a| load(a, 1, 1), double(1)),
        (SPIEGL, "one-by-one over single row, at 1 mm", "", |a| ratio(a, 1, 0), derived(DOUBLE_OVER_SINGLE)),
        (SPIEGL, "one-by-one less single row, at 1 mm", "N", |a| offset(a, 1, 0), derived(30.4)),
        (PARK, "contact area, four limbs over two", "", |a| limb_ratio(a, 0), derived(124.2 / 99.7)),
        (PARK, "force on the bed, four limbs over two", "", |a| limb_ratio(a, 1), None),
        (YAMAMOTO, "stability ratio, intact", "%", |a| a.stability[0], Published::deviation(32.0, 6.0)),
        (YAMAMOTO, "stability ratio, 6 mm lost", "%", |a| a.stability[1], Published::deviation(17.0, 5.0)),
        (YAMAMOTO, "6 mm lost over intact", "", |a| Some(a.stability[1]? / a.stability[0]?), derived(17.0 / 32.0)),
    ]
}

/// Predicts everything from `draws` draws of a seed; `done` is told of each finished draw (and of the
/// one with all defaults).
pub fn predict(draws: usize, seed: u64, done: &(dyn Fn() + Sync)) -> Predictions {
    let mut design = design::draws(draws, seed);
    design.push(design::middle());
    let mut found: Vec<Answers> = par::map(&design, |draw| {
        let found = answers(draw);
        done();
        found
    });
    design.pop();
    let middle = found.pop();
    let comparisons = quantities()
        .into_iter()
        .map(|(study, quantity, unit, pick, published)| {
            let drawn = found.iter().map(pick);
            let at_defaults = middle.as_ref().and_then(pick);
            Comparison::new(study, quantity, unit, drawn, at_defaults, published)
        })
        .collect();
    let facts = ask::QUESTIONS
        .iter()
        .enumerate()
        .map(|(k, question)| {
            let given: Vec<Option<bool>> = found.iter().map(|a| a.facts[k]).collect();
            let count = |answer| given.iter().filter(|g| **g == answer).count();
            Fact {
                fact: question.fact.to_owned(),
                asked: question.asked.to_owned(),
                at_defaults: middle.as_ref().and_then(|m| m.facts[k]),
                yes: count(Some(true)),
                no: count(Some(false)),
                without: count(None),
                always: widest(&design, &given, true),
                never: widest(&design, &given, false),
            }
        })
        .collect();
    Predictions {
        draws,
        seed,
        inputs: design::inputs(),
        calibrated: Vec::new(),
        comparisons,
        facts,
        left_out: LEFT_OUT.map(str::to_owned).to_vec(),
    }
}

const LEFT_OUT: [&str; 3] = [
    "Spiegl 2014, displacement unloaded (1.1 and 2.1 mm) and under 10 N (1.6 and 3.4 mm): from where it was counted \
     was not in what was read",
    "Park 2007, pressure: of a soft tendon on film; and under two limbs it was not in what was read, so that \
     the ratio of forces is predicted without a verdict",
    "Yamamoto 2009, the height that the head climbs and where the force is largest: not in what was read",
];
