//! Figure "place-before-after": the construct as given and as found, en face on one scale.

use super::*;

/// Diameter of the socket's circle on the page, mm, where nothing lies beyond it.
const CIRCLE: f64 = 40.0;
/// Distance between the panels, mm.
const GUTTER: f64 = 4.0;
/// Shortest way of an anchor that is drawn, mm of the page.
const SHORT: f64 = 3.4;
const NOTE: &str =
    "In (b): squares, where the given construct has its anchors; arrows, the way to where they were found.";

/// The construct as given and as found, en face beside each other on one scale, with the objective
/// written at each and the way of each anchor.
pub fn place_before_after(case: &Case, construct: &Construct, found: &Place, theme: &Theme) -> Figure {
    let pair = [&found.given, &found.found];
    let scenes = pair.map(|p| tied_of(p).map(|tied| Scene::new(case, construct, tied, theme)));
    let reach = scenes.iter().flatten().map(face::reach).fold(1.0, f64::max);
    let scale = CIRCLE / (2.0 * reach);
    let tall = scenes.iter().flatten().map(|s| face::height(s, scale)).fold(30.0, f64::max);
    let columns = if theme.is_wide() { 2 } else { 1 };
    let wide = (theme.width - GUTTER * (columns - 1) as f64) / columns as f64;
    let note = theme.note();
    let notes = wrap(NOTE, note, theme.width - 4.0);
    let low = (2 / columns) as f64 * (tall + GUTTER) - GUTTER + 1.6;
    let mut canvas = Canvas::new(theme.width, low + notes.len() as f64 * note.leading() + 0.8);
    let titles = titles(found);
    for (k, (scene, placement)) in scenes.iter().zip(pair).enumerate() {
        let at = [(k % columns) as f64 * (wide + GUTTER), (k / columns) as f64 * (tall + GUTTER)];
        let area = Rect::new(at[0], at[1], wide, tall);
        let (letter, set) = (letter(k), theme.words());
        if let Some(scene) = scene {
            face::draw(&mut canvas, scene, area, scale, [&letter, &titles[k]]);
            if k == 1 {
                ways(&mut canvas, scene, area, scale, found);
            }
        } else {
            canvas.text(&letter, [area.x + 0.6, area.y + 3.4], theme.heading());
            canvas.text(&titles[k], [area.x + 4.0, area.y + 3.4], set);
            canvas.lines(&wrap(&placement.why, set, area.w - 8.0), area.middle(), set.centred());
        }
    }
    canvas.lines(&notes, [2.0, low + note.capital()], note);
    Figure::new(&super::name(found, "before-after"), canvas, numbers(found), caption(found), alt(found))
}

fn titles(found: &Place) -> [String; 2] {
    let aim = &found.aims[0];
    let [given, answer] = [found.given.values[0], found.found.values[0]];
    let change = match (given, answer) {
        (Some(a), Some(b)) if a.abs() > 0.0 => {
            let plus = if b > a { "+" } else { "" };
            format!(" ({plus}{} %)", number(100.0 * (b - a) / a.abs(), 0))
        }
        _ => String::new(),
    };
    [
        format!("As given: {}", super::reported(aim, given)),
        format!("As found: {}{change}", super::reported(aim, answer)),
    ]
}

/// The way of each anchor from where it was given.
fn ways(canvas: &mut Canvas, scene: &Scene<'_>, area: Rect, scale: f64, found: &Place) {
    let (theme, view) = (scene.theme, face::view(scene, area, scale));
    for (from, to) in found.given.anchors.iter().zip(&found.found.anchors) {
        let [p, q] = [from, to].map(|a| view.page(a.point));
        if distance(p, q) >= SHORT {
            let along = toward(p, q);
            vector(canvas, beside(p, along, 1.5, 0.0), beside(q, along, -1.3, 0.0), Stroke::solid(theme.ink, 0.7));
            // A square that an anchor of full size leaves visible.
            sign::given(canvas, theme, p, 1.35);
        }
    }
    // Again, above arrows and squares.
    scene.shown.draw_anchors(canvas, &view);
}

fn numbers(found: &Place) -> String {
    let rows = [&found.given, &found.found].into_iter().flat_map(|placement| {
        let (design, tied) = (&placement.name, tied_of(placement));
        let aims = found.aims.iter().zip(&placement.values);
        let aims = aims.map(move |(aim, value)| json!([design, "objective", aim.key, "", "", "", value, aim.unit]));
        let anchors = placement.anchors.iter().map(move |anchor| {
            let own = tied.and_then(|t| t.anchors.iter().find(|a| a.name == anchor.anchor));
            json!([design, "anchor", anchor.anchor, anchor.point, own.map(|a| a.force), own.map(|_| "N")])
        });
        let limbs = tied.into_iter().flat_map(|t| &t.limbs).flat_map(move |limb| {
            limb.path.iter().enumerate().map(move |(k, point)| {
                // The tension of the segment that starts at this point.
                let tension = limb.tensions.get(k);
                json!([design, "limb", limb.name, point, tension, tension.map(|_| "N")])
            })
        });
        aims.chain(anchors).chain(limbs)
    });
    csv("design,kind,name,x_mm,y_mm,z_mm,value,unit".split(','), rows)
}

fn caption(found: &Place) -> String {
    let (sought, label, gained) = (sought(found), &found.aims[0].label, gained(found));
    format!(
        "{sought} (a) As given, (b) as found, en face from lateral on one scale, both tied, {label} computed on the full bed. An eye is an anchor on the face, a broken ring one behind the bone, a diamond a bite, a bar square to the limb a crossing; width of a limb grows with its tension, and it is dashed behind bone. Newtons beside a limb: its tension; beside an anchor: the pull on it.{gained}"
    )
}

fn alt(found: &Place) -> String {
    let ways = found.given.anchors.iter().zip(&found.found.anchors).map(|(a, b)| {
        let square: f64 = (0..3).map(|k| (a.point[k] - b.point[k]).powi(2)).sum();
        format!("{} {} mm", a.anchor, number(square.sqrt(), 1))
    });
    let [given, answer] = titles(found);
    format!(
        "Two scale drawings of the construct on the fragment, en face. {given}. {answer}. Ways of the anchors: {}.",
        joined(ways, ", ")
    )
}
