//! The construct in section across the bed, through the fragment's middle.

use super::callout::{Callout, Column};
use super::view::{View, arrow};
use super::{Scene, bone, limb, screw, symbol};
use crate::math::Vec3;
use crate::show::figures::canvas::{Align, Canvas, Stroke, Type};
use crate::show::figures::font::Face;
use crate::show::figures::rect::{Point, Rect};
use crate::study::result::PointKind;

/// What lies farther than this from the plane of the section is drawn faintly, mm.
pub(super) const NEAR: f64 = 3.0;
/// Length of the bar of the highest pressure on the bed, mm of bone.
const LONGEST: f64 = 3.5;
const HEAD: f64 = 7.0;
const FOOT: f64 = 5.0;
/// Most page mm per bone mm, and most of the page that the bone may take, mm.
const SCALE: f64 = 2.0;
const ROOM: [f64; 2] = [44.0, 60.0];

/// Range drawn: from the centre outward, and from medial to lateral, mm.
fn range(scene: &Scene<'_>) -> ([f64; 2], [f64; 2]) {
    let f = &scene.case.fragment;
    let points: Vec<[f64; 2]> = scene.points().map(|p| flat(scene, p).0).collect();
    let least = |from: f64, i: usize| points.iter().map(|p| p[i]).fold(from, f64::min);
    let most = |from: f64, i: usize| points.iter().map(|p| p[i]).fold(from, f64::max);
    let low = f.chord_height - f.shape.depth;
    let e = [least(f.chord_distance - 5.0, 0) - 1.8, most(f.socket.radius, 0)];
    let face = f.socket.face_height(e[0].abs()).max(f.socket.rim_height());
    (e, [least(low - 3.0, 1) - 2.0, most(face, 1)])
}

/// A point in the plane (outward, lateral), and its distance along the chord from it.
fn flat(scene: &Scene<'_>, p: [f64; 3]) -> ([f64; 2], f64) {
    let f = &scene.case.fragment;
    let p = Vec3::from(p);
    ([p.dot(&f.outward), p.z], p.dot(&f.along))
}

/// Page mm per bone mm.
fn scale(scene: &Scene<'_>) -> f64 {
    let (e, z) = range(scene);
    SCALE.min(ROOM[0] / (e[1] - e[0])).min(ROOM[1] / (z[1] - z[0]))
}

/// Height of the panel, mm.
pub(super) fn height(scene: &Scene<'_>) -> f64 {
    let (_, z) = range(scene);
    HEAD + scale(scene) * (z[1] - z[0]) + FOOT
}

/// Draws the panel into `area`.
pub(super) fn draw(canvas: &mut Canvas, scene: &Scene<'_>, area: Rect) {
    let (theme, f) = (scene.theme, &scene.case.fragment);
    scene.title(canvas, area, "b", "Section across the bed");
    let (e, z) = range(scene);
    let scale = scale(scene);
    let mirror = if f.outward.x < 0.0 { -scene.mirror() } else { scene.mirror() };
    let view = View {
        origin: [area.x + 0.5 * area.w - mirror * scale * 0.5 * (e[0] + e[1]), area.y + HEAD + scale * z[1]],
        scale,
        mirror,
    };
    let page = |points: &[[f64; 2]]| -> Vec<Point> { points.iter().map(|p| view.page(p[0], p[1])).collect() };
    // Intact bone: face, fracture plane, neck wall, and two broken edges where the drawing ends.
    let margin = bone::margin(f);
    let face = bone::face_line(f, e[0], f.chord_distance);
    let neck = [f.wall_radius(z[0]), z[0]];
    let mut scapula = face.clone();
    scapula.extend([margin, neck]);
    scapula.extend(torn(neck, [e[0], z[0]]));
    scapula.extend(torn([e[0], z[0]], face[0]));
    canvas.area(&page(&scapula), theme.bone);
    let outline = Stroke::solid(theme.ink, theme.outline);
    let mut surface = face;
    surface.extend([margin, neck]);
    canvas.path(&page(&surface), outline);
    let fragment = page(&bone::fragment_section(f));
    canvas.area(&fragment, theme.fragment);
    bars(canvas, scene, &view);
    canvas.outline(&fragment, outline);
    let lip = view.page(f.chord_distance, f.chord_height);
    canvas.line(lip, view.page(margin[0], margin[1]), Stroke::solid(theme.ink, 1.3));
    limbs_and_anchors(canvas, scene, &view);
    words(canvas, scene, &view, area, (e, z));
    view.scale_bar(canvas, theme, [area.x + 2.0, area.bottom() - 1.5]);
}

/// A broken edge: a shallow zigzag.
fn torn(from: [f64; 2], to: [f64; 2]) -> Vec<[f64; 2]> {
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let l = libm::hypot(dx, dy).max(1e-9);
    let n = ((l / 1.2).round() as usize).max(2);
    (1..n)
        .map(|k| {
            let s = k as f64 / n as f64;
            let h = if k % 2 == 0 { 0.22 } else { -0.22 };
            [from[0] + s * dx - h * dy / l, from[1] + s * dy + h * dx / l]
        })
        .collect()
}

/// Pressure along the bed near the plane, as bars square to it on the side of the intact bone.
fn bars(canvas: &mut Canvas, scene: &Scene<'_>, view: &View) {
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
        let (force, area) = bed
            .cells
            .iter()
            .filter(|c| c.t.abs() <= pitch && (c.m - m).abs() <= 0.5 * width.max(pitch))
            .fold((0.0, 0.0), |(p, a), c| (p + c.pressure * c.area, a + c.area));
        if force <= 0.0 {
            continue;
        }
        let share = force / area / bed.peak_pressure;
        let at = |m: f64, out: f64| {
            let p = f.bed_point(0.0, m) - f.normal * out;
            view.page(p.dot(&f.outward), p.z)
        };
        let (a, b) = (m - 0.38 * width, m + 0.38 * width);
        let long = LONGEST * share;
        let bar = [at(a, 0.0), at(b, 0.0), at(b, long), at(a, long)];
        canvas.area(&bar, scene.theme.depth(0.25 + 0.75 * share));
    }
}

fn limbs_and_anchors(canvas: &mut Canvas, scene: &Scene<'_>, view: &View) {
    let looks = limb::looks(scene);
    let at = |p: [f64; 3]| {
        let (q, t) = flat(scene, p);
        (view.page(q[0], q[1]), t)
    };
    for near in [false, true] {
        for (state, look) in scene.tied.limbs.iter().zip(&looks) {
            let look = if near { *look } else { look.faded() };
            for (a, b) in limb::segments(&state.path) {
                let ((p, s), (q, t)) = (at(a), at(b));
                if ((0.5 * (s + t)).abs() <= NEAR) == near {
                    look.draw(canvas, &[p, q], false);
                }
            }
            for (k, (p, kind)) in state.path.iter().zip(&state.kinds).enumerate() {
                let (here, t) = at(*p);
                if (t.abs() <= NEAR) != near {
                    continue;
                }
                match kind {
                    PointKind::Anchor => {}
                    PointKind::Bite => symbol::diamond(canvas, here, look.colour),
                    _ => {
                        let before = at(state.path[k.saturating_sub(1)]).0;
                        let along = [here[0] - before[0], here[1] - before[1]];
                        symbol::bar(canvas, here, along, look.colour);
                    }
                }
            }
        }
        for state in &scene.tied.screws {
            let [(head, t), (plane, _), (tip, _)] = state.places.map(at);
            if (t.abs() <= NEAR) == near {
                let ink = scene.theme.ink;
                screw::draw(canvas, [head, plane, tip], if near { ink } else { ink.tint(0.6) });
            }
        }
        for anchor in &scene.tied.anchors {
            let (here, t) = at(anchor.place);
            if (t.abs() <= NEAR) != near {
                continue;
            }
            let ink = if near { scene.theme.ink } else { scene.theme.ink.tint(0.6) };
            if bone::is_hidden(&scene.case.fragment, anchor.place) {
                symbol::broken_ring(canvas, here, ink);
            } else {
                symbol::eye(canvas, here, ink);
            }
        }
    }
}

fn words(canvas: &mut Canvas, scene: &Scene<'_>, view: &View, area: Rect, (e, z): ([f64; 2], [f64; 2])) {
    let (theme, f) = (scene.theme, &scene.case.fragment);
    let margin = bone::margin(f);
    let mut inner = Vec::new();
    let mut outer = Vec::new();
    let point = |e: f64, z: f64, name: &str| Callout {
        at: view.page(e, z),
        name: name.to_owned(),
        value: String::new(),
        colour: theme.muted,
    };
    // Names of anchors and heads of screws that stand at one place in this view are joined.
    let mut anchors: Vec<Callout> = Vec::new();
    let heads = scene.tied.screws.iter().map(|s| (s.places[0], &s.name));
    let named = scene.tied.anchors.iter().map(|a| (a.place, &a.name));
    for (place, name) in named.chain(heads) {
        let (q, _) = flat(scene, place);
        let at = view.page(q[0], q[1]);
        match anchors.iter_mut().find(|c| libm::hypot(c.at[0] - at[0], c.at[1] - at[1]) < 1.6) {
            Some(known) => known.name = format!("{},\n{name}", known.name),
            None => anchors.push(Callout { at, name: name.clone(), value: String::new(), colour: theme.ink }),
        }
    }
    for mut c in anchors {
        let outward = view.mirror * (c.at[0] - view.page(f.chord_distance, 0.0)[0]);
        if outward > 0.0 {
            c.at[0] += 1.3 * view.mirror;
            outer.push(c);
        } else {
            c.at[0] -= 1.3 * view.mirror;
            inner.push(c);
        }
    }
    let centre = f.centroid;
    outer.push(point(centre.dot(&f.outward), centre.z, "fragment"));
    let wall = 0.35 * f.socket.rim_height() + 0.65 * margin[1];
    outer.push(point(f.wall_radius(wall), wall, "neck wall"));
    outer.push(point(f.wall_radius(0.5 * (margin[1] + z[0])), 0.5 * (margin[1] + z[0]), "neck"));
    let middle = 0.75 * f.bed_column(0.0).1;
    let plane = f.bed_point(0.0, middle);
    inner.push(point(plane.dot(&f.outward), plane.z, "fracture plane"));
    inner.push(point(e[0] + 1.5, f.socket.face_height(e[0] + 1.5), "face"));
    let [left, right] = [view.mirror < 0.0, view.mirror > 0.0];
    for (entries, x, at_right) in [(inner, e[0], left), (outer, e[1], right)] {
        let edge = view.page(x, 0.0)[0];
        Column {
            x: edge + if at_right { 5.0 } else { -5.0 },
            room: if at_right { area.right() - edge - 5.5 } else { edge - area.x - 5.5 }.max(8.0),
            top: view.page(0.0, z[1])[1] - 1.0,
            bottom: view.page(0.0, z[0])[1],
            align: if at_right { Align::Left } else { Align::Right },
        }
        .draw(canvas, theme, &entries);
    }
    directions(canvas, scene, view, e, z);
}

fn directions(canvas: &mut Canvas, scene: &Scene<'_>, view: &View, e: [f64; 2], z: [f64; 2]) {
    let theme = scene.theme;
    let italic = Type::new(theme.small, theme.muted).face(Face::Italic);
    let half = 0.5 * italic.capital();
    let low = view.page(0.0, z[0])[1] + 3.2;
    // Outward along the mid-radius, named by its clock position.
    let hours = (90.0 - scene.case.fragment.shape.direction.to_degrees()).rem_euclid(360.0) / 30.0;
    let minutes = (60.0 * hours).round() as i64;
    let word = format!("outward ({}:{:02})", (minutes / 60 + 11) % 12 + 1, minutes % 60);
    let w = italic.width(&word);
    let s = view.mirror;
    let start = view.page(0.5 * (e[0] + e[1]), 0.0)[0] - s * 0.5 * (w + 17.0);
    canvas.text(&word, [if s > 0.0 { start } else { start - w }, low + half], italic);
    let tip = start + s * (w + 1.0);
    arrow(canvas, theme, [tip, low], [tip + s * 4.0, low]);
    let start = tip + s * 8.0;
    let w = italic.width("lateral");
    canvas.text("lateral", [if s > 0.0 { start } else { start - w }, low + half], italic);
    let x = start + s * (w + 1.4);
    arrow(canvas, theme, [x, low + 1.6], [x, low - 1.8]);
}
