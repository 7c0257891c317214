//! Figure "forces": what each limb and screw does to the fragment, as vectors.

mod act;
mod list;

use super::arrow::arrow;
use super::axis::round_step;
use super::canvas::{Align, Canvas, Stroke, Type};
use super::construct::bone;
use super::construct::pressure::{depths, ends, outline};
use super::construct::view::View;
use super::figure::Figure;
use super::font::Face;
use super::label::Clearance;
use super::rect::{Point, Rect};
use super::subject::{Panels, Subject, groups, mirror};
use super::theme::Theme;
use crate::math::Vec3;
use crate::model::Case;
use act::{acts, csv, sum};
use list::{Columns, list, newtons};

/// Least width of a panel, mm.
const LEAST: f64 = 52.0;
/// Page mm per bone mm.
const SCALE: f64 = 1.5;
/// Length of the longest arrow where there is room, mm.
const LONGEST: f64 = 34.0;
/// Room round each view for arrows and their numbers, mm.
const ROUND: f64 = 5.0;

/// Draws the force of each limb and head of a screw on the fragment as tied, in section across the bed and square to it,
/// from where the limb turns on the fragment, all arrows on one scale; with it the sum of them all.
pub fn limb_forces(case: &Case, subjects: &[Subject<'_>], theme: &Theme) -> Figure {
    let panels = Panels::new(theme, subjects, theme.width, LEAST);
    let small = Type::new(theme.small, theme.ink);
    let longest = subjects.iter().flat_map(|s| arrows(case, s)).map(|(_, force)| force.norm()).fold(0.0, f64::max);
    let mut per_newton = LONGEST / longest.max(1e-6);
    let mut layout = Layout::new(case, subjects, per_newton);
    while layout.wide() > panels.width && per_newton * longest > 4.0 {
        per_newton *= 0.95;
        layout = Layout::new(case, subjects, per_newton);
    }
    // Names and two columns of numbers under each panel.
    let columns = Columns::new(small, panels.width);
    let lists: Vec<Vec<_>> = subjects.iter().map(|s| list(case, s)).collect();
    let lines = lists.iter().map(|l| columns.lines(l)).max().unwrap_or(0);
    let tall = layout.section[1] + layout.square[1] + (lines + 1) as f64 * small.leading() + 3.0;
    let foot = small.leading() + 3.0;
    let mut canvas = Canvas::new(theme.width, panels.height(tall).max(16.0) + foot);
    for (k, subject) in subjects.iter().enumerate() {
        let area = panels.area(k, tall);
        let upper = Rect::new(area.x, area.y, area.w, layout.section[1]);
        let lower = Rect::new(area.x, upper.bottom(), area.w, layout.square[1]);
        draw(&mut canvas, case, subject, theme, &layout.section_view(case, upper), true, per_newton);
        draw(&mut canvas, case, subject, theme, &layout.square_view(case, lower), false, per_newton);
        panels.title(&mut canvas, theme, k, tall);
        columns.draw(&mut canvas, theme, &lists[k], [area.x, lower.bottom() + 1.0]);
    }
    if subjects.is_empty() {
        let set = Type::new(theme.text, theme.muted);
        canvas.text("no construct was held", [2.0, 10.0], set);
    } else {
        scales(&mut canvas, theme, panels.height(tall).max(16.0) + foot, longest, per_newton);
    }
    Figure::new(
        "forces",
        canvas,
        csv(case, subjects),
        "Force of each limb (and head of a screw) on the fragment as tied. Above: in section across the bed, outward to the side and lateral up; below: square to the bed, seen from the fragment, lateral up. An arrow starts where the limb turns on the fragment (the middle of its turns there); that of a screw at its head; its number is that in the list. The heavy arrow without a number is the sum of all, from the fragment's centroid; what shanks of screws bear sideways is left out. All arrows and all panels are on one scale. In the list: part of the force that presses on the bed (minus: lifts), and part along the bed.".to_owned(),
        alt(case, subjects),
    )
}

/// Ranges drawn, bone mm, and the room that they take, page mm.
struct Layout {
    /// Outward and lateral.
    e: [f64; 2],
    z: [f64; 2],
    /// Along the chord, as far to either side, and down the plane.
    t: f64,
    m: [f64; 2],
    section: [f64; 2],
    square: [f64; 2],
}

impl Layout {
    fn new(case: &Case, subjects: &[Subject<'_>], per_newton: f64) -> Self {
        let f = &case.fragment;
        let margin = bone::margin(f);
        let reach = per_newton / SCALE;
        let mut range = Self {
            e: [f.chord_distance.min(margin[0]), f.socket.radius],
            z: [margin[1], f.socket.rim_height().max(f.chord_height)],
            t: f.half_chord,
            m: depths(f),
            section: [0.0; 2],
            square: [0.0; 2],
        };
        for subject in subjects {
            for (from, force) in arrows(case, subject) {
                for p in [from, from + force * reach] {
                    grow(&mut range.e, p.dot(&f.outward));
                    grow(&mut range.z, p.z);
                    range.t = range.t.max(p.dot(&f.along).abs());
                    grow(&mut range.m, (p - f.bed_origin()).dot(&f.down));
                }
            }
        }
        let size = |a: [f64; 2]| SCALE * (a[1] - a[0]) + 2.0 * ROUND;
        range.section = [size(range.e), size(range.z)];
        range.square = [size([-range.t, range.t]), size(range.m)];
        range
    }

    /// Width of the wider view, mm.
    fn wide(&self) -> f64 {
        self.section[0].max(self.square[0])
    }

    fn section_view(&self, case: &Case, area: Rect) -> View {
        let f = &case.fragment;
        let side = if f.outward.x < 0.0 { -mirror(case) } else { mirror(case) };
        View {
            origin: [
                area.x + 0.5 * area.w - side * SCALE * 0.5 * (self.e[0] + self.e[1]),
                area.y + ROUND + SCALE * self.z[1],
            ],
            scale: SCALE,
            mirror: side,
        }
    }

    fn square_view(&self, case: &Case, area: Rect) -> View {
        View { origin: [area.x + 0.5 * area.w, area.y + ROUND - SCALE * self.m[0]], scale: SCALE, mirror: mirror(case) }
    }
}

fn grow(range: &mut [f64; 2], value: f64) {
    range[0] = range[0].min(value);
    range[1] = range[1].max(value);
}

/// Every arrow of a construct, its start and its force: each of what acts, then their sum.
fn arrows(case: &Case, subject: &Subject<'_>) -> Vec<(Vec3, Vec3)> {
    let each = acts(case, subject).into_iter().map(|a| (a.from, a.force));
    each.chain([sum(case, subject)]).collect()
}

fn draw(
    canvas: &mut Canvas,
    case: &Case,
    subject: &Subject<'_>,
    theme: &Theme,
    view: &View,
    section: bool,
    per_newton: f64,
) {
    let f = &case.fragment;
    let flat = |p: Vec3| {
        if section { [p.dot(&f.outward), p.z] } else { [p.dot(&f.along), -p.dot(&f.down)] }
    };
    // Bed coordinates count from the middle of the chord.
    let origin = if section { Vec3::zeros() } else { f.bed_origin() };
    let shape: Vec<Point> = if section {
        bone::fragment_section(f).iter().map(|p| view.page(p[0], p[1])).collect()
    } else {
        outline(f).iter().map(|p| view.page(p[0], -p[1])).collect()
    };
    canvas.area(&shape, theme.fragment.tint(0.35));
    canvas.outline(&shape, Stroke::solid(theme.muted, theme.hair));
    if section {
        let (lip, margin) = ([f.chord_distance, f.chord_height], bone::margin(f));
        canvas.line(view.page(lip[0], lip[1]), view.page(margin[0], margin[1]), Stroke::solid(theme.ink, 1.3));
    }
    let page = |from: Vec3, force: Vec3| -> [Point; 2] {
        let [u, v] = flat(from - origin);
        let [a, b] = flat(force);
        let p = view.page(u, v);
        [p, [p[0] + view.mirror * a * per_newton, p[1] - b * per_newton]]
    };
    let all = arrows(case, subject);
    let drawn: Vec<[Point; 2]> = all.iter().map(|(p, force)| page(*p, *force)).collect();
    let mut clear = Clearance::default();
    for ends in &drawn {
        clear.keep_off(ends);
    }
    let acting = acts(case, subject);
    let groups = groups(acting.iter().map(|act| act.group));
    let last = drawn.len() - 1;
    arrow(canvas, drawn[last][0], drawn[last][1], Stroke::solid(theme.ink, 1.7));
    let mut numbers = Vec::new();
    for (k, (act, ends)) in acting.iter().zip(&drawn).enumerate() {
        let colour = theme.group(act.group, &groups);
        arrow(canvas, ends[0], ends[1], Stroke::solid(colour, 1.0));
        canvas.disc(ends[0], 0.55, theme.paper);
        canvas.disc(ends[0], 0.4, colour);
        let set = Type::new(theme.small, colour.shade(0.3)).face(Face::Bold);
        let text = (k + 1).to_string();
        let (dx, dy) = (ends[1][0] - ends[0][0], ends[1][1] - ends[0][1]);
        let l = dx.hypot(dy).max(1e-9);
        let size = [set.width(&text), set.capital()];
        numbers.push((text, size, ends[1], [dx / l, dy / l], set));
    }
    for (text, size, at, toward, set) in numbers {
        if let Some(r) = clear.place(size, at, toward, 0.5, 4.0) {
            canvas.text_on_patch(&text, [r.x, r.bottom()], set, theme.paper);
        }
    }
    let italic = Type::new(theme.small, theme.muted).face(Face::Italic);
    if !section {
        let [plus, minus] = ends(f);
        let low = view.page(0.0, -depths(f)[1])[1];
        let half = view.scale * f.half_chord;
        for (word, side) in [(plus, view.mirror), (minus, -view.mirror)] {
            let align = if side > 0.0 { Align::Right } else { Align::Left };
            let at = [view.origin[0] + side * (half + 4.0), low];
            let extent = italic.align(align).extent(word, at);
            if clear.is_free(&extent) {
                canvas.text(word, at, italic.align(align));
            }
        }
    }
}

fn scales(canvas: &mut Canvas, theme: &Theme, low: f64, longest: f64, per_newton: f64) {
    let set = Type::new(theme.small, theme.ink);
    let y = low - 1.8;
    let end = 2.0 + 5.0 * SCALE;
    canvas.line([2.0, y], [end, y], Stroke::solid(theme.ink, 1.5));
    canvas.text("5 mm of bone", [end + 1.2, y + 0.5 * set.capital()], set);
    let newtons = round_step(longest, 3);
    let x = end + 1.2 + set.width("5 mm of bone") + 6.0;
    let tip = x + newtons * per_newton;
    arrow(canvas, [x, y], [tip, y], Stroke::solid(theme.ink, 1.0));
    canvas.text(&format!("{newtons} N"), [tip + 1.2, y + 0.5 * set.capital()], set);
}

fn alt(case: &Case, subjects: &[Subject<'_>]) -> String {
    let rows: Vec<String> = subjects
        .iter()
        .map(|s| {
            let lines: Vec<String> = list(case, s)
                .iter()
                .map(|l| {
                    let [on, along] = l.parts.map(newtons);
                    format!("{}: {on} N on the bed, {along} N along it", l.name)
                })
                .collect();
            format!("{}: {}", s.construct.name, lines.join("; "))
        })
        .collect();
    format!(
        "Arrows of the force of each limb and head of a screw on the fragment, in section and square to the bed. {}.",
        rows.join(". ")
    )
}
