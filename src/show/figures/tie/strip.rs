//! Figure "tie-strip": one view en face a tie, best and worst order on one scale.

use super::*;

/// Draws the strip of the given orders, each with its heading.
pub(super) fn strip(study: &Study<'_>, orders: &Orders, rows: &[(Sequence<'_>, String)]) -> Figure {
    let theme = study.theme;
    let grid = Grid::new(study, rows);
    let (bold, set) = (theme.heading(), Type { colour: theme.muted, ..theme.words() });
    let chain_of = |(sequence, heading): &(Sequence<'_>, String)| {
        let chain = chain(sequence);
        // Behind the heading when it fits there, otherwise below.
        if bold.width(heading) + 6.5 + set.width(&chain) < theme.width - 1.0 {
            return vec![chain];
        }
        let below = wrap_at_spaces(&chain, set, theme.width - 6.0);
        std::iter::once(String::new()).chain(below).collect()
    };
    let chains: Vec<Vec<String>> = rows.iter().map(chain_of).collect();
    let above = |row: usize| 4.6 + (chains[row].len() - 1) as f64 * set.leading();
    let height_of = |row: usize| above(row) + rows[row].0.cells().div_ceil(grid.columns) as f64 * grid.line();
    let key = key(study, grid.scale, true, theme.width - 2.0);
    let failed: Vec<String> = failed(study, orders, rows)
        .iter()
        .flat_map(|words| wrap_at_spaces(words, theme.words(), theme.width - 6.0))
        .collect();
    let body: f64 = (0..rows.len()).map(height_of).sum();
    let low = failed.len() as f64 * set.leading() + 1.4;
    let mut canvas = Canvas::new(theme.width, body + low + key.height());
    let mut top = 0.0;
    for (row, (sequence, heading)) in rows.iter().enumerate() {
        let indent = if rows.len() > 1 { 4.4 } else { 0.6 };
        if rows.len() > 1 {
            canvas.text(&letter(row), [0.6, top + 3.4], bold);
        }
        canvas.text(heading, [indent, top + 3.4], bold);
        canvas.text(&chains[row][0], [indent + bold.width(heading) + 2.4, top + 3.4], set);
        canvas.lines(&chains[row][1..], [indent, top + 3.4 + set.leading()], set);
        let first = top + above(row);
        for (k, stage) in sequence.stages.iter().enumerate() {
            grid.cell(&mut canvas, stage, grid.corner(k, first), k + 1 == sequence.stages.len());
        }
        if let Some(lost) = &sequence.lost {
            grid.lost(&mut canvas, sequence, lost, grid.corner(sequence.stages.len(), first));
        }
        top += height_of(row);
    }
    canvas.lines(&failed, [4.4, top + set.capital()], theme.words());
    key.draw(&mut canvas, [1.0, top + low - 0.6]);
    let table = numbers(study.case, study.construct, orders);
    let alt = format!(
        "Rows of scale drawings of a rim fragment seen en face, one drawing a tie. {}.",
        joined(rows.iter().map(|(s, heading)| format!("{heading}. {}", all_spoken(s))), ". ")
    );
    Figure::new("tie-strip", canvas, table, caption(study, orders, rows), alt)
}

/// The orders that fail and are not drawn, a few by name.
fn failed(study: &Study<'_>, orders: &Orders, rows: &[(Sequence<'_>, String)]) -> Vec<String> {
    const NAMED: usize = 4;
    let drawn = |run: &&OrderRun| rows.iter().any(|(s, _)| s.run.order == run.order);
    let fails = orders.runs.iter().filter(|r| !r.hold.outcome.is_held() && !drawn(r));
    let fails: Vec<String> = fails.map(|r| chain(&Sequence::new(study.case, study.construct, orders, r))).collect();
    let named = fails.iter().take(NAMED).map(|chain| format!("Fixation also fails: {chain}"));
    let more = fails.len().saturating_sub(NAMED);
    named.chain((more > 0).then(|| format!("and in {more} more orders"))).collect()
}

fn caption(study: &Study<'_>, orders: &Orders, rows: &[(Sequence<'_>, String)]) -> String {
    let named = rows.iter().enumerate().map(|(k, (sequence, heading))| {
        let letter = if rows.len() > 1 { format!("({}) ", letter(k)) } else { String::new() };
        format!("{letter}{heading}: {}", chain(sequence))
    });
    let (construct, case, side) = (&orders.construct, &study.case.name, side(study.case));
    let (rows, emphasis, members) = (joined(named, ". "), emphasis(study.construct), study.members());
    let (screws, band, choice) = (screws(study.construct), orders.band, choice(orders));
    format!(
        "What each tie does to the fragment: construct {construct} on the case {case}, {side}, en face from lateral, every state solved. {rows}. All views have one scale. Dashed: outline of the reduced fragment; darker bone: bed that the fragment does not cover; dotted: the fragment before tying. {emphasis}; pale: {members} tied before. Full lines are bridges, rings round an anchor and a bite loops, dashed where they run behind bone; an eye is an anchor on the face, a broken ring one behind the bone, a diamond a bite, a bar a crossing over bone{screws}. Below each view, on the same scale: the fragment's articular edge (thick) along the fracture line against the intact edge (thin), lateral upward; hatched where it stands proud, plain where it is recessed. Residuals: largest step-off and gap (open, or pressed into the bed) along the fracture line, inferior shift of the end or middle that is shifted most, turn about the chord (lateral tilt) and about the bed's normal (spin). Worse: in what the tie left the fragment lying more than {band} mm worse than before it. {choice}"
    )
}

/// Most states in one line.
const MOST: usize = 7;
/// What is written under a view.
const LABELS: [&str; 5] = ["step", "gap", "shift", "tilt", "spin"];
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
struct Grid<'a> {
    study: &'a Study<'a>,
    extent: Extent,
    /// Columns in one line.
    pub columns: usize,
    /// Width of a column.
    column: f64,
    /// Scale of the views and of the profiles.
    pub scale: f64,
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
        // As many as leave room for what is written under each.
        let bold = study.theme.fine().face(Face::Bold);
        let words = stages().flat_map(|s| [step(&s.measures), gap(&s.measures), shift(&s.measures)]);
        let needed = study.theme.note().widest(LABELS) + 1.0 + bold.widest(words) + GUTTER;
        let fit = ((study.theme.width - 1.0 + GUTTER) / needed).max(1.0) as usize;
        let columns = most.div_ceil(most.div_ceil(MOST.min(fit)));
        let most_wide = (study.theme.width - 1.0 - GUTTER * (columns - 1) as f64) / columns as f64;
        let reach = study.reach(rows);
        let [w, h] = [extent.size()[0].max(reach.length()), extent.size()[1]];
        // Three orders fit on a page with smaller views.
        let tallest = if rows.len() > 2 { 0.52 * TALLEST } else { TALLEST };
        let scale = (most_wide / w).min(tallest / h).min(SCALE);
        let column = most_wide.min((scale * w).max(NARROWEST) + 4.0);
        let lines = |title: &str| wrap_at_spaces(title, study.theme.words(), column - 4.6).len();
        let titles =
            stages().map(|s| lines(&s.title)).chain(rows.iter().map(|(s, _)| lines(&s.title_of(s.stages.len()))));
        Self {
            study,
            columns,
            column,
            scale,
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
        2.0 * ROOM + self.scale * self.reach.height()
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
        let profile = Profile::in_box(study.case, theme, &self.reach, self.scale, [at[0], window.bottom() + ROOM]);
        profile.draw(canvas, &study.body, &moved.pose);
        if stage.number == 0 {
            profile.ends(canvas);
        }
        let (note, m) = (theme.note(), &stage.measures);
        let mut base = window.bottom() + self.profile() + note.capital();
        let value = theme.fine().face(if last { Face::Bold } else { Face::Normal });
        let values = [step(m), gap(m), shift(m), degrees(m.tilt), degrees(m.spin)];
        let indent = note.widest(LABELS) + 1.0;
        for (label, words) in LABELS.iter().zip(values) {
            canvas.text(label, [at[0], base], note);
            canvas.text(&words, [at[0] + indent, base], value);
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
