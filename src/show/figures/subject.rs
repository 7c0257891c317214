//! What is drawn of a held construct, and the panels it is drawn in.

use super::canvas::{Canvas, Type};
use super::font::Face;
use super::label::wrap;
use super::rect::Rect;
use super::theme::Theme;
use crate::model::{Case, Construct, Side};
use crate::study::result::{Petal, Push, TiedState};

/// A construct that holds its fragment, with what was found of it.
#[derive(Debug, Clone, Copy)]
pub struct Subject<'a> {
    /// The construct on its case.
    pub construct: &'a Construct,
    /// As tied.
    pub tied: &'a TiedState,
    /// Its push.
    pub push: Option<&'a Push>,
    /// Loads at 1 mm round the plane of the bed; empty when not asked for.
    pub petals: &'a [Petal],
}

impl Subject<'_> {
    /// What pulls the fragment on its bed, in words.
    pub(super) fn what_pulls(&self) -> &'static str {
        limbs_or_screws(self.tied.limbs.len(), self.tied.screws.len())
    }

    /// Components of a vector along the chord, down the plane and along n.
    pub(super) fn in_bed(&self, case: &Case, v: [f64; 3]) -> [f64; 3] {
        let f = &case.fragment;
        [f.along, f.down, f.normal].map(|axis| axis.x * v[0] + axis.y * v[1] + axis.z * v[2])
    }
}

/// 1 for a right shoulder, −1 for a left one, which is drawn mirrored.
pub(super) fn mirror(case: &Case) -> f64 {
    match case.side {
        Side::Right => 1.0,
        Side::Left => -1.0,
    }
}

/// What so many limbs and screws are together, in words.
pub(super) fn limbs_or_screws(limbs: usize, screws: usize) -> &'static str {
    match (limbs, screws) {
        (_, 0) => "limbs",
        (0, _) => "screws",
        _ => "limbs and screws",
    }
}

/// Groups in the order in which they first come, each once.
pub(super) fn groups<'a>(all: impl IntoIterator<Item = &'a str>) -> Vec<String> {
    let mut groups: Vec<String> = Vec::new();
    for group in all {
        if !groups.iter().any(|g| g == group) {
            groups.push(group.to_owned());
        }
    }
    groups
}

/// Distance between panels, mm.
const GUTTER: f64 = 4.0;

/// Panels of one size in rows, each with a letter and the name of its construct.
pub(super) struct Panels {
    /// Panels of a full row.
    pub columns: usize,
    /// Width of a panel, mm.
    pub width: f64,
    /// Rows of panels.
    pub rows: usize,
    names: Vec<Vec<String>>,
    /// Room above the first row, mm.
    top: f64,
    /// Height of the names, mm.
    pub head: f64,
}

impl Panels {
    /// As many panels of at least `least` mm beside each other as `room` mm allow, evenly in rows.
    pub fn new(theme: &Theme, subjects: &[Subject<'_>], room: f64, least: f64) -> Self {
        let titles: Vec<&str> = subjects.iter().map(|s| s.construct.name.as_str()).collect();
        Self::titled(theme, &titles, room, least)
    }

    /// The same under titles of one's own.
    pub fn titled(theme: &Theme, titles: &[&str], room: f64, least: f64) -> Self {
        let most = (((room + GUTTER) / (least + GUTTER)).floor() as usize).max(1);
        let rows = titles.len().div_ceil(most).max(1);
        let columns = titles.len().div_ceil(rows).max(1);
        let width = (room - GUTTER * (columns - 1) as f64) / columns as f64;
        let set = Type::new(theme.text, theme.ink);
        let names: Vec<Vec<String>> =
            titles.iter().map(|title| wrap(title, set, width - indent(theme) - 1.0)).collect();
        let lines = names.iter().map(Vec::len).max().unwrap_or(1);
        Self { columns, width, rows, head: set.capital() + 2.4 + (lines - 1) as f64 * set.leading(), names, top: 0.0 }
    }

    /// The same with so much room above, mm.
    pub fn below(self, top: f64) -> Self {
        Self { top, ..self }
    }

    /// The rectangle of panel `k` under its name, when each takes `tall` mm.
    pub fn area(&self, k: usize, tall: f64) -> Rect {
        let (row, column) = (k / self.columns, k % self.columns);
        Rect::new(
            column as f64 * (self.width + GUTTER),
            self.top + row as f64 * (self.head + tall + GUTTER) + self.head,
            self.width,
            tall,
        )
    }

    /// Height of all rows and the room above, mm.
    pub fn height(&self, tall: f64) -> f64 {
        self.top + self.rows as f64 * (self.head + tall + GUTTER) - GUTTER
    }

    /// Writes the letter and the name above panel `k`.
    pub fn title(&self, canvas: &mut Canvas, theme: &Theme, k: usize, tall: f64) {
        let area = self.area(k, tall);
        let set = Type::new(theme.text, theme.ink);
        let top = area.y - self.head + set.capital() + 1.0;
        canvas.text(&letter(k), [area.x + 0.6, top], Type::new(theme.title, theme.ink).face(Face::Bold));
        for (line, words) in self.names[k].iter().enumerate() {
            let y = top + line as f64 * set.leading();
            canvas.text(words, [area.x + indent(theme), y], set);
        }
    }
}

/// Where names begin beside their letter, mm.
fn indent(theme: &Theme) -> f64 {
    0.5 * theme.title
}

/// The letter of panel `k`.
pub(super) fn letter(k: usize) -> String {
    char::from(b'a' + (k % 26) as u8).to_string()
}
