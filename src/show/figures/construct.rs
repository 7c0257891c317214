//! Figure "construct": the construct on the fragment.
//!
//! Drawing language: an eye (disc with a white centre) is an anchor on the face, a broken ring one
//! hidden behind the bone; a diamond is a bite, a bar square to the limb a crossing over bone; a
//! full line is a bridge, a hollow line a loop, its width grows with tension, and it is dashed where
//! the limb runs behind bone. A disc with a cross is the head of a screw, its line has threads beyond
//! the fracture plane.

pub(super) mod bone;
mod callout;
mod contour;
pub(super) mod en_face;
pub(super) mod limb;
pub(super) mod pressure;
pub(super) mod screw;
mod section;
pub(super) mod symbol;
pub(super) mod view;

use super::canvas::{Canvas, Type};
use super::csv::{Csv, field};
use super::figure::Figure;
use super::font::Face;
use super::rect::Rect;
use super::subject::{groups, mirror};
use super::theme::Theme;
use crate::model::{Case, Construct, Side};
use crate::study::result::{PointKind, TiedState};

/// Title of the panel en face.
const EN_FACE: &str = "En face, from lateral";

/// What is drawn, with its surroundings.
#[derive(Clone, Copy)]
pub(super) struct Scene<'a> {
    pub case: &'a Case,
    pub construct: &'a Construct,
    pub tied: &'a TiedState,
    pub theme: &'a Theme,
}

impl Scene<'_> {
    /// 1 for a right shoulder, −1 for a left one, which is drawn mirrored.
    pub fn mirror(&self) -> f64 {
        mirror(self.case)
    }

    /// Groups of the limbs in their order.
    pub fn groups(&self) -> Vec<String> {
        groups(self.tied.limbs.iter().map(|l| l.group.as_str()))
    }

    /// Every point of the construct, mm.
    fn points(&self) -> impl Iterator<Item = [f64; 3]> {
        let limbs = self.tied.limbs.iter().flat_map(|l| l.path.iter().copied());
        let screws = self.tied.screws.iter().flat_map(|s| s.places);
        let anchors = self.tied.anchors.iter().map(|a| a.place);
        limbs.chain(anchors).chain(screws)
    }

    /// Writes a panel's letter and title.
    pub fn title(&self, canvas: &mut Canvas, area: Rect, letter: &str, words: &str) {
        let set = Type::new(self.theme.title, self.theme.ink).face(Face::Bold);
        canvas.text(letter, [area.x + 0.6, area.y + 3.4], set);
        canvas.text(words, [area.x + 4.0, area.y + 3.4], Type::new(self.theme.text, self.theme.ink));
    }
}

/// Draws the construct on the fragment, to scale: (a) en face, from lateral, (b) in section across
/// the bed through the fragment's middle, (c) the pressure on the bed seen square to it. A left
/// shoulder is drawn mirrored, its directions written where they then are.
pub fn construct(case: &Case, construct: &Construct, tied: &TiedState, theme: &Theme) -> Figure {
    let scene = Scene { case, construct, tied, theme };
    // Millimetres on the page per millimetre of bone: as large as a usual socket allows.
    let circle = if theme.is_wide() { 46.0 } else { 40.0 };
    let scale = circle / (2.0 * en_face::reach(&scene));
    let face_height = en_face::height(&scene, scale);
    let (section_height, bed_height) = (section::height(&scene), pressure::height(&scene));
    let canvas = if theme.is_wide() {
        let split = 0.5 * theme.width;
        let height = face_height.max(section_height + bed_height + 3.0);
        let mut canvas = Canvas::new(theme.width, height);
        let right = theme.width - split - 3.0;
        en_face::draw(&mut canvas, &scene, Rect::new(0.0, 0.0, split, height), scale, ["a", EN_FACE]);
        section::draw(&mut canvas, &scene, Rect::new(split + 3.0, 0.0, right, section_height));
        pressure::draw(&mut canvas, &scene, Rect::new(split + 3.0, height - bed_height, right, bed_height));
        canvas
    } else {
        let w = theme.width;
        let (second, third) = (face_height + 2.0, face_height + section_height + 4.0);
        let mut canvas = Canvas::new(w, third + bed_height);
        en_face::draw(&mut canvas, &scene, Rect::new(0.0, 0.0, w, face_height), scale, ["a", EN_FACE]);
        section::draw(&mut canvas, &scene, Rect::new(0.0, second, w, section_height));
        pressure::draw(&mut canvas, &scene, Rect::new(0.0, third, w, bed_height));
        canvas
    };
    Figure::new(&format!("construct-{}", construct.name), canvas, csv(tied), caption(&scene), alt(&scene))
}

fn point_words(kind: PointKind) -> &'static str {
    match kind {
        PointKind::Anchor => "anchor",
        PointKind::Bite => "bite",
        PointKind::Rim => "rim",
        PointKind::Margin => "margin",
        PointKind::Bone => "bone",
    }
}

fn csv(tied: &TiedState) -> String {
    let mut csv = Csv::new(&["kind", "name", "point", "x_mm", "y_mm", "z_mm", "t_mm", "m_mm", "value", "unit"]);
    let blank = String::new;
    for a in &tied.anchors {
        let [x, y, z] = a.place.map(|v| v.to_string());
        csv.row([
            "anchor".to_owned(),
            field(&a.name),
            blank(),
            x,
            y,
            z,
            blank(),
            blank(),
            a.force.to_string(),
            "N".to_owned(),
        ]);
    }
    for limb in &tied.limbs {
        for (k, (p, kind)) in limb.path.iter().zip(&limb.kinds).enumerate() {
            let [x, y, z] = p.map(|v| v.to_string());
            let tension = limb.tensions.get(k);
            csv.row([
                "limb".to_owned(),
                field(&limb.name),
                point_words(*kind).to_owned(),
                x,
                y,
                z,
                blank(),
                blank(),
                // The tension of the segment that starts at this point.
                tension.map_or_else(blank, f64::to_string),
                tension.map_or_else(blank, |_| "N".to_owned()),
            ]);
        }
    }
    for screw in &tied.screws {
        // The pull of the head stands at the head, what the shank bears at the fracture plane.
        let values = [Some(screw.axial), Some(screw.bearing), None];
        let words = ["head", "fracture plane", "tip"];
        for ((place, value), word) in screw.places.iter().zip(values).zip(words) {
            let [x, y, z] = place.map(|v| v.to_string());
            csv.row([
                "screw".to_owned(),
                field(&screw.name),
                word.to_owned(),
                x,
                y,
                z,
                blank(),
                blank(),
                value.map_or_else(blank, |v| v.to_string()),
                value.map_or_else(blank, |_| "N".to_owned()),
            ]);
        }
    }
    for cell in &tied.bed.cells {
        csv.row([
            "bed".to_owned(),
            blank(),
            blank(),
            blank(),
            blank(),
            blank(),
            cell.t.to_string(),
            cell.m.to_string(),
            cell.pressure.to_string(),
            "MPa".to_owned(),
        ]);
    }
    csv.finish()
}

fn caption(scene: &Scene<'_>) -> String {
    let side = match scene.case.side {
        Side::Right => "right",
        Side::Left => "left",
    };
    let outward = if scene.groups().iter().any(|g| g == "loop") {
        "a full line is a bridge and a hollow line a loop"
    } else {
        "lines are limbs"
    };
    format!(
        "The construct {} on the case {}, {side} shoulder, as tied. (a) En face, from lateral: dashed circle, best-fit circle of the inferior socket with clock positions; the upper socket is a sketch to the socket's height. (b) Section across the bed through the fragment's middle; what lies more than {:.0} mm from the plane is projected faintly; bars: pressure on the bed near the plane, a bar of 3.5 mm being the peak of the whole bed. (c) Pressure on the bed, seen square to it from the fragment. Drawing language: an eye is an anchor on the face, a broken ring an anchor behind the bone, a diamond a bite, a bar square to the limb a crossing over bone; {outward}, its width grows with tension, and it is dashed where it runs behind bone. Newtons beside a limb: its tension, from its first to its last segment where they differ; beside an anchor: the pull on it.{} In the section directions are those of the cut: outward along the fragment's middle.",
        scene.construct.name,
        scene.case.name,
        section::NEAR,
        screw::words(scene)
    )
}

fn alt(scene: &Scene<'_>) -> String {
    let limbs: Vec<String> = scene
        .tied
        .limbs
        .iter()
        .map(|l| {
            let stops: Vec<&str> = l.kinds.iter().map(|k| point_words(*k)).collect();
            format!("{} ({}) at {}", l.name, stops.join(", "), limb::newtons(l))
        })
        .collect();
    let anchors: Vec<String> =
        scene.tied.anchors.iter().map(|a| format!("{} pulled with {:.0} N", a.name, a.force)).collect();
    format!(
        "Scale drawing of a construct on a rim fragment, en face and in section, with a map of the pressure on its bed. Anchors: {}. Limbs: {}.{} Bed compression {:.0} N, peak pressure {:.2} MPa, {:.0} % of the bed in contact.",
        anchors.join("; "),
        limbs.join("; "),
        screw::alt(scene),
        scene.tied.bed.compression,
        scene.tied.bed.peak_pressure,
        100.0 * scene.tied.bed.contact
    )
}
