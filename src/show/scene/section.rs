//! A construct in section across the bed, through the fragment's middle.

use super::*;
use crate::anatomy::Fragment;

/// What lies farther than this from the plane of the section is drawn faintly, mm.
pub(crate) const NEAR: f64 = 3.0;
/// Length of the bar of the highest pressure on the bed, mm of bone.
pub(crate) const LONGEST: f64 = 3.5;
const HEAD: f64 = 7.0;
const FOOT: f64 = 5.0;
/// Most page mm per bone mm, and most of the page that the bone may take, mm.
const SCALE: f64 = 2.0;
const ROOM: [f64; 2] = [44.0, 60.0];

/// Range drawn of some points (outward, lateral): from the centre outward, and from medial to lateral, mm.
pub(crate) fn range(f: &Fragment, points: impl IntoIterator<Item = [f64; 2]>) -> ([f64; 2], [f64; 2]) {
    let points: Vec<[f64; 2]> = points.into_iter().collect();
    let [e_lo, e_hi] = extremes(points.iter().map(|p| p[0]).chain([f.socket.radius]));
    let [z_lo, z_hi] = extremes(points.iter().map(|p| p[1]));
    let e = [e_lo.min(f.chord_distance - 5.0) - 1.8, e_hi];
    let face = f.socket.face_height(e[0].abs()).max(f.socket.rim_height());
    (e, [z_lo.min(f.chord_height - f.shape.depth - 3.0) - 2.0, z_hi.max(face)])
}

/// The range of a construct.
fn whole(scene: &Scene<'_>) -> ([f64; 2], [f64; 2]) {
    let points = scene.points().map(|p| Seen::Section.flat(scene.case, &Vec3::from(p)));
    range(&scene.case.fragment, points.chain(scene.body.outline(Seen::Section, &scene.shown.pose)))
}

/// Page mm per bone mm.
fn scale(scene: &Scene<'_>) -> f64 {
    let (e, z) = whole(scene);
    SCALE.min(ROOM[0] / (e[1] - e[0])).min(ROOM[1] / (z[1] - z[0]))
}

/// Height of the panel, mm.
pub(crate) fn height(scene: &Scene<'_>) -> f64 {
    let (_, z) = whole(scene);
    HEAD + scale(scene) * (z[1] - z[0]) + FOOT
}

/// Where the panel's drawing stands in `area`.
pub(crate) fn view<'a>(scene: &Scene<'a>, area: Rect) -> View<'a> {
    let (e, z) = whole(scene);
    let mut view = View::new(scene.case, scene.theme, Seen::Section, [0.0, 0.0], scale(scene));
    view.origin =
        [area.x + 0.5 * area.w - view.mirror * view.scale * 0.5 * (e[0] + e[1]), area.y + HEAD + view.scale * z[1]];
    view
}

/// Draws the panel into `area` under a letter and a title.
pub(crate) fn draw(canvas: &mut Canvas, scene: &Scene<'_>, area: Rect, [letter, title]: [&str; 2]) {
    let theme = scene.theme;
    scene.title(canvas, area, letter, title);
    let (e, z) = whole(scene);
    let view = view(scene, area);
    scapula(canvas, &view, e, z);
    let outline = Stroke::solid(theme.ink, theme.outline);
    let fragment = view.all(&scene.body.outline(Seen::Section, &scene.shown.pose));
    canvas.area(&fragment, theme.fragment);
    bars(canvas, scene, &view);
    canvas.outline(&fragment, outline);
    canvas.line(fragment[0], fragment[fragment.len() - 1], Stroke::solid(theme.ink, 1.3));
    scene.body.draw_reduced(canvas, &view);
    held(canvas, scene, &view);
    words(canvas, scene, &view, area, (e, z));
    directions(canvas, scene, &view, e, z);
    view.scale_bar(canvas, [area.x + 2.0, area.bottom() - 1.5]);
}

/// Intact bone: face, fracture plane, neck wall, and two broken edges where the drawing ends.
pub(crate) fn scapula(canvas: &mut Canvas, view: &View<'_>, e: [f64; 2], z: [f64; 2]) {
    let (theme, f) = (view.theme, &view.case.fragment);
    let neck = [f.wall_radius(z[0]), z[0]];
    let mut surface = face_line(f, e[0], f.chord_distance);
    surface.extend([margin(f), neck]);
    let corner = [e[0], z[0]];
    let bone = [surface.as_slice(), &torn(neck, corner), &torn(corner, surface[0])].concat();
    canvas.area(&view.all(&bone), theme.bone);
    canvas.path(&view.all(&surface), Stroke::solid(theme.ink, theme.outline));
}

/// A broken edge: a shallow zigzag.
pub(super) fn torn(from: Point, to: Point) -> Vec<Point> {
    let along = toward(from, to);
    let n = ((distance(from, to) / 1.2).round() as usize).max(2);
    let side = |k: usize| if k.is_multiple_of(2) { 0.22 } else { -0.22 };
    (1..n).map(|k| beside(between(from, to, k as f64 / n as f64), along, 0.0, side(k))).collect()
}

/// Pressure along the bed near the plane, as bars square to it on the side of the intact bone.
fn bars(canvas: &mut Canvas, scene: &Scene<'_>, view: &View<'_>) {
    let (f, bed) = (&scene.case.fragment, &scene.tied.bed);
    if bed.cells.is_empty() || bed.peak_pressure <= 0.0 {
        return;
    }
    let mean: f64 = bed.cells.iter().map(|c| c.area).sum::<f64>() / bed.cells.len() as f64;
    let pitch = mean.sqrt().max(0.05);
    let (top, bottom) = f.bed_column(0.0);
    let count = (((bottom - top) / pitch).ceil() as usize).clamp(1, 60);
    let width = (bottom - top) / count as f64;
    for k in 0..count {
        let m = top + (k as f64 + 0.5) * width;
        let near = bed.cells.iter().filter(|c| c.t.abs() <= pitch && (c.m - m).abs() <= 0.8 * width.max(pitch));
        let (force, area) = near.fold((0.0, 0.0), |(p, a), c| (p + c.pressure * c.area, a + c.area));
        if force > 0.0 {
            let share = force / area / bed.peak_pressure;
            let at = |m: f64, out: f64| view.page(f.bed_point(0.0, m) - f.normal * out);
            let (a, b, long) = (m - 0.38 * width, m + 0.38 * width, LONGEST * share);
            let bar = [at(a, 0.0), at(b, 0.0), at(b, long), at(a, long)];
            canvas.area(&bar, scene.theme.depth(0.25 + 0.75 * share));
        }
    }
}

/// Limbs, screws and anchors, what lies far from the plane faintly and below.
fn held(canvas: &mut Canvas, scene: &Scene<'_>, view: &View<'_>) {
    let near_plane = |p: &Vec3| p.dot(&scene.case.fragment.along).abs() <= NEAR;
    for near in [false, true] {
        let ink = |colour: Colour| if near { colour } else { colour.tint(0.6) };
        for strand in &scene.shown.strands {
            let look = if near { strand.look } else { strand.look.faded() };
            for [a, b] in once(&strand.path).into_iter().filter(|[a, b]| near_plane(&(0.5 * (a + b))) == near) {
                look.draw(canvas, &[view.page(a), view.page(b)], false);
            }
            strand.signs(canvas, view, look.colour, |p| near_plane(p) == near);
        }
        for screw in scene.shown.screws.iter().filter(|s| near_plane(&s.places[0]) == near) {
            sign::screw(canvas, screw.places.map(|p| view.page(p)), ink(screw.colour));
        }
        for anchor in scene.shown.anchors.iter().filter(|a| near_plane(&a.place) == near) {
            sign::anchor(canvas, view.page(anchor.place), anchor.hidden, ink(anchor.colour));
        }
    }
}

fn words(canvas: &mut Canvas, scene: &Scene<'_>, view: &View<'_>, area: Rect, (e, z): ([f64; 2], [f64; 2])) {
    let (theme, f) = (scene.theme, &scene.case.fragment);
    let margin = margin(f);
    // Names of anchors and heads of screws that stand at one place in this view are joined.
    let mut named: Vec<Callout> = Vec::new();
    let heads = scene.tied.screws.iter().map(|s| (s.places[0], &s.name));
    for (place, name) in scene.tied.anchors.iter().map(|a| (drawn_to(scene.tied, a).into(), &a.name)).chain(heads) {
        let at = view.page(place);
        match named.iter_mut().find(|c| distance(c.at, at) < 1.6) {
            Some(known) => known.name = format!("{},\n{name}", known.name),
            None => {
                named.push(Callout { at, number: None, name: name.clone(), value: String::new(), colour: theme.ink })
            }
        }
    }
    let edge = view.at([f.chord_distance, 0.0])[0];
    let is_outward = |c: &Callout| view.mirror * (c.at[0] - edge) > 0.0;
    let (mut outer, mut inner): (Vec<Callout>, Vec<Callout>) = named.into_iter().partition(is_outward);
    outer.iter_mut().for_each(|c| c.at[0] += 1.3 * view.mirror);
    inner.iter_mut().for_each(|c| c.at[0] -= 1.3 * view.mirror);
    let bone = |p: [f64; 2], name: &str| Callout {
        at: view.at(p),
        number: None,
        name: name.to_owned(),
        value: String::new(),
        colour: theme.muted,
    };
    let on_wall = |z: f64| [f.wall_radius(z), z];
    outer.push(bone(Seen::Section.flat(scene.case, &f.centroid), "fragment"));
    outer.push(bone(on_wall(0.35 * f.socket.rim_height() + 0.65 * margin[1]), "neck wall"));
    outer.push(bone(on_wall(0.5 * (margin[1] + z[0])), "neck"));
    let plane = f.bed_point(0.0, 0.75 * f.bed_column(0.0).1);
    inner.push(bone(Seen::Section.flat(scene.case, &plane), "fracture plane"));
    inner.push(bone([e[0] + 1.5, f.socket.face_height(e[0] + 1.5)], "face"));
    for (entries, x, side) in [(inner, e[0], -view.mirror), (outer, e[1], view.mirror)] {
        let edge = view.at([x, 0.0])[0];
        let room = if side > 0.0 { area.right() - edge } else { edge - area.x } - 5.5;
        let range = [view.at([0.0, z[1]])[1] - 1.0, view.at([0.0, z[0]])[1]];
        Column { x: edge + side * 5.0, room: room.max(8.0), range, side }.draw(canvas, theme, &entries);
    }
}

/// Outward along the mid-radius, named by its clock position, and lateral.
fn directions(canvas: &mut Canvas, scene: &Scene<'_>, view: &View<'_>, e: [f64; 2], z: [f64; 2]) {
    let (theme, s) = (scene.theme, view.mirror);
    let set = theme.note().italic();
    let low = view.at([0.0, z[0]])[1] + 3.2;
    let hours = (90.0 - scene.case.fragment.shape.direction.to_degrees()).rem_euclid(360.0) / 30.0;
    let minutes = (60.0 * hours).round() as i64;
    let word = format!("outward ({}:{:02})", (minutes / 60 + 11) % 12 + 1, minutes % 60);
    let start = view.at([0.5 * (e[0] + e[1]), 0.0])[0] - s * 0.5 * (set.width(&word) + 17.0);
    let x = direction(canvas, theme, &word, [start, low], s) + s * 4.0;
    canvas.text("lateral", [x, low + 0.5 * set.capital()], set.away(s));
    let x = x + s * (set.width("lateral") + 1.4);
    pointer(canvas, theme, [x, low + 1.6], [x, low - 1.8]);
}
