//! The seat: a segment so short that labrum sits on bone also bears compression.

/// Seating: a segment shorter than `length` also bears compression.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seat {
    /// Length ℓ_s, mm.
    pub length: f64,
    /// Stiffness k_s, N/mm.
    pub stiffness: f64,
}

/// Share of the seat's length from which on it hardens.
const HARD: f64 = 0.2;

impl Seat {
    /// What a segment of this length (mm) bears: `k_s (ℓ_s − ℓ)`, and below a fifth of ℓ_s also
    /// `k_s (ℓ_s/5 − ℓ)²/ℓ`, N. Without that second part a limb whose tension passes `k_s ℓ_s` would be drawn to
    /// no length at all, where it has no direction and no balance; bone is not drawn to nothing.
    pub fn compression(&self, length: f64) -> f64 {
        let hard = (HARD * self.length - length).max(0.0);
        self.stiffness * ((self.length - length).max(0.0) + if hard > 0.0 { hard * hard / length } else { 0.0 })
    }

    /// What the compression rises by as the segment shortens, N/mm.
    pub fn rise(&self, length: f64) -> f64 {
        let hard = HARD * self.length;
        let more = if length < hard { (hard / length) * (hard / length) - 1.0 } else { 0.0 };
        if length < self.length { self.stiffness * (1.0 + more) } else { 0.0 }
    }

    /// Energy stored, N·mm.
    pub fn energy(&self, length: f64) -> f64 {
        let (soft, hard) = ((self.length - length).max(0.0), HARD * self.length);
        let more = if length < hard {
            hard * hard * libm::log(hard / length) - 2.0 * hard * (hard - length)
                + 0.5 * (hard * hard - length * length)
        } else {
            0.0
        };
        self.stiffness * (0.5 * soft * soft + more)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn force_and_rise_are_the_derivatives_of_the_energy_and_any_tension_is_borne() {
        let seat = Seat { length: 1.0, stiffness: 200.0 };
        for length in [1.5, 0.9, 0.5, 0.19, 0.05, 1e-3] {
            let h = 1e-6 * length;
            let slope = (seat.energy(length - h) - seat.energy(length + h)) / (2.0 * h);
            assert!((slope - seat.compression(length)).abs() < 1e-6 * seat.compression(length).max(1.0), "{length}");
            let slope = (seat.compression(length - h) - seat.compression(length + h)) / (2.0 * h);
            assert!((slope - seat.rise(length)).abs() < 1e-6 * seat.rise(length).max(1.0), "{length}");
        }
        // The linear law to four fifths of its shortening; then any tension finds a length.
        assert_eq!(seat.compression(0.25), 150.0);
        assert!(seat.compression(1e-6) > 1e6);
    }
}
