//! The cells of a strip: a view of the fragment, its profile below, and what is left to reduce.

use super::super::stage::{Sequence, Stage};
use super::super::study::{Moved, Study};
use super::super::words;
use crate::mechanics::Pose;
use crate::show::chart::*;
use crate::show::scene::Extent;
use crate::show::scene::profile::Reach;

/// Most states in one line.
const MOST: usize = 7;
/// Distance of columns, mm.
const GUTTER: f64 = 2.4;
/// Tallest view, mm, and most page mm per mm of bone.
const TALLEST: f64 = 58.0;
const SCALE: f64 = 2.2;
/// Room about a profile, mm.
const ROOM: f64 = 2.4;
/// Narrowest column that its words need, mm.
const NARROWEST: f64 = 36.0;

/// Measures that are the same for every cell.
pub(super) struct Grid<'a> {
    study: &'a Study<'a>,
    extent: Extent,
    /// Columns in one line.
    pub columns: usize,
    /// Width of a column.
    column: f64,
    /// Scale of the views and of the profiles.
    pub scale: f64,
    along: f64,
    reach: Reach,
    /// Lines of the longest title.
    title: usize,
    /// Whether a line for ties that make it worse is kept.
    worse: bool,
    /// Where the fragment was before tying.
    start: Pose,
}

impl<'a> Grid<'a> {
    pub fn new(study: &'a Study<'a>, rows: &[(Sequence<'_>, String)]) -> Self {
        let stages = || rows.iter().flat_map(|(s, _)| &s.stages);
        let extent = study.extent(stages());
        let most = rows.iter().map(|(s, _)| s.cells()).max().unwrap_or(1);
        let columns = most.div_ceil(most.div_ceil(MOST));
        let most_wide = (study.theme.width - 1.0 - GUTTER * (columns - 1) as f64) / columns as f64;
        let [w, h] = extent.size();
        let scale = (most_wide / w).min(TALLEST / h).min(SCALE);
        let column = most_wide.min((scale * w).max(NARROWEST) + 4.0);
        let reach = study.reach(rows);
        let lines = |title: &str| wrap_at_spaces(title, study.theme.words(), column - 4.6).len();
        let titles =
            stages().map(|s| lines(&s.title)).chain(rows.iter().map(|(s, _)| lines(&s.title_of(s.stages.len()))));
        Self {
            study,
            columns,
            column,
            scale,
            along: ((scale * w).max(0.9 * column.min(NARROWEST)) / reach.length()).min(1.6),
            reach,
            title: titles.max().unwrap_or(1),
            worse: stages().any(|s| !s.worse.is_empty()),
            start: stages().next().map_or_else(Pose::default, |s| s.measures.pose()),
            extent,
        }
    }

    fn titles(&self) -> f64 {
        1.4 + self.title as f64 * self.study.theme.words().leading()
    }

    fn profile(&self) -> f64 {
        2.0 * ROOM + self.along * self.reach.height()
    }

    /// Height of a line of cells.
    pub fn line(&self) -> f64 {
        let lines = 5 + usize::from(self.worse);
        let values = lines as f64 * (self.study.theme.note().leading() + 0.15);
        self.titles() + self.scale * self.extent.size()[1] + self.profile() + values + 3.6
    }

    /// Upper left corner of a cell.
    pub fn corner(&self, k: usize, first: f64) -> Point {
        let (row, column) = (k / self.columns, k % self.columns);
        [0.6 + column as f64 * (self.column + GUTTER), first + row as f64 * self.line()]
    }

    /// The window of a view in the cell at a corner.
    fn window(&self, at: Point) -> Rect {
        let [w, h] = self.extent.size().map(|v| v * self.scale);
        Rect::new(at[0], at[1] + self.titles(), w, h)
    }

    fn title(&self, canvas: &mut Canvas, number: Option<usize>, text: &str, at: Point) {
        let set = self.study.theme.words();
        let mut x = at[0];
        if let Some(number) = number.map(|n| n.to_string()) {
            canvas.text(&number, [x, at[1] + 3.0], set.bold());
            x += set.bold().width(&number) + 1.3;
        }
        canvas.lines(&wrap_at_spaces(text, set, self.column - (x - at[0]) - 0.5), [x, at[1] + 3.0], set);
    }

    /// The cell of a state.
    pub fn cell(&self, canvas: &mut Canvas, stage: &Stage, at: Point, last: bool) {
        let (study, theme) = (self.study, self.study.theme);
        let number = (stage.number > 0 && !stage.now.is_empty()).then_some(stage.number);
        self.title(canvas, number, &stage.title, at);
        let window = self.window(at);
        let moved = Moved::stage(stage);
        study.draw(canvas, (&self.extent, self.scale, window), &moved, &self.start, &[]);
        let profile = study.profile(&self.reach, self.along, [at[0], window.bottom() + ROOM]);
        profile.draw(canvas, &study.body, &moved.pose);
        if stage.number == 0 {
            profile.ends(canvas);
        }
        let (note, m) = (theme.note(), &stage.measures);
        let mut base = window.bottom() + self.profile() + note.capital();
        let value = theme.fine().face(if last { Face::Bold } else { Face::Regular });
        let values = [
            ("step", words::step(m)),
            ("gap", words::gap(m)),
            ("shift", words::shift(m)),
            ("tilt", words::degrees(m.tilt)),
            ("spin", words::degrees(m.spin)),
        ];
        let indent = note.widest(values.iter().map(|(label, _)| label)) + 1.0;
        for (label, words) in &values {
            canvas.text(label, [at[0], base], note);
            canvas.text(words, [at[0] + indent, base], value);
            base += note.leading() + 0.15;
        }
        if !stage.worse.is_empty() {
            let set = Type::new(theme.small, theme.series[1].shade(0.2)).bold();
            canvas.text(&format!("worse: {}", stage.worse.join(", ")), [at[0], base], set);
        }
    }

    /// The cell of a tie during which fixation fails.
    pub fn lost(&self, canvas: &mut Canvas, sequence: &Sequence<'_>, why: &str, at: Point) {
        let theme = self.study.theme;
        let number = sequence.run.hold.ties.len() + 1;
        self.title(canvas, Some(number), &sequence.title_of(number), at);
        let window = self.window(at);
        canvas.frame(window, theme.reference());
        let set = theme.words().bold().centred();
        let lines = wrap_at_spaces(why, set, window.w - 2.0);
        let [x, y] = window.middle();
        canvas.lines(&lines, [x, y - 0.5 * (lines.len() - 1) as f64 * set.leading()], set);
    }
}
