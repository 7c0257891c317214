//! Figure "construct": the construct on the fragment.

use crate::model::{Case, Construct};
use crate::show::chart::*;
use crate::show::scene::{Scene, bed, face, newtons_of, section, side};
use crate::study::result::{PointKind, TiedState};

/// Draws the construct on the fragment, to scale: (a) en face, from lateral, (b) in section across
/// the bed through the fragment's middle, (c) the pressure on the bed seen square to it. A left
/// shoulder is drawn mirrored, its directions written where they then are.
pub fn construct(case: &Case, construct: &Construct, tied: &TiedState, theme: &Theme) -> Figure {
    let scene = Scene::new(case, construct, tied, theme);
    // Millimetres on the page per millimetre of bone: as large as a usual socket allows.
    let circle = if theme.is_wide() { 46.0 } else { 40.0 };
    let scale = circle / (2.0 * face::reach(&scene));
    let [first, second, third] = [face::height(&scene, scale), section::height(&scene), bed::height(&scene)];
    let (w, split) = (theme.width, 0.5 * theme.width);
    let areas = if theme.is_wide() {
        let tall = first.max(second + third + 3.0);
        let (x, right) = (split + 3.0, w - split - 3.0);
        [(0.0, 0.0, split, tall), (x, 0.0, right, second), (x, tall - third, right, third)]
    } else {
        [(0.0, 0.0, w, first), (0.0, first + 2.0, w, second), (0.0, first + second + 4.0, w, third)]
    };
    let [a, b, c] = areas.map(|(x, y, w, h)| Rect::new(x, y, w, h));
    let mut canvas = Canvas::new(w, c.bottom());
    face::draw(&mut canvas, &scene, a, scale, ["a", "En face, from lateral"]);
    section::draw(&mut canvas, &scene, b);
    bed::draw(&mut canvas, &scene, c);
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
    let mut csv = Csv::new("kind,name,point,x_mm,y_mm,z_mm,t_mm,m_mm,value,unit".split(','));
    let mut row = |kind: &str, name: &str, point: &str, [x, y, z]: [f64; 3], value: Option<f64>| {
        let unit = value.map(|_| "N");
        csv.row(row![kind, name, point, x, y, z, "", "", value, unit]);
    };
    for a in &tied.anchors {
        row("anchor", &a.name, "", a.place, Some(a.force));
    }
    for limb in &tied.limbs {
        for (k, (p, kind)) in limb.path.iter().zip(&limb.kinds).enumerate() {
            // The tension of the segment that starts at this point.
            row("limb", &limb.name, point_words(*kind), *p, limb.tensions.get(k).copied());
        }
    }
    for screw in &tied.screws {
        // The pull of the head stands at the head, what the shank bears at the fracture plane.
        let values = [Some(screw.axial), Some(screw.bearing), None];
        for ((place, value), word) in screw.places.into_iter().zip(values).zip(["head", "fracture plane", "tip"]) {
            row("screw", &screw.name, word, place, value);
        }
    }
    for cell in &tied.bed.cells {
        csv.row(row!["bed", "", "", "", "", "", cell.t, cell.m, cell.pressure, "MPa"]);
    }
    csv.finish()
}

fn caption(scene: &Scene<'_>) -> String {
    let lines = if scene.tied.limbs.iter().any(|l| l.group == "loop") {
        "a full line is a bridge and a hollow line a loop"
    } else {
        "lines are limbs"
    };
    let screws = if scene.tied.screws.is_empty() {
        ""
    } else {
        " A disc with a cross is the head of a screw, the line from it its axis, with threads beyond the fracture plane; the newtons beside it are the pull of its head."
    };
    format!(
        "The construct {} on the case {}, {}, as tied, the fragment where it then lies; darker bone: bed that it does not cover. (a) En face, from lateral: dashed circle, best-fit circle of the inferior glenoid with clock positions; the upper glenoid is a sketch to its height. (b) Section across the bed through the fragment's middle; what lies more than {:.0} mm from the plane is projected faintly; bars: pressure on the bed near the plane, a bar of {} mm being the peak of the whole bed. (c) Pressure on the bed, seen square to it from the fragment. Drawing language: an eye is an anchor on the face, a broken ring an anchor behind the bone, a diamond a bite, a bar square to the limb a crossing over bone; {lines}, its width grows with tension, and it is dashed where it runs behind bone. Newtons beside a limb: its tension, from its first to its last segment where they differ; beside an anchor: the pull on it.{screws} In the section directions are those of the cut: outward along the fragment's middle.",
        scene.construct.name,
        scene.case.name,
        side(scene.case),
        section::NEAR,
        section::LONGEST
    )
}

fn alt(scene: &Scene<'_>) -> String {
    let tied = scene.tied;
    let limbs = tied.limbs.iter().map(|l| {
        let stops: Vec<&str> = l.kinds.iter().map(|k| point_words(*k)).collect();
        format!("{} ({}) at {}", l.name, stops.join(", "), newtons_of(l))
    });
    let anchors = tied.anchors.iter().map(|a| format!("{} pulled with {:.0} N", a.name, a.force));
    let screw = |s: &crate::study::result::ScrewState| {
        format!("{} pulling with {:.0} N and bearing {:.0} N sideways", s.name, s.axial, s.bearing)
    };
    let screws: Vec<String> = tied.screws.iter().map(screw).collect();
    format!(
        "Scale drawing of a construct on a rim fragment, en face and in section, with a map of the pressure on its bed. Anchors: {}. Limbs: {}.{} Bed compression {:.0} N, peak pressure {:.2} MPa, {:.0} % of the bed in contact.",
        joined(anchors, "; "),
        joined(limbs, "; "),
        if screws.is_empty() { String::new() } else { format!(" Screws: {}.", screws.join("; ")) },
        tied.bed.compression,
        tied.bed.peak_pressure,
        100.0 * tied.bed.contact
    )
}
