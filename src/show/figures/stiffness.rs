//! Figure "stiffness": how stiffly the fragment is held along its bed, and its softest motions.

use super::*;
use crate::anatomy::bed_direction;

/// Least width of a panel, mm.
const LEAST: f64 = 52.0;
/// Height of a bar, mm.
const BAR: f64 = 1.9;
const FREE: &str = "some motion meets no resistance";

/// Draws the ellipse of stiffness along the bed of each construct as tied (its distance from the
/// centre is the load for a first unit shift in that direction) and, under it, the softest motions
/// of the whole fragment with their stiffness, all on one pair of scales.
pub fn stiffness_ellipses(case: &Case, subjects: &[Subject<'_>], theme: &Theme) -> Figure {
    let panels = Panels::new(theme, &names(subjects), theme.width, LEAST);
    let small = theme.fine();
    let radius = Wheel::radius_in(case, theme, panels.width, 19.0);
    let most = subjects.iter().filter_map(|s| Some(s.tied.stiffness?.most)).fold(0.0, f64::max);
    let scale = Scale::load(0.0, most, 3);
    let softest = subjects.iter().flat_map(|s| s.tied.weakest.iter().map(|w| w.stiffness)).fold(1e-9, f64::max);
    let motions = |s: &Subject<'_>| -> Vec<Vec<String>> {
        s.tied.weakest.iter().map(|w| wrap(&motion(case, w), small, panels.width - 2.0)).collect()
    };
    let motions: Vec<Vec<Vec<String>>> = subjects.iter().map(motions).collect();
    let row = |lines: &Vec<String>| lines.len() as f64 * small.leading() + BAR + 1.8;
    let list = motions.iter().map(|n| n.iter().map(row).sum::<f64>()).fold(0.0, f64::max);
    let wheel = Wheel::height(theme, radius);
    let head = 2.0 * small.leading() + 3.9;
    let tall = wheel + head + list;
    let mut canvas = Canvas::new(theme.width, panels.height(tall).max(20.0));
    panels.draw(&mut canvas, theme, tall, NONE, |canvas, k, area| {
        let (tied, (colour, _)) = (subjects[k].tied, theme.series(k));
        let centre = [area.x + 0.5 * area.w, area.y + 0.5 * wheel];
        let paper = Wheel::new(case, theme, centre, radius, scale);
        paper.paper(canvas);
        let drawn = tied.stiffness.as_ref().map_or_else(Vec::new, |s| ellipse(canvas, theme, &paper, s, theme.line(k)));
        paper.words(canvas, "N/mm", &drawn.iter().map(Vec::as_slice).collect::<Vec<_>>());
        let said = tied.stiffness.as_ref().map_or_else(|| FREE.to_owned(), note);
        canvas.text(&said, [centre[0], area.y + wheel + small.leading()], theme.note().centred());
        let mut y = area.y + wheel + head;
        canvas.text("Softest motions of the whole fragment", [area.x + 1.0, y - 1.8], small.bold());
        for (way, lines) in tied.weakest.iter().zip(&motions[k]) {
            y = canvas.lines(lines, [area.x + 1.0, y + small.leading() - 0.6], small) - small.leading() + 0.6;
            let room = area.w - 4.0 - small.width("0000 N/mm");
            let long = (way.stiffness.max(0.0) / softest * room).max(0.2);
            let bar = Rect::new(area.x + 1.0, y + 0.5, long, BAR);
            canvas.fill(bar, colour.tint(0.35));
            let at = [bar.right() + 1.0, bar.middle()[1] + 0.5 * small.capital()];
            canvas.text(&format!("{:.0} N/mm", way.stiffness), at, small);
            y += BAR + 1.8;
        }
    });
    let caption = "Above: stiffness along the bed as tied, seen square to the bed from the fragment, lateral up. The distance of the curve from the centre is the load on the fragment's reference point for a first shift along the bed, divided by that shift; turns and lift follow freely. Cross lines: the directions that need the least and the most load. Below: the softest motions of the whole fragment, turns scaled by the bed's radius of gyration. Both hold for the first, small motion, before more of the bed slips. All panels are on one scale.";
    let alt = each(subjects, |s| {
        let along = s.tied.stiffness.as_ref().map_or_else(|| FREE.to_owned(), note);
        let motions = s.tied.weakest.iter().map(|w| format!("{} at {:.0} N/mm", motion(case, w), w.stiffness));
        format!("{along}; softest motions: {}", joined(motions, ", "))
    });
    let alt = format!("Ellipses of the stiffness along the bed, and bars of the softest motions. {alt}.");
    Figure::new("stiffness", canvas, numbers(subjects), caption.to_owned(), alt)
}

/// Draws the ellipse and the lines of least and most stiffness; returns its strokes.
fn ellipse(canvas: &mut Canvas, theme: &Theme, wheel: &Wheel<'_>, k: &Stiffness, stroke: Stroke) -> Vec<Vec<Point>> {
    let [a, b] = k.columns;
    let at = |[cos, sin]: [f64; 2]| wheel.at([a[0] * cos + b[0] * sin, a[1] * cos + b[1] * sin]);
    let points: Vec<Point> = (0..=120).map(|i| at(turned(3.0 * f64::from(i)))).collect();
    canvas.path(&points, stroke);
    let mut drawn = vec![points];
    for (toward, long) in [(k.least_toward, k.least), (k.most_toward, k.most)] {
        let ends = [1.0, -1.0].map(|s| wheel.at(toward.map(|v| s * v * long)));
        canvas.path(&ends, Stroke::solid(theme.ink, theme.outline));
        drawn.push(ends.to_vec());
    }
    drawn
}

fn note(k: &Stiffness) -> String {
    format!("least {:.0} ({}), most {:.0} N/mm", k.least, line(k.least_toward), k.most)
}

/// A line along the bed in words, both ways of it.
fn line(toward: [f64; 2]) -> &'static str {
    match bed_direction(toward[0], toward[1]) {
        "along the line" | "back along the line" => "along the line",
        "down the plane" | "up the plane" => "down the plane",
        "along the line and up" | "back along the line and down" => "back along the line and down",
        _ => "along the line and down",
    }
}

/// The largest parts of a motion in words.
fn motion(case: &Case, way: &Way) -> String {
    let words =
        ["slide along the chord", "slide down the plane", "lift", "lateral tilt", "spin on the bed", "open at one end"];
    crate::show::words::motion(case, way, words, " with ")
}

fn numbers(subjects: &[Subject<'_>]) -> String {
    let rows = subjects.iter().flat_map(|subject| {
        let name = &subject.construct.name;
        let along = subject.tied.stiffness.iter().flat_map(|k| {
            let [a, b] = k.columns;
            [
                ("least along the bed", k.least, k.least_toward),
                ("most along the bed", k.most, k.most_toward),
                ("load for unit shift along the chord", distance([0.0; 2], a), a),
                ("load for unit shift down the plane", distance([0.0; 2], b), b),
            ]
        });
        let motion = [None::<f64>; 6];
        let along = along.map(move |(what, long, toward)| json!([name, what, long, motion, toward]));
        let ways = subject.tied.weakest.iter();
        along.chain(ways.map(move |w| json!([name, "soft motion", w.stiffness, w.shift, w.turn, "", ""])))
    });
    let heading =
        "construct,what,stiffness_N_per_mm,shift_x,shift_y,shift_z,turn_x,turn_y,turn_z,back_along_line,down_plane";
    csv(heading.split(','), rows)
}
