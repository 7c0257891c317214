//! The largest load that any unilateral, frictional bed could balance, by a second-order cone program,
//! beside the computed load. An upper bound only (limit theorems for Coulomb friction, Drucker 1954;
//! recalled); met by a sliding block.

use crate::closed_form::rigging::all_pass;
use rimhold::model::{CONSTRUCTS, Case, ConstructFile};
use rimhold::study::result::Start;
use rimhold::verify::bound::{along_a_push, known_bounds};
use rimhold::verify::refinement::Subject;

#[test]
fn no_shipped_construct_resists_more_than_any_bed_could_bear() {
    let case = Case::open("quarter").unwrap();
    for (name, _) in CONSTRUCTS {
        let construct = ConstructFile::open(name).unwrap().fit(&case).unwrap();
        for guided in [false, true] {
            let subject = Subject { case: &case, construct: &construct, from: Start::Reduced };
            let list = along_a_push(&subject, guided, 1).unwrap_or_else(|e| panic!("{name}: {e}"));
            // One screw alone lets the fragment turn about it, out of its bed before 1.5 mm.
            let least = if name == &"one-screw" && !guided { 14 } else { 20 };
            assert!(list.len() >= least, "{name}: only {} states", list.len());
            for c in list {
                // The interior-point answer is good to 1e-8 of forces of some 100 N; ten times that.
                assert!(c.bound >= c.computed - 1e-5, "{name}: {c:?}");
            }
        }
    }
}

#[test]
fn the_bound_is_met_by_a_sliding_block_and_endless_inside_the_friction_cone() {
    all_pass(known_bounds);
}
