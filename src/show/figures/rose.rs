//! Figure "rose": load at 1 mm by direction in the plane of the bed.

use super::arrow::arrow;
use super::axis::{Scale, signed};
use super::canvas::{Align, Canvas, Stroke, Type};
use super::csv::{Csv, field};
use super::figure::Figure;
use super::label::wrap;
use super::rect::Point;
use super::subject::{Panels, Subject};
use super::theme::Theme;
use super::wheel::Wheel;
use crate::anatomy::bed_direction;
use crate::model::Case;
use crate::study::result::Petal;

/// Least width of a panel, mm.
const LEAST: f64 = 52.0;

/// Draws, for each construct, the load that moves the fragment by 1 mm in each direction round the
/// plane of its bed, on one scale, seen from the fragment with lateral up. With it the disc of the
/// shear that friction bears under the limbs' own compression, and the limbs' resultant along the bed.
pub fn rose(case: &Case, subjects: &[Subject<'_>], theme: &Theme) -> Figure {
    let panels = Panels::new(theme, subjects, theme.width, LEAST);
    let small = Type::new(theme.small, theme.muted);
    let radius = Wheel::radius_in(case, theme, panels.width, 24.0);
    let most = subjects
        .iter()
        .flat_map(|s| {
            let pull = Pull::of(case, s);
            s.petals.iter().filter_map(|p| p.load).chain([pull.capacity, pull.shear()])
        })
        .fold(0.0, f64::max);
    let scale = Scale::load(0.0, most, 4);
    let notes: Vec<Vec<String>> = subjects
        .iter()
        .map(|s| {
            notes(case, s)
                .iter()
                .flat_map(|parts| {
                    // In one line where it fits, otherwise part by part.
                    let room = panels.width - 2.0;
                    let whole = parts.join(", ");
                    if small.width(&whole) <= room {
                        return vec![whole];
                    }
                    parts.iter().flat_map(|p| wrap(p, small, room)).collect()
                })
                .collect()
        })
        .collect();
    let lines = notes.iter().map(Vec::len).max().unwrap_or(0);
    let wheel = Wheel::height(theme, radius);
    let tall = wheel + lines as f64 * small.leading() + 1.0;
    let mut canvas = Canvas::new(theme.width, panels.height(tall).max(20.0));
    for (k, subject) in subjects.iter().enumerate() {
        panels.title(&mut canvas, theme, k, tall);
        let area = panels.area(k, tall);
        let centre = [area.x + 0.5 * area.w, area.y + 0.5 * wheel];
        let paper = Wheel::new(case, centre, radius, scale);
        draw(&mut canvas, case, theme, subject, k, &paper);
        for (line, text) in notes[k].iter().enumerate() {
            let y = area.y + wheel + (line + 1) as f64 * small.leading();
            canvas.text(text, [centre[0], y], small.align(Align::Centre));
        }
    }
    if subjects.is_empty() {
        let set = Type::new(theme.text, theme.muted);
        canvas.text("no construct was held", [2.0, 10.0], set);
    }
    Figure::new("rose", canvas, csv(case, subjects), caption(case), alt(case, subjects))
}

/// How limbs and heads of screws pull together along the bed, and what friction bears under them.
struct Pull {
    /// Along the chord and down the plane, N.
    along: [f64; 2],
    /// μ times their compression, N.
    capacity: f64,
}

impl Pull {
    fn of(case: &Case, subject: &Subject<'_>) -> Self {
        let [t, m, n] = subject.in_bed(case, subject.tied.resultant);
        Self { along: [t, m], capacity: case.bed.friction * (-n).max(0.0) }
    }

    fn shear(&self) -> f64 {
        self.along[0].hypot(self.along[1])
    }
}

/// Draws one rose on its wheel.
fn draw(canvas: &mut Canvas, case: &Case, theme: &Theme, subject: &Subject<'_>, series: usize, wheel: &Wheel) {
    let (colour, dash) = theme.series(series);
    let pull = Pull::of(case, subject);
    let disc = wheel.length(pull.capacity);
    let petal = |p: &Petal, load: f64| {
        let (sin, cos) = p.angle.to_radians().sin_cos();
        wheel.at([-load * cos, load * sin])
    };
    let mut outline: Vec<Point> = subject.petals.iter().filter_map(|p| Some(petal(p, p.load?.max(0.0)))).collect();
    let whole = outline.len() == subject.petals.len() && !outline.is_empty();
    if whole {
        canvas.area(&outline, colour.tint(0.86));
    }
    canvas.disc(wheel.centre, disc, theme.muted.tint(0.72));
    wheel.paper(canvas, theme);
    canvas.path(&ring(wheel.centre, disc), Stroke::dashed(theme.muted, 0.7, &[0.9, 0.7]));
    outline.extend(outline.first().copied());
    if whole {
        canvas.path(&outline, Stroke::dashed(colour, theme.curve, dash));
    }
    for p in subject.petals {
        match p.load {
            Some(load) => canvas.disc(petal(p, load.max(0.0)), 0.5, colour),
            None => cross(canvas, petal(p, wheel.scale.hi), theme),
        }
    }
    let tip = wheel.at(pull.along);
    arrow(canvas, wheel.centre, tip, Stroke::solid(theme.ink, 1.3));
    let strokes: [&[Point]; 2] = [&outline, &[wheel.centre, tip]];
    wheel.words(canvas, theme, "N", &strokes);
}

fn ring(centre: Point, radius: f64) -> Vec<Point> {
    (0..=72)
        .map(|k| {
            let a = (5.0 * f64::from(k)).to_radians();
            [centre[0] + radius * a.cos(), centre[1] + radius * a.sin()]
        })
        .collect()
}

fn cross(canvas: &mut Canvas, at: Point, theme: &Theme) {
    let stroke = Stroke::solid(theme.ink, theme.curve);
    let d = 0.7;
    canvas.line([at[0] - d, at[1] - d], [at[0] + d, at[1] + d], stroke);
    canvas.line([at[0] - d, at[1] + d], [at[0] + d, at[1] - d], stroke);
}

/// Direction of a petal in words.
fn toward(petal: &Petal) -> &'static str {
    let (sin, cos) = petal.angle.to_radians().sin_cos();
    bed_direction(-cos, sin)
}

/// The least and the largest load of a rose.
fn extremes<'a>(subject: &Subject<'a>) -> Option<[(&'a Petal, f64); 2]> {
    let loads = || subject.petals.iter().filter_map(|p| p.load.map(|load| (p, load)));
    let least = loads().min_by(|a, b| a.1.total_cmp(&b.1))?;
    let most = loads().max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some([least, most])
}

fn newtons(value: f64) -> String {
    let text = format!("{value:.0}");
    format!("{} N", signed(if text == "-0" { "0" } else { &text }))
}

/// What stands under a rose, in lines of parts that belong together.
fn notes(case: &Case, subject: &Subject<'_>) -> Vec<Vec<String>> {
    let mut notes = Vec::new();
    if let Some([(least, low), (most, high)]) = extremes(subject) {
        notes.push(vec![
            format!("least {} ({})", newtons(low), toward(least)),
            format!("most {} ({})", newtons(high), toward(most)),
        ]);
    }
    let lost = subject.petals.iter().filter(|p| p.load.is_none()).count();
    if lost > 0 {
        let directions = if lost == 1 { "direction" } else { "directions" };
        notes.push(vec![format!("not held in {lost} {directions}")]);
    }
    let pull = Pull::of(case, subject);
    notes.push(vec![
        format!("{} {} along the bed", subject.what_pulls(), newtons(pull.shear())),
        format!("friction bears {}", newtons(pull.capacity)),
    ]);
    notes
}

fn csv(case: &Case, subjects: &[Subject<'_>]) -> String {
    let mut csv =
        Csv::new(&["construct", "what", "angle_from_inferior_toward_medial_deg", "superior_N", "medial_N", "load_N"]);
    for subject in subjects {
        let name = field(&subject.construct.name);
        for petal in subject.petals {
            let (sin, cos) = petal.angle.to_radians().sin_cos();
            let number = |v: Option<f64>| v.map_or(String::new(), |v| v.to_string());
            csv.row([
                name.clone(),
                "load at 1 mm".to_owned(),
                petal.angle.to_string(),
                number(petal.load.map(|l| -l * cos)),
                number(petal.load.map(|l| l * sin)),
                number(petal.load),
            ]);
        }
        let pull = Pull::of(case, subject);
        csv.row([
            name.clone(),
            format!("{} along the bed", subject.what_pulls()),
            String::new(),
            pull.along[0].to_string(),
            pull.along[1].to_string(),
            pull.shear().to_string(),
        ]);
        csv.row([
            name,
            "shear that friction bears".to_owned(),
            String::new(),
            String::new(),
            String::new(),
            pull.capacity.to_string(),
        ]);
    }
    csv.finish()
}

fn caption(case: &Case) -> String {
    format!(
        "Load that moves the fragment's control point by 1 mm in each direction round the plane of its bed, from the tied state, free to turn; seen square to the bed from the fragment, lateral up. The distance of a dot from the centre is the load, on one scale for all panels; a load below zero is drawn at the centre, and a cross on the outer edge is a direction in which the fragment was not held. The arrow is the resultant of limbs and heads of screws along the bed; the grey disc is the shear that friction bears under their compression alone, {} times it. An arrow inside the disc lies in the friction cone.",
        case.bed.friction
    )
}

fn alt(case: &Case, subjects: &[Subject<'_>]) -> String {
    let rows: Vec<String> =
        subjects.iter().map(|s| format!("{}: {}", s.construct.name, notes(case, s).concat().join("; "))).collect();
    format!("Polar plots of the load at 1 mm by direction in the plane of the bed. {}.", rows.join(". "))
}
