//! Figure "fragment": a case as entered, before any construct, with what was measured on it.

use super::*;
use crate::show::words::{clock, tag};

/// Diameter of the socket's circle on the page, and room about it, mm.
const CIRCLE: f64 = 54.0;
const HEAD: f64 = 16.0;
const SIDE: f64 = 13.0;
/// Most page mm per bone mm of the section, and most of the page that it takes, mm.
const SCALE: f64 = 2.6;
const ROOM: [f64; 2] = [44.0, 50.0];

/// A value as entered: what, value, how it is backed.
type Row = [String; 3];

/// Draws the displaced fragment of a case en face and in section, the reduced outline with its measures, and a
/// list of what was measured and what was assumed.
pub fn fragment(case: &Case, theme: &Theme) -> Figure {
    let theme = &Theme { width: theme.width.max(180.0), ..theme.clone() };
    let (f, set, pose) = (&case.fragment, theme.words(), crate::study::displaced_pose(case));
    let (body, rows) = (Body::new(case), rows(case));
    let r = f.socket.radius;
    let scale = CIRCLE / (2.0 * r);
    let middle = HEAD + scale * (case.socket_height - r).max(1.05 * r);
    let deepest = body.outline(Seen::Face, &pose).iter().map(|p| -p[1]).fold(r, f64::max);
    let low = middle + scale * deepest + 12.0;
    let list = Rect::new(0.5 * theme.width + 4.0, HEAD + ROOM[1] + 10.0, 0.5 * theme.width - 6.0, 0.0);
    let warnings = case.warnings.iter().map(|w| format!("Warning: {}. {}.", w.message, w.advice));
    let warnings: Vec<String> = warnings.flat_map(|w| wrap_at_spaces(&w, set, theme.width - 4.0)).collect();
    let foot = low.max(list.y + rows.len() as f64 * (set.leading() + 0.4)) + 3.0;
    let mut canvas = Canvas::new(theme.width, foot + warnings.len() as f64 * set.leading() + 1.0);
    let heading = format!("{}, {}: {}", case.name, side(case), size(case));
    canvas.lines(&wrap(&heading, theme.heading(), theme.width - 2.0)[..1], [0.6, 3.6], theme.heading());
    for (letter, x, words) in [("a", 0.0, "En face, from lateral"), ("b", list.x, "Section across the bed")] {
        canvas.text(letter, [x + 0.6, 9.4], theme.heading());
        canvas.text(words, [x + 4.0, 9.4], set);
    }
    let view = View::new(case, theme, Seen::Face, [SIDE + 0.5 * CIRCLE, middle], scale);
    face(&mut canvas, &body, &view, &pose, &rows, low - 7.0);
    section(&mut canvas, theme, &body, &pose, Rect::new(list.x, HEAD, list.w, ROOM[1]));
    let mut y = list.y;
    let columns = [0.0, 34.0, 62.0];
    for row in &rows {
        for (words, x) in row.iter().zip(columns) {
            canvas.text(words, [list.x + x, y], set);
        }
        y += set.leading() + 0.4;
    }
    canvas.lines(&warnings, [1.0, foot + set.capital()], set);
    let table = csv(["what", "value", "backing"], rows.iter().map(|row| json!(row)));
    let said = rows.iter().map(|[what, value, backing]| format!("{what} {value} ({backing})"));
    let said = joined(said, "; ");
    let caption = format!(
        "The fragment of the case {} as entered, {}, before any construct. (a) En face, from lateral, in its displaced position; dashed outline: where it is reduced; darker bone: bed that it does not cover; dashed circle: best-fit circle of the inferior glenoid. (b) Section across the bed through the fragment's middle, the same position; the arrow is the depth along the bone, the thin dashed line the lateral axis from which the plane is tilted. Entered: given in the case file; other values are defaults with their backing. Size classes are common practice, without a source.",
        case.name,
        side(case)
    );
    Figure::new(
        "fragment",
        canvas,
        table,
        caption,
        format!("Scale drawings of a displaced rim fragment. {heading}. {said}."),
    )
}

/// The size class, by width of the glenoid.
pub(super) fn size(case: &Case) -> String {
    let share = 100.0 * case.fragment.shape.width / (2.0 * case.fragment.socket.radius);
    let class = if share < 10.0 {
        "small"
    } else if share < 20.0 {
        "medium"
    } else {
        "large"
    };
    format!("{class} fragment, {share:.0} % of the glenoid's width")
}

pub(super) fn rows(case: &Case) -> Vec<Row> {
    let (f, d) = (&case.fragment, &case.displaced);
    let backing = |path: &str| {
        let taken = case.defaults.iter().find(|t| t.path == path);
        taken.map_or("entered", |t| tag(t.tag)).to_owned()
    };
    let mm = |v: f64| format!("{} mm", number(v, 1));
    let degrees = |v: f64| format!("{}°", number(v.to_degrees(), 1));
    let entered = [
        ("diameter of the circle", mm(2.0 * f.socket.radius), "socket.diameter"),
        ("width", mm(f.shape.width), "fragment.width"),
        ("middle on the clock", clock(f.outward.x, f.outward.y), "fragment.middle"),
        ("depth", mm(f.shape.depth), "fragment.depth"),
        ("tilt of the fracture", degrees(f.shape.tilt), "fragment.tilt"),
        ("displaced inferiorly", mm(d.inferior), "displaced.inferior"),
        ("displaced medially", mm(d.medial), "displaced.medial"),
        ("out of its bed", mm(d.out_of_bed), "displaced.out_of_bed"),
        ("lateral tilt", degrees(d.tilt), "displaced.tilt"),
        ("spin", degrees(d.spin), "displaced.spin"),
        ("yaw", degrees(d.yaw), "displaced.yaw"),
    ];
    let entered = entered.into_iter().map(|(what, value, path)| [what.to_owned(), value, backing(path)]);
    let area = format!("{} mm² ({} %)", number(f.segment_area(), 0), number(100.0 * f.segment_share(), 0));
    let derived = [("area of the circle lost", area), ("fracture line", mm(f.chord()))];
    let derived = derived.map(|(what, value)| [what.to_owned(), value, "derived".to_owned()]);
    entered.chain(derived).collect()
}

/// The face with circle, diameter, width and clock position.
fn face(canvas: &mut Canvas, body: &Body<'_>, view: &View<'_>, pose: &Pose, rows: &[Row], low: f64) {
    let (theme, f) = (view.theme, &view.case.fragment);
    let (r, set) = (f.socket.radius, theme.words());
    body.draw(canvas, view, pose);
    canvas.circle(view.origin, view.scale * r, Stroke::dashed(theme.muted, 0.4, &[0.8, 0.8]));
    let flat = |p: Vec3| view.page(p);
    let ends = [f.along * r, f.along * -r].map(flat);
    measure(canvas, theme, ends);
    let middle = between(ends[0], ends[1], 0.5);
    canvas.text_on_patch(&rows[0][1], [middle[0], middle[1] + 0.5 * set.capital()], set.centred(), theme.bone);
    measure(canvas, theme, [f.outward * f.chord_distance, f.outward * r].map(flat));
    let at = flat(f.outward * (r + 2.0 / view.scale));
    let away = set.away(view.mirror * f.outward.x.signum());
    let share = number(50.0 * f.shape.width / r, 0);
    let words = [format!("{} ({share} %)", rows[1][1]), format!("middle {}", rows[2][1])];
    canvas.lines(&words, [at[0], at[1] + if f.outward.y < 0.0 { set.capital() } else { -set.leading() }], away);
    for (word, s) in [("anterior", view.mirror), ("posterior", -view.mirror)] {
        direction(canvas, theme, word, [view.origin[0] + s * 3.0, low], s);
    }
    view.scale_bar(canvas, [1.0, low + 4.4]);
}

/// The section in an area, with the depth and the tilt of the plane.
fn section(canvas: &mut Canvas, theme: &Theme, body: &Body<'_>, pose: &Pose, area: Rect) {
    let (case, set) = (body.case, theme.words());
    let f = &case.fragment;
    let shape = body.outline(Seen::Section, pose);
    let (e, z) = section::range(f, shape.iter().copied());
    let [wide, tall] = [e[1] - e[0], z[1] - z[0]];
    let scale = SCALE.min(ROOM[0] / wide).min(ROOM[1] / tall);
    let view = View::in_window(case, theme, Seen::Section, &Extent { lo: [e[0], z[0]], hi: [e[1], z[1]] }, scale, area);
    section::scapula(canvas, &view, e, z);
    let shape = view.all(&shape);
    canvas.area(&shape, theme.fragment);
    canvas.outline(&shape, Stroke::solid(theme.ink, theme.outline));
    canvas.line(shape[0], shape[shape.len() - 1], Stroke::solid(theme.ink, 1.3));
    body.draw_reduced(canvas, &view);
    let deep = [f.chord_height, f.chord_height - f.shape.depth];
    measure(canvas, theme, deep.map(|z| view.at([e[0] + 1.5, z])));
    let at = view.at([e[0] + 1.5, 0.5 * (deep[0] + deep[1])]);
    let beyond = set.away(-view.mirror);
    canvas.text(
        &format!("{} mm deep", number(f.shape.depth, 1)),
        [view.at([e[0], 0.0])[0] - 1.6 * view.mirror, at[1]],
        beyond,
    );
    let axis = deep.map(|z| view.at([f.chord_distance, z]));
    canvas.line(axis[0], axis[1], Stroke::dashed(theme.muted, 0.5, &[0.6, 0.6]));
    let tilt = format!("{}°", number(f.shape.tilt.to_degrees(), 1));
    canvas.text(&tilt, [axis[1][0] - 0.8 * view.mirror, axis[1][1] + set.capital() + 0.8], set.away(-view.mirror));
    let low = [area.middle()[0], area.bottom() + 4.0];
    let end =
        direction(canvas, theme, "outward", [low[0] - 8.0 * view.mirror, low[1]], view.mirror) + 4.0 * view.mirror;
    canvas.text("lateral is up", [end, low[1] + 0.5 * set.capital()], theme.note().italic().away(view.mirror));
}

/// A length between two points, with a bar at either end.
fn measure(canvas: &mut Canvas, theme: &Theme, [a, b]: [Point; 2]) {
    let along = toward(a, b);
    canvas.line(a, b, Stroke::solid(theme.ink, 0.6));
    for end in [a, b] {
        canvas.line(beside(end, along, 0.0, -0.9), beside(end, along, 0.0, 0.9), Stroke::solid(theme.ink, 0.6));
    }
}
