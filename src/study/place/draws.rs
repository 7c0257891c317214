//! Common draws of how anchors land and how hard limbs are pulled.

use crate::case::Problems;
use crate::case::spread::{Design, Subject, default_spread};
use crate::chance::{Draws, Method};

/// Lines of the built-in spread that a placement is put to: an anchor lands a millimetre off along the
/// fracture line and half of one across (standard deviations, cut at twice that), a limb is pulled with
/// another tension.
const LINES: [&str; 3] = [
    "limb.*.tension",
    "anchor.*.along_error",
    "anchor.*.across_error",
];

/// Draws that every design is put to alike.
#[derive(Debug, Clone)]
pub struct Common {
    /// What each draw sets.
    pub design: Design,
    /// The draws.
    pub draws: Vec<Vec<f64>>,
    /// Their seed.
    pub seed: u64,
}

impl Common {
    /// So many draws of the built-in spread's placement error and tension: one Latin hypercube.
    ///
    /// # Errors
    /// When nothing of a subject can be drawn.
    pub fn new(subject: &Subject, count: u64, seed: u64) -> Result<Self, Problems> {
        let mut table = default_spread();
        table.lines.retain(|l| LINES.contains(&l.path.as_str()));
        table.correlations.clear();
        let design = Design::new(&table, subject, true)?;
        let inputs = design.dimensions.len();
        let plan = Draws::replicated(Method::LatinHypercube, seed, count, inputs, 1);
        let draws = (0..count)
            .map(|k| {
                let mut point = vec![0.0; inputs];
                plan.point(k, &mut point);
                design.draw(&mut point);
                point
            })
            .collect();
        Ok(Self {
            design,
            draws,
            seed,
        })
    }
}
