//! Rectangles on the page, mm, y down.

/// A point on the page, mm from its upper left corner, y down.
pub(crate) type Point = [f64; 2];

/// A rectangle on the page, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Rect {
    /// Left edge.
    pub x: f64,
    /// Upper edge.
    pub y: f64,
    /// Width.
    pub w: f64,
    /// Height.
    pub h: f64,
}

impl Rect {
    /// From its upper left corner and size.
    pub fn new(x: f64, y: f64, w: f64, h: f64) -> Self {
        Self { x, y, w, h }
    }

    /// Right edge.
    pub fn right(&self) -> f64 {
        self.x + self.w
    }

    /// Lower edge.
    pub fn bottom(&self) -> f64 {
        self.y + self.h
    }

    /// The rectangle grown by `d` on every side.
    pub fn grown(&self, d: f64) -> Self {
        Self::new(self.x - d, self.y - d, self.w + 2.0 * d, self.h + 2.0 * d)
    }

    /// Whether two rectangles share more than an edge.
    pub fn overlaps(&self, other: &Self) -> bool {
        self.x < other.right() && other.x < self.right() && self.y < other.bottom() && other.y < self.bottom()
    }

    /// Whether the other lies wholly inside.
    pub fn contains(&self, other: &Self) -> bool {
        other.x >= self.x && other.y >= self.y && other.right() <= self.right() && other.bottom() <= self.bottom()
    }

    /// Whether a straight stroke touches the rectangle (Liang–Barsky clipping).
    pub fn meets(&self, from: Point, to: Point) -> bool {
        let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
        let (mut lo, mut hi) = (0.0_f64, 1.0_f64);
        for (p, q) in [
            (-dx, from[0] - self.x),
            (dx, self.right() - from[0]),
            (-dy, from[1] - self.y),
            (dy, self.bottom() - from[1]),
        ] {
            if p == 0.0 {
                if q < 0.0 {
                    return false;
                }
            } else if p < 0.0 {
                lo = lo.max(q / p);
            } else {
                hi = hi.min(q / p);
            }
        }
        lo <= hi
    }
}
