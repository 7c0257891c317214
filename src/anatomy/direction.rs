//! Names of directions in the plane of the bed.

/// A direction in the bed plane, from its parts along the fracture line (toward its superior end) and down the plane:
/// one of eight, none in a word of the shoulder.
pub fn bed_direction(along: f64, down: f64) -> &'static str {
    const NAMES: [&str; 8] = [
        "back along the line",
        "back along the line and down",
        "down the plane",
        "along the line and down",
        "along the line",
        "along the line and up",
        "up the plane",
        "back along the line and up",
    ];
    let eighth = (libm::atan2(down, along) / std::f64::consts::FRAC_PI_4).round() as i64;
    NAMES[eighth.rem_euclid(8) as usize]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn eight_directions_turn_from_the_line_down_the_plane() {
        assert_eq!(bed_direction(1.0, 0.0), "back along the line");
        assert_eq!(bed_direction(0.0, 1.0), "down the plane");
        assert_eq!(bed_direction(-1.0, 1.0), "along the line and down");
        assert_eq!(bed_direction(0.0, -1.0), "up the plane");
    }
}
