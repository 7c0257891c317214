//! The holes of a construct in the reduced bone: en face, and in section with the whole vault. A hole that keeps all that
//! is asked of it is plain, one that does not is hatched, with a cross where the bone is thinnest.

use super::section::{NEAR, torn};
use super::*;
use crate::study::result::{BoneLeft, Drilling, Hole};

/// Room above a drawing (title and direction) and below it (directions and scale), mm.
const HEAD: f64 = 9.0;
const FOOT: f64 = 8.0;
/// Width of the names beside the drawing en face, mm.
const NAMES: f64 = 38.0;
/// How far the vault is drawn beyond the deepest tip, mm.
const BEYOND: f64 = 3.0;

/// What is drawn.
pub(crate) struct Holes<'a> {
    pub case: &'a Case,
    pub found: &'a Drilling,
    /// The limbs, taut on the reduced fragment, mm.
    pub strands: Vec<Vec<Vec3>>,
    pub theme: &'a Theme,
    pub body: Body<'a>,
}

/// What of a hole is not kept, in a few words; nothing where all is.
pub(crate) type Said<'a> = &'a dyn Fn(usize) -> String;

impl Holes<'_> {
    fn is_kept(&self, k: usize) -> bool {
        self.found.violations.iter().all(|v| !v.holes.contains(&k))
    }

    /// How far the drawing en face reaches to either side, upward and downward, mm.
    fn spans(&self) -> [f64; 3] {
        let r = self.case.fragment.socket.radius;
        let ends = self.found.holes.iter().flat_map(|h| [h.entry, h.tip]);
        let strands = self.strands.iter().flatten().map(|p| [p.x, p.y, p.z]);
        let socket = (self.case.socket_height - r).max(1.05 * r);
        ends.chain(strands).fold([r, socket, r], |[wide, up, down], p| {
            [wide.max(p[0].abs() + 1.5), up.max(p[1] + 1.5), down.max(1.5 - p[1])]
        })
    }

    /// Page mm per bone mm en face.
    fn scale(&self, width: f64) -> f64 {
        ((width - NAMES - 6.0) / (2.0 * self.spans()[0])).min(1.9)
    }

    /// Height of the panel en face, mm.
    pub fn face_height(&self, width: f64) -> f64 {
        let [_, up, down] = self.spans();
        HEAD + self.scale(width) * (up + down) + FOOT
    }

    /// Draws the panel en face.
    pub fn face(&self, canvas: &mut Canvas, area: Rect, said: Said<'_>) {
        let (theme, side) = (self.theme, mirror(self.case));
        title(canvas, theme, area, "a", "En face, from lateral");
        let ([wide, up, down], scale) = (self.spans(), self.scale(area.w));
        let left = if side > 0.0 { NAMES + 3.0 } else { 3.0 };
        let origin = [area.x + left + scale * wide, area.y + HEAD + scale * up];
        let view = View::new(self.case, theme, Seen::Face, origin, scale);
        self.body.draw(canvas, &view, &Pose::default());
        canvas.circle(origin, scale * self.case.fragment.socket.radius, Stroke::dashed(theme.muted, 0.4, &[0.8, 0.8]));
        let mut clear = self.all(canvas, &view);
        let mut names = Vec::new();
        for (k, hole) in self.found.holes.iter().enumerate() {
            let at = view.page(hole.entry);
            let away = toward(view.page(hole.tip), at);
            number(canvas, theme, &mut clear, k, at, away, 0.5 * hole.diameter * scale + 0.8);
            let colour = if self.is_kept(k) { theme.ink } else { broken(theme) };
            names.push(Callout { at, number: Some(k + 1), name: hole.name.clone(), value: said(k), colour });
        }
        let x = origin[0] - side * (scale * wide + 3.0);
        let range = [area.y + HEAD - 2.0, origin[1] + scale * down + 1.0];
        Column { x, room: NAMES - 4.0, range, side: -side }.draw(canvas, theme, &names);
        let set = theme.note().italic();
        canvas.text("superior", [origin[0], origin[1] - scale * up - 1.2], set.centred());
        let low = origin[1] + scale * down + 4.4;
        canvas.text("inferior", [origin[0], low], set.centred());
        for (word, s) in [("anterior", view.mirror), ("posterior", -view.mirror)] {
            direction(canvas, theme, word, [origin[0] + s * 8.0, low - 0.5 * set.capital()], s);
        }
        view.scale_bar(canvas, [area.x + if side > 0.0 { 2.0 } else { area.w - NAMES }, low - 0.3]);
    }

    /// Range of the section: outward, and lateral, mm.
    fn range(&self) -> ([f64; 2], [f64; 2]) {
        let f = &self.case.fragment;
        let ends = self.found.holes.iter().flat_map(|h| [h.entry, h.tip]);
        let flat = ends.map(|p| Seen::Section.flat(self.case, &Vec3::from(p)));
        let points: Vec<[f64; 2]> = flat.chain(self.body.outline(Seen::Section, &Pose::default())).collect();
        let [z_lo, z_hi] = extremes(points.iter().map(|p| p[1]));
        let [e_lo, e_hi] = extremes(points.iter().map(|p| p[0]).chain([-f.socket.radius, f.socket.radius]));
        ([e_lo - 1.5, e_hi + 1.5], [z_lo.min(f.chord_height - f.shape.depth) - BEYOND, z_hi.max(f.socket.rim_height())])
    }

    /// Page mm per bone mm in section.
    fn section_scale(&self, width: f64) -> f64 {
        let (e, z) = self.range();
        ((width - 8.0) / (e[1] - e[0])).min(66.0 / (z[1] - z[0])).min(2.2)
    }

    /// Height of the panel in section, mm.
    pub fn section_height(&self, width: f64) -> f64 {
        let (_, z) = self.range();
        HEAD + self.section_scale(width) * (z[1] - z[0]) + FOOT
    }

    /// Draws the panel in section, with the vault to the far cortex.
    pub fn section(&self, canvas: &mut Canvas, area: Rect) {
        let (theme, f) = (self.theme, &self.case.fragment);
        title(canvas, theme, area, "b", "Section across the bed");
        let ((e, z), scale) = (self.range(), self.section_scale(area.w));
        let mut view = View::new(self.case, theme, Seen::Section, [0.0; 2], scale);
        view.origin = [area.x + 0.5 * area.w - view.mirror * scale * 0.5 * (e[0] + e[1]), area.y + HEAD + scale * z[1]];
        let wall = |z: f64| f.wall_radius(z).max(0.0);
        let mut surface = vec![[-wall(z[0]), z[0]]];
        surface.extend(face_line(f, -f.socket.radius, f.chord_distance));
        surface.extend([margin(f), [wall(z[0]), z[0]]]);
        let [from, to] = [surface[surface.len() - 1], surface[0]];
        let bone =
            if distance(from, to) > 0.5 { [surface.as_slice(), &torn(from, to)].concat() } else { surface.clone() };
        canvas.area(&view.all(&bone), theme.bone);
        canvas.path(&view.all(&surface), Stroke::solid(theme.ink, theme.outline));
        let fragment = view.all(&self.body.outline(Seen::Section, &Pose::default()));
        canvas.area(&fragment, theme.fragment);
        canvas.outline(&fragment, Stroke::solid(theme.ink, theme.outline));
        let mut clear = self.all(canvas, &view);
        for (k, hole) in self.found.holes.iter().enumerate() {
            let [a, b] = [hole.entry, hole.tip].map(|p| view.page(p));
            number(canvas, theme, &mut clear, k, b, toward(a, b), 0.5 * hole.diameter * scale + 0.8);
        }
        let set = theme.note().italic();
        let low = view.at([0.0, z[0]])[1] + 4.4;
        let middle = view.at([0.5 * (e[0] + e[1]), 0.0])[0];
        let s = view.mirror;
        let word = "outward";
        let x = direction(canvas, theme, word, [middle - s * 14.0, low - 0.5 * set.capital()], s) + s * 4.0;
        canvas.text("lateral", [x, low], set.away(s));
        let x = x + s * (set.width("lateral") + 1.4);
        pointer(canvas, theme, [x, low + 0.8], [x, low - 2.6]);
        view.scale_bar(canvas, [if s > 0.0 { area.x + 2.0 } else { area.right() - 5.0 * scale - 2.0 }, low - 0.3]);
    }

    /// Draws limbs, holes and anchors; gives what numbers have to keep off.
    fn all(&self, canvas: &mut Canvas, view: &View<'_>) -> Clearance {
        let (theme, mut clear) = (self.theme, Clearance::default());
        for path in &self.strands {
            for ends in once(path).into_iter().map(|ends| ends.map(|p| view.page(p))) {
                canvas.path(&ends, Stroke::solid(theme.muted, 0.8));
                clear.keep_off(&ends);
            }
        }
        let near = |h: &Hole| [h.entry, h.tip].iter().any(|p| self.off_plane(p) <= NEAR) || view.seen == Seen::Face;
        for front in [false, true] {
            for (k, hole) in self.found.holes.iter().enumerate().filter(|(_, h)| near(h) == front) {
                self.hole(canvas, view, hole, self.is_kept(k), front);
                clear.keep_off(&[hole.entry, hole.tip].map(|p| view.page(p)));
            }
        }
        for (k, hole) in self.found.holes.iter().enumerate() {
            let at = view.page(hole.entry);
            let colour = if near(hole) { theme.ink } else { theme.ink.tint(0.6) };
            match hole.screw {
                true => sign::head(canvas, at, colour),
                false => sign::anchor(
                    canvas,
                    at,
                    view.seen == Seen::Face && is_hidden(&self.case.fragment, hole.entry),
                    colour,
                ),
            }
            clear.take(at, 1.4);
            if let Some(thin) = self.thinnest(k) {
                sign::thin(canvas, theme, view.page(thin.at));
                clear.take(view.page(thin.at), 1.4);
            }
        }
        clear
    }

    fn off_plane(&self, p: &[f64; 3]) -> f64 {
        Vec3::from(*p).dot(&self.case.fragment.along).abs()
    }

    /// Where a hole leaves too little bone, the thinnest place of it.
    fn thinnest(&self, k: usize) -> Option<&BoneLeft> {
        let asked = |left: &&BoneLeft| {
            let key = crate::show::words::surface_key(left.surface);
            self.found.violations.iter().any(|v| v.key == key && v.holes == [k])
        };
        self.found.holes[k].left.iter().filter(asked).min_by(|a, b| a.bone.total_cmp(&b.bone))
    }

    /// A hole as wide as it is drilled, its tip round.
    fn hole(&self, canvas: &mut Canvas, view: &View<'_>, hole: &Hole, kept: bool, near: bool) {
        let [a, b] = [hole.entry, hole.tip].map(|p| view.page(p));
        let (theme, r) = (self.theme, 0.5 * hole.diameter * view.scale);
        let colour = if kept { theme.ink } else { broken(theme) };
        let colour = if near { colour } else { colour.tint(0.5) };
        let [x, y] = toward(a, b);
        let turn = libm::atan2(y, x).to_degrees();
        let mut ring = arc(b, r, [turn - 90.0, turn + 90.0], 14);
        ring.extend(arc(a, r, [turn + 90.0, turn + 270.0], 14));
        canvas.area(&ring, colour.tint(if near { 0.82 } else { 0.9 }));
        if !kept {
            canvas.textured(&ring, Texture::Rising, 0.9, Stroke::solid(colour, 0.4));
        }
        canvas.outline(&ring, Stroke::solid(colour, 0.7));
        canvas.line(a, b, Stroke::dashed(colour, 0.35, &[1.2, 0.6, 0.2, 0.6]));
    }
}

/// The colour of what is not kept.
fn broken(theme: &Theme) -> Colour {
    theme.series[1].shade(0.15)
}

/// A number beside a point, clear of everything.
fn number(canvas: &mut Canvas, theme: &Theme, clear: &mut Clearance, k: usize, at: Point, toward: Point, near: f64) {
    let (set, text) = (theme.fine().bold(), (k + 1).to_string());
    if let Some(r) = clear.place([set.width(&text), set.capital()], at, toward, near, near + 10.0) {
        canvas.text(&text, [r.x, r.bottom()], set);
        clear.boxes.push(r.grown(0.4));
    }
}

fn title(canvas: &mut Canvas, theme: &Theme, area: Rect, letter: &str, words: &str) {
    canvas.text(letter, [area.x + 0.6, area.y + 3.4], theme.heading());
    canvas.text(words, [area.x + 4.0, area.y + 3.4], theme.words());
}
