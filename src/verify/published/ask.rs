//! What one draw of the inputs answers: tied and pushed as each question asks.

use super::design::Draw;
use crate::math::Vec3;
use crate::model::{Case, Construct};
use crate::study::result::{Hold, Start, TiedState};
use crate::study::{self, Direction, PushPlan, Tied};

/// A construct tied on a case: its report, and the load of a push where one is asked for.
struct Tried<'a> {
    case: &'a Case,
    construct: Construct,
    from: Start,
}

impl Tried<'_> {
    fn tied(&self) -> Option<(crate::mechanics::Rig, Hold, Tied)> {
        let rig = study::rig(self.case, &self.construct, self.from);
        let (hold, tied) = study::tie(self.case, &self.construct, &rig, self.from);
        Some((rig, hold, tied?))
    }

    fn state(&self) -> Option<TiedState> {
        self.tied().and_then(|(_, hold, _)| hold.tied)
    }

    fn loads(&self, direction: Direction, to: f64) -> [Option<f64>; 3] {
        let Some((rig, _, tied)) = self.tied() else {
            return [None; 3];
        };
        let plan = PushPlan { direction, to, steps: (20.0 * to) as usize, ..PushPlan::default() };
        study::push(self.case, &self.construct, &rig, &tied, &plan).load_at
    }
}

/// Load at 1 and 2 mm of an anteromedial pull on the single row, one-by-one and two-by-two, N.
pub type Rows = [[Option<f64>; 2]; 3];

/// The rows of an anteromedial pull on a sawn fragment of a quarter of the width, settled as published: ten cycles of
/// 5 to 25 N along the pull.
pub fn rows(draw: &Draw) -> Rows {
    let [medial, sawn] = draw.bench();
    let (sin, cos) = libm::sincos(medial.to_radians());
    let pull = || Direction::of_shoulder("anteromedial", Vec3::x() * cos - Vec3::z() * sin);
    let Ok(mut case) = draw.case(25.0, "") else {
        return [[None; 2]; 3];
    };
    case.bed.asperity_angle = sawn;
    ["single-row", "one-by-one", "two-by-two"].map(|name| {
        let Ok(construct) = draw.construct(&case, name, &[]) else {
            return [None; 2];
        };
        let tried = Tried { case: &case, construct, from: Start::Reduced };
        let loads = tried.loads(pull(), 2.0);
        [loads[1], loads[2]]
    })
}

/// Contact area (mm²) and force on the bed (N) under two straight and under four crossed limbs of
/// the same tension, without loops.
pub fn limbs(draw: &Draw) -> [Option<[f64; 2]>; 2] {
    let Ok(case) = draw.case(25.0, "") else {
        return [None; 2];
    };
    ["two-by-two", "two-by-two-crossed"].map(|name| {
        let mut construct = draw.construct(&case, name, &[]).ok()?;
        let bridge = |k: &usize| construct.limbs[*k].group == "bridge";
        construct.ties.retain(|tie| tie.limbs.iter().all(bridge));
        for limb in &mut construct.limbs {
            if limb.group == "bridge" {
                limb.tension = draw.clamp_tension();
            }
        }
        let tried = Tried { case: &case, construct, from: Start::Reduced };
        let (rig, hold, _) = tried.tied()?;
        let bed = hold.tied?.bed;
        Some([bed.contact * rig.bed.area, bed.compression])
    })
}

/// A fact of the trade as a question to the model.
pub struct Question {
    /// What is held true.
    pub fact: &'static str,
    /// How the model is asked.
    pub asked: &'static str,
    /// Its answer for a draw; `None` where it has none.
    pub answer: fn(&Draw) -> Option<bool>,
}

/// The facts.
pub const QUESTIONS: [Question; 9] = [
    Question {
        fact: "reduce from inferior to superior",
        asked: "one-by-one from the displaced position: tied from inferior to superior, the middle of the \
                fracture line ends nearer to its place along the chord than from superior to inferior",
        answer: inferior_first,
    },
    Question {
        fact: "the inferior labral tie reduces, and is not clamped by a compression tie made first",
        asked: "one-by-one from the displaced position: the middle of the fracture line ends nearer to its \
                place along the chord with the inferior loop before the bridge than after it",
        answer: loop_first,
    },
    Question {
        fact: "a bridge keeps the fragment from sitting up",
        asked: "tied from reduced, one-by-one tilts the rim laterally less than the single row",
        answer: bridge_keeps_down,
    },
    Question {
        fact: "labral anchors 1–2 mm onto the face",
        asked: "single row: load at 1 mm of an inferior push is higher with an inset of 1.5 mm than with \
                0.5 and with 3 mm",
        answer: inset,
    },
    Question {
        fact: "one and one for a small fragment",
        asked: "on 15 % of the width one-by-one bears more at 1 mm of an inferior push than two-by-two crossed",
        answer: |draw| fewer_bear_more(draw, 15.0),
    },
    Question {
        fact: "two and two, crossed, for a large fragment",
        asked: "on 35 % of the width two-by-two crossed bears more at 1 mm of an inferior push than one-by-one",
        answer: |draw| fewer_bear_more(draw, 35.0).map(|fewer| !fewer),
    },
    Question {
        fact: "the medial anchor lower rather than higher",
        asked: "one-by-one: load at 1 mm of an inferior push is higher with the medial anchor at -30 % of the \
                half chord than at +30 %",
        answer: medial_lower,
    },
    Question {
        fact: "with a weak inferior hinge a high medial anchor does not close the lower end",
        asked: "one-by-one without loops from the displaced position, hinge of 5 N/mm with 2 mm of slack: with the \
                medial anchor at +30 % of the half chord the inferior end gapes, and more than at -30 %",
        answer: high_anchor_opens,
    },
    Question {
        fact: "more tension, more load at 1 mm",
        asked: "one-by-one: load at 1 mm of an inferior push rises when every tension is raised by half",
        answer: more_tension,
    },
];

fn tried<'a>(draw: &Draw, case: &'a Case, name: &str, from: Start, changes: &[(&str, &str)]) -> Option<Tried<'a>> {
    let construct = draw.construct(case, name, changes).ok()?;
    Some(Tried { case, construct, from })
}

/// Which of two is the smaller; what is not held is larger than all. `None` when neither is held.
fn smaller(a: Option<f64>, b: Option<f64>) -> Option<bool> {
    match (a, b) {
        (None, None) => None,
        (Some(a), Some(b)) => Some(a < b),
        (a, None) => Some(a.is_some()),
        (None, Some(_)) => Some(false),
    }
}

/// Which of two loads is the larger; `None` when both are zero, because neither is held.
fn larger(a: f64, b: f64) -> Option<bool> {
    (a != 0.0 || b != 0.0).then_some(a > b)
}

/// How far the middle of the fracture line ends from its place along the chord with the ties of
/// one-by-one in another order.
fn left_over(draw: &Draw, order: [usize; 3]) -> Option<f64> {
    let case = draw.case(25.0, "").ok()?;
    let mut tried = tried(draw, &case, "one-by-one", Start::Displaced, &[])?;
    let ties = order.map(|k| tried.construct.ties[k].clone());
    tried.construct.ties = ties.to_vec();
    Some(tried.state()?.measures.inferior_middle.abs())
}

fn inferior_first(draw: &Draw) -> Option<bool> {
    smaller(left_over(draw, [0, 1, 2]), left_over(draw, [2, 1, 0]))
}

fn loop_first(draw: &Draw) -> Option<bool> {
    smaller(left_over(draw, [0, 1, 2]), left_over(draw, [1, 0, 2]))
}

fn bridge_keeps_down(draw: &Draw) -> Option<bool> {
    let case = draw.case(25.0, "").ok()?;
    let tilt = |name| Some(tried(draw, &case, name, Start::Reduced, &[])?.state()?.measures.tilt);
    smaller(tilt("one-by-one"), tilt("single-row"))
}

/// Load at 1 mm of an inferior push on a fragment of so many percent of the width, N. A fragment that is not held bears
/// none.
fn inferior(draw: &Draw, percent: f64, name: &str, changes: &[(&str, &str)]) -> Option<f64> {
    let case = draw.case(percent, "").ok()?;
    let loads = tried(draw, &case, name, Start::Reduced, changes)?.loads(Direction::default(), 1.0);
    Some(loads[1].unwrap_or(0.0))
}

fn inset(draw: &Draw) -> Option<bool> {
    let load = |to: &str| inferior(draw, 25.0, "single-row", &[("inset = 1.5", to)]);
    let (near, usual, far) = (load("inset = 0.5")?, load("inset = 1.5")?, load("inset = 3.0")?);
    (near.max(usual).max(far) > 0.0).then_some(usual > near && usual > far)
}

/// Whether one-by-one bears more than two-by-two crossed.
fn fewer_bear_more(draw: &Draw, percent: f64) -> Option<bool> {
    larger(inferior(draw, percent, "one-by-one", &[])?, inferior(draw, percent, "two-by-two-crossed", &[])?)
}

/// The medial anchor of one-by-one, moved along the fracture line.
const MEDIAL: &str = "neck = { along = \"-10 %\"";
const LOW: &str = "neck = { along = \"-30 %\"";
const HIGH: &str = "neck = { along = \"30 %\"";

fn medial_lower(draw: &Draw) -> Option<bool> {
    let load = |to: &str| inferior(draw, 25.0, "one-by-one", &[(MEDIAL, to)]);
    larger(load(LOW)?, load(HIGH)?)
}

const WEAK_HINGE: &str = r#"
[tether.hinge]
fragment = { rim = { along = "-92 %" } }
scapula = { rim = { along = "-108 %" } }
stiffness = 5.0
slack = 2.0
"#;

fn high_anchor_opens(draw: &Draw) -> Option<bool> {
    let case = draw.case(25.0, WEAK_HINGE).ok()?;
    let gap = |to: &str| {
        let changes = [(MEDIAL, to)];
        let tried = tried(draw, &case, "one-by-one-bare", Start::Displaced, &changes)?;
        let (_, _, tied) = tried.tied()?;
        Some(study::lower_end(&case.fragment, tied.state.pose())[0])
    };
    // What is not held is not closed either.
    match (gap(HIGH), gap(LOW)) {
        (None, None) => None,
        (high, low) => Some(high.is_none_or(|h| h > 0.0 && low.is_some_and(|l| h > l))),
    }
}

fn more_tension(draw: &Draw) -> Option<bool> {
    let case = draw.case(25.0, "").ok()?;
    let load = |factor: f64| {
        let mut tried = tried(draw, &case, "one-by-one", Start::Reduced, &[])?;
        for limb in &mut tried.construct.limbs {
            limb.tension *= factor;
        }
        Some(tried.loads(Direction::default(), 1.0)[1].unwrap_or(0.0))
    };
    larger(load(1.5)?, load(1.0)?)
}
