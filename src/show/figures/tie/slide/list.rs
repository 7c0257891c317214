//! The ties of an order beside its view: those done with what they left, the one being made in bold, those to
//! come pale.

use super::super::motion::Moment;
use super::super::stage::Sequence;
use super::super::words;
use crate::show::chart::*;
use std::cmp::Ordering;

/// Ties to come.
const PALE: Colour = Colour(165, 165, 165);

/// A list set as large as its room allows.
pub(super) struct List {
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
                Ordering::Less => (theme.ink, Face::Regular),
                Ordering::Equal => (theme.ink, Face::Bold),
                Ordering::Greater => (PALE, Face::Regular),
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
                (vec![format!("step-off {}", words::step(m)), format!("shift {}", words::shift(m))], small.face(face))
            }
            (None, Some(why)) if k <= moment.state && k == sequence.stages.len() => {
                let set = Type { colour: theme.series[1].shade(0.25), ..small };
                (wrap_at_spaces(why, set, room), set.bold())
            }
            _ => (Vec::new(), small),
        }
    }
}
