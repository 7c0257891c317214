//! A search for better places for a report: the defaults of the command, nothing written.

use super::super::arguments::From;
use super::super::failure::Failure;
use super::arguments::{Aim, Place as Arguments};
use super::run::{ask, refusal};
use super::watch::Looker;
use crate::model::spread::Subject;
use crate::show::report::place_reading;
use crate::study::place::place as seek_places;
use crate::study::result::Place;

/// Recorded steps of a push and starts, as `rimhold place` has them.
const STEPS: usize = 5;
const STARTS: usize = 4;

/// Seeks the places of a construct that bear the most at 1 mm inferiorly, over draws and against another
/// objective where asked.
///
/// # Errors
/// Files with mistakes, or a construct without a free variable or an answer.
pub(in super::super) fn search(
    case: &str,
    construct: &str,
    from: From,
    seed: u64,
    (robust, against): (Option<u64>, Option<Aim>),
    quiet: bool,
) -> Result<Place, Failure> {
    let typed = Arguments {
        case: case.to_owned(),
        construct: construct.to_owned(),
        objective: Aim::Inferior,
        against,
        robust,
        starts: STARTS,
        evaluations: None,
        seed,
        from,
        cells: None,
        steps: STEPS,
        out: None,
        no_wander: false,
        variables: false,
    };
    let names = [construct.to_owned()];
    let subject = Subject::open(case, &names).map_err(Failure::Files)?;
    let ask = ask(&typed, &subject)?;
    let aim = ask.objective.aim();
    let looker = Looker::new(aim.more_is_better, &aim.unit, quiet);
    let mut found = seek_places(&subject, &ask, &looker).map_err(refusal)?;
    drop(looker);
    found.reading = place_reading(&found);
    Ok(found)
}
