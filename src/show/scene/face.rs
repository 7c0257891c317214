//! A construct en face, from lateral: bone, fragment at its pose, all that holds it, and its names.

use super::*;

/// Room above the socket (title and direction) and below it (direction and scale), mm.
const HEAD: f64 = 9.0;
const FOOT: f64 = 8.0;

/// Height of the panel, mm.
pub(crate) fn height(scene: &Scene<'_>, scale: f64) -> f64 {
    let [up, down] = tall(scene);
    HEAD + scale * (up + down) + FOOT
}

/// How far the drawing reaches to either side of the circle's centre, mm: the circle, or what of the
/// construct lies beyond it.
pub(crate) fn reach(scene: &Scene<'_>) -> f64 {
    scene.points().fold(scene.case.fragment.socket.radius, |r, p| r.max(p[0].abs() + 1.0))
}

/// How far it reaches upward and downward, mm.
fn tall(scene: &Scene<'_>) -> [f64; 2] {
    let r = scene.case.fragment.socket.radius;
    let socket = (scene.case.socket_height - r).max(1.05 * r);
    scene.points().fold([socket, r], |[up, down], p| [up.max(p[1] + 1.0), down.max(1.0 - p[1])])
}

/// The side on the page to which the fragment looks: 1 right, −1 left.
fn side(scene: &Scene<'_>) -> f64 {
    Seen::Section.mirror(scene.case)
}

/// Where the panel's drawing stands in `area`.
pub(crate) fn view<'a>(scene: &Scene<'a>, area: Rect, scale: f64) -> View<'a> {
    // The limbs' names stand on the side to which the fragment looks; the socket leaves them room.
    let origin = [area.x + 0.5 * area.w - side(scene) * 3.5, area.y + HEAD + scale * tall(scene)[0]];
    View::new(scene.case, scene.theme, Seen::Face, origin, scale)
}

/// Draws the panel into `area` under a letter and a title.
pub(crate) fn draw(canvas: &mut Canvas, scene: &Scene<'_>, area: Rect, scale: f64, [letter, title]: [&str; 2]) {
    scene.title(canvas, area, letter, title);
    let view = view(scene, area, scale);
    scene.body.draw(canvas, &view, &scene.shown.pose);
    let circle = Stroke::dashed(scene.theme.muted, 0.4, &[0.8, 0.8]);
    canvas.circle(view.origin, scale * scene.case.fragment.socket.radius, circle);
    // First, so that their lines run below everything else.
    let numbers = names(canvas, scene, &view, area);
    scene.shown.draw(canvas, &view, &scene.body);
    number(canvas, scene, &view, &numbers);
    clock(canvas, scene, &view);
    directions(canvas, scene, &view, area);
}

/// The hours round the circle.
fn clock(canvas: &mut Canvas, scene: &Scene<'_>, view: &View<'_>) {
    let (theme, r) = (scene.theme, scene.case.fragment.socket.radius);
    let set = theme.note().centred();
    for hour in 1..=12 {
        let [x, y] = turned(90.0 - 30.0 * f64::from(hour));
        let from = view.at([r * x, r * y]);
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

/// Names of limbs and screws on the side to which the fragment looks, those of anchors on the other. What stands
/// on the face bears a number, so that no line runs over the face; gives those numbers with their points.
fn names(canvas: &mut Canvas, scene: &Scene<'_>, view: &View<'_>, area: Rect) -> Vec<(usize, Point)> {
    let (theme, f, side) = (scene.theme, &scene.case.fragment, side(scene));
    let reach = reach(scene) * view.scale;
    let mut numbers = Vec::new();
    let mut named = |place: [f64; 3], name: &str, value: String, colour: Colour| {
        let on_face = distance([0.0; 2], [place[0], place[1]]) < f.socket.radius - 0.7;
        let at = view.page(place);
        let number = on_face.then_some(numbers.len() + 1);
        numbers.extend(number.map(|n| (n, at)));
        let at = [at[0] + 0.7 * view.mirror * f.outward.x, at[1] - 0.7 * f.outward.y];
        Callout { at, number, name: name.to_owned(), value, colour }
    };
    let anchors: Vec<Callout> = (scene.tied.anchors.iter())
        .map(|a| named(drawn_to(scene.tied, a).into(), &a.name, format!("pull {}", newtons(a.force)), theme.ink))
        .collect();
    // The outermost point of a limb is where nothing else covers it.
    let out = |p: &&[f64; 3]| p[0] * f.outward.x + p[1] * f.outward.y;
    let limbs = scene.tied.limbs.iter().zip(&scene.shown.strands).filter_map(|(limb, strand)| {
        let at = limb.path.iter().max_by(|a, b| out(a).total_cmp(&out(b)))?;
        Some((*at, &limb.name, format!("tension {}", newtons_of(limb)), strand.look.colour.shade(0.25)))
    });
    let screws =
        scene.tied.screws.iter().map(|s| (s.places[0], &s.name, format!("axial {}", newtons(s.axial)), theme.ink));
    let others: Vec<_> = limbs.chain(screws).map(|(at, name, value, colour)| named(at, name, value, colour)).collect();
    // Below the names stand the directions and the scale.
    let low = (view.origin[1] + reach + 2.0).min(area.y + height(scene, view.scale) - 4.0 * theme.small / 6.0);
    let range = |up: f64| [(view.origin[1] - up * reach).max(area.y + HEAD - 3.0), low];
    let x = view.origin[0] + side * (reach + 7.5);
    let room = (0.5 * area.w - reach - 4.0).max(12.0);
    Column { x, room, range: range(1.0), side }.draw(canvas, theme, &others);
    let x = view.origin[0] - side * (reach + 6.0);
    let room = (if side > 0.0 { x - area.x } else { area.right() - x } - 0.5).max(8.0);
    Column { x, room, range: range(1.25), side: -side }.draw(canvas, theme, &anchors);
    numbers
}

/// Numbers beside their points, clear of limbs, anchors and each other.
fn number(canvas: &mut Canvas, scene: &Scene<'_>, view: &View<'_>, numbers: &[(usize, Point)]) {
    let set = scene.theme.fine().bold();
    let mut clear = Clearance::default();
    for strand in &scene.shown.strands {
        strand.path.windows(2).for_each(|p| clear.keep_off(&[view.page(p[0]), view.page(p[1])]));
    }
    clear.keep_off(&view.all(&scene.body.outline(Seen::Face, &scene.shown.pose)));
    numbers.iter().for_each(|(_, at)| clear.take(*at, 1.4));
    for (number, at) in numbers {
        let text = number.to_string();
        if let Some(r) = clear.place([set.width(&text), set.capital()], *at, [-side(scene), 0.0], 1.8, 9.0) {
            canvas.text(&text, [r.x, r.bottom()], set);
        }
    }
}

fn directions(canvas: &mut Canvas, scene: &Scene<'_>, view: &View<'_>, area: Rect) {
    let set = scene.theme.note().italic();
    let [up, down] = tall(scene).map(|v| v * view.scale);
    let [x, y] = view.origin;
    canvas.text("superior", [x, y - up - 1.2], set.centred());
    let low = y + down + 6.9;
    canvas.text("inferior", [x, low], set.centred());
    for (word, s) in [("anterior", view.mirror), ("posterior", -view.mirror)] {
        // The word starts clear of "inferior".
        direction(canvas, scene.theme, word, [x + s * 9.0, low - 0.5 * set.capital()], s);
    }
    view.scale_bar(canvas, [area.x + 2.0, low - 0.3]);
}
