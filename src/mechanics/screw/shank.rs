//! The shank of a screw across the fracture: a beam on an elastic foundation on either side of it.
//!
//! Bone bears sideways with the line modulus `k = k₀ d` (foundation modulus k₀, outer diameter d), the
//! shank bends with `EI = E π d_c⁴/64` (core diameter d_c), and `λ = (k / 4EI)^(1/4)`. A free-ended beam
//! of length L on such a foundation, loaded at one end by a force P and a couple Q in the sense of a
//! rising slope, moves and turns there by (Hetényi, *Beams on Elastic Foundation*, 1946, finite beams
//! with free ends):
//!
//! ```text
//! y = a P − b Q,   y' = −b P + c Q
//! a = 2λ/k · (Sh Ch − s c)/(Sh² − s²),   b = 2λ²/k · (Sh² + s²)/(Sh² − s²),
//! c = 4λ³/k · (Sh Ch + s c)/(Sh² − s²),   Sh = sinh λL, Ch = cosh λL, s = sin λL, c = cos λL
//! ```
//!
//! A long one tends to `2λ/k, 2λ²/k, 4λ³/k`, the semi-infinite beam; a short one to the rigid rod,
//! `4/(kL), 6/(kL²), 12/(kL³)`. The two sides of a fracture carry one force and one couple where they
//! meet, so their flexibilities add; seen from the fragment the side is mirrored, which turns the sign
//! of its b. The inverse of the sum is what the joint resists with against a shift δ and a slope τ of
//! the fragment's hole at the fracture plane. Two long equal sides give `EIλ³` and `EIλ/2`, uncoupled.

use std::f64::consts::PI;

/// Ratio of the line modulus of a long cylinder to E/(1 − ν²) of the medium about it (Vesić, 1961; the
/// factor near one of the beam's own stiffness left out; from memory).
const LINE_OF_MEDIUM: f64 = 0.65;

/// Dimensions and materials of a screw across a fracture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shank {
    /// Outer diameter, on which bone bears, mm.
    pub diameter: f64,
    /// Core diameter, which bends and stretches, mm.
    pub core: f64,
    /// Diameter of the head, mm.
    pub head: f64,
    /// Young's modulus of the screw, MPa.
    pub modulus: f64,
    /// Foundation modulus of the bone about it, MPa/mm.
    pub foundation: f64,
    /// Length in the fragment, from head to fracture plane, mm.
    pub grip: f64,
    /// Length in the scapula, from fracture plane to tip, mm.
    pub working: f64,
}

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

/// What a screw resists with at the fracture plane: per transverse direction, and along its axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stiffness {
    /// Along the axis, head against thread, N/mm.
    pub axial: f64,
    /// Force by a shift across the axis, N/mm.
    pub shift: f64,
    /// Force by a slope, and couple by a shift, N.
    pub couple: f64,
    /// Couple by a slope, N·mm.
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

impl Shank {
    /// Bending stiffness EI of the core, N·mm².
    pub fn bending(&self) -> f64 {
        self.modulus * PI * self.core.powi(4) / 64.0
    }

    /// Line modulus k of the bone, N/mm².
    pub fn line(&self) -> f64 {
        self.foundation * self.diameter
    }

    /// Flexibility of the side in the scapula and of the side in the fragment, `couple` signed for a
    /// force and a couple that the fragment's side puts on the scapula's.
    pub fn sides(&self) -> (Flexibility, Flexibility) {
        let (bending, line) = (self.bending(), self.line());
        let mut scapula = end_flexibility(bending, line, self.working);
        scapula.couple = -scapula.couple;
        (scapula, end_flexibility(bending, line, self.grip))
    }

    /// Stiffness along the axis, N/mm: head, shank and thread in series. The head is a rigid punch on
    /// half-space, `E d_h/(1 − ν²)` (Boussinesq), with E/(1 − ν²) read back from the line modulus; the
    /// shank in the fragment stretches freely by `EA/l`; the thread hands its pull over to bone of
    /// the line modulus k along its length, `√(k EA) tanh(L √(k/EA))` (shear lag).
    pub fn axial(&self) -> f64 {
        let area = self.modulus * PI * self.core.powi(2) / 4.0;
        let line = self.line();
        let head = line / LINE_OF_MEDIUM * self.head;
        let thread = (line * area).sqrt() * libm::tanh(self.working * (line / area).sqrt());
        1.0 / (1.0 / head + self.grip / area + 1.0 / thread)
    }

    /// What the joint resists with.
    pub fn stiffness(&self) -> Stiffness {
        let (scapula, fragment) = self.sides();
        let shift = scapula.shift + fragment.shift;
        let couple = scapula.couple + fragment.couple;
        let slope = scapula.slope + fragment.slope;
        let determinant = shift * slope - couple * couple;
        Stiffness {
            axial: self.axial(),
            shift: slope / determinant,
            couple: -couple / determinant,
            slope: shift / determinant,
        }
    }
}
