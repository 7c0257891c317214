//! One picture of the animation: best and worst order beside each other, each with its list of ties.

use super::key::{Entry, Key};
use super::motion::Moment;
use super::profile::{Profile, Reach};
use super::scene::{Extent, Frame, Scene};
use super::stage::{Sequence, pose};
use super::words;
use crate::figures::canvas::{Align, Canvas, Stroke, Type};
use crate::figures::colour::Colour;
use crate::figures::font::Face;
use crate::figures::label::Clearance;
use crate::figures::rect::{Point, Rect};
use crate::figures::theme::Theme;
use crate::figures::write::CAUTION;
use crate::mechanics::Pose;

/// Size of the sheet, mm: 16 to 9.
pub(super) const WIDTH: f64 = 180.0;
pub(super) const HEIGHT: f64 = 101.25;
/// Upper and lower end of the views, mm.
const TOP: f64 = 8.6;
const BOTTOM: f64 = 91.6;
/// Least width of the list beside a view, mm, and distance between both.
const LIST: f64 = 34.0;
const APART: f64 = 3.0;
/// Most page mm per mm of bone.
const SCALE: f64 = 3.2;

const KEY: [Entry; 7] = [
    Entry::Scale,
    Entry::Anterior,
    Entry::Superior,
    Entry::Reduced,
    Entry::Start,
    Entry::Proud,
    Entry::Sunk,
];

/// The look of a slide: print sizes on a sheet of 180 mm, so that words are twice as large on a
/// screen of 13 inches.
pub(super) fn theme() -> Theme {
    Theme {
        text: 7.4,
        small: 6.2,
        title: 9.5,
        ..Theme::double()
    }
}

/// What does not change from picture to picture.
pub(super) struct Slide<'a> {
    scene: &'a Scene<'a>,
    rows: &'a [(Sequence<'a>, String)],
    extent: Extent,
    reach: Reach,
    scale: f64,
    panel: f64,
}

impl<'a> Slide<'a> {
    pub fn new(scene: &'a Scene<'a>, rows: &'a [(Sequence<'a>, String)]) -> Self {
        let stages = || rows.iter().flat_map(|(s, _)| &s.stages);
        let extent = scene.extent(stages());
        let [w, h] = extent.size();
        let panel = WIDTH / rows.len().max(1) as f64;
        Self {
            scene,
            rows,
            reach: Reach::of(scene, stages().map(|s| pose(&s.measures))),
            scale: ((BOTTOM - TOP) / h)
                .min((panel - LIST - APART - 3.0) / w)
                .min(SCALE),
            extent,
            panel,
        }
    }

    /// Draws a moment of every order; with `traces`, also the outlines of the states before it.
    pub fn draw(&self, moments: &[Moment], traces: bool) -> Canvas {
        let theme = self.scene.theme;
        let mut canvas = Canvas::new(WIDTH, HEIGHT);
        for (k, ((sequence, heading), moment)) in self.rows.iter().zip(moments).enumerate() {
            let mut x = k as f64 * self.panel;
            if k > 0 {
                let line = Stroke::solid(theme.faint, theme.hair);
                canvas.line([x, 2.0], [x, BOTTOM], line);
                x += 1.0;
            }
            self.panel(&mut canvas, sequence, heading, moment, x + 1.2, traces);
        }
        let key = Key {
            scene: self.scene,
            scale: self.scale,
            entries: &KEY,
            room: WIDTH - 2.4,
        };
        key.draw(&mut canvas, [1.2, BOTTOM + 1.4]);
        let set = Type::new(5.6, theme.muted).align(Align::Centre);
        canvas.text(CAUTION, [0.5 * WIDTH, HEIGHT - 1.5], set);
        canvas
    }

    fn panel(
        &self,
        canvas: &mut Canvas,
        sequence: &Sequence<'_>,
        heading: &str,
        moment: &Moment,
        x: f64,
        traces: bool,
    ) {
        let (scene, theme) = (self.scene, self.scene.theme);
        let bold = Type::new(theme.title, theme.ink).face(Face::Bold);
        canvas.text(heading, [x, 5.4], bold);
        let [w, h] = self.extent.size().map(|v| v * self.scale);
        let top = TOP + 0.5 * (BOTTOM - TOP - h);
        let frame = scene.frame(&self.extent, self.scale, [x, top]);
        let start = pose(&sequence.stages[0].measures);
        scene.draw(canvas, &frame, &moment.shown, &start);
        if traces {
            self.traces(canvas, sequence, &frame);
        }
        let left = x + w + APART;
        let room = (self.panel - w - APART - 3.4).min(60.0);
        let along = (room / self.reach.length()).min(1.7);
        let high = along * self.reach.height();
        let set = Type::new(theme.text, theme.ink);
        self.list(
            canvas,
            sequence,
            moment,
            Rect::new(left, TOP, room, BOTTOM - TOP - high - 13.0),
        );
        let base = BOTTOM - high - 2.0;
        let words = "Step along the fracture line";
        canvas.text(
            words,
            [left, base - 5.4],
            Type::new(theme.small, theme.muted),
        );
        let profile = Profile::in_box(scene, &self.reach, along, [left, base]);
        profile.draw(canvas, scene, &moment.shown.pose);
        if set.width("inferiorsuperior") < along * 2.0 * scene.case.fragment.half_chord {
            profile.ends(canvas, scene, &moment.shown.pose, ["inferior", "superior"]);
        }
    }

    /// The ties of an order: those done with what they left, the one being made in bold, those to
    /// come pale.
    fn list(&self, canvas: &mut Canvas, sequence: &Sequence<'_>, moment: &Moment, area: Rect) {
        let theme = self.scene.theme;
        let set = Type::new(theme.text, theme.ink);
        let small = Type::new(theme.small, theme.ink);
        let total = self.states(sequence);
        let indent = set.face(Face::Bold).width("0") + 1.6;
        let titles: Vec<Vec<String>> = (0..total)
            .map(|k| {
                let bold = set.face(Face::Bold);
                words::lines(&title(sequence, k), bold, area.w - indent)
            })
            .collect();
        // As many lines of numbers under each tie as there is room for.
        let heights = |values: f64| -> f64 {
            titles
                .iter()
                .map(|t| t.len() as f64 * set.leading() + values * small.leading() + 1.6)
                .sum()
        };
        let values = [2, 1, 0]
            .into_iter()
            .find(|n| heights(f64::from(*n)) <= area.h)
            .unwrap_or(0);
        let squeeze = (area.h / heights(f64::from(values))).min(1.0);
        let mut y = area.y;
        for (k, lines) in titles.iter().enumerate() {
            let (colour, face) = match k.cmp(&moment.state) {
                std::cmp::Ordering::Less => (theme.ink, Face::Regular),
                std::cmp::Ordering::Equal => (theme.ink, Face::Bold),
                std::cmp::Ordering::Greater => (PALE, Face::Regular),
            };
            let line = set.face(face);
            let mut base = y + set.capital() + 0.4;
            if k > 0 && k <= sequence.run.order.len() {
                let set = Type { colour, ..line };
                canvas.text(&k.to_string(), [area.x, base], set.face(Face::Bold));
            }
            for text in lines {
                canvas.text(text, [area.x + indent, base], Type { colour, ..line });
                base += squeeze * set.leading();
            }
            y += squeeze
                * (lines.len() as f64 * set.leading() + f64::from(values) * small.leading() + 1.6);
            let known = k < moment.state || (k == moment.state && !moment.moving);
            let at = |row: f64| [area.x + indent, base + squeeze * row * small.leading()];
            if k == moment.state && moment.moving && values > 0 {
                let set = Type::new(theme.small, theme.muted).face(Face::Italic);
                canvas.text("moves (interpolated)", at(0.0), set);
            } else if let (true, Some(stage)) = (known, sequence.stages.get(k)) {
                let texts = [
                    format!("step {}", words::step(&stage.measures)),
                    format!("shift {}", words::shift(&stage.measures)),
                ];
                let bold = small.face(face);
                for (row, text) in texts.iter().take(values as usize).enumerate() {
                    canvas.text(text, at(row as f64), bold);
                }
            } else if let (true, Some(why), true) = (known, &sequence.lost, values > 0) {
                let set = Type::new(theme.small, theme.series[1].shade(0.25));
                if k == sequence.stages.len() {
                    for (row, text) in words::lines(why, set, area.w - indent)
                        .iter()
                        .take(values as usize)
                        .enumerate()
                    {
                        canvas.text(text, at(row as f64), set.face(Face::Bold));
                    }
                }
            }
        }
    }

    /// States in an order's list, reached or not.
    fn states(&self, sequence: &Sequence<'_>) -> usize {
        sequence.stages.len().max(sequence.run.order.len() + 1)
    }

    /// Outlines of the states before the last, numbered.
    fn traces(&self, canvas: &mut Canvas, sequence: &Sequence<'_>, frame: &Frame) {
        let scene = self.scene;
        let last = sequence.stages.len() - 1;
        let set = Type::new(scene.theme.small, scene.theme.ink).face(Face::Bold);
        let mut clear = Clearance {
            bounds: Some(frame.window.grown(3.0)),
            ..Clearance::default()
        };
        let mut rims: Vec<(String, Point)> = Vec::new();
        for (k, stage) in sequence.stages.iter().enumerate() {
            let there = pose(&stage.measures);
            if k > 0 && k < last {
                let ink = scene.theme.ink.tint(0.25);
                scene.outline_of(canvas, frame, &there, Stroke::solid(ink, 0.6));
            }
            let p = scene.body.middle_of_rim(&there);
            rims.push((k.to_string(), frame.view.page(p[0], p[1])));
        }
        for (text, at) in rims {
            let out = scene.case.fragment.outward;
            let toward = [scene.mirror() * out.x, -out.y];
            let size = [set.width(&text), set.capital()];
            if let Some(r) = clear.place(size, at, toward, 1.4, 9.0) {
                let middle = [r.x + 0.5 * r.w, r.y + 0.5 * r.h];
                canvas.disc(at, 0.45, scene.theme.ink);
                canvas.line(at, middle, Stroke::solid(scene.theme.ink, 0.4));
                canvas.disc(middle, 1.5, scene.theme.paper);
                canvas.circle(middle, 1.5, Stroke::solid(scene.theme.ink, 0.4));
                canvas.text(&text, [r.x, r.bottom()], set);
            }
        }
    }
}

/// Ties to come.
const PALE: Colour = Colour(165, 165, 165);

fn title(sequence: &Sequence<'_>, k: usize) -> String {
    match sequence.stages.get(k) {
        Some(stage) => stage.title.clone(),
        None => sequence.title_of(k),
    }
}
