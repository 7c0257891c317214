//! From where one looks, and from millimetres of bone to millimetres of page.

use super::*;

/// From where one looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Seen {
    /// From lateral, on the face: (anterior, superior).
    Face,
    /// Across the bed through the fragment's middle: (outward, lateral).
    Section,
    /// Square to the fracture line, from in front of the fragment: (medial, along the line). Depths
    /// below the face are true there.
    Front,
    /// Square to the bed, from the fragment: (along the line, lateral up the plane).
    Bed,
}

impl Seen {
    /// A point in the view, mm.
    pub fn flat(self, case: &Case, p: &Vec3) -> [f64; 2] {
        let f = &case.fragment;
        let on_bed = p - f.bed_origin();
        match self {
            Self::Face => [p.x, p.y],
            Self::Section => f.in_section(p),
            Self::Front => [-p.z, p.x * f.along.x + p.y * f.along.y],
            Self::Bed => [on_bed.dot(&f.along), -on_bed.dot(&f.down)],
        }
    }

    /// 1 when the first axis runs to the right on the page: mirrored for a left shoulder, and for whoever
    /// looks at a posterior fragment from its side.
    pub fn mirror(self, case: &Case) -> f64 {
        let from_the_side = matches!(self, Self::Section | Self::Front);
        if from_the_side && case.fragment.outward.x < 0.0 { -mirror(case) } else { mirror(case) }
    }
}

/// Least and greatest of both coordinates of what a view must hold, mm of bone.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Extent {
    pub lo: [f64; 2],
    pub hi: [f64; 2],
}

impl Extent {
    /// About some points, with a margin.
    pub fn about(points: impl IntoIterator<Item = [f64; 2]>, margin: f64) -> Self {
        let mut extent = Self { lo: [f64::INFINITY; 2], hi: [f64::NEG_INFINITY; 2] };
        for p in points {
            extent.lo = [0, 1].map(|k| extent.lo[k].min(p[k] - margin));
            extent.hi = [0, 1].map(|k| extent.hi[k].max(p[k] + margin));
        }
        extent
    }

    /// Width and height, mm.
    pub fn size(&self) -> [f64; 2] {
        [0, 1].map(|k| self.hi[k] - self.lo[k])
    }
}

/// A view on the page: its first axis to the right (to the left when mirrored), its second upward.
#[derive(Clone, Copy)]
pub(crate) struct View<'a> {
    pub case: &'a Case,
    pub theme: &'a Theme,
    pub seen: Seen,
    /// Where (0, 0) stands on the page.
    pub origin: Point,
    /// Page mm per bone mm.
    pub scale: f64,
    /// 1, or −1 when mirrored.
    pub mirror: f64,
}

impl<'a> View<'a> {
    pub fn new(case: &'a Case, theme: &'a Theme, seen: Seen, origin: Point, scale: f64) -> Self {
        Self { case, theme, seen, origin, scale, mirror: seen.mirror(case) }
    }

    /// The middle of an extent in the middle of a window.
    pub fn in_window(case: &'a Case, theme: &'a Theme, seen: Seen, extent: &Extent, scale: f64, window: Rect) -> Self {
        let mut view = Self::new(case, theme, seen, [0.0; 2], scale);
        let middle = view.at([0, 1].map(|k| 0.5 * (extent.lo[k] + extent.hi[k])));
        view.origin = [0, 1].map(|k| window.middle()[k] - middle[k]);
        view
    }

    /// A point of the view on the page.
    pub fn at(&self, [u, v]: [f64; 2]) -> Point {
        [self.origin[0] + self.mirror * u * self.scale, self.origin[1] - v * self.scale]
    }

    /// Points of the view on the page.
    pub fn all(&self, points: &[[f64; 2]]) -> Vec<Point> {
        points.iter().map(|p| self.at(*p)).collect()
    }

    /// A point of the bone on the page.
    pub fn page(&self, p: impl Into<Vec3>) -> Point {
        self.at(self.seen.flat(self.case, &p.into()))
    }

    /// A bar of 5 mm of bone, its left end at `at`.
    pub fn scale_bar(&self, canvas: &mut Canvas, at: Point) {
        let end = at[0] + 5.0 * self.scale;
        canvas.line(at, [end, at[1]], Stroke::solid(self.theme.ink, 1.5));
        canvas.text("5 mm", [0.5 * (at[0] + end), at[1] - 0.9], self.theme.fine().centred());
    }
}

/// A direction in a word, from `at` to the right (positive) or to the left, and an arrow behind it; gives
/// where the arrow ends.
pub(crate) fn direction(canvas: &mut Canvas, theme: &Theme, word: &str, at: Point, side: f64) -> f64 {
    let set = theme.note().italic();
    canvas.text(word, [at[0], at[1] + 0.5 * set.capital()], set.away(side));
    let from = at[0] + side * (set.width(word) + 1.0);
    pointer(canvas, theme, [from, at[1]], [from + side * 4.0, at[1]]);
    from + side * 4.0
}
