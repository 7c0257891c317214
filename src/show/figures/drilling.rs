//! Figure "drilling": the holes of a construct en face and in section.

use super::*;
use crate::show::report::{worst_of, worst_short};
use crate::show::scene::holes::Holes;
use crate::show::scene::section::NEAR;
use crate::show::words::surface;
use crate::study::taut_places;

/// Draws the holes of a construct in the reduced bone, to scale: (a) en face, from lateral, (b) in section across the bed
/// with the vault to the far cortex. A left shoulder is drawn mirrored.
pub fn drilling(case: &Case, construct: &Construct, found: &Drilling, theme: &Theme) -> Figure {
    let strands = construct.limbs.iter().map(|limb| {
        let mut path = taut_places(&case.fragment, construct, limb);
        if limb.closed {
            path.push(path[0]);
        }
        path
    });
    let holes = Holes { case, found, strands: strands.collect(), theme, body: Body::new(case) };
    let w = theme.width;
    let title = wrap(&format!("{}, its holes", construct.name), theme.heading(), w - 2.0);
    let head = title.len() as f64 * theme.heading().leading() + 1.0;
    let [a, b] = if theme.is_wide() {
        let (left, right) = (0.56 * w, 0.44 * w - 3.0);
        let tall = holes.face_height(left).max(holes.section_height(right));
        [Rect::new(0.0, head, left, tall), Rect::new(left + 3.0, head, right, tall)]
    } else {
        let (first, second) = (holes.face_height(w), holes.section_height(w));
        [Rect::new(0.0, head, w, first), Rect::new(0.0, head + first + 2.0, w, second)]
    };
    let mut canvas = Canvas::new(w, a.bottom().max(b.bottom()));
    canvas.lines(&title, [0.6, theme.heading().capital() + 0.6], theme.heading());
    holes.face(&mut canvas, a, &|k| worst_short(found, k));
    holes.section(&mut canvas, b);
    Figure::new("drilling", canvas, rows(found), caption(case, found), alt(found)).of(&found.construct)
}

fn rows(found: &Drilling) -> String {
    let holes = found.holes.iter().enumerate().flat_map(|(k, h)| {
        let number = k + 1;
        let ends = [("mouth", h.entry), ("tip", h.tip)];
        let ends = ends.map(|(what, p)| json!([number, h.name, what, p, h.diameter, "mm"]));
        let left = h
            .left
            .iter()
            .map(|l| json!([number, h.name, format!("bone to {}", surface(l.surface)), l.at, l.bone, "mm"]));
        ends.into_iter().chain(left.collect::<Vec<_>>())
    });
    csv("number,hole,what,x_mm,y_mm,z_mm,value,unit".split(','), holes)
}

fn caption(case: &Case, found: &Drilling) -> String {
    format!(
        "The holes of the construct {} on the case {}, {}, the fragment reduced. (a) En face, from lateral: dashed circle, best-fit circle of the inferior glenoid; the upper glenoid is a sketch to its height. (b) Section across the bed through the fragment's middle, with the neck wall carried on to the far side (assumed); holes are projected onto it, those more than {NEAR:.0} mm from the plane faintly: such a hole can leave the bone where it seems to lie inside. A hole is as wide as it is drilled and bears the number of its name; hatched: something asked of it is not kept, and the words below its name say what is farthest beyond its limit; a cross: where too little bone is left. Grey lines: limbs, taut. Head and muscle in a guide's way are not in the model.",
        found.construct,
        case.name,
        side(case)
    )
}

fn alt(found: &Drilling) -> String {
    let one = |(k, h): (usize, &Hole)| {
        let through = h.portal.as_ref().map_or_else(String::new, |p| format!(" through {p}"));
        format!("{}{through}: {}", h.name, worst_of(found, k).unwrap_or_else(|| "all kept".to_owned()))
    };
    format!(
        "Scale drawings of the holes of a construct in the glenoid, en face and in section. {}.",
        joined(found.holes.iter().enumerate().map(one), "; ")
    )
}
