//! One picture of the animation: best and worst order beside each other, each with its list of ties.

use super::key::{Entry, Key};
use super::motion::Moment;
use super::profile::{Profile, Reach};
use super::scene::{Extent, Frame, Scene};
use super::stage::{Sequence, pose};
use super::words;
use crate::CAUTION;
use crate::mechanics::Pose;
use crate::show::figures::canvas::{Align, Canvas, Stroke, Type};
use crate::show::figures::colour::Colour;
use crate::show::figures::font::Face;
use crate::show::figures::label::Clearance;
use crate::show::figures::rect::{Point, Rect};
use crate::show::figures::theme::Theme;

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

const KEY: [Entry; 7] =
    [Entry::Scale, Entry::Anterior, Entry::Superior, Entry::Reduced, Entry::Start, Entry::Proud, Entry::Sunk];

/// The look of a slide: print sizes on a sheet of 180 mm, so that words are twice as large on a
/// screen of 13 inches.
pub(super) fn theme() -> Theme {
    Theme { text: 7.4, small: 6.2, title: 9.5, ..Theme::double() }
}

/// What does not change from picture to picture.
pub(super) struct Slide<'a> {
    scene: &'a Scene<'a>,
    rows: &'a [(Sequence<'a>, String)],
    extent: Extent,
    reach: Reach,
    scale: f64,
    panel: f64,
    lists: Vec<List>,
}

impl<'a> Slide<'a> {
    pub fn new(scene: &'a Scene<'a>, rows: &'a [(Sequence<'a>, String)]) -> Self {
        let stages = || rows.iter().flat_map(|(s, _)| &s.stages);
        let extent = scene.extent(stages());
        let [w, h] = extent.size();
        let panel = WIDTH / rows.len().max(1) as f64;
        let reach = Reach::of(scene, stages().map(|s| pose(&s.measures)));
        // View and profile one below the other, as large as both leave room for: the profile is as
        // wide as the view.
        let wide = panel - LIST - APART - 3.0;
        let tall = BOTTOM - TOP - ABOVE;
        let share = reach.height() / reach.length();
        let mut slide = Self {
            scene,
            rows,
            scale: (wide / w).min(tall / (h + share * w)).min(SCALE),
            reach,
            extent,
            panel,
            lists: Vec::new(),
        };
        // Words of one size in both lists.
        let room = [slide.room(), BOTTOM - TOP];
        let fit = |from: usize| -> Vec<(List, usize)> {
            let rows = rows.iter();
            rows.map(|(s, _)| List::fit(scene.theme, s, room, from)).collect()
        };
        let smallest = fit(0).iter().map(|f| f.1).max().unwrap_or(0);
        slide.lists = fit(smallest).into_iter().map(|f| f.0).collect();
        slide
    }

    /// Width of a view or of the profile below it, mm.
    fn view(&self) -> f64 {
        let w = self.scale * self.extent.size()[0];
        w.max(self.along(w) * self.reach.length())
    }

    /// Width of the list beside it, mm.
    fn room(&self) -> f64 {
        if self.rows.len() == 1 { 1.3 * LIST } else { self.panel - 4.0 - self.view() - APART }
    }

    /// Draws a moment of every order; with `traces`, also the outlines of the states before it.
    pub fn draw(&self, moments: &[Moment], traces: bool) -> Canvas {
        let theme = self.scene.theme;
        let mut canvas = Canvas::new(WIDTH, HEIGHT);
        for (k, moment) in moments.iter().enumerate() {
            let mut x = k as f64 * self.panel;
            if self.rows.len() == 1 {
                // One order alone stands in the middle.
                x = 0.5 * (WIDTH - self.view() - APART - self.room());
            }
            if k > 0 {
                let line = Stroke::solid(theme.faint, theme.hair);
                canvas.line([x, 2.0], [x, BOTTOM], line);
                x += 1.0;
            }
            self.panel(&mut canvas, k, moment, x + 1.2, traces);
        }
        let key = Key { scene: self.scene, scale: self.scale, entries: &KEY, room: WIDTH - 2.4 };
        key.draw(&mut canvas, [1.2, BOTTOM + 1.4]);
        let set = Type::new(5.7, theme.muted).align(Align::Centre);
        canvas.text(CAUTION, [0.5 * WIDTH, HEIGHT - 1.5], set);
        canvas
    }

    fn panel(&self, canvas: &mut Canvas, row: usize, moment: &Moment, x: f64, traces: bool) {
        let (sequence, heading) = &self.rows[row];
        let (scene, theme) = (self.scene, self.scene.theme);
        let bold = Type::new(theme.title, theme.ink).face(Face::Bold);
        canvas.text(heading, [x, 5.4], bold);
        let [w, h] = self.extent.size().map(|v| v * self.scale);
        let frame = scene.frame(&self.extent, self.scale, [x, TOP]);
        let poses: Vec<Pose> = sequence.stages.iter().map(|s| pose(&s.measures)).collect();
        let between = match (traces, poses.len()) {
            (true, n) if n > 2 => &poses[1..n - 1],
            _ => &[],
        };
        scene.draw(canvas, &frame, &moment.shown, &poses[0], between);
        if traces {
            self.numbers(canvas, &frame, &poses);
        }
        let profile = Profile::in_box(scene, &self.reach, self.along(w), [x, TOP + h + ABOVE]);
        let base = TOP + h + 3.6;
        let words = "step along the fracture line";
        canvas.text(words, [x, base], Type::new(theme.small, theme.muted));
        profile.draw(canvas, scene, &moment.shown.pose);
        profile.ends(canvas, scene, &self.reach);
        let left = x + self.view() + APART;
        let area = Rect::new(left, TOP, self.room(), BOTTOM - TOP);
        self.list(canvas, row, moment, area);
    }

    /// Scale of the profile below a view of this width.
    fn along(&self, width: f64) -> f64 {
        (width.max(LEAST) / self.reach.length()).min(1.8)
    }

    /// The ties of an order: those done with what they left, the one being made in bold, those to
    /// come pale.
    fn list(&self, canvas: &mut Canvas, row: usize, moment: &Moment, area: Rect) {
        let theme = self.scene.theme;
        let (sequence, list) = (&self.rows[row].0, &self.lists[row]);
        let &List { set, small, indent, values, squeeze, .. } = list;
        let mut y = area.y;
        for (k, lines) in list.titles.iter().enumerate() {
            let (colour, face) = match k.cmp(&moment.state) {
                std::cmp::Ordering::Less => (theme.ink, Face::Regular),
                std::cmp::Ordering::Equal => (theme.ink, Face::Bold),
                std::cmp::Ordering::Greater => (PALE, Face::Regular),
            };
            let line = set.face(face);
            let mut base = y + set.capital() + 0.4;
            let is_tie = k > 0 && k <= sequence.run.order.len();
            if is_tie {
                let set = Type { colour, ..line };
                canvas.text(&k.to_string(), [area.x, base], set.face(Face::Bold));
            }
            for text in lines {
                canvas.text(text, [area.x + indent, base], Type { colour, ..line });
                base += squeeze * set.leading();
            }
            y += squeeze * list.height(lines);
            let known = k < moment.state || (k == moment.state && !moment.moving);
            let at = |row: f64| [area.x + indent, base + squeeze * row * small.leading()];
            if k == moment.state && moment.moving && values > 0 {
                let set = Type { colour: theme.muted, ..small }.face(Face::Italic);
                canvas.text("moves (interpolated)", at(0.0), set);
            } else if let (true, Some(stage)) = (known, sequence.stages.get(k)) {
                let texts = [
                    format!("step {}", words::step(&stage.measures)),
                    format!("shift {}", words::shift(&stage.measures)),
                ];
                let bold = small.face(face);
                for (row, text) in texts.iter().take(values).enumerate() {
                    canvas.text(text, at(row as f64), bold);
                }
            } else if let (true, Some(why), true) = (known, &sequence.lost, values > 0) {
                let set = Type { colour: theme.series[1].shade(0.25), ..small };
                if k == sequence.stages.len() {
                    for (row, text) in words::lines(why, set, area.w - indent).iter().take(values).enumerate() {
                        canvas.text(text, at(row as f64), set.face(Face::Bold));
                    }
                }
            }
        }
    }

    /// The number of ties done beside the inferior tip of every state.
    fn numbers(&self, canvas: &mut Canvas, frame: &Frame, poses: &[Pose]) {
        let scene = self.scene;
        let theme = scene.theme;
        let set = Type::new(theme.small, theme.ink).face(Face::Bold);
        let down = -scene.case.fragment.along + scene.case.fragment.outward * 0.4;
        let toward = [scene.mirror() * down.x, -down.y];
        let tips: Vec<Point> = poses
            .iter()
            .map(|p| {
                let [x, y] = scene.body.tip(p);
                frame.view.page(x, y)
            })
            .collect();
        let mut clear = Clearance {
            bounds: Some(frame.window.grown(6.0)),
            boxes: tips.iter().map(|p| Rect::new(p[0], p[1], 0.0, 0.0).grown(0.5)).collect(),
            ..Clearance::default()
        };
        for (k, at) in tips.iter().enumerate() {
            let side = 2.0 * TAG;
            let Some(r) = clear.place([side, side], *at, toward, 1.6, 14.0) else {
                continue;
            };
            let middle = [r.x + TAG, r.y + TAG];
            canvas.line(*at, middle, Stroke::solid(theme.ink, 0.4));
            canvas.disc(*at, 0.5, theme.ink);
            canvas.disc(middle, TAG, theme.paper);
            canvas.circle(middle, TAG, Stroke::solid(theme.ink, 0.5));
            let text = k.to_string();
            let base = [middle[0], middle[1] + 0.5 * set.capital()];
            canvas.text(&text, base, set.align(Align::Centre));
        }
    }
}

/// Radius of a number's ring, mm.
const TAG: f64 = 1.6;
/// Room between a view and the highest step of the profile below it, mm.
const ABOVE: f64 = 8.2;
/// Least width of a profile, mm.
const LEAST: f64 = 30.0;

/// A list set as large as its room allows.
struct List {
    set: Type,
    small: Type,
    /// Where titles begin.
    indent: f64,
    /// Title of every state in lines.
    titles: Vec<Vec<String>>,
    /// Lines of numbers under each.
    values: usize,
    /// By how much lines are drawn together when even the smallest setting is too high.
    squeeze: f64,
}

impl List {
    /// The largest setting that fits into a width and height, of those from the place `from` on; with
    /// its place.
    fn fit(theme: &Theme, sequence: &Sequence<'_>, room: [f64; 2], from: usize) -> (Self, usize) {
        let of = |(scale, values): (f64, usize)| {
            let set = Type::new(scale * theme.text, theme.ink);
            let bold = set.face(Face::Bold);
            let indent = bold.width("0") + 1.6;
            let total = sequence.stages.len().max(sequence.run.order.len() + 1);
            Self {
                set,
                small: Type::new(scale * theme.small, theme.ink),
                indent,
                titles: (0..total).map(|k| words::lines(&title(sequence, k), bold, room[0] - indent)).collect(),
                values,
                squeeze: 1.0,
            }
        };
        let whole = |list: &Self| -> f64 { list.titles.iter().map(|t| list.height(t)).sum() };
        let fits = |list: &Self| {
            let words = "shift 9.99 mm inferior";
            whole(list) <= room[1] && list.indent + list.small.face(Face::Bold).width(words) <= room[0]
        };
        let settings = [(1.4, 2), (1.25, 2), (1.1, 2), (1.0, 2), (1.0, 1), (1.0, 0)];
        let last = settings.len() - 1;
        let place = (from..last).find(|k| fits(&of(settings[*k]))).unwrap_or(last);
        let mut list = of(settings[place]);
        list.squeeze = (room[1] / whole(&list)).min(1.0);
        (list, place)
    }

    /// Height of an entry, mm.
    fn height(&self, title: &[String]) -> f64 {
        title.len() as f64 * self.set.leading() + self.values as f64 * self.small.leading() + 1.6
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
