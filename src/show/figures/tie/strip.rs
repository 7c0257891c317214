//! Figure "tie-strip": one view en face a tie, best and worst order on one scale.

use super::key::{Entry, Key};
use super::profile::{Profile, Reach};
use super::scene::{Extent, Scene, Shown};
use super::stage::{self, Sequence, Stage};
use super::words;
use crate::mechanics::Pose;
use crate::show::figures::canvas::{Align, Canvas, Stroke, Type};
use crate::show::figures::figure::Figure;
use crate::show::figures::font::Face;
use crate::show::figures::rect::{Point, Rect};
use crate::study::result::Orders;

/// Most states in one line.
const MOST: usize = 7;
/// Distance of columns, mm.
const GUTTER: f64 = 2.4;
/// Tallest view, mm, and most page mm per mm of bone.
const TALLEST: f64 = 58.0;
const SCALE: f64 = 2.2;
/// Room for the words "step", "gap", … mm.
const LABEL: f64 = 5.4;
/// Room about a profile, mm.
const ROOM: f64 = 2.4;
/// Narrowest column that its words need, mm.
const NARROWEST: f64 = 36.0;

const KEY: [Entry; 9] = [
    Entry::Scale,
    Entry::Anterior,
    Entry::Superior,
    Entry::Reduced,
    Entry::Start,
    Entry::Now,
    Entry::Earlier,
    Entry::Proud,
    Entry::Sunk,
];

/// Measures that are the same for every cell.
struct Grid<'a> {
    scene: &'a Scene<'a>,
    extent: Extent,
    /// Columns in one line.
    columns: usize,
    /// Width of a column.
    column: f64,
    /// Scale of the views and of the profiles.
    scale: f64,
    along: f64,
    reach: Reach,
    /// Lines of the longest title.
    title: usize,
    /// Whether a line for ties that make it worse is kept.
    worse: bool,
    /// Where the fragment was before tying.
    start: Pose,
}

/// Draws the strip of the given orders, each with its heading.
pub(super) fn strip(scene: &Scene<'_>, orders: &Orders, rows: &[(Sequence<'_>, String)], csv: String) -> Figure {
    let theme = scene.theme;
    let grid = Grid::new(scene, rows);
    let bold = Type::new(theme.title, theme.ink).face(Face::Bold);
    let set = Type::new(theme.text, theme.muted);
    let chains: Vec<Vec<String>> = rows
        .iter()
        .map(|(sequence, heading)| {
            let first = bold.width(heading) + 6.5;
            let chain = words::chain(sequence);
            // Behind the heading when it fits there, otherwise below.
            if first + set.width(&chain) < theme.width - 1.0 {
                vec![chain]
            } else {
                let mut lines = vec![String::new()];
                lines.extend(words::lines(&chain, set, theme.width - 6.0));
                lines
            }
        })
        .collect();
    let line = grid.line();
    let height_of = |row: usize| {
        let lines = rows[row].0.cells().div_ceil(grid.columns);
        4.6 + (chains[row].len() - 1) as f64 * set.leading() + lines as f64 * line
    };
    let key = Key { scene, scale: grid.scale, entries: &KEY, room: theme.width - 2.0 };
    let body: f64 = (0..rows.len()).map(height_of).sum();
    let mut canvas = Canvas::new(theme.width, body + 1.0 + key.height());
    let mut top = 0.0;
    for (row, (sequence, heading)) in rows.iter().enumerate() {
        if rows.len() > 1 {
            let letter = char::from(b'a' + row as u8).to_string();
            canvas.text(&letter, [0.6, top + 3.4], bold);
        }
        let indent = if rows.len() > 1 { 4.4 } else { 0.6 };
        canvas.text(heading, [indent, top + 3.4], bold);
        let mut base = top + 3.4;
        for (k, words) in chains[row].iter().enumerate() {
            let x = if k == 0 { indent + bold.width(heading) + 2.4 } else { indent };
            canvas.text(words, [x, base], set);
            base += set.leading();
        }
        let first = top + 4.6 + (chains[row].len() - 1) as f64 * set.leading();
        for (k, stage) in sequence.stages.iter().enumerate() {
            let at = grid.corner(k, first);
            grid.cell(&mut canvas, stage, at, k + 1 == sequence.stages.len());
        }
        if let Some(lost) = &sequence.lost {
            let k = sequence.stages.len();
            grid.lost(&mut canvas, sequence, lost, grid.corner(k, first));
        }
        top += height_of(row);
    }
    key.draw(&mut canvas, [1.0, top + 1.0]);
    Figure::new("tie-strip", canvas, csv, caption(scene, orders, rows), alt(rows))
}

impl<'a> Grid<'a> {
    fn new(scene: &'a Scene<'a>, rows: &[(Sequence<'_>, String)]) -> Self {
        let theme = scene.theme;
        let stages = || rows.iter().flat_map(|(s, _)| &s.stages);
        let extent = scene.extent(stages());
        let most = rows.iter().map(|(s, _)| s.cells()).max().unwrap_or(1);
        let lines = most.div_ceil(MOST);
        let columns = most.div_ceil(lines);
        let gutters = GUTTER * (columns - 1) as f64;
        let most_wide = (theme.width - 1.0 - gutters) / columns as f64;
        let [w, h] = extent.size();
        let scale = (most_wide / w).min(TALLEST / h).min(SCALE);
        let column = most_wide.min((scale * w).max(NARROWEST) + 4.0);
        let reach = Reach::of(scene, stages().map(|s| stage::pose(&s.measures)));
        let set = Type::new(theme.text, theme.ink);
        let title = stages()
            .map(|s| words::lines(&s.title, set, column - 4.6).len())
            .chain(rows.iter().map(|(s, _)| {
                let next = s.stages.len();
                words::lines(&s.title_of(next), set, column - 4.6).len()
            }))
            .max()
            .unwrap_or(1);
        Self {
            scene,
            columns,
            column,
            scale,
            along: ((scale * w).max(0.9 * column.min(NARROWEST)) / reach.length()).min(1.6),
            reach,
            title,
            worse: stages().any(|s| !s.worse.is_empty()),
            start: stages().next().map_or_else(Pose::default, |s| stage::pose(&s.measures)),
            extent,
        }
    }

    fn view(&self) -> f64 {
        self.scale * self.extent.size()[1]
    }

    fn titles(&self) -> f64 {
        let set = Type::new(self.scene.theme.text, self.scene.theme.ink);
        1.4 + self.title as f64 * set.leading()
    }

    fn profile(&self) -> f64 {
        2.0 * ROOM + self.along * self.reach.height()
    }

    fn small(&self) -> Type {
        Type::new(self.scene.theme.small, self.scene.theme.muted)
    }

    /// Height of a line of cells.
    fn line(&self) -> f64 {
        let lines = 5 + usize::from(self.worse);
        self.titles() + self.view() + self.profile() + lines as f64 * (self.small().leading() + 0.15) + 3.6
    }

    /// Upper left corner of a cell.
    fn corner(&self, k: usize, first: f64) -> Point {
        let (row, column) = (k / self.columns, k % self.columns);
        [0.6 + column as f64 * (self.column + GUTTER), first + row as f64 * self.line()]
    }

    fn title(&self, canvas: &mut Canvas, number: Option<usize>, text: &str, at: Point) {
        let theme = self.scene.theme;
        let set = Type::new(theme.text, theme.ink);
        let mut base = at[1] + 3.0;
        let mut x = at[0];
        if let Some(number) = number {
            let text = number.to_string();
            let bold = set.face(Face::Bold);
            canvas.text(&text, [x, base], bold);
            x += bold.width(&text) + 1.3;
        }
        for line in words::lines(text, set, self.column - (x - at[0]) - 0.5) {
            canvas.text(&line, [x, base], set);
            base += set.leading();
        }
    }

    fn cell(&self, canvas: &mut Canvas, stage: &Stage, at: Point, last: bool) {
        let (scene, theme) = (self.scene, self.scene.theme);
        let number = (stage.number > 0 && !stage.now.is_empty()).then_some(stage.number);
        self.title(canvas, number, &stage.title, at);
        let top = at[1] + self.titles();
        let frame = scene.frame(&self.extent, self.scale, [at[0], top]);
        let pose = stage::pose(&stage.measures);
        scene.draw(canvas, &frame, &Shown::stage(stage), &self.start, &[]);
        let below = top + self.view();
        let profile = Profile::in_box(scene, &self.reach, self.along, [at[0], below + ROOM]);
        profile.draw(canvas, scene, &pose);
        if stage.number == 0 {
            profile.ends(canvas, scene, &self.reach);
        }
        let mut base = below + self.profile() + self.small().capital();
        let m = &stage.measures;
        let value = Type::new(theme.small, theme.ink).face(if last { Face::Bold } else { Face::Regular });
        for (label, words) in [
            ("step", words::step(m)),
            ("gap", words::gap(m)),
            ("shift", words::shift(m)),
            ("tilt", words::degrees(m.tilt)),
            ("spin", words::degrees(m.spin)),
        ] {
            canvas.text(label, [at[0], base], self.small());
            canvas.text(&words, [at[0] + LABEL, base], value);
            base += self.small().leading() + 0.15;
        }
        if !stage.worse.is_empty() {
            let set = Type::new(theme.small, theme.series[1].shade(0.2)).face(Face::Bold);
            let words = format!("worse: {}", stage.worse.join(", "));
            canvas.text(&words, [at[0], base], set);
        }
    }

    /// The cell of a tie during which the fragment was lost.
    fn lost(&self, canvas: &mut Canvas, sequence: &Sequence<'_>, why: &str, at: Point) {
        let theme = self.scene.theme;
        let number = sequence.run.hold.ties.len() + 1;
        self.title(canvas, Some(number), &sequence.title_of(number), at);
        let [w, h] = self.extent.size().map(|v| v * self.scale);
        let window = Rect::new(at[0], at[1] + self.titles(), w, h);
        let frame = crate::show::figures::canvas::corners(window);
        canvas.outline(&frame, Stroke::solid(theme.faint, theme.hair));
        let set = Type::new(theme.text, theme.ink).face(Face::Bold);
        let lines = words::lines(why, set, w - 2.0);
        let mut base = window.y + 0.5 * h - 0.5 * (lines.len() - 1) as f64 * set.leading();
        for line in lines {
            canvas.text(&line, [window.x + 0.5 * w, base], set.align(Align::Centre));
            base += set.leading();
        }
    }
}

fn caption(scene: &Scene<'_>, orders: &Orders, rows: &[(Sequence<'_>, String)]) -> String {
    let named: Vec<String> = rows
        .iter()
        .enumerate()
        .map(|(k, (sequence, heading))| {
            let letter = if rows.len() > 1 { format!("({}) ", char::from(b'a' + k as u8)) } else { String::new() };
            format!("{letter}{heading}: {}", words::chain(sequence))
        })
        .collect();
    format!(
        "What each tie does to the fragment: construct {} on the case {}, {}, en face from lateral, every state solved. {}. All views have one scale. Dashed: outline of the reduced fragment; darker bone: bed that the fragment does not cover; dotted: the fragment before tying. {}; pale: {} tied before. Full lines are bridges, hollow lines loops, dashed where they run behind bone; an eye is an anchor on the face, a broken ring one behind the bone, a diamond a bite, a bar a crossing over bone{}. Below each view, true to scale: the fragment's articular edge (thick) along the fracture line against the intact edge (thin), lateral upward; hatched where it stands proud, plain where it is sunk. Residuals: largest step and gap (open, or pressed into the bed) along the fracture line, inferior shift of the end or middle that is shifted most, turn about the chord (tilt, positive sitting up) and about the bed's normal (spin). Worse: in what the tie left the fragment lying more than {} mm worse than before it. {}",
        orders.construct,
        scene.case.name,
        words::side(scene.case),
        named.join(". "),
        words::emphasis(scene.construct),
        scene.members(),
        words::screws(scene.construct),
        orders.band,
        words::choice(orders)
    )
}

fn alt(rows: &[(Sequence<'_>, String)]) -> String {
    let parts: Vec<String> = rows
        .iter()
        .map(|(sequence, heading)| {
            let mut states: Vec<String> = sequence.stages.iter().map(words::spoken).collect();
            states.extend(sequence.lost.clone());
            format!("{heading}. {}", states.join("; "))
        })
        .collect();
    format!("Rows of scale drawings of a rim fragment seen en face, one drawing a tie. {}.", parts.join(". "))
}
