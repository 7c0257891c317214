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
        let vector = match text {
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
        let vector =
            vector.try_normalize(1e-12).ok_or_else(|| format!("`{text}` has no length, so it names no direction"))?;
        Ok(Self { name: text.to_owned(), vector })
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
