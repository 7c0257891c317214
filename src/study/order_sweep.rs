//! The same orders against friction of the bed, the displaced pose, or the inferior hinge.

use super::Watcher;
use super::order_choice::Chosen;
use super::orders::{OrdersPlan, orders};
use super::result::{OrderSweep, SweepOver, SweepPoint};
use crate::anatomy::{Along, Place};
use crate::model::{Case, Construct, TetherSpec};
use crate::par::*;

/// Friction coefficients of a sweep: the range of the table of parameters.
pub const FRICTIONS: [f64; 7] = [0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9];
/// Multiples of the case's displaced pose in a sweep, shifts and turns alike.
pub const MULTIPLES: [f64; 6] = [0.25, 0.5, 0.75, 1.0, 1.25, 1.5];
/// Inferior hinges of a sweep: stiffness (N/mm) and slack (mm) as in the shipped cases that have one,
/// assumed.
pub const HINGES: [(&str, Option<(f64, f64)>); 3] =
    [("intact", Some((20.0, 0.5))), ("weak", Some((5.0, 2.0))), ("none", None)];
/// The name of the tether that is taken for the inferior hinge.
const HINGE: &str = "hinge";
/// Where its ends sit on the rim, percent of the half chord, as in those cases.
const ENDS: (f64, f64) = (-92.0, -108.0);

/// A case of a sweep, or why there is none.
type Varied = (String, Option<f64>, Result<Case, String>);

/// How many cases a sweep has.
pub fn sweep_points(over: SweepOver) -> usize {
    match over {
        SweepOver::Friction => FRICTIONS.len(),
        SweepOver::Displacement => MULTIPLES.len(),
        SweepOver::Hinge => HINGES.len(),
    }
}

/// Runs the same orders on every case of a sweep. Each order is a step.
pub fn sweep_orders(
    case: &Case,
    construct: &Construct,
    over: SweepOver,
    chosen: &Chosen,
    plan: &OrdersPlan,
    watcher: &dyn Watcher,
) -> OrderSweep {
    let cases = match over {
        SweepOver::Friction => FRICTIONS.map(|mu| friction(case, mu)).to_vec(),
        SweepOver::Displacement => MULTIPLES.map(|m| displaced(case, m)).to_vec(),
        SweepOver::Hinge => hinges(case),
    };
    let points = cases
        .into_par_iter()
        .map(|(label, value, case)| {
            let (orders, refused) = match case {
                Ok(case) => (Some(orders(&case, construct, chosen, plan, watcher)), None),
                Err(why) => (None, Some(why)),
            };
            SweepPoint { label, value, orders, refused }
        })
        .collect();
    OrderSweep { over, points }
}

fn friction(case: &Case, value: f64) -> Varied {
    let mut varied = case.clone();
    varied.bed.friction = value;
    (format!("{value}"), Some(value), Ok(varied))
}

fn displaced(case: &Case, multiple: f64) -> Varied {
    let mut varied = case.clone();
    let d = &mut varied.displaced;
    for part in [&mut d.inferior, &mut d.medial, &mut d.out_of_bed, &mut d.tilt, &mut d.spin, &mut d.yaw] {
        *part *= multiple;
    }
    let varied = match varied.sunk() {
        Some(sunk) => Err(sunk.to_string()),
        None => Ok(varied),
    };
    (format!("{multiple} x"), Some(multiple), varied)
}

/// The case with an intact, a weak and no inferior hinge. A tether of the case that is named `hinge`
/// keeps its ends; otherwise they sit on the rim at −92 % (fragment) and −108 % (scapula) of the half
/// chord. Other tethers stay as they are.
pub fn hinges(case: &Case) -> Vec<Varied> {
    let own = case.tethers.iter().find(|t| t.name == HINGE);
    let rim = |percent: f64| {
        let along = Along::Percent(percent);
        case.fragment
            .locate(&Place::Rim { along })
            .map_err(|e| format!("there is no place for a hinge on this rim: {e}"))
    };
    let ends = match own {
        Some(tether) => Ok((tether.fragment, tether.scapula)),
        None => rim(ENDS.0).and_then(|fragment| Ok((fragment, rim(ENDS.1)?))),
    };
    let with = |hinge: Option<(f64, f64)>| -> Result<Case, String> {
        let mut varied = case.clone();
        varied.tethers.retain(|t| t.name != HINGE);
        if let Some((stiffness, slack)) = hinge {
            let (fragment, scapula) = ends.clone()?;
            varied.tethers.push(TetherSpec { name: HINGE.to_owned(), fragment, scapula, stiffness, slack });
        }
        Ok(varied)
    };
    HINGES.map(|(label, hinge)| (label.to_owned(), None, with(hinge))).to_vec()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hinges_are_those_of_the_shipped_cases() {
        let open = |name| Case::open(name).expect("a built-in case");
        let found = hinges(&open("quarter"));
        for ((label, _, case), shipped) in found.iter().zip(["hinge-intact", "hinge-weak"]) {
            let tethers = &case.as_ref().expect("a place for a hinge").tethers;
            assert_eq!(*tethers, open(shipped).tethers, "{label}");
        }
        assert!(found[2].2.as_ref().expect("nothing to place").tethers.is_empty());
        // A case's own hinge keeps its ends.
        let weak = hinges(&open("hinge-weak"));
        let intact = weak[0].2.as_ref().expect("ends of its own");
        assert_eq!(intact.tethers, open("hinge-intact").tethers);
    }
}
