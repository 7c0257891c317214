//! Tolerances and limits of the solver, in one place.

/// Every tolerance and limit of the solver, with its default.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// Net force accepted relative to the largest single force (moments divided by the bed's radius
    /// of gyration). Default 1e-11: a hundred times the rounding of the sums, a thousandth of what a
    /// certificate asks.
    pub relative: f64,
    /// Net force accepted in any case, N. Default 1e-10.
    pub absolute: f64,
    /// Net force left by a step within a ramp, relative to the largest single force. Default 1e-5: of 100 N, against a
    /// stiffness of some 1000 N/mm, a micrometre's thousandth; a hundred times softer, half of how far a step of a pull may
    /// stray. It is found again with the next step, and where a ramp ends the others count.
    pub passing: f64,
    /// What a push may lack to its distance, mm. Default 1e-12.
    pub lag: f64,
    /// Newton iterations before a step is halved. Default 20.
    pub iterations: usize,
    /// Times that a Newton step which makes the residual larger is shortened. Default 4.
    pub shortenings: usize,
    /// Largest shift of an accepted step, mm; longer ones are halved, so that slip is followed
    /// along its path. Default 0.25.
    pub shift: f64,
    /// Largest turn of an accepted step, rad. Default 0.06.
    pub turn: f64,
    /// Largest change of a segment in an accepted step, as a share of its length. Default 0.6.
    pub segment: f64,
    /// Smallest fraction of a ramp before the viscous path is taken. Default 1/1024.
    pub smallest: f64,
    /// Fraction of a ramp at which a step is taken however far it strays: no step is shorter for that. Default 1e-5.
    pub finest: f64,
    /// Part of a ramp's first step that a viscous path covers, so that a fragment which creeps from
    /// state to state is followed in few paths. Default 1/8.
    pub viscous_stride: f64,
    /// Shift (mm) and turn (rad) above which the end of a viscous path counts as a jump; a smaller
    /// move cannot be told from the ramp's own. Default 0.05 and 0.01.
    pub jump: (f64, f64),
    /// Implicit steps of a viscous path before it is given up. Default 1500.
    pub viscous_steps: usize,
    /// Steps of it at rest but for a part that gives by ever less. Default 6000: a kept rig needs some 1700.
    pub giving_steps: usize,
    /// Distance from the reduced pose at which the fragment counts as lost, mm (from where the study
    /// started too, when that lies beyond). Default 15.
    pub lost_shift: f64,
    /// Length of a viscous path (mm, turns times the bed's radius of gyration) after which it counts
    /// as lost: strands that are pulled over friction can drive a fragment round and round. Default 60.
    pub lost_path: f64,
    /// Turn at which it counts as lost, rad, likewise. Default a right angle.
    pub lost_turn: f64,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            relative: 1e-11,
            absolute: 1e-10,
            passing: 1e-5,
            lag: 1e-12,
            iterations: 20,
            shortenings: 4,
            shift: 0.25,
            turn: 0.06,
            segment: 0.6,
            smallest: 1.0 / 1024.0,
            finest: 1e-5,
            viscous_stride: 0.125,
            jump: (0.05, 0.01),
            viscous_steps: 1500,
            giving_steps: 6000,
            lost_shift: 15.0,
            lost_path: 60.0,
            lost_turn: std::f64::consts::FRAC_PI_2,
        }
    }
}
