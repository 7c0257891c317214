//! Dimensions and materials of a screw across the fracture, and what it is along its axis.
//!
//! Bone bears sideways with the line modulus `k = k₀ d` (foundation modulus k₀, outer diameter d); the shank
//! bends with `EI = E π d_c⁴/64` (core diameter d_c).

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
    /// Strength of the bone about it: the pressure at which it yields, MPa; infinite if it does not.
    pub strength: f64,
    /// Length in the fragment, from head to fracture plane, mm.
    pub grip: f64,
    /// Length in the scapula, from fracture plane to tip, mm.
    pub working: f64,
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

impl Shank {
    /// Bending stiffness EI of the core, N·mm².
    pub fn bending(&self) -> f64 {
        self.modulus * PI * self.core.powi(4) / 64.0
    }

    /// Line modulus k of the bone, N/mm².
    pub fn line(&self) -> f64 {
        self.foundation * self.diameter
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
}
