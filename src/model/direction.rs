//! Directions of push: of the shoulder, and of the fracture bed. No word is of both.

use crate::anatomy::Fragment;
use crate::math::Vec3;

/// The axes that a direction is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Axes {
    /// Those of the shoulder: x anterior, y superior, z lateral.
    #[default]
    Shoulder,
    /// Those of the fracture bed: along the fracture line toward its superior end, down the plane, off the bed.
    Bed,
}

/// A direction of push.
#[derive(Debug, Clone, PartialEq)]
pub struct Direction {
    /// Name.
    pub name: String,
    /// Unit vector in its axes.
    pub vector: Vec3,
    /// Its axes.
    pub axes: Axes,
}

/// Directions of the bed, each with its vector in the bed's axes; along the line is toward its inferior end, as the
/// usual load is.
const OF_THE_BED: [(&str, [f64; 3]); 6] = [
    ("along the line", [-1.0, 0.0, 0.0]),
    ("back along the line", [1.0, 0.0, 0.0]),
    ("down the plane", [0.0, 1.0, 0.0]),
    ("up the plane", [0.0, -1.0, 0.0]),
    ("off the bed", [0.0, 0.0, 1.0]),
    ("into the bed", [0.0, 0.0, -1.0]),
];

/// Directions of the shoulder, each with the word that it begins with where two are joined.
const OF_THE_SHOULDER: [(&str, &str, [f64; 3]); 6] = [
    ("inferior", "infero", [0.0, -1.0, 0.0]),
    ("superior", "supero", [0.0, 1.0, 0.0]),
    ("anterior", "antero", [1.0, 0.0, 0.0]),
    ("posterior", "postero", [-1.0, 0.0, 0.0]),
    ("medial", "medio", [0.0, 0.0, -1.0]),
    ("lateral", "latero", [0.0, 0.0, 1.0]),
];

impl Direction {
    /// A direction of the shoulder, of any length but none.
    pub fn of_shoulder(name: impl Into<String>, vector: Vec3) -> Self {
        // By the largest component first: its square may be more than a number holds, or less.
        Self { name: name.into(), vector: (vector / vector.amax()).normalize(), axes: Axes::Shoulder }
    }

    /// Its unit vector in the socket frame, on a fragment.
    pub fn on(&self, fragment: &Fragment) -> Vec3 {
        let v = &self.vector;
        match self.axes {
            Axes::Shoulder => *v,
            Axes::Bed => fragment.along * v.x + fragment.down * v.y + fragment.normal * v.z,
        }
    }

    /// A direction by its name, or by three comma-separated components (normalised): of the shoulder one word, or two
    /// joined (anteroinferior); of the bed words with spaces or hyphens (down-the-plane).
    ///
    /// # Errors
    /// A message that lists what is understood.
    pub fn parse(text: &str) -> Result<Self, String> {
        let name = text.trim().to_lowercase();
        let spaced = name.replace('-', " ");
        if let Some((name, vector)) = OF_THE_BED.iter().find(|(word, _)| *word == spaced) {
            return Ok(Self { name: (*name).to_owned(), vector: Vec3::from(*vector), axes: Axes::Bed });
        }
        let word = |text: &str| OF_THE_SHOULDER.iter().find(|w| w.0 == text).map(|w| Vec3::from(w.2));
        let joined = || {
            let parts = OF_THE_SHOULDER.iter().filter_map(|w| Some((Vec3::from(w.2), word(name.strip_prefix(w.1)?)?)));
            // Two of one axis name no direction.
            parts.filter(|(a, b)| a.dot(b) == 0.0).map(|(a, b)| a + b).next()
        };
        let numbers = || {
            let parts: Result<Vec<f64>, _> = name.split(',').map(|part| part.trim().parse::<f64>()).collect();
            let &[x, y, z] = parts.as_deref().ok()? else { return None };
            [x, y, z].iter().all(|v| v.is_finite()).then(|| Vec3::new(x, y, z))
        };
        let Some(vector) = word(&name).or_else(joined).or_else(numbers) else {
            let [shoulder, bed] = [OF_THE_SHOULDER.map(|w| w.0), OF_THE_BED.map(|w| w.0)].map(|w| w.join(", "));
            return Err(format!(
                "`{name}` is no direction: give one of the shoulder ({shoulder}, or two joined like anteroinferior), one of the fracture bed ({bed}), or three numbers x,y,z (anterior, superior, lateral)"
            ));
        };
        if vector.amax() == 0.0 {
            return Err(format!("`{text}` has no length, so it names no direction"));
        }
        Ok(Self::of_shoulder(name, vector))
    }
}

impl std::fmt::Display for Direction {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.name)
    }
}

impl Default for Direction {
    fn default() -> Self {
        Self::of_shoulder("inferior", -Vec3::y())
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

    #[test]
    fn shoulder_and_bed_share_no_word_and_each_has_its_axes() {
        let anteroinferior = Direction::parse("anteroinferior").unwrap();
        assert!((anteroinferior.vector - Vec3::new(1.0, -1.0, 0.0).normalize()).norm() < 1e-15);
        assert_eq!(Direction::parse("inferomedial").unwrap().vector.x, 0.0);
        for wrong in ["inferosuperior", "anteroanterior", "antero", "down", "line"] {
            assert!(Direction::parse(wrong).unwrap_err().contains("down the plane"), "{wrong}");
        }
        let case = crate::model::Case::open("quarter").unwrap();
        let fragment = &case.fragment;
        let down = Direction::parse("Down-the-plane").unwrap();
        assert_eq!((down.axes, down.on(fragment)), (Axes::Bed, fragment.down));
        assert_eq!(Direction::parse("along the line").unwrap().on(fragment), -fragment.along);
        for (word, _) in OF_THE_BED {
            assert!(OF_THE_SHOULDER.iter().all(|w| !word.contains(w.0)), "{word}");
        }
    }
}
