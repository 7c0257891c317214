//! The list under a panel of forces.

use super::act::{acts, sum};
use crate::math::Vec3;
use crate::model::Case;
use crate::show::figures::axis::signed;
use crate::show::figures::canvas::{Align, Canvas, Type};
use crate::show::figures::label::wrap;
use crate::show::figures::rect::Point;
use crate::show::figures::subject::Subject;
use crate::show::figures::theme::Theme;

/// A line under a panel: a limb or screw with its number, or all of them.
pub(super) struct Line {
    /// Its number and name.
    pub name: String,
    /// Parts of its force on the bed and along it, N.
    pub parts: [f64; 2],
}

/// Each limb and screw with its number, then their sum.
pub(super) fn list(case: &Case, subject: &Subject<'_>) -> Vec<Line> {
    let parts = |force: Vec3| {
        let [t, m, n] = subject.in_bed(case, force.into());
        [-n, libm::hypot(t, m)]
    };
    let mut lines: Vec<Line> = acts(case, subject)
        .iter()
        .enumerate()
        .map(|(k, act)| Line { name: format!("{} {}", k + 1, act.name), parts: parts(act.force) })
        .collect();
    lines.push(Line { name: format!("all {}", subject.what_pulls()), parts: parts(sum(case, subject).1) });
    lines
}

/// Where names and numbers of a list stand, mm from its left edge.
pub(super) struct Columns {
    set: Type,
    /// Right edges of the two columns of numbers.
    right: [f64; 2],
    /// Width for names.
    room: f64,
}

const HEADS: [&str; 2] = ["on the bed (N)", "along it (N)"];

impl Columns {
    /// Columns in a panel of a width, mm.
    pub fn new(set: Type, width: f64) -> Self {
        let [first, second] = HEADS.map(|h| set.width(h));
        let left = (width - 40.0 - first - second).max(0.0) * 0.25;
        let right = width - 1.5 - left;
        Self { set, right: [right - second - 3.0, right], room: right - second - first - 5.0 }
    }

    fn names(&self, line: &Line) -> Vec<String> {
        wrap(&line.name, self.set, self.room)
    }

    /// Lines that a list takes, its head not counted.
    pub fn lines(&self, list: &[Line]) -> usize {
        list.iter().map(|l| self.names(l).len()).sum()
    }

    /// Writes a list, its upper left corner at `at`.
    pub fn draw(&self, canvas: &mut Canvas, theme: &Theme, list: &[Line], at: Point) {
        let [x, mut y] = at;
        let right = self.set.align(Align::Right);
        y += self.set.leading();
        for (head, edge) in HEADS.iter().zip(self.right) {
            let muted = Type::new(theme.small, theme.muted).align(Align::Right);
            canvas.text(head, [x + edge, y], muted);
        }
        for line in list {
            for (k, words) in self.names(line).iter().enumerate() {
                y += self.set.leading();
                canvas.text(words, [x + 1.0, y], self.set);
                if k == 0 {
                    for (value, edge) in line.parts.iter().zip(self.right) {
                        canvas.text(&newtons(*value), [x + edge, y], right);
                    }
                }
            }
        }
    }
}

/// A number of newtons in print.
pub(super) fn newtons(value: f64) -> String {
    let text = format!("{value:.0}");
    signed(if text == "-0" { "0" } else { &text })
}
