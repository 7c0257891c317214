//! Figure "sweep-…" as a map: one quantity over two inputs.

use super::*;
use crate::show::figures::scatter::short;

/// Least width of a panel, mm.
const LEAST: f64 = 66.0;
/// Height of a map, mm.
const TALL: f64 = 42.0;
/// Height of the scale of colours, mm.
const BAR: f64 = 2.2;

/// Maps of one quantity (its place in [`Sweep::quantities`]) over two inputs, one panel a construct,
/// with labelled contours.
pub fn sweep_map(found: &Sweep, q: usize, theme: &Theme) -> Figure {
    let quantity = &found.quantities[q];
    let axes = [&found.axes[0], &found.axes[1]];
    let (set, small) = (theme.words(), theme.fine());
    let names: Vec<&str> = found.constructs.iter().map(|c| c.construct.as_str()).collect();
    let panels = Panels::new(theme, &names, theme.width, LEAST);
    // One scale of colours over all constructs.
    let [lo, hi] = extremes(found.constructs.iter().flat_map(|c| &c.points).filter_map(|p| p.values[q]));
    let scale = Scale::around(lo, hi, 7);
    let y_words = wrap(&super::axis(axes[1]), set, TALL);
    let y_numbers = set.widest(axes[1].values.iter().map(|v| value(axes[1], *v)));
    let left = 1.0 + y_words.len() as f64 * set.leading() + 1.2 + y_numbers + 1.3;
    let x_words = wrap(&super::axis(axes[0]), set, panels.width - left - 2.0);
    let notes: Vec<Vec<String>> =
        found.constructs.iter().map(|c| wrap(&note(found, c, q), small, panels.width - left - 1.0)).collect();
    let over = notes.iter().map(Vec::len).max().unwrap_or(0) as f64 * small.leading() + 1.0;
    let tall = over + TALL + 2.8 + set.capital() + x_words.len() as f64 * set.leading();
    let key = Kind::key(found, q, theme, theme.width - 1.2);
    let bar = panels.height(tall) + 2.0 + set.leading();
    let low = bar + BAR + 2.0 + set.leading();
    let mut canvas = Canvas::new(theme.width, low + key.height() + 0.6);
    panels.draw(&mut canvas, theme, tall, "", |canvas, k, area| {
        canvas.lines(&notes[k], [area.x + left, area.y + small.capital()], theme.note());
        let map = Rect::new(area.x + left, area.y + over, area.w - left - 1.5, TALL);
        let [x, y] = map.middle();
        Sheet { theme, area: map, axes, scale, quantity: (quantity, q) }.draw(canvas, &found.constructs[k]);
        let base = map.bottom() + 2.0 + set.capital() + set.leading();
        canvas.lines(&x_words, [x, base], set.centred());
        for (line, text) in y_words.iter().enumerate() {
            canvas.text_upward(text, [area.x + 0.6 + (line + 1) as f64 * set.leading(), y], set);
        }
    });
    colour_bar(&mut canvas, theme, quantity, &scale, [0.8 + left, bar]);
    key.draw(&mut canvas, [0.6, low]);
    let table = super::numbers(found, &[q]);
    Figure::new(&super::name(found, &quantity.key), canvas, table, caption(found, quantity), alt(found, q))
}

fn colour_bar(canvas: &mut Canvas, theme: &Theme, quantity: &Quantity, scale: &Scale, at: Point) {
    const PIECES: i32 = 64;
    let set = theme.words();
    let bar = Rect::new(at[0], at[1], (0.4 * theme.width).max(50.0), BAR);
    canvas.text(&short(quantity), [bar.x, bar.y - 1.0], set);
    for k in 0..PIECES {
        let share = |k: f64| k / f64::from(PIECES);
        let v = scale.lo + (scale.hi - scale.lo) * share(f64::from(k) + 0.5);
        // To the end, each over the last, so that no seam shows.
        let from = bar.x + share(f64::from(k)) * bar.w;
        canvas.fill(Rect::new(from, bar.y, bar.right() - from, bar.h), tone(theme, scale, v));
    }
    canvas.frame(bar, theme.axis());
    level_axis(canvas, theme, *scale, bar, None);
}

/// The range of a construct's values, and how its points end.
fn note(found: &Sweep, swept: &Swept, q: usize) -> String {
    let [lo, hi] = extremes(swept.points.iter().filter_map(|p| p.values[q]));
    let digits = decimals((hi - lo).max(0.02 * hi.abs())).min(2);
    let unit = &found.quantities[q].unit;
    let range = match lo.total_cmp(&hi) {
        std::cmp::Ordering::Greater => "no value".to_owned(),
        std::cmp::Ordering::Equal => format!("{} {unit}", number(lo, digits)),
        std::cmp::Ordering::Less => format!("{} to {} {unit}", number(lo, digits), number(hi, digits)),
    };
    format!("{}; {}", range.trim_end(), super::ends(swept, super::total(found)))
}

fn caption(found: &Sweep, quantity: &Quantity) -> String {
    let [across, up] = [0, 1].map(|k| input::words(&found.axes[k].path));
    let (question, label, done) = (question(found), capital(&quantity.label), done(found));
    let unit = if quantity.unit.is_empty() { String::new() } else { format!(" ({})", signed(&quantity.unit)) };
    let heavy = ", the heavy ones 1 and 2 mm where they lie in the range";
    let limits = if quantity.unit == "mm" { heavy } else { "" };
    format!(
        "{question}{label}{unit} over {across} and {up}, one map a construct, on one scale of colours. A cell is one computed point; cells are of one size, whatever the distance of their values. Lines: contours, linear between points, scraps left out, and none on a map that is all but flat{limits}. Hatched cells have no value, for the reason in the key. {done}"
    )
}

fn alt(found: &Sweep, q: usize) -> String {
    let [x, y] = [0, 1].map(|k| super::axis(&found.axes[k]));
    format!(
        "Maps of {} over {x} and {y}. {}.",
        found.quantities[q].label,
        joined(found.constructs.iter().map(|c| format!("{}: {}", c.construct, note(found, c, q))), ". ")
    )
}

/// What a cell without a colour, or with a mark in it, means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    /// Unstable as tied.
    NotHeld,
    /// Fails before the quantity can be read off.
    LostBefore,
    /// Balance not checked.
    Uncertified,
    /// No such fragment or construct.
    Impossible,
    /// Not computed, after an interruption.
    NotDone,
    /// Has a value, and fails later in the push.
    LostLater,
}

impl Kind {
    const ALL: [Self; 6] =
        [Self::NotHeld, Self::LostBefore, Self::Uncertified, Self::Impossible, Self::NotDone, Self::LostLater];

    /// What a point is; `None` when it is stable and has the value.
    pub fn of(point: Option<&GridPoint>, q: usize) -> Option<Self> {
        let Some(point) = point else {
            return Some(Self::NotDone);
        };
        match (point.end, point.values[q]) {
            (Ended::Held, Some(_)) => None,
            (Ended::LostInPush, Some(_)) => Some(Self::LostLater),
            (Ended::Held | Ended::LostInPush, None) => Some(Self::LostBefore),
            (Ended::NotHeld, _) => Some(Self::NotHeld),
            (Ended::Uncertified, _) => Some(Self::Uncertified),
            (Ended::Impossible, _) => Some(Self::Impossible),
        }
    }

    /// The key of those that a sweep has.
    pub fn key<'a>(found: &Sweep, q: usize, theme: &'a Theme, room: f64) -> Key<'a> {
        let total = super::total(found);
        let has = |kind: &Self| {
            found.constructs.iter().any(|c| {
                let shown = *kind != Self::LostLater || !all_lost(c);
                shown && (0..total).any(|p| Self::of(c.points.get(p), q) == Some(*kind))
            })
        };
        let mut key = Key::new(theme.fine(), room);
        for kind in Self::ALL.into_iter().filter(has) {
            key.add(3.0, kind.words(), move |canvas, r| {
                kind.draw(canvas, theme, r);
                canvas.frame(r, Stroke::solid(theme.muted, 0.4));
            });
        }
        key
    }

    fn words(self) -> &'static str {
        match self {
            Self::NotHeld => Ended::NotHeld.words(),
            Self::LostBefore => "failed in the push before this",
            Self::Uncertified => Ended::Uncertified.words(),
            Self::Impossible => Ended::Impossible.words(),
            Self::NotDone => "not computed",
            Self::LostLater => "failed later in the push",
        }
    }

    /// Draws it in a cell; gives what it covers of it.
    pub fn draw(self, canvas: &mut Canvas, theme: &Theme, cell: Rect) -> Rect {
        let texture = match self {
            Self::NotHeld => Texture::Rising,
            Self::LostBefore => Texture::Level,
            Self::Uncertified => Texture::Dots,
            Self::Impossible => Texture::Crossed,
            Self::NotDone => Texture::Plain,
            Self::LostLater => {
                ring(canvas, cell.middle(), 0.55, theme.paper, Stroke::solid(theme.ink, 0.5));
                return Rect::about(cell.middle(), 0.65);
            }
        };
        canvas.fill(cell, theme.paper);
        canvas.textured(&cell.corners(), texture, 1.1, Stroke::solid(theme.muted, 0.5));
        cell
    }
}

/// Whether every point fails in the push: said once above the map, not in each cell.
fn all_lost(swept: &Swept) -> bool {
    swept.points.iter().all(|p| p.end == Ended::LostInPush)
}

/// Shortest contour that is drawn, mm.
const SCRAP: f64 = 4.5;
/// Share of the step between contours, and mm of a shift, that a map must span to have contours.
const FLAT: f64 = 0.2;
const FLAT_MM: f64 = 0.2;
/// Limits that are drawn when the quantity is a shift, mm.
const LIMITS: [f64; 4] = [-2.0, -1.0, 1.0, 2.0];

/// The colour of a value.
fn tone(theme: &Theme, scale: &Scale, v: f64) -> Colour {
    theme.depth(0.92 * scale.share(v))
}

/// A map on the page: cells of one size, whatever the distances of their values.
struct Sheet<'a> {
    pub theme: &'a Theme,
    /// The data area, mm.
    pub area: Rect,
    pub axes: [&'a SweepAxis; 2],
    /// The scale of the colours.
    pub scale: Scale,
    /// What is drawn, and its place among the quantities.
    pub quantity: (&'a Quantity, usize),
}

impl Sheet<'_> {
    fn size(&self) -> [usize; 2] {
        self.axes.map(|a| a.values.len())
    }

    /// Width and height of a cell.
    fn cell_size(&self) -> [f64; 2] {
        let [columns, rows] = self.size();
        [self.area.w / columns as f64, self.area.h / rows as f64]
    }

    /// The cell of a point, by its number; the second axis runs upward.
    fn cell(&self, p: usize) -> Rect {
        let ([w, h], rows) = (self.cell_size(), self.size()[1]);
        let (i, j) = (p / rows, p % rows);
        Rect::new(self.area.x + i as f64 * w, self.area.bottom() - (j + 1) as f64 * h, w, h)
    }

    /// The place of a point given in numbers of cells.
    fn at(&self, [i, j]: [f64; 2]) -> Point {
        let [w, h] = self.cell_size();
        [self.area.x + (i + 0.5) * w, self.area.bottom() - (j + 0.5) * h]
    }

    fn points(&self) -> std::ops::Range<usize> {
        0..self.size()[0] * self.size()[1]
    }

    /// Draws the map of a construct.
    pub fn draw(&self, canvas: &mut Canvas, swept: &Swept) {
        let (theme, q) = (self.theme, self.quantity.1);
        for p in self.points() {
            if let Some(v) = swept.points.get(p).and_then(|p| p.values[q]) {
                // A little larger, so that no seam shows beside the next cell.
                let cell = self.cell(p);
                let wide = (cell.w + 0.06).min(self.area.right() - cell.x);
                let y = (cell.y - 0.06).max(self.area.y);
                canvas.fill(Rect::new(cell.x, y, wide, cell.bottom() - y), tone(theme, &self.scale, v));
            }
        }
        for p in self.points() {
            if let Some(kind) = Kind::of(swept.points.get(p), q).filter(|k| *k != Kind::LostLater) {
                kind.draw(canvas, theme, self.cell(p));
            }
        }
        canvas.frame(self.area, theme.axis());
        self.contours(canvas, swept);
        self.ticks(canvas);
    }

    /// Draws the contours with their numbers, and over them the marks of points that fail later. A
    /// map that is all but flat has no contours: where one ran would be chance.
    fn contours(&self, canvas: &mut Canvas, swept: &Swept) {
        let (theme, scale, q) = (self.theme, self.scale, self.quantity.1);
        let [columns, rows] = self.size();
        let values: Vec<Option<f64>> = self.points().map(|p| swept.points.get(p).and_then(|p| p.values[q])).collect();
        let [lo, hi] = extremes(values.iter().flatten().copied());
        let nodes = Nodes { columns, rows, values };
        let shift = self.quantity.0.unit == "mm";
        let mut levels: Vec<(f64, bool)> = scale.ticks().into_iter().map(|t| (t, false)).collect();
        if hi - lo < FLAT * scale.step || (shift && hi - lo < FLAT_MM) {
            levels.clear();
        } else if shift {
            levels.retain(|(t, _)| LIMITS.iter().all(|l| (l - t).abs() > 0.01 * scale.step));
            levels.extend(LIMITS.map(|l| (l, true)));
        }
        let lines = levels.into_iter().flat_map(|(level, limit)| {
            let lines = nodes.lines(level).into_iter();
            lines.map(move |line| (line.into_iter().map(|p| self.at(p)).collect::<Vec<Point>>(), level, limit))
        });
        // Scraps too short to bear their number are left out.
        let drawn: Vec<(Vec<Point>, f64, bool)> = lines.filter(|(line, ..)| length(line) >= SCRAP).collect();
        let width = |limit: bool| if limit { 1.6 * theme.curve } else { theme.outline };
        for (line, _, limit) in &drawn {
            canvas.path(line, Stroke::solid(theme.paper, width(*limit) + 0.9));
        }
        for (line, _, limit) in &drawn {
            canvas.path(line, Stroke::solid(theme.ink, width(*limit)));
        }
        let mut clear = Clearance::inside(self.area);
        let later = |p: &usize| Kind::of(swept.points.get(*p), q) == Some(Kind::LostLater);
        for p in self.points().filter(|p| !all_lost(swept) && later(p)) {
            clear.boxes.push(Kind::LostLater.draw(canvas, theme, self.cell(p)));
        }
        let set = theme.fine().centred();
        for (line, level, limit) in &drawn {
            let words = if *limit { format!("{} mm", number(*level, 0)) } else { scale.words(*level) };
            if let Some(p) = place(&mut clear, line, set, &words) {
                canvas.text_on_patch(&words, [p[0], p[1] + 0.5 * set.capital()], set, theme.paper);
            }
        }
    }

    /// Draws the frame's ticks with the values.
    fn ticks(&self, canvas: &mut Canvas) {
        let (set, axis, [w, h]) = (self.theme.words(), self.theme.axis(), self.cell_size());
        let [across, up] = self.axes.map(|a| a.values.iter().map(|v| value(a, *v)).collect::<Vec<String>>());
        let every = |room: f64, cell: f64| (room / cell).ceil().max(1.0) as usize;
        let step = every(set.widest(&across) + 1.2, w);
        for (i, text) in across.iter().enumerate() {
            let p = self.at([i as f64, -0.5]);
            canvas.line(p, [p[0], p[1] + 0.8], axis);
            if i % step == 0 {
                canvas.text(text, [p[0], p[1] + 1.6 + set.capital()], set.centred());
            }
        }
        let step = every(set.leading(), h);
        for (j, text) in up.iter().enumerate() {
            let p = self.at([-0.5, j as f64]);
            canvas.line(p, [p[0] - 0.8, p[1]], axis);
            if j % step == 0 {
                canvas.text(text, [p[0] - 1.3, p[1] + 0.5 * set.capital()], set.right());
            }
        }
    }
}

/// A free place for a contour's label on its line, from the middle outward.
fn place(clear: &mut Clearance, line: &[Point], set: Type, words: &str) -> Option<Point> {
    let whole = length(line);
    // 0.5, 0.45, 0.55, … 0.05, 0.95 of the way.
    let shares = (0..=18).map(|k| 0.5 + 0.05 * f64::from((k + 1) / 2) * if k % 2 == 0 { 1.0 } else { -1.0 });
    shares.into_iter().find_map(|share| {
        let mut left = share * whole;
        let k = line.windows(2).position(|p| {
            let l = distance(p[0], p[1]);
            let here = left <= l;
            left -= if here { 0.0 } else { l };
            here
        })?;
        let p = between(line[k], line[k + 1], left / distance(line[k], line[k + 1]).max(1e-9));
        let [w, h] = [set.width(words), set.capital()];
        let r = Rect::new(p[0] - 0.5 * w, p[1] - 0.5 * h, w, h).grown(0.7);
        clear.is_free(&r).then(|| {
            clear.boxes.push(r);
            p
        })
    })
}
