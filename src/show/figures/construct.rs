//! Figure "construct": the construct on the fragment.

use super::*;
use crate::show::scene::section::{LONGEST, NEAR};

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
    let title = wrap(&format!("{}, as tied", construct.name), theme.heading(), w - 2.0);
    let head = title.len() as f64 * theme.heading().leading() + 1.0;
    let areas = if theme.is_wide() {
        let tall = first.max(second + third + 3.0);
        let (x, right) = (split + 3.0, w - split - 3.0);
        [(0.0, 0.0, split, tall), (x, 0.0, right, second), (x, tall - third, right, third)]
    } else {
        [(0.0, 0.0, w, first), (0.0, first + 2.0, w, second), (0.0, first + second + 4.0, w, third)]
    };
    let [a, b, c] = areas.map(|(x, y, w, h)| Rect::new(x, head + y, w, h));
    let mut canvas = Canvas::new(w, c.bottom());
    canvas.lines(&title, [0.6, theme.heading().capital() + 0.6], theme.heading());
    face::draw(&mut canvas, &scene, a, scale, ["a", "En face, from lateral"]);
    section::draw(&mut canvas, &scene, b, ["b", "Section across the bed"]);
    bed::draw(&mut canvas, &scene, c);
    Figure::new(&format!("construct-{}", construct.name), canvas, numbers(tied), caption(&scene), alt(&scene))
}

fn numbers(tied: &TiedState) -> String {
    let anchors = tied.anchors.iter().map(|a| json!(["anchor", a.name, "", a.place, "", "", a.force, "N"]));
    let limbs = tied.limbs.iter().flat_map(|limb| {
        limb.path.iter().zip(&limb.kinds).enumerate().map(move |(k, (p, kind))| {
            // The tension of the segment that starts at this point.
            let tension = limb.tensions.get(k);
            json!(["limb", limb.name, kind, p, "", "", tension, tension.map(|_| "N")])
        })
    });
    let screws = tied.screws.iter().flat_map(|screw| {
        // The pull of the head stands at the head, what the shank bears at the fracture plane.
        let [head, plane, tip] = screw.places;
        [
            json!(["screw", screw.name, "head", head, "", "", screw.axial, "N"]),
            json!(["screw", screw.name, "fracture plane", plane, "", "", screw.bearing, "N"]),
            json!(["screw", screw.name, "tip", tip, "", "", "", ""]),
        ]
    });
    let bed = tied.bed.cells.iter().map(|c| json!(["bed", "", "", "", "", "", c.t, c.m, c.pressure, "MPa"]));
    let rows = anchors.chain(limbs).chain(screws).chain(bed);
    csv("kind,name,point,x_mm,y_mm,z_mm,t_mm,m_mm,value,unit".split(','), rows)
}

fn caption(scene: &Scene<'_>) -> String {
    let lines = if scene.tied.limbs.iter().any(|l| l.group == "loop") {
        "a full line is a bridge and a ring round an anchor and a bite a loop"
    } else {
        "lines are limbs"
    };
    let screws = if scene.tied.screws.is_empty() {
        ""
    } else {
        " A disc with a cross is the head of a screw, the line from it its axis, with threads beyond the fracture plane; the newtons beside it are the pull of its head."
    };
    let (construct, case, side) = (&scene.construct.name, &scene.case.name, side(scene.case));
    format!(
        "The construct {construct} on the case {case}, {side}, as tied, the fragment where it then lies; darker bone: bed that it does not cover; dashed: where it is reduced. (a) En face, from lateral: dashed circle, best-fit circle of the inferior glenoid with clock positions; the upper glenoid is a sketch to its height. (b) Section across the bed through the fragment's middle; what lies more than {NEAR:.0} mm from the plane is projected faintly; bars: pressure on the bed near the plane, a bar of {LONGEST} mm being the peak of the whole bed. (c) Pressure on the bed, seen square to it from the fragment. Drawing language: an eye is an anchor on the face, a broken ring an anchor behind the bone, a diamond a bite, a bar square to the limb a crossing over bone; {lines}, its width grows with tension, and it is dashed where it runs behind bone. Newtons beside a limb: its tension, from its first to its last segment where they differ; beside an anchor: the pull on it.{screws} In the section directions are those of the cut: outward along the fragment's middle."
    )
}

fn alt(scene: &Scene<'_>) -> String {
    let tied = scene.tied;
    let limbs = tied.limbs.iter().map(|l| {
        let stops: Vec<String> = l.kinds.iter().map(|k| json!(k).as_str().unwrap_or_default().to_owned()).collect();
        format!("{} ({}) at {}", l.name, stops.join(", "), newtons_of(l))
    });
    let anchors = tied.anchors.iter().map(|a| format!("{} pulled with {:.0} N", a.name, a.force));
    let screw = |s: &crate::study::result::ScrewState| {
        format!("{} pulling with {:.0} N and bearing {:.0} N sideways", s.name, s.axial, s.bearing)
    };
    let screws: Vec<String> = tied.screws.iter().map(screw).collect();
    let (anchors, limbs) = (joined(anchors, "; "), joined(limbs, "; "));
    let screws = if screws.is_empty() { String::new() } else { format!(" Screws: {}.", screws.join("; ")) };
    let (compression, peak, contact) = (tied.bed.compression, tied.bed.peak_pressure, 100.0 * tied.bed.contact);
    format!(
        "Scale drawing of a construct on a rim fragment, en face and in section, with a map of the pressure on its bed. Anchors: {anchors}. Limbs: {limbs}.{screws} Bed compression {compression:.0} N, peak pressure {peak:.2} MPa, {contact:.0} % of the bed in contact."
    )
}
