//! The work itself, on all cores, results in the order given, with a sign of life.

use super::progress::Progress;
use crate::model::{Case, Construct};
use crate::show::report::reading;
use crate::study::result::Compared;
use crate::study::{ComparePlan, compare};
use rayon::prelude::*;

/// Ties (and pushes) every construct. Each is solved by one thread, so digits do not depend on
/// how many there are.
pub(super) fn work(case: &Case, constructs: &[Construct], plan: &ComparePlan, quiet: bool) -> Vec<Compared> {
    let progress = Progress::start(constructs.len(), quiet);
    constructs
        .par_iter()
        .map(|construct| {
            let mut result = compare(case, construct, plan);
            result.reading = reading(case, &result.hold, result.push.as_ref());
            progress.step();
            result
        })
        .collect()
}
