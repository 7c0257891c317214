//! Signs of the drawing language, and names in a column beside a drawing, each led to its point.

use super::*;

/// Width of the band that emphasises what was just tied, pt.
pub(super) const HALO: f64 = 7.5;

/// An anchor: an eye on the face, a broken ring of four arcs behind the bone.
pub(crate) fn anchor(canvas: &mut Canvas, at: Point, hidden: bool, colour: Colour) {
    canvas.disc(at, 1.3, WHITE);
    if hidden {
        for quarter in 0..4 {
            let from = 90.0 * f64::from(quarter) + 14.0;
            canvas.path(&arc(at, 1.0, [from, from + 62.0], 8), Stroke::solid(colour, 1.2));
        }
    } else {
        canvas.disc(at, 1.1, colour);
        canvas.disc(at, 0.42, WHITE);
    }
}

/// A bite: a diamond.
pub(super) fn bite(canvas: &mut Canvas, at: Point, colour: Colour) {
    let corners = polygon(at, 1.05, 4, 0.0);
    canvas.area(&corners, WHITE);
    canvas.outline(&corners, Stroke::solid(colour, 0.9));
}

/// A crossing: a bar square to the limb, which comes from `before`.
pub(super) fn crossing(canvas: &mut Canvas, at: Point, before: Point, colour: Colour) {
    let along = toward(before, at);
    let ends = [beside(at, along, 0.0, -1.25), beside(at, along, 0.0, 1.25)];
    canvas.path(&ends, Stroke::solid(WHITE, 2.4));
    canvas.path(&ends, Stroke::solid(colour, 1.3));
}

/// A screw from its head over the fracture plane to its tip: a slotted disc, a smooth line in the
/// fragment, a line with short threads across it in the scapula. It runs inside bone all along, and
/// nothing else in the drawing has threads, so that it needs no colour of its own.
pub(crate) fn screw(canvas: &mut Canvas, [head, plane, tip]: [Point; 3], colour: Colour) {
    /// Threads drawn across the shank, mm of page between two.
    const PITCH: f64 = 1.1;
    canvas.path(&[head, tip], Stroke::solid(WHITE, 2.2));
    canvas.path(&[head, tip], Stroke::solid(colour, 1.0));
    let along = toward(plane, tip);
    let count = (distance(plane, tip) / PITCH).floor() as usize;
    for k in 1..=count {
        let p = between(plane, tip, k as f64 / count as f64);
        canvas.line(beside(p, along, 0.0, -0.6), beside(p, along, 0.0, 0.6), Stroke::solid(colour, 0.6));
    }
    self::head(canvas, head, colour);
}

/// The head of a screw: a disc with a cross.
pub(super) fn head(canvas: &mut Canvas, at: Point, colour: Colour) {
    canvas.disc(at, 1.35, WHITE);
    canvas.circle(at, 1.1, Stroke::solid(colour, 0.9));
    cross(canvas, at, 0.75, Stroke::solid(colour, 0.8));
}

/// Where too little bone is left: a cross on white.
pub(super) fn thin(canvas: &mut Canvas, theme: &Theme, at: Point) {
    cross(canvas, at, 1.0, Stroke::solid(theme.paper, 2.2));
    cross(canvas, at, 1.0, Stroke::solid(theme.ink, 1.0));
}

/// A grey band below a screw that was just tightened.
pub(crate) fn band(canvas: &mut Canvas, theme: &Theme, [head, _, tip]: [Point; 3], now: bool) {
    if now {
        canvas.path(&[head, tip], Stroke::solid(theme.muted.tint(0.6), HALO));
    }
}

/// A place that was given: an open square that reaches `d` mm to every side.
pub(crate) fn given(canvas: &mut Canvas, theme: &Theme, at: Point, d: f64) {
    canvas.frame(Rect::about(at, d), Stroke::solid(theme.paper, 2.0));
    canvas.frame(Rect::about(at, d), Stroke::solid(theme.ink, 0.7));
}

/// A place that was found: a dot on white, behind the bone a ring.
pub(crate) fn found(canvas: &mut Canvas, theme: &Theme, at: Point, hidden: bool) {
    if hidden {
        canvas.disc(at, 0.95, theme.paper);
        canvas.circle(at, 0.65, Stroke::solid(theme.ink, 0.8));
    } else {
        canvas.disc(at, 0.85, theme.paper);
        canvas.disc(at, 0.6, theme.ink);
    }
}

/// The centre of pressure: a cross.
pub(super) fn centre(canvas: &mut Canvas, theme: &Theme, [x, y]: Point) {
    for (colour, width) in [(WHITE, 2.2), (theme.ink, 0.9)] {
        canvas.line([x - 1.2, y], [x + 1.2, y], Stroke::solid(colour, width));
        canvas.line([x, y - 1.2], [x, y + 1.2], Stroke::solid(colour, width));
    }
}

/// A name with its point.
#[derive(Debug, Clone)]
pub(super) struct Callout {
    /// Where it points.
    pub at: Point,
    /// The number that stands at that point instead of a line to it.
    pub number: Option<usize>,
    /// Its name; several, one a line, when they stand at one place.
    pub name: String,
    /// A value under it; may be empty.
    pub value: String,
    /// Colour of the name.
    pub colour: Colour,
}

/// A column of names.
#[derive(Debug, Clone, Copy)]
pub(super) struct Column {
    /// Where the names begin (right of the drawing) or end (left of it).
    pub x: f64,
    /// Upper and lower end.
    pub range: [f64; 2],
    /// Width for the names, mm: longer ones are broken at spaces and hyphens.
    pub room: f64,
    /// On which side of the drawing it stands: 1 right, −1 left.
    pub side: f64,
}

impl Column {
    /// Writes the names, spread so that none covers another, with a thin line to each point that bears no number.
    pub fn draw(&self, canvas: &mut Canvas, theme: &Theme, callouts: &[Callout]) {
        let set = theme.fine().away(self.side);
        let broken = |c: &Callout| -> Vec<String> {
            let name = c.number.map_or_else(|| c.name.clone(), |n| format!("{n} {}", c.name));
            name.split('\n').flat_map(|p| wrap(p, set, self.room)).collect()
        };
        let mut names: Vec<Vec<String>> = callouts.iter().map(broken).collect();
        let height = |lines: usize| lines as f64 * set.leading() + 0.8;
        let whole: f64 =
            names.iter().zip(callouts).map(|(n, c)| height(n.len() + usize::from(!c.value.is_empty()))).sum();
        let room = self.range[1] - self.range[0];
        if whole > room {
            // Where all do not fit whole, each has its share of lines, the value's included.
            let most = (((room / names.len() as f64 - 0.8) / set.leading()) as usize).max(2) - 1;
            for name in names.iter_mut().filter(|name| name.len() > most) {
                name.truncate(most);
                let last = &mut name[most - 1];
                while set.width(&format!("{last}…")) > self.room && last.pop().is_some() {}
                last.push('…');
            }
        }
        let lines = names.into_iter().zip(callouts).map(|(name, c)| {
            let name = name.into_iter().map(|l| (l, c.colour));
            name.chain((!c.value.is_empty()).then(|| (c.value.clone(), theme.muted))).collect::<Vec<_>>()
        });
        let lines: Vec<_> = lines.collect();
        let targets: Vec<f64> = callouts.iter().map(|c| c.at[1]).collect();
        let heights: Vec<f64> = lines.iter().map(|l| height(l.len())).collect();
        let centres = spread(&targets, &heights, self.range[0], self.range[1]);
        for (k, (c, centre)) in callouts.iter().zip(centres).enumerate() {
            let at = |d: f64| [self.x - self.side * d, centre];
            if c.number.is_none() {
                canvas.path(&[at(0.7), at(2.0), c.at], Stroke::solid(theme.muted, 0.35));
            }
            let mut base = centre - 0.5 * (heights[k] - 0.8) + set.capital() + 0.25;
            for (line, colour) in &lines[k] {
                canvas.text(line, [self.x, base], Type { colour: *colour, ..set });
                base += set.leading();
            }
        }
    }
}
