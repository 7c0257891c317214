//! Figure "stiffness": how stiffly the fragment is held along its bed, and its weakest ways.

use super::axis::Scale;
use super::canvas::{Align, Canvas, Stroke, Type};
use super::csv::{Csv, field};
use super::figure::Figure;
use super::font::Face;
use super::label::wrap;
use super::rect::{Point, Rect};
use super::subject::{Panels, Subject};
use super::theme::Theme;
use super::wheel::Wheel;
use crate::anatomy::bed_direction;
use crate::math::Vec3;
use crate::model::Case;
use crate::study::result::{Stiffness, Way};

/// Least width of a panel, mm.
const LEAST: f64 = 52.0;

/// Draws the ellipse of stiffness along the bed of each construct as tied (its distance from the
/// centre is the load for a first unit shift in that direction) and, under it, the softest motions
/// of the whole fragment with their stiffness, all on one pair of scales.
pub fn stiffness_ellipses(case: &Case, subjects: &[Subject<'_>], theme: &Theme) -> Figure {
    let panels = Panels::new(theme, subjects, theme.width, LEAST);
    let small = Type::new(theme.small, theme.ink);
    let radius = Wheel::radius_in(case, theme, panels.width, 19.0);
    let most = subjects.iter().filter_map(|s| Some(s.tied.stiffness?.most)).fold(0.0, f64::max);
    let scale = Scale::load(0.0, most, 3);
    let softest = subjects.iter().flat_map(|s| s.tied.weakest.iter().map(|w| w.stiffness)).fold(0.0, f64::max);
    let names: Vec<Vec<Vec<String>>> = subjects
        .iter()
        .map(|s| s.tied.weakest.iter().map(|w| wrap(&motion(case, w), small, panels.width - 2.0)).collect())
        .collect();
    let bar = 1.9;
    let row = |lines: &Vec<String>| lines.len() as f64 * small.leading() + bar + 1.8;
    let list = names.iter().map(|n| n.iter().map(row).sum::<f64>()).fold(0.0, f64::max);
    let wheel = Wheel::height(theme, radius);
    let head = small.leading() + 2.4;
    let tall = wheel + small.leading() + 1.5 + head + list;
    let mut canvas = Canvas::new(theme.width, panels.height(tall).max(20.0));
    for (k, subject) in subjects.iter().enumerate() {
        let area = panels.area(k, tall);
        panels.title(&mut canvas, theme, k, tall);
        let centre = [area.x + 0.5 * area.w, area.y + 0.5 * wheel];
        let paper = Wheel::new(case, centre, radius, scale);
        paper.paper(&mut canvas, theme);
        let said = match &subject.tied.stiffness {
            Some(stiffness) => {
                let (colour, dash) = theme.series(k);
                let stroke = Stroke::dashed(colour, theme.curve, dash);
                let drawn = ellipse(&mut canvas, theme, &paper, stiffness, stroke);
                let strokes: Vec<&[Point]> = drawn.iter().map(Vec::as_slice).collect();
                paper.words(&mut canvas, theme, "N/mm", &strokes);
                note(stiffness)
            }
            None => {
                paper.words(&mut canvas, theme, "N/mm", &[]);
                "some motion meets no resistance".to_owned()
            }
        };
        let muted = Type::new(theme.small, theme.muted).align(Align::Centre);
        canvas.text(&said, [centre[0], area.y + wheel + small.leading()], muted);
        let mut y = area.y + wheel + small.leading() + 1.5 + head;
        canvas.text("Weakest ways of the whole fragment", [area.x + 1.0, y - 1.8], small.face(Face::Bold));
        for (way, lines) in subject.tied.weakest.iter().zip(&names[k]) {
            for line in lines {
                y += small.leading();
                canvas.text(line, [area.x + 1.0, y - 0.6], small);
            }
            let number = format!("{:.0} N/mm", way.stiffness);
            let room = area.w - 4.0 - small.width("0000 N/mm");
            let long = (way.stiffness.max(0.0) / softest.max(1e-9) * room).max(0.2);
            let (colour, _) = theme.series(k);
            canvas.fill(Rect::new(area.x + 1.0, y + 0.5, long, bar), colour.tint(0.35));
            canvas.text(&number, [area.x + 1.0 + long + 1.0, y + 0.5 + 0.5 * bar + 0.5 * small.capital()], small);
            y += bar + 1.8;
        }
    }
    if subjects.is_empty() {
        let set = Type::new(theme.text, theme.muted);
        canvas.text("no construct was held", [2.0, 10.0], set);
    }
    Figure::new(
        "stiffness",
        canvas,
        csv(subjects),
        "Above: stiffness along the bed as tied, seen square to the bed from the fragment, lateral up. The distance of the curve from the centre is the load on the fragment's reference point for a first shift along the bed, divided by that shift; turns and lift follow freely. Cross lines: the directions that need the least and the most load. Below: the softest motions of the whole fragment, turns scaled by the bed's radius of gyration. Both hold for the first, small motion, before more of the bed slips. All panels are on one scale.".to_owned(),
        alt(case, subjects),
    )
}

/// Draws the ellipse and the lines of least and most stiffness; returns its strokes.
fn ellipse(canvas: &mut Canvas, theme: &Theme, wheel: &Wheel, k: &Stiffness, stroke: Stroke) -> Vec<Vec<Point>> {
    let [a, b] = k.columns;
    let points: Vec<Point> = (0..=120)
        .map(|i| {
            let (sin, cos) = libm::sincos((3.0 * f64::from(i)).to_radians());
            wheel.at([a[0] * cos + b[0] * sin, a[1] * cos + b[1] * sin])
        })
        .collect();
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
        "superior" | "inferior" => "along the chord",
        "medial" | "lateral" => "down the plane",
        "superomedial" | "inferolateral" => "superomedial",
        _ => "inferomedial",
    }
}

/// The largest parts of a motion in words.
fn motion(case: &Case, way: &Way) -> String {
    let f = &case.fragment;
    let (shift, turn) = (Vec3::from(way.shift), Vec3::from(way.turn));
    let mut parts = [
        (shift.dot(&f.along), "slide along the chord"),
        (shift.dot(&f.down), "slide down the plane"),
        (shift.dot(&f.normal), "lift"),
        (turn.dot(&f.along), "tilt"),
        (turn.dot(&f.normal), "spin on the bed"),
        (turn.dot(&f.down), "open at one end"),
    ];
    parts.sort_by(|a, b| b.0.abs().total_cmp(&a.0.abs()));
    if parts[1].0.abs() > 0.5 * parts[0].0.abs() {
        format!("{} with {}", parts[0].1, parts[1].1)
    } else {
        parts[0].1.to_owned()
    }
}

fn csv(subjects: &[Subject<'_>]) -> String {
    let mut csv = Csv::new(&[
        "construct",
        "what",
        "stiffness_N_per_mm",
        "shift_x",
        "shift_y",
        "shift_z",
        "turn_x",
        "turn_y",
        "turn_z",
        "superior",
        "medial",
    ]);
    for subject in subjects {
        let name = field(&subject.construct.name);
        if let Some(k) = &subject.tied.stiffness {
            let [a, b] = k.columns;
            for (what, long, toward) in [
                ("least along the bed", k.least, k.least_toward),
                ("most along the bed", k.most, k.most_toward),
                ("load for unit shift along the chord", libm::hypot(a[0], a[1]), a),
                ("load for unit shift down the plane", libm::hypot(b[0], b[1]), b),
            ] {
                let mut row = vec![name.clone(), what.to_owned(), long.to_string()];
                row.extend(std::iter::repeat_n(String::new(), 6));
                row.extend(toward.map(|v| v.to_string()));
                csv.row(row);
            }
        }
        for way in &subject.tied.weakest {
            let mut row = vec![name.clone(), "soft motion".to_owned(), way.stiffness.to_string()];
            row.extend(way.shift.iter().chain(&way.turn).map(f64::to_string));
            row.extend([String::new(), String::new()]);
            csv.row(row);
        }
    }
    csv.finish()
}

fn alt(case: &Case, subjects: &[Subject<'_>]) -> String {
    let rows: Vec<String> = subjects
        .iter()
        .map(|s| {
            let along = s.tied.stiffness.as_ref().map_or_else(|| "some motion meets no resistance".to_owned(), note);
            let ways: Vec<String> =
                s.tied.weakest.iter().map(|w| format!("{} at {:.0} N/mm", motion(case, w), w.stiffness)).collect();
            format!("{}: {along}; weakest ways: {}", s.construct.name, ways.join(", "))
        })
        .collect();
    format!("Ellipses of the stiffness along the bed, and bars of the softest motions. {}.", rows.join(". "))
}
