//! Directions of push.

use crate::math::Vec3;

/// A direction of push: its name, and its unit vector in the socket frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Direction {
    /// Name.
    pub name: String,
    /// Unit vector.
    pub vector: Vec3,
}

impl Direction {
    /// The named directions.
    pub const NAMES: [&'static str; 7] =
        ["inferior", "superior", "anterior", "posterior", "medial", "lateral", "anteromedial"];

    /// A direction by its name, or by three comma-separated components (normalised).
    ///
    /// # Errors
    /// A message that lists what is understood.
    pub fn parse(text: &str) -> Result<Self, String> {
        let name = text.trim().to_lowercase();
        let vector = match name.as_str() {
            "inferior" => -Vec3::y(),
            "superior" => Vec3::y(),
            "anterior" => Vec3::x(),
            "posterior" => -Vec3::x(),
            "medial" => -Vec3::z(),
            "lateral" => Vec3::z(),
            "anteromedial" => Vec3::x() - Vec3::z(),
            other => {
                let parts: Result<Vec<f64>, _> = other.split(',').map(|part| part.trim().parse::<f64>()).collect();
                match parts.as_deref() {
                    Ok(&[x, y, z]) if [x, y, z].iter().all(|v| v.is_finite()) => Vec3::new(x, y, z),
                    _ => {
                        return Err(format!(
                            "`{other}` is no direction: give one of {}, or three numbers x,y,z (anterior, superior, lateral)",
                            Self::NAMES.join(", ")
                        ));
                    }
                }
            }
        };
        // By the largest component first: its square may be more than a number holds, or less.
        let largest = vector.amax();
        if largest == 0.0 {
            return Err(format!("`{text}` has no length, so it names no direction"));
        }
        Ok(Self { name, vector: (vector / largest).normalize() })
    }
}

impl std::fmt::Display for Direction {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.name)
    }
}

impl Default for Direction {
    fn default() -> Self {
        Self { name: "inferior".to_owned(), vector: -Vec3::y() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn any_length_but_none_names_a_direction() {
        for text in ["1e160,0,0", "1e308,0,0", "1e-200,0,0", "5e-324,0,0", "-0,0,2"] {
            let vector = Direction::parse(text).unwrap().vector;
            assert!((vector.norm() - 1.0).abs() < 1e-15, "{text}: {vector}");
        }
        assert_eq!(Direction::parse("1e308,1e308,0").unwrap().vector, Direction::parse("1,1,0").unwrap().vector);
        assert!(Direction::parse("0,-0,0").unwrap_err().contains("no length"));
        assert!(Direction::parse("1e309,0,0").is_err());
    }
}
