//! What becomes of a sample under a given load.

use crate::study::STEP_LIMIT;
use crate::study::result::PushPoint;

/// What becomes of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fate {
    /// The load is borne, and the step is within its limit.
    Borne,
    /// The load is borne, but the step has passed its limit on the way.
    Steps,
    /// The fragment is lost before the load is reached.
    GivesWay,
    /// Held to the end of a push that ended before the load was reached: it says nothing of the load.
    NotReached,
}

/// The fate of a push under a load; whether the fragment was lost in it.
pub(super) fn fate(curve: &[PushPoint], load: f64, lost: bool) -> Fate {
    let mut stepped = false;
    let step = |k: usize| curve[k].measures.step.value;
    for (k, point) in curve.iter().enumerate() {
        if point.load >= load {
            let at = if k == 0 {
                step(0)
            } else {
                let before = curve[k - 1].load;
                step(k - 1) + (load - before) / (point.load - before) * (step(k) - step(k - 1))
            };
            return if stepped || at.abs() > STEP_LIMIT { Fate::Steps } else { Fate::Borne };
        }
        stepped |= step(k).abs() > STEP_LIMIT;
    }
    if lost { Fate::GivesWay } else { Fate::NotReached }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::result::Measures;

    fn curve(points: &[(f64, f64)]) -> Vec<PushPoint> {
        points
            .iter()
            .map(|&(load, step)| {
                let mut measures = Measures::default();
                measures.step.value = step;
                PushPoint {
                    displacement: 0.0,
                    load,
                    shares: Vec::new(),
                    tensions: Vec::new(),
                    heads: Vec::new(),
                    compression: 0.0,
                    contact: 0.0,
                    sliding: 0.0,
                    peak_pressure: 0.0,
                    measures,
                    certificate: Default::default(),
                }
            })
            .collect()
    }

    #[test]
    fn the_step_counts_up_to_the_load() {
        // The step passes 2 mm at 15 N.
        let rising = curve(&[(0.0, 0.0), (10.0, 1.0), (20.0, 3.0)]);
        assert_eq!(fate(&rising, 14.9, true), Fate::Borne);
        assert_eq!(fate(&rising, 15.1, true), Fate::Steps);
        assert_eq!(fate(&rising, 20.1, true), Fate::GivesWay);
        assert_eq!(fate(&rising, 20.1, false), Fate::NotReached);
        let passing = curve(&[(0.0, 0.0), (10.0, -2.1), (20.0, 0.0)]);
        assert_eq!(fate(&passing, 19.0, false), Fate::Steps);
        assert_eq!(fate(&[], 1.0, true), Fate::GivesWay);
    }
}
