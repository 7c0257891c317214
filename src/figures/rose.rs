//! Figure "rose": load at 1 mm by direction in the plane of the bed.

use super::arrow::arrow;
use super::axis::{Scale, signed};
use super::canvas::{Align, Canvas, Stroke, Type};
use super::construct::pressure::ends;
use super::csv::{Csv, field};
use super::figure::Figure;
use super::font::Face;
use super::label::{Clearance, wrap};
use super::rect::{Point, Rect};
use super::subject::{Panels, Subject, mirror};
use super::theme::Theme;
use crate::anatomy::bed_direction;
use crate::case::Case;
use crate::study::result::Petal;

/// Least width of a panel, mm.
const LEAST: f64 = 52.0;

/// Draws, for each construct, the load that moves the fragment by 1 mm in each direction round the
/// plane of its bed, on one scale, seen from the fragment with lateral up. With it the disc of the
/// shear that friction bears under the limbs' own compression, and the limbs' resultant along the bed.
pub fn rose(case: &Case, subjects: &[Subject<'_>], theme: &Theme) -> Figure {
    let panels = Panels::new(theme, subjects, theme.width, LEAST);
    let small = Type::new(theme.small, theme.muted);
    let words = ends(&case.fragment)
        .map(|w| small.face(Face::Italic).width(w))
        .into_iter()
        .fold(0.0, f64::max);
    let radius = (0.5 * panels.width - words - 2.4).clamp(10.0, 24.0);
    let most = subjects
        .iter()
        .flat_map(|s| {
            let pull = Pull::of(case, s);
            s.petals
                .iter()
                .filter_map(|p| p.load)
                .chain([pull.capacity, pull.shear()])
        })
        .fold(0.0, f64::max);
    let scale = Scale::load(0.0, most, 4);
    let notes: Vec<Vec<String>> = subjects
        .iter()
        .map(|s| {
            notes(case, s)
                .iter()
                .flat_map(|n| wrap(n, small, panels.width - 2.0))
                .collect()
        })
        .collect();
    let lines = notes.iter().map(Vec::len).max().unwrap_or(0);
    let wheel = 2.0 * radius + 2.0 * (small.leading() + 1.4);
    let tall = wheel + lines as f64 * small.leading() + 1.0;
    let mut canvas = Canvas::new(theme.width, panels.height(tall).max(20.0));
    for (k, subject) in subjects.iter().enumerate() {
        panels.title(&mut canvas, theme, k, tall);
        let area = panels.area(k, tall);
        let centre = [area.x + 0.5 * area.w, area.y + 0.5 * wheel];
        let wheel_at = Wheel {
            centre,
            radius,
            scale,
            mirror: mirror(case),
        };
        wheel_at.draw(&mut canvas, case, theme, subject, k);
        for (line, text) in notes[k].iter().enumerate() {
            let y = area.y + wheel + (line + 1) as f64 * small.leading();
            canvas.text(text, [centre[0], y], small.align(Align::Centre));
        }
    }
    if subjects.is_empty() {
        let set = Type::new(theme.text, theme.muted);
        canvas.text("no construct was held", [2.0, 10.0], set);
    }
    Figure::new(
        "rose",
        canvas,
        csv(case, subjects),
        caption(case),
        alt(case, subjects),
    )
}

/// How the limbs pull together along the bed, and what friction bears under them.
struct Pull {
    /// Along the chord and down the plane, N.
    along: [f64; 2],
    /// μ times their compression, N.
    capacity: f64,
}

impl Pull {
    fn of(case: &Case, subject: &Subject<'_>) -> Self {
        let [t, m, n] = subject.in_bed(case, subject.tied.resultant);
        Self {
            along: [t, m],
            capacity: case.bed.friction * (-n).max(0.0),
        }
    }

    fn shear(&self) -> f64 {
        self.along[0].hypot(self.along[1])
    }
}

struct Wheel {
    centre: Point,
    radius: f64,
    scale: Scale,
    mirror: f64,
}

impl Wheel {
    /// A load of (along the chord, down the plane) on the page.
    fn at(&self, load: [f64; 2]) -> Point {
        let k = self.radius / self.scale.hi;
        [
            self.centre[0] + self.mirror * k * load[0],
            self.centre[1] + k * load[1],
        ]
    }

    fn petal(&self, petal: &Petal, load: f64) -> Point {
        let (sin, cos) = petal.angle.to_radians().sin_cos();
        self.at([-load * cos, load * sin])
    }

    fn draw(
        &self,
        canvas: &mut Canvas,
        case: &Case,
        theme: &Theme,
        subject: &Subject<'_>,
        series: usize,
    ) {
        let (colour, dash) = theme.series(series);
        let pull = Pull::of(case, subject);
        let disc = pull.capacity / self.scale.hi * self.radius;
        let corners: Vec<Point> = subject
            .petals
            .iter()
            .filter_map(|p| Some(self.petal(p, p.load?.max(0.0))))
            .collect();
        let whole = corners.len() == subject.petals.len();
        if whole {
            canvas.area(&corners, colour.tint(0.86));
        }
        canvas.disc(self.centre, disc, theme.muted.tint(0.72));
        let faint = Stroke::solid(theme.faint, theme.hair);
        for tick in self.scale.ticks() {
            if tick > 0.0 {
                canvas.circle(self.centre, tick / self.scale.hi * self.radius, faint);
            }
        }
        let r = self.radius;
        let [x, y] = self.centre;
        canvas.line([x - r, y], [x + r, y], faint);
        canvas.line([x, y - r], [x, y + r], faint);
        canvas.path(
            &ring(self.centre, disc),
            Stroke::dashed(theme.muted, 0.7, &[0.9, 0.7]),
        );
        let curve = Stroke::dashed(colour, theme.curve, dash);
        if whole && !corners.is_empty() {
            let mut closed = corners.clone();
            closed.push(corners[0]);
            canvas.path(&closed, curve);
        }
        for petal in subject.petals {
            match petal.load {
                Some(load) => canvas.disc(self.petal(petal, load.max(0.0)), 0.5, colour),
                None => cross(canvas, self.petal(petal, self.scale.hi), theme),
            }
        }
        let tip = self.at(pull.along);
        arrow(canvas, self.centre, tip, Stroke::solid(theme.ink, 1.3));
        self.words(canvas, case, theme, &corners, tip);
    }

    fn words(
        &self,
        canvas: &mut Canvas,
        case: &Case,
        theme: &Theme,
        corners: &[Point],
        tip: Point,
    ) {
        let set = Type::new(theme.small, theme.ink);
        let italic = Type::new(theme.small, theme.muted).face(Face::Italic);
        let [x, y] = self.centre;
        let r = self.radius;
        let middle = 0.5 * set.capital();
        let [plus, minus] = ends(&case.fragment);
        for (word, side) in [(plus, self.mirror), (minus, -self.mirror)] {
            let align = if side > 0.0 { Align::Left } else { Align::Right };
            let at = [x + side * (r + 1.4), y + middle];
            canvas.text(word, at, italic.align(align));
        }
        let centred = italic.align(Align::Centre);
        canvas.text("lateral", [x, y - r - 1.4], centred);
        canvas.text("medial", [x, y + r + 1.2 + italic.capital()], centred);
        // Numbers of the rings stand where neither the rose nor the arrow runs.
        let mut clear = Clearance {
            bounds: Some(Rect::new(x - r, y - r, 2.0 * r, 2.0 * r).grown(3.0)),
            ..Clearance::default()
        };
        if let Some(first) = corners.first() {
            let mut closed = corners.to_vec();
            closed.push(*first);
            clear.keep_off(&closed);
        }
        clear.keep_off(&[self.centre, tip]);
        clear.keep_off(&[[x - r, y], [x + r, y]]);
        clear.keep_off(&[[x, y - r], [x, y + r]]);
        for tick in self.scale.ticks().into_iter().filter(|t| *t > 0.0) {
            let text = format!("{} N", self.scale.words(tick));
            let w = set.width(&text);
            let reach = tick / self.scale.hi * r;
            for turn in [-45.0, 45.0, 135.0, -135.0, -22.0, 22.0, -68.0, 68.0, 112.0, -112.0] {
                let (sin, cos) = f64::to_radians(turn).sin_cos();
                let at = [x + reach * cos, y + reach * sin + middle];
                let extent = set.align(Align::Centre).extent(&text, at);
                if clear.is_free(&extent.grown(0.3)) && extent.w >= w {
                    canvas.text_on_patch(&text, at, set.align(Align::Centre), theme.paper);
                    clear.boxes.push(extent);
                    break;
                }
            }
        }
    }
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
    let loads = || {
        subject
            .petals
            .iter()
            .filter_map(|p| p.load.map(|load| (p, load)))
    };
    let least = loads().min_by(|a, b| a.1.total_cmp(&b.1))?;
    let most = loads().max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some([least, most])
}

fn newtons(value: f64) -> String {
    let text = format!("{value:.0}");
    format!("{} N", signed(if text == "-0" { "0" } else { &text }))
}

fn notes(case: &Case, subject: &Subject<'_>) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some([(least, low), (most, high)]) = extremes(subject) {
        notes.push(format!(
            "least {} ({}), most {} ({})",
            newtons(low),
            toward(least),
            newtons(high),
            toward(most)
        ));
    }
    let lost = subject.petals.iter().filter(|p| p.load.is_none()).count();
    if lost > 0 {
        notes.push(format!("not held in {lost} directions"));
    }
    let pull = Pull::of(case, subject);
    notes.push(format!(
        "limbs pull {} along the bed, friction bears {}",
        newtons(pull.shear()),
        newtons(pull.capacity)
    ));
    notes
}

fn csv(case: &Case, subjects: &[Subject<'_>]) -> String {
    let mut csv = Csv::new(&[
        "construct",
        "what",
        "angle_from_inferior_toward_medial_deg",
        "superior_N",
        "medial_N",
        "load_N",
    ]);
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
            "limbs along the bed".to_owned(),
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
        "Load that moves the fragment's control point by 1 mm in each direction round the plane of its bed, from the tied state, free to turn; seen square to the bed from the fragment, lateral up. The distance of a dot from the centre is the load, on one scale for all panels; a load below zero is drawn at the centre, and a cross on the outer edge is a direction in which the fragment was not held. The arrow is the resultant of the limbs along the bed; the grey disc is the shear that friction bears under the compression of the limbs alone, {} times it. An arrow inside the disc lies in the friction cone.",
        case.bed.friction
    )
}

fn alt(case: &Case, subjects: &[Subject<'_>]) -> String {
    let rows: Vec<String> = subjects
        .iter()
        .map(|s| format!("{}: {}", s.construct.name, notes(case, s).join("; ")))
        .collect();
    format!(
        "Polar plots of the load at 1 mm by direction in the plane of the bed. {}.",
        rows.join(". ")
    )
}
