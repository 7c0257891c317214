//! One picture of the animation: best and worst order beside each other, each with its list of ties.

use super::animation::Moment;
use super::*;
use crate::CAUTION;
use std::cmp::Ordering;

/// Size of the sheet, mm: 16 to 9.
const WIDTH: f64 = 180.0;
const HEIGHT: f64 = 101.25;
/// Upper and lower end of the views, mm.
const TOP: f64 = 8.6;
const BOTTOM: f64 = 91.6;
/// Least width of the list beside a view, mm, and distance between both.
const LIST: f64 = 34.0;
const APART: f64 = 3.0;
/// Most page mm per mm of bone.
const SCALE: f64 = 3.2;
/// Radius of a number's ring, mm.
const TAG: f64 = 1.6;
/// Room between a view and the highest step of the profile below it, mm.
const ABOVE: f64 = 8.2;

/// The look of a slide: print sizes on a sheet of 180 mm, so that words are twice as large on a
/// screen of 13 inches.
pub(super) fn theme() -> Theme {
    Theme { text: 7.4, small: 6.2, title: 9.5, ..Theme::double() }
}

/// What does not change from picture to picture.
pub(super) struct Slide<'a> {
    study: &'a Study<'a>,
    rows: &'a [(Sequence<'a>, String)],
    extent: Extent,
    reach: Reach,
    scale: f64,
    panel: f64,
    lists: Vec<List>,
}

impl<'a> Slide<'a> {
    pub fn new(study: &'a Study<'a>, rows: &'a [(Sequence<'a>, String)]) -> Self {
        let extent = study.extent(rows.iter().flat_map(|(s, _)| &s.stages));
        let [w, h] = extent.size();
        let panel = WIDTH / rows.len().max(1) as f64;
        let reach = study.reach(rows);
        // View and profile one below the other on one scale, as large as both leave room for.
        let wide = panel - LIST - APART - 3.0;
        let tall = BOTTOM - TOP - ABOVE;
        let scale = (wide / w.max(reach.length())).min(tall / (h + reach.height())).min(SCALE);
        let mut slide = Self { study, rows, scale, reach, extent, panel, lists: Vec::new() };
        // Words of one size in both lists.
        let room = [slide.room(), BOTTOM - TOP];
        let fit = |from: usize| rows.iter().map(move |(s, _)| List::fit(study.theme, s, room, from));
        let smallest = fit(0).map(|(_, place)| place).max().unwrap_or(0);
        slide.lists = fit(smallest).map(|(list, _)| list).collect();
        slide
    }

    /// Width of a view or of the profile below it, mm.
    fn view(&self) -> f64 {
        self.scale * self.extent.size()[0].max(self.reach.length())
    }

    /// Width of the list beside it, mm.
    fn room(&self) -> f64 {
        if self.rows.len() == 1 { 1.3 * LIST } else { self.panel - 4.0 - self.view() - APART }
    }

    /// Draws a moment of every order; with `traces`, also the outlines of the states before it.
    pub fn draw(&self, moments: &[Moment], traces: bool) -> Canvas {
        let theme = self.study.theme;
        let mut canvas = Canvas::new(WIDTH, HEIGHT);
        for (k, moment) in moments.iter().enumerate() {
            let mut x = k as f64 * self.panel;
            if self.rows.len() == 1 {
                // One order alone stands in the middle.
                x = 0.5 * (WIDTH - self.view() - APART - self.room());
            }
            if k > 0 {
                canvas.line([x, 2.0], [x, BOTTOM], theme.reference());
                x += 1.0;
            }
            self.panel(&mut canvas, k, moment, x + 1.2, traces);
        }
        key(self.study, self.scale, false, WIDTH - 2.4).draw(&mut canvas, [1.2, BOTTOM + 1.2]);
        let set = Type::new(5.7, theme.muted).centred();
        canvas.text(CAUTION, [0.5 * WIDTH, HEIGHT - 1.5], set);
        canvas
    }

    fn panel(&self, canvas: &mut Canvas, row: usize, moment: &Moment, x: f64, traces: bool) {
        let (sequence, heading) = &self.rows[row];
        let (study, theme) = (self.study, self.study.theme);
        canvas.text(heading, [x, 5.4], theme.heading());
        let [w, h] = self.extent.size().map(|v| v * self.scale);
        let poses: Vec<Pose> = sequence.stages.iter().map(|s| s.measures.pose()).collect();
        let between = if traces && poses.len() > 2 { &poses[1..poses.len() - 1] } else { &[] };
        let window = Rect::new(x, TOP, w, h);
        let view = study.draw(canvas, (&self.extent, self.scale, window), &moment.shown, &poses[0], between);
        if traces {
            self.numbers(canvas, &view, window, &poses);
        }
        canvas.text("step-off along the fracture line", [x, TOP + h + 3.6], theme.note());
        let profile = Profile::in_box(study.case, theme, &self.reach, self.scale, [x, TOP + h + ABOVE]);
        profile.draw(canvas, &study.body, &moment.shown.pose);
        profile.ends(canvas);
        let area = Rect::new(x + self.view() + APART, TOP, self.room(), BOTTOM - TOP);
        self.lists[row].draw(canvas, theme, sequence, moment, area);
    }

    /// The number of ties done beside the inferior tip of every state.
    fn numbers(&self, canvas: &mut Canvas, view: &View<'_>, window: Rect, poses: &[Pose]) {
        let (theme, f) = (self.study.theme, &self.study.case.fragment);
        let set = theme.fine().bold().centred();
        let down = -f.along + f.outward * 0.4;
        let tips: Vec<Point> = poses.iter().map(|p| view.page(self.study.body.tip(p))).collect();
        let mut clear = Clearance::inside(window.grown(6.0));
        tips.iter().for_each(|p| clear.take(*p, 0.5));
        for (k, at) in tips.iter().enumerate() {
            let toward = [view.mirror * down.x, -down.y];
            let Some(r) = clear.place([2.0 * TAG, 2.0 * TAG], *at, toward, 1.6, 14.0) else { continue };
            let middle = r.middle();
            canvas.line(*at, middle, Stroke::solid(theme.ink, 0.4));
            canvas.disc(*at, 0.5, theme.ink);
            ring(canvas, middle, TAG, theme.paper, Stroke::solid(theme.ink, 0.5));
            canvas.text(&k.to_string(), [middle[0], middle[1] + 0.5 * set.capital()], set);
        }
    }
}

/// Ties to come.
const PALE: Colour = Colour(165, 165, 165);

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
    pub fn fit(theme: &Theme, sequence: &Sequence<'_>, room: [f64; 2], from: usize) -> (Self, usize) {
        let of = |(scale, values): (f64, usize)| {
            let set = Type::new(scale * theme.text, theme.ink);
            let indent = set.bold().width("0") + 1.6;
            let total = sequence.stages.len().max(sequence.run.order.len() + 1);
            let title = |k: usize| sequence.stages.get(k).map_or_else(|| sequence.title_of(k), |s| s.title.clone());
            Self {
                set,
                small: Type::new(scale * theme.small, theme.ink),
                indent,
                titles: (0..total).map(|k| wrap_at_spaces(&title(k), set.bold(), room[0] - indent)).collect(),
                values,
                squeeze: 1.0,
            }
        };
        let whole = |list: &Self| -> f64 { list.titles.iter().map(|t| list.height(t)).sum() };
        let fits = |list: &Self| {
            let widest = list.indent + list.small.bold().width("step-off 9.99 mm recessed");
            whole(list) <= room[1] && widest <= room[0]
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

    /// Writes it into an area, as it stands at a moment.
    pub fn draw(&self, canvas: &mut Canvas, theme: &Theme, sequence: &Sequence<'_>, moment: &Moment, area: Rect) {
        let mut y = area.y;
        for (k, lines) in self.titles.iter().enumerate() {
            let (colour, face) = match k.cmp(&moment.state) {
                Ordering::Less => (theme.ink, Face::Normal),
                Ordering::Equal => (theme.ink, Face::Bold),
                Ordering::Greater => (PALE, Face::Normal),
            };
            let set = Type { colour, ..self.set.face(face) };
            let mut base = y + set.capital() + 0.4;
            if k > 0 && k <= sequence.run.order.len() {
                canvas.text(&k.to_string(), [area.x, base], set.bold());
            }
            let x = area.x + self.indent;
            for text in lines {
                canvas.text(text, [x, base], set);
                base += self.squeeze * set.leading();
            }
            y += self.squeeze * self.height(lines);
            let (lines, set) = self.under(theme, sequence, moment, k, area.w - self.indent, face);
            for (row, text) in lines.iter().take(self.values).enumerate() {
                canvas.text(text, [x, base + self.squeeze * row as f64 * self.small.leading()], set);
            }
        }
    }

    /// What stands under the title of a state: what the tie left, or why fixation fails.
    fn under(
        &self,
        theme: &Theme,
        sequence: &Sequence<'_>,
        moment: &Moment,
        k: usize,
        room: f64,
        face: Face,
    ) -> (Vec<String>, Type) {
        let small = self.small;
        if k == moment.state && moment.moving {
            let set = Type { colour: theme.muted, ..small }.italic();
            return (vec!["moves (interpolated)".to_owned()], set);
        }
        match (sequence.stages.get(k), &sequence.lost) {
            (Some(stage), _) if k <= moment.state => {
                let m = &stage.measures;
                (vec![format!("step-off {}", step(m)), format!("shift {}", shift(m))], small.face(face))
            }
            (None, Some(why)) if k <= moment.state && k == sequence.stages.len() => {
                let set = Type { colour: theme.series[1].shade(0.25), ..small };
                (wrap_at_spaces(why, set, room), set.bold())
            }
            _ => (Vec::new(), small),
        }
    }
}
