//! Work and stored energy. On a bed that supports everywhere all elastic forces have a potential
//! (the faded edge of a crater has none), so the first law can be checked to quadrature error.

use rimhold::mechanics::{Arrival, Controls, Motion, Ramp, Solver, State};
use rimhold::verify::scene::{Scene, endless};

fn scene(name: &str, friction: bool) -> Scene {
    endless(name, friction).unwrap_or_else(|e| panic!("{name}: {e}"))
}

/// One state of a walk: distance, load and stored energy.
#[derive(Clone, Copy)]
struct Record {
    distance: f64,
    load: f64,
    energy: f64,
}

/// Pushes inferiorly through the distances, and records every one. With the final state.
fn walk(scene: &Scene, distances: &[f64], guided: bool) -> (Vec<Record>, State) {
    let rig = &scene.rig;
    let mut solver = Solver::new(rig);
    let mut state = scene.tied.state.clone();
    let point = rig.reference;
    let from = state.pose().place(&rig.reference, &point);
    let at = |distance: f64| {
        let mut controls: Controls = scene.tied.controls.clone();
        controls.motion = Motion::Push { direction: -nalgebra::Vector3::y(), point, from, distance, guided };
        controls
    };
    let mut list =
        vec![Record { distance: 0.0, load: state.configuration.load, energy: solver.stored_energy(&state, &at(0.0)) }];
    let ramp = Ramp::EVEN;
    for pair in distances.windows(2) {
        let (start, end) = (at(pair[0]), at(pair[1]));
        let arrival = solver.ramp(&mut state, &start, &end, ramp, None);
        assert!(matches!(arrival, Arrival::Arrived(_)), "{arrival:?}");
        assert!(solver.leaps.is_empty(), "a jump at {} mm", pair[1]);
        list.push(Record {
            distance: pair[1],
            load: state.configuration.load,
            energy: solver.stored_energy(&state, &end),
        });
    }
    (list, state)
}

fn out(to: f64, steps: usize) -> Vec<f64> {
    (0..=steps).map(|k| to * k as f64 / steps as f64).collect()
}

/// Simpson's rule over pairs of equal steps.
fn simpson(list: &[Record]) -> f64 {
    list.windows(3)
        .step_by(2)
        .map(|w| (w[2].distance - w[0].distance) / 6.0 * (w[0].load + 4.0 * w[1].load + w[2].load))
        .sum()
}

const NAMES: [&str; 6] =
    ["single-row", "one-by-one", "two-by-two-crossed", "mattress", "linked-pair", "two-screws-with-loops"];

#[test]
fn without_friction_the_work_is_the_change_of_stored_energy_and_the_way_back_is_the_same() {
    for name in NAMES {
        for guided in [false, true] {
            let scene = scene(name, false);
            let steps = 400;
            let (fine, _) = walk(&scene, &out(2.0, steps), guided);
            let every = |n: usize| -> Vec<Record> { fine.iter().step_by(n).copied().collect() };
            let (work, rough, rougher) = (simpson(&fine), simpson(&every(2)), simpson(&every(4)));
            let stored = fine[steps].energy - fine[0].energy;
            // The load has a kink wherever a cell opens or a limb goes slack, so halving the step
            // tells the quadrature's error better than the fourth power of the step would. Where a kink
            // falls within a step is chance, so one halving may flatter: the worse of two is taken.
            // Energies are differences of sums near a hundred N·mm: 1e-12 of them is rounding.
            let halving = (work - rough).abs().max((rough - rougher).abs());
            let error = halving + 1e-10 * fine[steps].energy;
            println!(
                "{name} guided {guided}: work {work:.6}, stored {stored:.6}, off {:.1e}, allowed {error:.1e} N·mm",
                work - stored
            );
            assert!((work - stored).abs() <= error, "{name}: {work} against {stored}");
            assert!(error < 1e-4 * work, "{name}: quadrature too rough ({error:e})");

            let mut distances = out(2.0, 40);
            distances.extend(out(2.0, 40).into_iter().rev().skip(1));
            let (both, last) = walk(&scene, &distances, guided);
            // A net force of 1e-10 N and 1e-11 of the largest force is accepted at either end; the
            // softest motion resists with some tenth of a N/mm.
            for k in 0..40 {
                let (there, back) = (both[k], both[80 - k]);
                assert!(
                    (there.load - back.load).abs() < 1e-7,
                    "{name}: {} N there, {} N back at {} mm",
                    there.load,
                    back.load,
                    there.distance
                );
                assert!((there.energy - back.energy).abs() < 1e-7);
            }
            let twist = last.pose().twist_from(scene.tied.state.pose());
            // Guided, the turn is that of the tied state, and so is the rest.
            assert!(twist.norm() < 1e-7, "{name}: {twist:?} off after the way back");
        }
    }
}

#[test]
fn with_friction_a_closed_way_dissipates_and_so_does_every_part_of_it() {
    for name in NAMES {
        let scene = scene(name, true);
        let mut distances = out(1.0, 400);
        distances.extend(out(1.0, 400).into_iter().rev().skip(1));
        let (list, _) = walk(&scene, &distances, false);
        let mut total = 0.0;
        let mut least = f64::INFINITY;
        for w in list.windows(3).step_by(2) {
            let span = w[2].distance - w[0].distance;
            let work = span / 6.0 * (w[0].load + 4.0 * w[1].load + w[2].load);
            let trapezoid = span / 2.0 * (w[0].load + w[2].load);
            let lost = work - (w[2].energy - w[0].energy);
            total += lost;
            // The trapezoid misses by h², Simpson's rule by less; energies round at 1e-12 of them.
            let allowed = (work - trapezoid).abs() + 1e-11 * w[0].energy;
            least = least.min(lost + allowed);
            assert!(lost >= -allowed, "{name}: {lost:e} N·mm lost at {} mm (allowed {allowed:e})", w[0].distance);
        }
        let change = list[800].energy - list[0].energy;
        let work = simpson(&list);
        println!("{name}: closed way, work {work:.4} N·mm, stored {change:.4}, lost {total:.4}");
        assert!(total > 0.0, "{name}: nothing lost");
    }
}
