//! Laws of a cell of the bed, each a file: what a cell bears for how it has moved.

mod coulomb;

pub(crate) use coulomb::Coulomb;

use crate::mechanics::lane::Lane;

/// What cells side by side bear.
pub(crate) struct Borne<L: Lane> {
    /// Pressure, MPa.
    pub pressure: L,
    /// Shear on the fragment, MPa.
    pub shear: [L; 2],
    /// Where it slips.
    pub slips: L::Mask,
    /// Derivatives of shear and pressure by the cell's place, MPa/mm: xx, xy = yx, yy, xz and yz. Pressure does
    /// not depend on where along the bed a cell is, and with lift it falls by the bed's stiffness, open or not.
    pub tangent: [L; 5],
}

/// The law of a cell, written once for one cell (`f64`) and for cells side by side.
pub(crate) trait CellLaw<L: Lane> {
    /// What a cell bears at a gap (mm, negative where it penetrates), a displacement along the bed (mm) and
    /// the committed slip (mm).
    fn bear(&self, gap: L, slide: [L; 2], slip: [L; 2]) -> Borne<L>;
}
