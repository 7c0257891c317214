//! Names of directions in the plane of the bed.

/// A direction in the bed plane, from its parts toward superior and toward medial: one of eight.
pub fn bed_direction(superior: f64, medial: f64) -> &'static str {
    const NAMES: [&str; 8] =
        ["superior", "superomedial", "medial", "inferomedial", "inferior", "inferolateral", "lateral", "superolateral"];
    let eighth = (libm::atan2(medial, superior) / std::f64::consts::FRAC_PI_4).round() as i64;
    NAMES[eighth.rem_euclid(8) as usize]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn eight_directions_turn_from_superior_to_medial() {
        assert_eq!(bed_direction(1.0, 0.0), "superior");
        assert_eq!(bed_direction(0.0, 1.0), "medial");
        assert_eq!(bed_direction(-1.0, 1.0), "inferomedial");
        assert_eq!(bed_direction(0.0, -1.0), "lateral");
    }
}
