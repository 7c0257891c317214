//! The construct en face, from lateral.

use super::callout::{Callout, Column};
use super::view::{View, arrow};
use super::{Scene, bone, limb, screw, symbol};
use crate::show::figures::canvas::{Align, Canvas, Stroke, Type};
use crate::show::figures::font::Face;
use crate::show::figures::rect::{Point, Rect};
use crate::study::result::{LimbState, PointKind};

/// Room above the socket (title and direction) and below it (direction and scale), mm.
const HEAD: f64 = 9.0;
const FOOT: f64 = 8.0;

/// Height of the panel, mm.
pub(in crate::show::figures) fn height(scene: &Scene<'_>, scale: f64) -> f64 {
    HEAD + scale * (top(scene) + bottom(scene)) + FOOT
}

/// How far the drawing reaches to either side of the circle's centre, mm: the circle, or what of the
/// construct lies beyond it.
pub(in crate::show::figures) fn reach(scene: &Scene<'_>) -> f64 {
    scene.points().fold(scene.case.fragment.socket.radius, |r, p| r.max(p[0].abs() + 1.0))
}

/// How far it reaches upward, mm.
fn top(scene: &Scene<'_>) -> f64 {
    let r = scene.case.fragment.socket.radius;
    let socket = (scene.case.socket_height - r).max(1.05 * r);
    scene.points().fold(socket, |t, p| t.max(p[1] + 1.0))
}

/// How far it reaches downward, mm.
fn bottom(scene: &Scene<'_>) -> f64 {
    scene.points().fold(scene.case.fragment.socket.radius, |b, p| b.max(1.0 - p[1]))
}

/// Where the panel's drawing stands in `area`.
pub(in crate::show::figures) fn view(scene: &Scene<'_>, area: Rect, scale: f64) -> View {
    View {
        // The limbs' names stand on the side to which the fragment looks; the socket leaves them room.
        origin: [area.x + 0.5 * area.w - side(scene) * 3.5, area.y + HEAD + scale * top(scene)],
        scale,
        mirror: scene.mirror(),
    }
}

/// The side on the page to which the fragment looks: 1 right, −1 left.
fn side(scene: &Scene<'_>) -> f64 {
    if scene.case.fragment.outward.x < 0.0 { -scene.mirror() } else { scene.mirror() }
}

/// Draws the panel into `area` under a letter and a title.
pub(in crate::show::figures) fn draw(
    canvas: &mut Canvas,
    scene: &Scene<'_>,
    area: Rect,
    scale: f64,
    [letter, title]: [&str; 2],
) {
    let (theme, f) = (scene.theme, &scene.case.fragment);
    let r = f.socket.radius;
    scene.title(canvas, area, letter, title);
    let (view, side) = (view(scene, area, scale), side(scene));
    let page = |points: &[[f64; 2]]| -> Vec<Point> { points.iter().map(|p| view.page(p[0], p[1])).collect() };
    let socket = page(&bone::socket(f, scene.case.socket_height));
    canvas.area(&socket, theme.bone);
    let fragment = page(&bone::fragment(f));
    canvas.area(&fragment, theme.fragment);
    canvas.outline(&socket, Stroke::solid(theme.ink, theme.outline));
    let circle: Vec<[f64; 2]> = (0..=120)
        .map(|k| {
            let a = (3.0 * f64::from(k)).to_radians();
            [r * libm::cos(a), r * libm::sin(a)]
        })
        .collect();
    canvas.path(&page(&circle), Stroke::dashed(theme.muted, 0.4, &[0.8, 0.8]));
    canvas.outline(&fragment, Stroke::solid(theme.ink, theme.outline));
    canvas.line(fragment[0], fragment[1], Stroke::solid(theme.ink, 1.3));

    let looks = limb::looks(scene);
    // First, so that their lines run below everything else.
    names(canvas, scene, &view, &looks, side, area);
    for state in &scene.tied.screws {
        let places = state.places.map(|p| view.page(p[0], p[1]));
        screw::draw(canvas, places, theme.ink);
    }
    for pass_hidden in [true, false] {
        for (state, look) in scene.tied.limbs.iter().zip(&looks) {
            for (points, hidden) in stretches(scene, &view, state) {
                if hidden == pass_hidden {
                    look.draw(canvas, &points, hidden);
                }
            }
        }
    }
    signs(canvas, scene, &view, &looks);
    clock(canvas, scene, &view);
    directions(canvas, scene, &view, area);
}

/// A limb cut where it passes behind the bone.
fn stretches(scene: &Scene<'_>, view: &View, limb: &LimbState) -> Vec<(Vec<Point>, bool)> {
    const PARTS: usize = 40;
    let mut out: Vec<(Vec<Point>, bool)> = Vec::new();
    for (a, b) in limb::segments(&limb.path) {
        let at = |s: f64| [0, 1, 2].map(|i| a[i] + s * (b[i] - a[i]));
        let mut run: Option<(Vec<Point>, bool)> = None;
        for k in 0..PARTS {
            let (from, to) = (k as f64 / PARTS as f64, (k + 1) as f64 / PARTS as f64);
            let hidden = bone::is_hidden(&scene.case.fragment, at(0.5 * (from + to)));
            let (p, q) = (at(from), at(to));
            match &mut run {
                Some((points, same)) if *same == hidden => points.push(view.page(q[0], q[1])),
                _ => {
                    out.extend(run.take());
                    run = Some((vec![view.page(p[0], p[1]), view.page(q[0], q[1])], hidden));
                }
            }
        }
        out.extend(run);
    }
    out
}

fn signs(canvas: &mut Canvas, scene: &Scene<'_>, view: &View, looks: &[limb::Look]) {
    for (state, look) in scene.tied.limbs.iter().zip(looks) {
        for (k, (p, kind)) in state.path.iter().zip(&state.kinds).enumerate() {
            let at = view.page(p[0], p[1]);
            match kind {
                PointKind::Anchor => {}
                PointKind::Bite => symbol::diamond(canvas, at, look.colour),
                PointKind::Rim | PointKind::Margin | PointKind::Bone => {
                    let q = if k > 0 { state.path[k - 1] } else { *p };
                    let from = view.page(q[0], q[1]);
                    symbol::bar(canvas, at, [at[0] - from[0], at[1] - from[1]], look.colour);
                }
            }
        }
    }
    anchors(canvas, scene, view);
}

/// Draws the anchors.
pub(in crate::show::figures) fn anchors(canvas: &mut Canvas, scene: &Scene<'_>, view: &View) {
    for anchor in &scene.tied.anchors {
        let at = view.page(anchor.place[0], anchor.place[1]);
        if bone::is_hidden(&scene.case.fragment, anchor.place) {
            symbol::broken_ring(canvas, at, scene.theme.ink);
        } else {
            symbol::eye(canvas, at, scene.theme.ink);
        }
    }
}

/// The hours round the circle.
fn clock(canvas: &mut Canvas, scene: &Scene<'_>, view: &View) {
    let theme = scene.theme;
    let r = scene.case.fragment.socket.radius;
    let set = Type::new(theme.small, theme.muted).align(Align::Centre);
    for hour in 1..=12 {
        let phi = crate::anatomy::clock_angle(f64::from(hour));
        let (x, y) = (libm::cos(phi), libm::sin(phi));
        let from = view.page(r * x, r * y);
        let out = |mm: f64| [from[0] + view.mirror * x * mm, from[1] - y * mm];
        let whole = hour % 3 == 0;
        canvas.line(from, out(if whole { 1.2 } else { 0.7 }), Stroke::solid(theme.muted, 0.4));
        if whole {
            let at = out(2.7);
            let paper = if hour == 12 { theme.bone } else { theme.paper };
            canvas.text_on_patch(&hour.to_string(), [at[0], at[1] + 0.5 * set.capital()], set, paper);
        }
    }
}

fn names(canvas: &mut Canvas, scene: &Scene<'_>, view: &View, looks: &[limb::Look], side: f64, area: Rect) {
    let (theme, f) = (scene.theme, &scene.case.fragment);
    let reach = reach(scene) * view.scale;
    // Below the names stand the directions and the scale.
    let foot = 4.0 * theme.small / 6.0;
    let toward = |s: f64| if s > 0.0 { Align::Left } else { Align::Right };
    let mut limbs: Vec<Callout> = scene
        .tied
        .limbs
        .iter()
        .zip(looks)
        .filter_map(|(state, look)| {
            // The outermost point of the limb is where nothing else covers it.
            let out = |p: &[f64; 3]| p[0] * f.outward.x + p[1] * f.outward.y;
            let p = state.path.iter().max_by(|a, b| out(a).total_cmp(&out(b)))?;
            let at = view.page(p[0], p[1]);
            let (ex, ey) = (view.mirror * f.outward.x, -f.outward.y);
            Some(Callout {
                at: [at[0] + 0.7 * ex, at[1] + 0.7 * ey],
                name: state.name.clone(),
                value: limb::newtons(state),
                colour: look.colour.shade(0.25),
            })
        })
        .collect();
    limbs.extend(scene.tied.screws.iter().map(|s| Callout {
        at: view.page(s.places[0][0], s.places[0][1]),
        name: s.name.clone(),
        value: format!("{:.0} N", s.axial),
        colour: theme.ink,
    }));
    let column = Column {
        x: view.origin[0] + side * (reach + 7.5),
        room: (0.5 * area.w - reach - 3.0 - 1.0).max(12.0),
        top: (view.origin[1] - reach).max(area.y + HEAD - 3.0),
        bottom: (view.origin[1] + reach + 2.0).min(area.y + height(scene, view.scale) - foot),
        align: toward(side),
    };
    column.draw(canvas, theme, &limbs);
    let callouts: Vec<Callout> = scene
        .tied
        .anchors
        .iter()
        .map(|a| {
            let at = view.page(a.place[0], a.place[1]);
            Callout {
                at: [at[0] - side * 1.3, at[1]],
                name: a.name.clone(),
                value: format!("{:.0} N", a.force),
                colour: theme.ink,
            }
        })
        .collect();
    let x = view.origin[0] - side * (reach + 6.0);
    let column = Column {
        x,
        room: (if side > 0.0 { x - area.x } else { area.right() - x } - 0.5).max(8.0),
        top: (view.origin[1] - 1.25 * reach).max(area.y + HEAD - 3.0),
        bottom: (view.origin[1] + reach + 2.0).min(area.y + height(scene, view.scale) - foot),
        align: toward(-side),
    };
    column.draw(canvas, theme, &callouts);
}

fn directions(canvas: &mut Canvas, scene: &Scene<'_>, view: &View, area: Rect) {
    let theme = scene.theme;
    let set = Type::new(theme.small, theme.muted).face(Face::Italic);
    let middle = set.align(Align::Centre);
    let up = view.origin[1] - top(scene) * view.scale;
    canvas.text("superior", [view.origin[0], up - 1.2], middle);
    let low = view.origin[1] + bottom(scene) * view.scale + 6.9;
    canvas.text("inferior", [view.origin[0], low], middle);
    let half = 0.5 * set.capital();
    for (word, s) in [("anterior", view.mirror), ("posterior", -view.mirror)] {
        // The word starts clear of "inferior", an arrow behind it shows the way.
        let w = set.width(word);
        let start = view.origin[0] + s * 9.0;
        let at = if s > 0.0 { start } else { start - w };
        canvas.text(word, [at, low], set);
        let tip = start + s * (w + 1.0);
        arrow(canvas, theme, [tip, low - half], [tip + s * 4.0, low - half]);
    }
    view.scale_bar(canvas, theme, [area.x + 2.0, low - 0.3]);
}
