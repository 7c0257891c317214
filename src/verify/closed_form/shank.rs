//! A screw's shank: a beam on an elastic foundation, and a pile in ground that yields.
//!
//! A free-ended beam of length L and bending stiffness EI on a foundation of line modulus k, loaded at one end by
//! a force P and a couple Q in the sense of a rising slope, moves and turns there by (Hetényi, *Beams on Elastic
//! Foundation*, 1946, finite beams with free ends; `λ = (k / 4EI)^(1/4)`):
//!
//! ```text
//! y = a P − b Q,   y' = −b P + c Q
//! a = 2λ/k · (Sh Ch − s c)/(Sh² − s²),   b = 2λ²/k · (Sh² + s²)/(Sh² − s²),
//! c = 4λ³/k · (Sh Ch + s c)/(Sh² − s²),   Sh = sinh λL, Ch = cosh λL, s = sin λL, c = cos λL
//! ```
//!
//! A long one tends to `2λ/k, 2λ²/k, 4λ³/k`, the semi-infinite beam; a short one to the rigid rod,
//! `4/(kL), 6/(kL²), 12/(kL³)`. The two sides of a fracture carry one force and one couple where they meet, so
//! their flexibilities add; seen from the fragment the side is mirrored, which turns the sign of its b.

use crate::math::Vec3;
use crate::mechanics::{Envelope, Screw, Shank, Solver};
use crate::verify::check::{Found, Sheet};
use crate::verify::rigging::{SHANK, against_turning, aloft, laid, push, push_from, tighten};

/// Bending stiffness (N·mm²) and line modulus (N/mm²) of a bare beam.
const BENDING: f64 = 70_000.0;
const LINE: f64 = 108.0;
const ELEMENTS: f64 = 3e-6;
const WHY_ELEMENTS: &str = "cubic elements of λl = 0.14 err by some (λl)⁴/200";

/// What one side of the fracture yields by at its end: shift by a force (mm/N), slope by a force or
/// shift by a couple (1/N), slope by a couple (1/(N·mm)).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flexibility {
    /// Shift by a unit force, mm/N.
    pub shift: f64,
    /// Slope by a unit force, 1/N; its sign is told beside its use.
    pub couple: f64,
    /// Slope by a unit couple, 1/(N·mm).
    pub slope: f64,
}

/// End flexibility of a free-ended beam of bending stiffness `bending` (N·mm²) and length `length` (mm)
/// on a foundation of line modulus `line` (N/mm²); `couple` is the b of this file's head, positive.
pub fn end_flexibility(bending: f64, line: f64, length: f64) -> Flexibility {
    let lambda = (line / (4.0 * bending)).sqrt().sqrt();
    let x = lambda * length;
    // Divided by cosh², so that a long beam does not overflow: Sh/Ch is tanh, 1/Ch² falls to zero.
    let inverse = 1.0 / libm::cosh(x.min(300.0));
    let (tanh, sine, cosine) = (libm::tanh(x), libm::sin(x) * inverse, libm::cos(x) * inverse);
    // Below x = 0.02 the differences lose their digits; the rigid rod is exact to x⁴ there (1e-7).
    if x < 0.02 {
        return Flexibility {
            shift: 4.0 / (line * length),
            couple: 6.0 / (line * length.powi(2)),
            slope: 12.0 / (line * length.powi(3)),
        };
    }
    let below = tanh * tanh - sine * sine;
    Flexibility {
        shift: 2.0 * lambda / line * (tanh - sine * cosine) / below,
        couple: 2.0 * lambda.powi(2) / line * (tanh * tanh + sine * sine) / below,
        slope: 4.0 * lambda.powi(3) / line * (tanh + sine * cosine) / below,
    }
}

/// What both sides of a shank resist with where they meet: force by shift, force by slope (and couple by shift),
/// couple by slope (N/mm, N, N·mm).
pub fn joined(shank: &Shank) -> [f64; 3] {
    let [scapula, fragment] =
        [shank.working, shank.grip].map(|length| end_flexibility(shank.bending(), shank.line(), length));
    let (shift, couple, slope) =
        (scapula.shift + fragment.shift, fragment.couple - scapula.couple, scapula.slope + fragment.slope);
    let determinant = shift * slope - couple * couple;
    [slope / determinant, -couple / determinant, shift / determinant]
}

/// The shank: long, stiff and equal-sided.
pub fn shank(s: &mut Sheet) -> Found<()> {
    s.law(
        "screw's shank as a beam on an elastic foundation",
        "Hetényi 1946: semi-infinite beam loaded at its end, 2λ/k, 2λ²/k, 4λ³/k; statics of a rigid rod: 4/(kL), 6/(kL²), 12/(kL³)",
    );
    let lambda = libm::pow(LINE / (4.0 * BENDING), 0.25);
    let mut long = Vec::new();
    // Beyond λL = 20 the far end is felt by e^(−2λL) < 1e-17; at 700 cosh² would overflow.
    for length in [20.0 / lambda, 60.0 / lambda, 800.0 / lambda] {
        let found = end_flexibility(BENDING, LINE, length);
        long.push((found.shift * LINE / (2.0 * lambda), 1.0));
        long.push((found.couple * LINE / (2.0 * lambda.powi(2)), 1.0));
        long.push((found.slope * LINE / (4.0 * lambda.powi(3)), 1.0));
    }
    s.within(1e-14, "a handful of roundings");
    s.worst("long: flexibility of its end, over Hetényi's", "", &long);
    let (mut rod, length) = (Vec::new(), 6.0f64);
    for bending in [1e11, 1e13] {
        let found = end_flexibility(bending, LINE, length);
        rod.push((found.shift * LINE * length / 4.0, 1.0));
        rod.push((found.couple * LINE * length.powi(2) / 6.0, 1.0));
        rod.push((found.slope * LINE * length.powi(3) / 12.0, 1.0));
    }
    s.within(4e-7, "what bending adds is below (λL)⁴ = 3.5e-7");
    s.worst("stiff: flexibility of its end, over the rod's", "", &rod);
    let joint = Shank { grip: 200.0, working: 200.0, ..SHANK };
    let lambda = libm::pow(joint.line() / (4.0 * joint.bending()), 0.25);
    let found = Screw::new(Vec3::zeros(), Vec3::z(), joint).stiffness();
    s.within(ELEMENTS, WHY_ELEMENTS);
    s.worst(
        "two long equal sides: stiffness over EIλ³ and EIλ/2",
        "",
        &[
            (found.shift / (joint.bending() * lambda.powi(3)), 1.0),
            (found.slope / (0.5 * joint.bending() * lambda), 1.0),
        ],
    );
    let (mut sides, mut even) = (Vec::new(), 0.0f64);
    for (grip, working) in [(7.0, 7.0), (5.0, 16.0), (3.0, 30.0)] {
        let shank = Shank { grip, working, ..SHANK };
        let (found, by_hand) = (Screw::new(Vec3::zeros(), Vec3::z(), shank).stiffness(), joined(&shank));
        sides.extend([(found.shift / by_hand[0], 1.0), (found.slope / by_hand[2], 1.0)]);
        if grip == working {
            even = found.couple;
        } else {
            sides.push((found.couple / by_hand[1], 1.0));
        }
    }
    s.worst("two sides of any lengths: stiffness over the inverse of their flexibilities' sum", "", &sides);
    s.within(1e-8, "what solving the beam loses, 1e-12, of sums of ten thousand newtons");
    s.equal("equal sides: couple of a shift", "N", even, 0.0);
    // Under a force at the fracture plane each of two long sides settles by half of the shift.
    let mut rig = aloft();
    let head = Vec3::new(0.0, 0.0, joint.grip);
    rig.screws.push(Screw::new(head, -Vec3::z(), joint));
    let (mut solver, mut state) = laid(&rig);
    let idle = tighten(&mut solver, &mut state, 0.0)?;
    state.configuration.pose.shift = Vec3::new(0.0, 0.2, 0.0);
    let pressure = solver.screw_report(&state, &idle, 0).pressure;
    // Read at the first Gauss point of the first element, 1 mm long.
    let x = 0.5 * lambda * (1.0 - 0.861_136_311_594_052_6);
    let shape = libm::exp(-x) * libm::cos(x);
    s.within(4.0 * ELEMENTS, WHY_ELEMENTS);
    s.equal(
        "long, shifted by 0.2 mm: pressure on bone, k₀ times half of it times e^(−λx) cos λx",
        "MPa",
        pressure,
        0.1 * joint.foundation * shape,
    );
    Ok(())
}

/// Bone that yields along a rigid shank: Broms' short piles.
pub fn pile(s: &mut Sheet) -> Found<()> {
    s.law(
        "screw in bone that yields: a rigid pile in uniform ground",
        "Broms 1964, with p_c d for his 9 c_u d: fixed head H = p_c d L; free head, loaded at e: e = (L² − h² − 2hL)/(4h), h = H/(p_c d)",
    );
    // The far side is long and the shank so stiff that this side is a pile driven by it.
    let shank = Shank { modulus: 2e7, foundation: 2000.0, strength: 10.0, grip: 100.0, working: 10.0, ..SHANK };
    let (per, length) = (shank.strength * shank.diameter, shank.working);
    let pushed = |e: f64, guided: bool| {
        let mut rig = aloft();
        rig.reference = Vec3::new(0.0, 0.0, e);
        rig.screws.push(Screw::new(Vec3::new(0.0, 0.0, shank.grip), -Vec3::z(), shank));
        // Nothing else keeps it from spinning about the screw, or from sliding off it.
        rig.envelope = Some(Envelope { shift_stiffness: 1e-3, ..against_turning(1e-3) });
        let (mut solver, mut state) = laid(&rig);
        let idle = tighten(&mut solver, &mut state, 0.0)?;
        let mut controls = push_from(&rig, &state, &idle, [0.0, 1.0, 0.0], guided);
        let load = push(&mut solver, &mut state, &mut controls, 0.3, 20)?;
        Found::Ok((load, Solver::new(&rig).screw_report(&state, &controls, 0).pressure))
    };
    let (fixed, pressure) = pushed(0.0, true)?;
    s.within(1e-7, "rounding of a displacement of 0.3 mm times the shank's stiffness, 12 EI/l³ = 2e8 N/mm");
    s.equal("fixed head: load, and 0.3 mm of a spring of 1e-3 N/mm", "N", fixed, per * length + 3e-4);
    s.within(1e-12, "a return to the limit, to rounding");
    s.equal("fixed head: pressure", "MPa", pressure, shank.strength);
    let (mut found, mut by_hand) = (Vec::new(), Vec::new());
    for e in [0.0, 2.0, 10.0] {
        found.push(pushed(e, false)?.0);
        let b = length + 2.0 * e;
        by_hand.push(per * (libm::sqrt(b * b + length * length) - b));
    }
    let ratios: Vec<_> = found.iter().zip(&by_hand).map(|(a, b)| (a / b, 1.0)).collect();
    s.within(
        3e-3,
        "bone has not yet yielded within 0.3 mm of the point it turns about, and stations are half a millimetre apart",
    );
    s.worst("free head, loaded 0, 2 and 10 mm off: load over Broms'", "", &ratios);
    Ok(())
}
