//! Draws of the inputs from the spread of their published or assumed values: a Latin hypercube from a
//! seed (McKay, Beckman & Conover, Technometrics 1979;21:239; recalled).

use crate::model::{Case, Construct, ConstructFile, builtin, parameter};
use crate::stats::SplitMix64;
use crate::verify::check::Found;
use schemars::JsonSchema;
use serde::Serialize;

/// Draws of a design.
pub const DRAWS: usize = 64;
/// Seed of the design.
pub const SEED: u64 = 2014;

/// An input with its spread. Half of the draws lie below its default and half above.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Input {
    /// Its key in a case or construct file.
    pub path: String,
    /// Its unit.
    pub unit: String,
    /// Low end, default and high end.
    pub spread: [f64; 3],
}

/// What is drawn. Where the program's own table gives no default, the middle is given here: 26 mm is
/// the mean of 1,072 sockets on CT, 4 o'clock the middle of the anterior rim (assumed).
const DRAWN: [(&str, Option<f64>); 33] = [
    ("socket.diameter", Some(26.0)),
    ("socket.face_radius", None),
    ("fragment.middle", Some(4.0)),
    ("fragment.depth", None),
    ("fragment.tilt", None),
    ("bed.friction", None),
    ("bed.normal_stiffness", None),
    ("bed.shear_stiffness", None),
    ("bed.edge_width", None),
    ("envelope.shift_stiffness", None),
    ("envelope.turn_stiffness", None),
    ("displaced.inferior", None),
    ("displaced.medial", None),
    ("displaced.spin", None),
    ("seat.length", None),
    ("seat.stiffness", None),
    ("friction.rim", None),
    ("friction.labrum", None),
    ("friction.bone", None),
    ("friction.eyelet", None),
    ("bite.stiffness", None),
    ("knot.tension", None),
    ("knot.slack", None),
    ("clamp.tension", None),
    ("clamp.slack", None),
    ("strand.cord.rigidity", None),
    ("anchor-class.all-suture.stiffness", None),
    ("anchor-class.hard-body.stiffness", None),
    ("bed.asperity_angle", None),
    ("bite.stiffening", None),
    ("settling.bite_kept", None),
    ("settling.bite_set", None),
    ("settling.set_growth", None),
];

/// What is unknown of a bench test alone: how far medial of anterior it pulled, and the asperity angle of its sawn
/// fragment (0 to 10°, from memory).
const BENCH: [(&str, &str, [f64; 3]); 2] =
    [("pull medial of anterior", "°", [0.0, 35.0, 70.0]), ("asperity angle, sawn", "°", [0.0, 5.0, 10.0])];

/// What the head on the socket alone asks for; the compression is that of the test.
const JOINT: [&str; 3] = ["joint.head_radius", "joint.cartilage_modulus", "joint.cartilage_thickness"];

/// An input of the program's own table.
fn input(path: &str, middle: Option<f64>) -> Option<Input> {
    let row = parameter(path)?;
    let spread = [row.low, middle.or(row.default)?, row.high];
    Some(Input { path: path.to_owned(), unit: row.unit.to_owned(), spread })
}

/// The inputs that are drawn, with their spreads.
pub fn inputs() -> Vec<Input> {
    DRAWN
        .iter()
        .filter_map(|(path, middle)| input(path, *middle))
        .chain(BENCH.map(|(path, unit, spread)| Input { path: path.to_owned(), unit: unit.to_owned(), spread }))
        .chain(JOINT.iter().filter_map(|path| input(path, None)))
        .collect()
}

/// One draw: a value for each input, in their order.
#[derive(Debug, Clone, PartialEq)]
pub struct Draw {
    /// The values.
    pub values: Vec<f64>,
}

/// `count` draws: every input takes one value from each of `count` equally likely slices.
pub fn draws(count: usize, seed: u64) -> Vec<Draw> {
    let mut random = SplitMix64(seed);
    let mut draws = vec![Draw { values: Vec::new() }; count];
    for input in inputs() {
        let mut slices: Vec<usize> = (0..count).collect();
        random.shuffle(&mut slices);
        for (draw, slice) in draws.iter_mut().zip(slices) {
            let share = (slice as f64 + random.unit()) / count as f64;
            draw.values.push(spread_at(&input.spread, share));
        }
    }
    draws
}

/// The draw of all defaults.
pub fn middle() -> Draw {
    Draw { values: inputs().iter().map(|input| input.spread[1]).collect() }
}

/// The value below which a share of the draws lies: half of them between low end and default.
fn spread_at(&[low, middle, high]: &[f64; 3], share: f64) -> f64 {
    if share < 0.5 { low + (middle - low) * 2.0 * share } else { middle + (high - middle) * (2.0 * share - 1.0) }
}

impl Draw {
    fn value(&self, path: &str) -> Option<f64> {
        let k = DRAWN.iter().position(|drawn| drawn.0 == path)?;
        self.values.get(k).copied()
    }

    /// Angle of the pull medial of anterior, and asperity angle of the sawn fragment, of this draw's bench test,
    /// degrees.
    pub fn bench(&self) -> [f64; 2] {
        [0, 1].map(|k| self.values.get(DRAWN.len() + k).copied().unwrap_or(f64::NAN))
    }

    /// The tension of a knotless limb in this draw, N.
    pub fn clamp_tension(&self) -> f64 {
        self.value("clamp.tension").unwrap_or(f64::NAN)
    }

    /// The socket, head and cartilage of this draw with a fragment at 3 o'clock, so many mm wide.
    ///
    /// # Errors
    /// When these measurements cannot belong to one socket.
    pub fn joint(&self, width: f64) -> Found<Case> {
        let mut text = format!("side = \"right\"\nfragment.width = {width:?}\nfragment.middle = \"3:00\"\n");
        for path in ["socket.diameter", "socket.face_radius"] {
            text.push_str(&format!("{path} = {:?}\n", self.value(path).unwrap_or(f64::NAN)));
        }
        for (path, value) in JOINT.iter().zip(&self.values[DRAWN.len() + BENCH.len()..]) {
            text.push_str(&format!("{path} = {value:?}\n"));
        }
        Case::parse("drawn", &text).map_err(|p| p.to_string())
    }

    /// The case of this draw with a fragment of so many percent of the width, and more lines.
    ///
    /// # Errors
    /// When these measurements cannot belong to one socket.
    pub fn case(&self, percent: f64, more: &str) -> Found<Case> {
        let mut text = format!("side = \"right\"\nfragment.width = \"{percent} %\"\n");
        for ((path, _), value) in DRAWN.iter().zip(&self.values) {
            match *path {
                "fragment.middle" => {
                    let minutes = (value * 60.0).round() as u32;
                    let (hours, minutes) = (minutes / 60, minutes % 60);
                    text.push_str(&format!("{path} = \"{hours}:{minutes:02}\"\n"));
                }
                _ => text.push_str(&format!("{path} = {value:?}\n")),
            }
        }
        text.push_str(more);
        Case::parse("drawn", &text).map_err(|p| p.to_string())
    }

    /// A built-in construct on a case of this draw, its text changed by each pair (from, to).
    ///
    /// # Errors
    /// When the construct does not fit the case, or the text does not hold what is to be changed.
    pub fn construct(&self, case: &Case, name: &str, changes: &[(&str, &str)]) -> Found<Construct> {
        let mut text = builtin(name).ok_or_else(|| format!("no construct {name}"))?.to_owned();
        for (from, to) in changes {
            if !text.contains(from) {
                return Err(format!("{name} does not say `{from}`"));
            }
            text = text.replace(from, to);
        }
        ConstructFile::parse(name, &text).and_then(|file| file.fit(case)).map_err(|p| p.to_string())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_input_is_drawn_once_from_each_slice_and_the_same_from_the_same_seed() {
        assert_eq!(inputs().len(), DRAWN.len() + BENCH.len() + JOINT.len());
        let found = draws(16, 7);
        assert_eq!(found, draws(16, 7));
        assert_ne!(found, draws(16, 8));
        for (k, input) in inputs().iter().enumerate() {
            let mut values: Vec<f64> = found.iter().map(|d| d.values[k]).collect();
            values.sort_by(f64::total_cmp);
            for (slice, value) in values.iter().enumerate() {
                let ends = [slice, slice + 1].map(|s| spread_at(&input.spread, s as f64 / 16.0));
                assert!(ends[0] <= *value && *value <= ends[1], "{input:?} {values:?}");
            }
        }
    }

    #[test]
    fn the_middle_draw_is_the_default_case() {
        let case = middle().case(25.0, "").unwrap();
        let default = Case::open("quarter").unwrap();
        assert_eq!(case.fragment, default.fragment);
        assert_eq!(case.bed, default.bed);
        assert_eq!(case.envelope, default.envelope);
    }
}
