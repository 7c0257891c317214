//! Points and rectangles on the page, mm, y down; and the little geometry that drawings need. Square
//! roots alone, so that every processor gives the same digits.

/// A point on the page, mm from its upper left corner, y down.
pub(crate) type Point = [f64; 2];

/// Distance of two points.
pub(crate) fn distance(a: Point, b: Point) -> f64 {
    let [x, y] = [b[0] - a[0], b[1] - a[1]];
    (x * x + y * y).sqrt()
}

/// The point at share `s` of the way from one to another.
pub(crate) fn between(a: Point, b: Point, s: f64) -> Point {
    [a[0] + s * (b[0] - a[0]), a[1] + s * (b[1] - a[1])]
}

/// The unit vector from one point to another; to the right when they fall together.
pub(crate) fn toward(a: Point, b: Point) -> Point {
    let l = distance(a, b);
    if l < 1e-9 { [1.0, 0.0] } else { [(b[0] - a[0]) / l, (b[1] - a[1]) / l] }
}

/// The point `along` mm from another in a direction and `across` mm square to it (clockwise on the page).
pub(crate) fn beside(p: Point, [x, y]: Point, along: f64, across: f64) -> Point {
    [p[0] + along * x - across * y, p[1] + along * y + across * x]
}

/// Length of a polyline.
pub(crate) fn length(line: &[Point]) -> f64 {
    line.windows(2).map(|p| distance(p[0], p[1])).sum()
}

/// The cosine and sine of an angle in degrees.
pub(crate) fn turned(degrees: f64) -> Point {
    let a = degrees.to_radians();
    [libm::cos(a), libm::sin(a)]
}

/// Points of an arc, degrees clockwise on the page from its right, both ends included.
pub(crate) fn arc(centre: Point, radius: f64, [from, to]: [f64; 2], parts: usize) -> Vec<Point> {
    let at = |k: usize| turned(from + (to - from) * k as f64 / parts as f64);
    (0..=parts).map(at).map(|[x, y]| [centre[0] + radius * x, centre[1] + radius * y]).collect()
}

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

    /// A square about a point, so far to every side.
    pub fn about(p: Point, d: f64) -> Self {
        Self::new(p[0] - d, p[1] - d, 2.0 * d, 2.0 * d)
    }

    /// The smallest that holds all points; none for no point.
    pub fn round(points: &[Point]) -> Option<Self> {
        let first = points.first()?;
        let fold = |k: usize, f: fn(f64, f64) -> f64| points.iter().map(|p| p[k]).fold(first[k], f);
        let (x, y) = (fold(0, f64::min), fold(1, f64::min));
        Some(Self::new(x, y, fold(0, f64::max) - x, fold(1, f64::max) - y))
    }

    /// Right edge.
    pub fn right(&self) -> f64 {
        self.x + self.w
    }

    /// Lower edge.
    pub fn bottom(&self) -> f64 {
        self.y + self.h
    }

    /// Its middle.
    pub fn middle(&self) -> Point {
        [self.x + 0.5 * self.w, self.y + 0.5 * self.h]
    }

    /// Its corners, clockwise from the upper left one.
    pub fn corners(&self) -> [Point; 4] {
        [[self.x, self.y], [self.right(), self.y], [self.right(), self.bottom()], [self.x, self.bottom()]]
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
