//! What the checks build their rigs from, and how they bring them to rest: the same functions as
//! those of the program's own verification, here with a panic where one of them fails.
#![allow(dead_code, unused_imports)] // Two test programs share this file; neither uses all of it.

use rimhold::mechanics::{Arrival, Controls, LimbReport, Rig, Solver, State};
use rimhold::verify::rigging as shared;
use rimhold::verify::{Check, Found, Sheet};
pub use shared::{
    GENTLE, SEAT, SHANK, against_turning, aloft, axes, bed, bone, limb, material, push_from, rigid, sprung, tie_at,
};

/// Insists that every check of a law is within its tolerance.
#[track_caller]
pub fn all_pass(law: fn(&mut Sheet) -> Found<()>) {
    let checks = Sheet::of(law);
    assert!(!checks.is_empty(), "nothing was checked");
    for check in &checks {
        println!(
            "{}: {}: expected {} {}, obtained {:?}, allowed {:e}",
            check.law, check.name, check.expected, check.unit, check.obtained, check.tolerance
        );
    }
    let failed: Vec<&Check> = checks.iter().filter(|c| !c.passed).collect();
    assert!(failed.is_empty(), "{failed:#?}");
}

/// Holds the fragment where it lies until strands and sprung points are at rest.
pub fn hold(solver: &mut Solver<'_>, state: &mut State, controls: &Controls) {
    shared::hold(solver, state, controls).unwrap();
}

/// Carries the held fragment to `shift` in one go and reports limb `k` there.
pub fn carry(solver: &mut Solver<'_>, state: &mut State, shift: [f64; 3], k: usize) -> LimbReport {
    shared::carry(solver, state, shift, k).unwrap()
}

/// Lets a held fragment go gradually: the instrument that held it bears less and less.
pub fn let_go(solver: &mut Solver<'_>, state: &mut State, controls: &Controls) -> Arrival {
    shared::let_go(solver, state, controls).unwrap()
}

/// Lets a held fragment go and insists that it comes to certified rest.
pub fn rest(solver: &mut Solver<'_>, state: &mut State, controls: &Controls) {
    shared::rest(solver, state, controls).unwrap();
}

/// Places every screw, tightens them together to `preload` N and locks them.
pub fn tighten(solver: &mut Solver<'_>, state: &mut State, preload: f64) -> Controls {
    shared::tighten(solver, state, preload).unwrap()
}

/// Insists on a certificate.
pub fn certified(solver: &mut Solver<'_>, state: &State, controls: &Controls) {
    shared::certified(solver, state, controls).unwrap();
}

/// Pushes on to `to` mm in `steps` equal steps; the load there, certified.
pub fn push(solver: &mut Solver<'_>, state: &mut State, controls: &mut Controls, to: f64, steps: usize) -> f64 {
    shared::push(solver, state, controls, to, steps).unwrap()
}

/// Insists that two numbers agree to `tolerance`.
#[track_caller]
pub fn near(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "found {found}, expected {expected} ± {tolerance:e} (off by {:e})",
        found - expected
    );
}

/// The root of a falling function between `low` and `high`, by bisection to the last bit.
pub fn root(low: f64, high: f64, f: impl Fn(f64) -> f64) -> f64 {
    shared::root(low, high, f).unwrap()
}
