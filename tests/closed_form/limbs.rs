//! Stiffness of straight limbs without a bed. Source: pin-jointed bars (matrix structural
//! analysis): each bar adds (EA/L) cos²α along a push at angle α, and a bar under tension T its
//! geometric stiffness (T/ℓ) sin²α. L is the unstretched length, ℓ the present one.

use crate::rigging::{aloft, bone, certified, limb, near, push, push_from, rigid, tie_at};
use rimhold::math::{Mat3, Vec3};
use rimhold::mechanics::{Controls, Pose, Rig, Solver, State};

const EA: f64 = 2000.0;

/// Limbs from rigid anchors at `places` to the fragment's reference point, all tied with `tension`.
fn star(places: &[[f64; 3]], tension: f64) -> (Rig, State) {
    let mut rig = aloft();
    for place in places {
        let path = vec![rigid(&mut rig, *place), bone([0.0; 3])];
        rig.add_limb(limb(path, 0.0, EA));
    }
    let mut state = rig.laid(Pose::default());
    let mut solver = Solver::new(&rig);
    for k in 0..places.len() {
        tie_at(&mut solver, &mut state, k, tension);
    }
    (rig, state)
}

fn stiffness(places: &[[f64; 3]], tension: f64) -> Mat3 {
    places
        .iter()
        .map(|place| {
            let line = Vec3::from(*place);
            let (length, u) = (line.norm(), line.normalize());
            let rest = length / (1.0 + tension / EA);
            u * u.transpose() * (EA / rest)
                + (Mat3::identity() - u * u.transpose()) * (tension / length)
        })
        .sum()
}

#[test]
fn material_and_geometric_stiffness_add_up() {
    // Equal tensions along the diagonals of a box balance; lengths and angles differ by axis.
    let places: Vec<[f64; 3]> = [-1.0, 1.0]
        .iter()
        .flat_map(|x| [-1.0, 1.0].map(|y| (x, y)))
        .flat_map(|(x, y)| [-1.0, 1.0].map(|z| [x * 6.0, y * 9.0, z * 4.0]))
        .collect();
    for tension in [2.0, 25.0, 100.0] {
        let (rig, state) = star(&places, tension);
        let expected = stiffness(&places, tension);
        let mut solver = Solver::new(&rig);
        certified(&mut solver, &state, &Controls::idle(8));
        let found = solver
            .condensed_stiffness(&state, &Controls::idle(8))
            .unwrap();
        let found = found.fixed_view::<3, 3>(0, 0).into_owned();
        // Sums of eight products: rounding of numbers near 1000.
        near((found - expected).amax(), 0.0, 1e-10);
        // And by pushing both ways: the difference is central, so its error is of second order,
        // (δ/ℓ)² ≈ 1e-10 of the stiffness, beside the balance over δ: 1e-9 N/1e-4 mm.
        for direction in [
            [1.0, 0.0, 0.0],
            [0.0, 1.0, 0.0],
            [0.0, 0.0, 1.0],
            [0.3, -0.5, 0.8],
        ] {
            let load = |distance: f64| {
                let mut state = state.clone();
                let mut solver = Solver::new(&rig);
                let mut controls = push_from(&rig, &state, &Controls::idle(8), direction, true);
                push(&mut solver, &mut state, &mut controls, distance, 1)
            };
            let d = Vec3::from(direction).normalize();
            // Guided along d, the fragment drifts sideways freely: 1/(dᵀK⁻¹d).
            let along = 1.0 / d.dot(&(expected.try_inverse().unwrap() * d));
            near((load(1e-4) - load(-1e-4)) / 2e-4, along, 2e-5);
        }
    }
}

#[test]
fn single_pair_shows_cosine_and_sine_terms_apart() {
    for degrees in [0.0f64, 30.0, 60.0, 90.0] {
        let (sin, cos) = degrees.to_radians().sin_cos();
        let place = [12.0 * cos, 12.0 * sin, 0.0];
        let (rig, state) = star(&[place, place.map(|v| -v)], 25.0);
        let mut solver = Solver::new(&rig);
        let found = solver
            .condensed_stiffness(&state, &Controls::idle(2))
            .unwrap();
        let rest = 12.0 / (1.0 + 25.0 / EA);
        let expected = 2.0 * (EA / rest * cos * cos + 25.0 / 12.0 * sin * sin);
        near(found[(0, 0)], expected, 1e-11);
    }
}
