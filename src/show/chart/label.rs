//! Where words go so that none covers another.

use super::lettering::Type;
use super::page::{Point, Rect, turned};

/// What labels must keep clear of.
#[derive(Debug, Default)]
pub(crate) struct Clearance {
    /// The labels must lie in here, when given.
    pub bounds: Option<Rect>,
    /// Boxes already taken.
    pub boxes: Vec<Rect>,
    /// Strokes not to be crossed.
    pub strokes: Vec<[Point; 2]>,
}

impl Clearance {
    /// Labels that must lie in here.
    pub fn inside(bounds: Rect) -> Self {
        Self { bounds: Some(bounds), ..Self::default() }
    }

    /// Takes the room about a point, so far to every side.
    pub fn take(&mut self, at: Point, d: f64) {
        self.boxes.push(Rect::about(at, d));
    }

    /// Adds a polyline.
    pub fn keep_off(&mut self, points: &[Point]) {
        self.strokes.extend(points.windows(2).map(|p| [p[0], p[1]]));
    }

    /// Whether a box is free.
    pub fn is_free(&self, r: &Rect) -> bool {
        self.bounds.is_none_or(|b| b.contains(r))
            && !self.boxes.iter().any(|b| b.overlaps(r))
            && !self.strokes.iter().any(|s| r.meets(s[0], s[1]))
    }

    /// The first free place for a box of size (w, h) near `at`: on rings of growing distance, the
    /// preferred direction (unit vector, y down) first. The box is then taken. `None` when every
    /// place up to `reach` mm is taken.
    pub fn place(&mut self, size: [f64; 2], at: Point, toward: Point, near: f64, reach: f64) -> Option<Rect> {
        let first = libm::atan2(toward[1], toward[0]).to_degrees();
        let mut distance = near;
        while distance <= reach {
            for k in 0..16 {
                // 0, +1, −1, +2, … sixteenths of a turn from the preferred direction.
                let turn = f64::from((k + 1) / 2) * if k % 2 == 0 { -1.0 } else { 1.0 };
                let [dx, dy] = turned(first + 22.5 * turn);
                let centre = [
                    at[0] + dx * (distance + 0.5 * size[0] * dx.abs()),
                    at[1] + dy * (distance + 0.5 * size[1] * dy.abs()),
                ];
                let r = Rect::new(centre[0] - 0.5 * size[0], centre[1] - 0.5 * size[1], size[0], size[1]);
                if self.is_free(&r.grown(0.2)) {
                    self.boxes.push(r);
                    return Some(r);
                }
            }
            distance += 0.6;
        }
        None
    }
}

/// Spreads labels of the given heights along a column so that each is as near its target as the
/// others allow, in the order of their targets, inside [lo, hi] when they fit. Returns centres in
/// the order given (pool-adjacent-violators: overlapping neighbours merge into blocks that sit at
/// the mean of what they want).
pub(crate) fn spread(targets: &[f64], heights: &[f64], lo: f64, hi: f64) -> Vec<f64> {
    struct Block {
        want: f64,
        height: f64,
        members: usize,
    }
    let mut order: Vec<usize> = (0..targets.len()).collect();
    order.sort_by(|a, b| targets[*a].total_cmp(&targets[*b]).then(a.cmp(b)));
    let top = |b: &Block| {
        let half = 0.5 * b.height;
        (b.want / b.members as f64).clamp(lo + half, (hi - half).max(lo + half)) - half
    };
    let mut blocks: Vec<Block> = Vec::new();
    for &i in &order {
        blocks.push(Block { want: targets[i], height: heights[i], members: 1 });
        while blocks.len() > 1 {
            let n = blocks.len();
            if top(&blocks[n - 2]) + blocks[n - 2].height <= top(&blocks[n - 1]) {
                break;
            }
            if let Some(last) = blocks.pop() {
                let into = &mut blocks[n - 2];
                into.want += last.want;
                into.height += last.height;
                into.members += last.members;
            }
        }
    }
    let mut centres = vec![0.0; targets.len()];
    let mut next = order.into_iter();
    for block in &blocks {
        let mut y = top(block);
        for i in next.by_ref().take(block.members) {
            centres[i] = y + 0.5 * heights[i];
            y += heights[i];
        }
    }
    centres
}

/// Breaks a text at spaces and behind hyphens into lines no wider than `width` mm; a word that is
/// wider alone is broken where it must be.
pub(crate) fn wrap(text: &str, set: Type, width: f64) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split_inclusive([' ', '-']) {
        if !line.is_empty() && set.width(format!("{line}{word}").trim_end()) > width {
            lines.push(line.trim_end().to_owned());
            line = String::new();
        }
        for c in word.chars() {
            line.push(c);
            if set.width(line.trim_end()) > width && line.chars().count() > 1 {
                line.pop();
                lines.push(std::mem::replace(&mut line, c.to_string()));
            }
        }
    }
    lines.push(line.trim_end().to_owned());
    lines
}

/// The same, broken at spaces alone while a word fits into a line.
pub(crate) fn wrap_at_spaces(text: &str, set: Type, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        match lines.last_mut() {
            Some(line) if set.width(&format!("{line} {word}")) <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.extend(wrap(word, set, width)),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spread_keeps_order_and_distance() {
        let centres = spread(&[10.0, 10.1, 30.0, 9.9], &[2.0; 4], 0.0, 40.0);
        assert_eq!(centres, vec![10.0, 12.0, 30.0, 8.0]);
        // Against the lower end they stack up from it.
        assert_eq!(spread(&[39.9, 40.0], &[2.0; 2], 0.0, 40.0), vec![37.0, 39.0]);
    }

    #[test]
    fn a_taken_place_is_not_given_twice() {
        let mut clear = Clearance::default();
        let a = clear.place([4.0, 2.0], [0.0, 0.0], [1.0, 0.0], 1.0, 9.0);
        let b = clear.place([4.0, 2.0], [0.0, 0.0], [1.0, 0.0], 1.0, 9.0);
        let (a, b) = (a.unwrap(), b.unwrap());
        assert!(a.x > 0.0 && !a.overlaps(&b));
    }
}
