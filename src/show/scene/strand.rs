//! What holds the fragment: strands, anchors and screws, where they are and how they look.

use super::*;

/// Dashes of a stretch behind bone, mm.
const HIDDEN: &[f64] = &[0.9, 0.7];
/// Parts into which a segment is cut to see which of it runs behind bone.
const PARTS: usize = 40;

/// How a limb looks.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Look {
    /// Its colour, by group.
    pub colour: Colour,
    /// Its width, pt.
    pub width: f64,
    /// Whether it is drawn hollow (a loop).
    pub hollow: bool,
}

impl Look {
    /// The same, faded.
    pub fn faded(self) -> Self {
        Self { colour: self.colour.tint(0.6), ..self }
    }

    /// Draws a stretch.
    pub fn draw(&self, canvas: &mut Canvas, points: &[Point], hidden: bool) {
        if hidden {
            return canvas.path(points, Stroke::dashed(self.colour, 0.75 * self.width, HIDDEN));
        }
        let stroke = Stroke::solid(self.colour, self.width);
        let ring = if self.hollow { round(points) } else { points.to_vec() };
        canvas.path(&ring, stroke.casing());
        canvas.path(&ring, stroke);
    }
}

/// A closed loop round the ends of a line.
fn round(points: &[Point]) -> Vec<Point> {
    /// Room that an anchor needs inside it, mm.
    const RADIUS: f64 = 1.6;
    let [a, b] = [points[0], points[points.len() - 1]];
    let [x, y] = toward(a, b);
    let turn = libm::atan2(y, x).to_degrees();
    let mut ring = arc(b, RADIUS, [turn - 90.0, turn + 90.0], 12);
    ring.extend(arc(a, RADIUS, [turn + 90.0, turn + 270.0], 12));
    ring.push(ring[0]);
    ring
}

/// Where the limbs on an anchor have drawn it to, mm.
pub(super) fn drawn_to(tied: &TiedState, anchor: &AnchorState) -> Vec3 {
    let place = Vec3::from(anchor.place);
    let ends = tied.limbs.iter().flat_map(|l| l.path.iter().zip(&l.kinds));
    let ends = ends.filter(|(_, kind)| **kind == PointKind::Anchor).map(|(p, _)| Vec3::from(*p));
    let nearest = ends.min_by(|a, b| (a - place).norm().total_cmp(&(b - place).norm()));
    nearest.filter(|p| (p - place).norm() <= anchor.give + 0.1).unwrap_or(place)
}

/// A limb where it runs.
#[derive(Debug, Clone)]
pub(crate) struct Strand {
    /// Its points, mm; of a closed strand the first comes again.
    pub path: Vec<Vec3>,
    /// What it does at each.
    pub kinds: Vec<PointKind>,
    pub look: Look,
    /// Whether it was just tied: then it stands on a band and above the others.
    pub now: bool,
}

/// A screw: head, passage through the fracture plane and tip, mm.
#[derive(Debug, Clone)]
pub(crate) struct Screw {
    pub places: [Vec3; 3],
    pub colour: Colour,
    /// Whether it was just tightened.
    pub now: bool,
}

/// An anchor where it is.
#[derive(Debug, Clone)]
pub(crate) struct Anchor {
    pub place: Vec3,
    pub hidden: bool,
    pub colour: Colour,
}

/// The fragment's pose and all that holds it at one moment.
#[derive(Debug, Clone, Default)]
pub(crate) struct Shown {
    pub pose: Pose,
    pub strands: Vec<Strand>,
    pub screws: Vec<Screw>,
    pub anchors: Vec<Anchor>,
}

/// Tension in words: one number, or from the first to the last segment when they differ by more
/// than one in twenty.
pub(crate) fn newtons_of(limb: &LimbState) -> String {
    let [lo, hi] = extremes(limb.tensions.iter().copied());
    match (limb.tensions.first(), limb.tensions.last()) {
        (Some(first), Some(last)) if hi - lo > 0.05 * hi => {
            let [from, to] = if (first - last).abs() > 0.05 * hi { [*first, *last] } else { [lo, hi] };
            format!("{from:.0}\u{2013}{to:.0} N")
        }
        (Some(_), Some(_)) => newtons(hi),
        _ => newtons(0.0),
    }
}

/// The segments of a limb's path, those run twice (a loop there and back) once.
pub(crate) fn once(path: &[Vec3]) -> Vec<[Vec3; 2]> {
    let mut once: Vec<[Vec3; 2]> = Vec::new();
    let same = |a: &Vec3, b: &Vec3| (a - b).amax() < 1e-6;
    for pair in path.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let known = once.iter().any(|[c, d]| (same(&a, c) && same(&b, d)) || (same(&a, d) && same(&b, c)));
        if !known && !same(&a, &b) {
            once.push([a, b]);
        }
    }
    once
}

impl Shown {
    /// A tied state: width of limbs from 0.7 pt (slack) to 1.8 pt (the highest tension here).
    pub fn tied(case: &Case, tied: &TiedState, theme: &Theme) -> Self {
        let groups = crate::list::distinct(tied.limbs.iter().map(|l| l.group.clone()));
        let most = |l: &LimbState| l.tensions.iter().copied().fold(0.0, f64::max);
        let highest = tied.limbs.iter().map(most).fold(0.0, f64::max);
        let strand = |l: &LimbState| Strand {
            path: l.path.iter().map(|p| Vec3::from(*p)).collect(),
            kinds: l.kinds.clone(),
            look: Look {
                colour: theme.group(&l.group, &groups),
                width: 0.7 + 1.1 * if highest > 0.0 { most(l) / highest } else { 0.0 },
                hollow: l.group == "loop",
            },
            now: false,
        };
        let hidden = |p| is_hidden(&case.fragment, p);
        let anchors = tied.anchors.iter();
        let screws = tied.screws.iter().map(|s| s.places.map(Vec3::from));
        Self {
            pose: tied.measures.pose(),
            strands: tied.limbs.iter().map(strand).collect(),
            screws: screws.map(|places| Screw { places, colour: theme.ink, now: false }).collect(),
            anchors: anchors
                .map(|a| Anchor { place: drawn_to(tied, a), hidden: hidden(a.place), colour: theme.ink })
                .collect(),
        }
    }

    /// Draws all of it en face: stretches behind bone below, what was just tied above.
    pub fn draw(&self, canvas: &mut Canvas, view: &View<'_>, body: &Body<'_>) {
        let stretches: Vec<_> = self.strands.iter().map(|s| s.stretches(view, body, &self.pose)).collect();
        for strand in self.strands.iter().filter(|s| s.now) {
            strand.halo(canvas, view);
        }
        for (hidden, now) in [(true, false), (true, true), (false, false), (false, true)] {
            // A screw runs inside bone all along, and is drawn with the stretches there.
            for screw in self.screws.iter().filter(|s| hidden && s.now == now) {
                let places = screw.places.map(|p| view.page(p));
                sign::band(canvas, view.theme, places, now);
                sign::screw(canvas, places, screw.colour);
            }
            for (strand, stretches) in self.strands.iter().zip(&stretches).filter(|(s, _)| s.now == now) {
                for (points, _) in stretches.iter().filter(|(_, behind)| *behind == hidden) {
                    strand.look.draw(canvas, points, hidden);
                }
                if !hidden {
                    strand.signs(canvas, view, strand.look.colour, |_| true);
                }
            }
        }
        self.draw_anchors(canvas, view);
    }

    /// Draws the anchors alone.
    pub fn draw_anchors(&self, canvas: &mut Canvas, view: &View<'_>) {
        for anchor in &self.anchors {
            sign::anchor(canvas, view.page(anchor.place), anchor.hidden, anchor.colour);
        }
    }

    /// Draws the limbs as thin lines, white mixed into their colours by `fade`; a loop is dashed, so that it
    /// needs no colour.
    pub fn draw_thin(&self, canvas: &mut Canvas, view: &View<'_>, fade: f64, width: f64) {
        for strand in &self.strands {
            let dash: &[f64] = if strand.look.hollow { &[0.9, 0.5] } else { &[] };
            for ends in once(&strand.path) {
                let stroke = Stroke::dashed(strand.look.colour.tint(fade), width, dash);
                canvas.path(&ends.map(|p| view.page(p)), stroke);
            }
        }
    }
}

impl Strand {
    /// The limb on the page, cut where it passes behind the bone. A loop is drawn as straight legs where it
    /// runs round the rim: seen throughout.
    fn stretches(&self, view: &View<'_>, body: &Body<'_>, pose: &Pose) -> Vec<(Vec<Point>, bool)> {
        let mut out: Vec<(Vec<Point>, bool)> = Vec::new();
        for [a, b] in once(&self.path) {
            let at = |s: f64| a + (b - a) * s;
            for k in 0..PARTS {
                let [from, to] = [k, k + 1].map(|k| k as f64 / PARTS as f64);
                let hidden = !self.look.hollow && body.hides(pose, at(0.5 * (from + to)));
                match out.last_mut() {
                    Some((points, same)) if k > 0 && *same == hidden => points.push(view.page(at(to))),
                    _ => out.push((vec![view.page(at(from)), view.page(at(to))], hidden)),
                }
            }
        }
        // What runs on one way is one line.
        for (points, _) in &mut out {
            let ends = [points[0], points[points.len() - 1]];
            *points = ends.to_vec();
        }
        out
    }

    /// Draws bites and crossings of the points that are wanted.
    pub fn signs(&self, canvas: &mut Canvas, view: &View<'_>, colour: Colour, wanted: impl Fn(&Vec3) -> bool) {
        for (k, (p, kind)) in self.path.iter().zip(&self.kinds).enumerate().filter(|(_, (p, _))| wanted(p)) {
            match kind {
                PointKind::Anchor => {}
                PointKind::Bite => sign::bite(canvas, view.page(*p), colour),
                _ => sign::crossing(canvas, view.page(*p), view.page(self.path[k.saturating_sub(1)]), colour),
            }
        }
    }

    /// A pale band below a limb just tied; a loop, which is short, gets a ringed disc.
    fn halo(&self, canvas: &mut Canvas, view: &View<'_>) {
        let pale = self.look.colour.tint(0.7);
        let pages: Vec<Point> = self.path.iter().map(|p| view.page(*p)).collect();
        if let (true, Some(r)) = (self.look.hollow, Rect::round(&pages)) {
            let radius = 0.5 * distance([0.0; 2], [r.w, r.h]) + 1.9;
            canvas.disc(r.middle(), radius, pale);
            return canvas.circle(r.middle(), radius, Stroke::solid(self.look.colour, 0.75));
        }
        for ends in once(&self.path).into_iter().map(|ends| ends.map(|p| view.page(p))) {
            canvas.path(&ends, Stroke::solid(pale, HALO));
            ends.iter().for_each(|p| canvas.disc(*p, 0.5 * HALO * PT, pale));
        }
    }
}
