//! What all figures of one study of tying orders share: how its states are drawn.

use super::*;
use crate::model::Stop;
use crate::show::figures::subject::limbs_or_screws;

/// Dots of the outline before tying, mm on and off.
const START: &[f64] = &[0.35, 0.75];
/// Room round everything that is drawn, mm of bone.
const MARGIN: f64 = 1.8;
/// How much of the intact face is drawn beside the fracture line, mm.
const FACE: f64 = 5.5;

/// What every view of a study shares.
pub(super) struct Study<'a> {
    pub case: &'a Case,
    pub construct: &'a Construct,
    pub theme: &'a Theme,
    pub body: Body<'a>,
    groups: Vec<String>,
}

/// Fragment, limbs and screws at one moment: points of every limb's path, then those of every screw, mm; none
/// where it is not there; and which of them are emphasised.
#[derive(Debug, Clone)]
pub(super) struct Moved {
    pub pose: Pose,
    pub paths: Vec<Vec<[f64; 3]>>,
    pub now: Vec<usize>,
}

impl Moved {
    /// A solved state.
    pub fn stage(stage: &Stage) -> Self {
        Self { pose: stage.measures.pose(), paths: stage.paths.clone(), now: stage.now.clone() }
    }
}

impl<'a> Study<'a> {
    pub fn new(case: &'a Case, construct: &'a Construct, theme: &'a Theme) -> Self {
        let groups = distinct(construct.limbs.iter().map(|l| l.group.clone()));
        Self { case, construct, theme, body: Body::new(case), groups }
    }

    /// How many limbs and screws there are: limbs come first wherever both are counted.
    pub fn count(&self) -> usize {
        self.construct.limbs.len() + self.construct.screws.len()
    }

    /// What all of them are, in words.
    pub fn members(&self) -> &'static str {
        limbs_or_screws(self.construct.limbs.len(), self.construct.screws.len())
    }

    /// Name of a limb or screw.
    pub fn name(&self, k: usize) -> &str {
        let limbs = &self.construct.limbs;
        limbs.get(k).map_or_else(|| &self.construct.screws[k - limbs.len()].name, |limb| &limb.name)
    }

    /// Colour of a limb or screw: a screw has threads instead of one.
    pub fn colour(&self, k: usize) -> Colour {
        let limb = self.construct.limbs.get(k);
        limb.map_or(self.theme.muted, |limb| self.theme.group(&limb.group, &self.groups))
    }

    /// How a limb looks, just tied or earlier.
    pub fn look(&self, k: usize, now: bool) -> Look {
        let colour = self.colour(k);
        Look {
            colour: if now { colour } else { colour.tint(0.35) },
            width: if now { 2.1 } else { 0.9 },
            hollow: self.construct.limbs.get(k).is_some_and(|l| l.group == "loop"),
        }
    }

    /// Colour of a screw, just tightened or earlier.
    pub fn screw_ink(&self, now: bool) -> Colour {
        if now { self.theme.ink } else { self.theme.ink.tint(0.35) }
    }

    /// Where the limbs on an anchor have drawn it to: seats give. `None` while nothing pulls on it.
    pub fn anchor_place(&self, paths: &[Vec<[f64; 3]>], index: usize) -> Option<[f64; 3]> {
        paths.iter().zip(&self.construct.limbs).find_map(|(path, limb)| {
            let here = |s: &Stop| matches!(s, Stop::Anchor { index: i, .. } if *i == index);
            path.get(limb.path.iter().position(here)?).copied()
        })
    }

    /// A moment as the scene takes it.
    pub fn shown(&self, moved: &Moved) -> Shown {
        let (limbs, ink) = (&self.construct.limbs, self.theme.ink);
        let mut shown = Shown { pose: moved.pose, ..Shown::default() };
        for (k, path) in moved.paths.iter().enumerate().filter(|(_, path)| !path.is_empty()) {
            let now = moved.now.contains(&k);
            let mut path: Vec<Vec3> = path.iter().map(|p| Vec3::from(*p)).collect();
            match (limbs.get(k), path.as_slice()) {
                (Some(limb), _) => {
                    if limb.closed {
                        path.extend(path.first().copied());
                    }
                    let kind = |stop: &Stop| match stop {
                        Stop::Anchor { .. } => PointKind::Anchor,
                        Stop::Bite { .. } => PointKind::Bite,
                        Stop::Crossing { .. } => PointKind::Rim,
                    };
                    let kinds = limb.path.iter().map(kind).collect();
                    shown.strands.push(Strand { path, kinds, look: self.look(k, now), now });
                }
                (None, &[head, plane, tip]) => {
                    shown.screws.push(Screw { places: [head, plane, tip], colour: self.screw_ink(now), now });
                }
                _ => {}
            }
        }
        // Pale where no limb is on them yet.
        shown.anchors.extend(self.construct.anchors.iter().enumerate().map(|(index, anchor)| {
            let place = self.anchor_place(&moved.paths, index);
            Anchor {
                place: place.map_or(anchor.point, Vec3::from),
                hidden: is_hidden(&self.case.fragment, anchor.point.into()),
                colour: if place.is_some() { ink } else { ink.tint(0.55) },
            }
        }));
        shown
    }

    /// What holds all these states, the reduced fragment, anchors, screws and some intact face.
    pub fn extent<'s>(&self, stages: impl Iterator<Item = &'s Stage>) -> Extent {
        let f = &self.case.fragment;
        let flat = |p: Vec3| [p.x, p.y];
        let face = [-0.6, 0.6].map(|t| f.outward * (f.chord_distance - FACE) + f.along * (t * f.half_chord));
        let mut points: Vec<[f64; 2]> = face.into_iter().map(flat).collect();
        points.extend(self.body.whole(&Pose::default()));
        points.extend(self.construct.anchors.iter().map(|a| flat(a.point)));
        points.extend(self.construct.screws.iter().map(|s| flat(s.tip())));
        for stage in stages {
            let pose = stage.measures.pose();
            points.extend(self.body.whole(&pose));
            points.extend(self.body.outline(Seen::Face, &pose));
            points.extend(stage.paths.iter().flatten().map(|p| [p[0], p[1]]));
        }
        Extent::about(points, MARGIN)
    }

    /// How far the fracture line reaches in all states of some orders.
    pub fn reach(&self, rows: &[(Sequence<'_>, String)]) -> Reach {
        let stages = rows.iter().flat_map(|(s, _)| &s.stages);
        Reach::of(self.case, &self.body, stages.map(|s| s.measures.pose()))
    }

    /// Draws a moment in a window: intact face, empty bed with the reduced outline (dashed), the outline before
    /// tying (dotted), fragment, outlines of other `poses` (thin), limbs, screws and anchors. Gives the view.
    pub fn draw(
        &self,
        canvas: &mut Canvas,
        (extent, scale, window): (&Extent, f64, Rect),
        moved: &Moved,
        start: &Pose,
        poses: &[Pose],
    ) -> View<'a> {
        let theme = self.theme;
        let view = View::in_window(self.case, theme, Seen::Face, extent, scale, window);
        let outline = |pose: &Pose| view.all(&self.body.outline(Seen::Face, pose));
        canvas.clipped(window, |canvas| {
            self.body.draw(canvas, &view, &moved.pose);
            let thin = Stroke::solid(theme.muted.tint(0.2), 0.5);
            poses.iter().for_each(|pose| canvas.outline(&outline(pose), thin));
            canvas.outline(&outline(start), Stroke::dashed(theme.muted, 0.75, START));
            self.body.draw_reduced(canvas, &view);
        });
        self.shown(moved).draw(canvas, &view, &self.body);
        view
    }
}

/// A key for drawings at `scale` page mm per mm of bone; with `ties`, also how limbs and screws look that were
/// just tied or before.
pub(super) fn key<'k>(study: &'k Study<'_>, scale: f64, ties: bool, room: f64) -> Key<'k> {
    let theme = study.theme;
    let mut key = Key::new(theme.note(), room);
    let line = |stroke: Stroke| {
        move |canvas: &mut Canvas, r: Rect| {
            canvas.line([r.x, r.middle()[1]], [r.right(), r.middle()[1]], stroke);
        }
    };
    let band = |r: Rect| Rect::new(r.x, r.middle()[1] - 0.9, r.w, 1.8).corners();
    key.add(5.0 * scale, "5 mm", line(Stroke::solid(theme.ink, 1.5)));
    key.add(5.0, "anterior", move |canvas, r| {
        let [x, y] = r.middle();
        let half = 0.5 * r.w * Seen::Face.mirror(study.case);
        pointer(canvas, theme, [x - half, y], [x + half, y]);
    });
    key.add(2.0, "superior", |canvas, r| {
        let [x, y] = r.middle();
        pointer(canvas, theme, [x, y + 1.5], [x, y - 1.6]);
    });
    key.add(5.0, "reduced", line(theme.reduced()));
    key.add(5.0, "before tying", line(Stroke::dashed(theme.muted, 0.75, START)));
    for (now, words) in [(true, "just tied"), (false, "tied before")].into_iter().filter(|_| ties) {
        sample(&mut key, study, now, words);
    }
    key.add(4.0, "proud", move |canvas, r| profile::proud(canvas, theme, &band(r)));
    key.add(4.0, "recessed", move |canvas, r| profile::recessed(canvas, theme, &band(r)));
    key
}

/// A bridge and a loop, as far as the construct has both, and a screw where it has one.
fn sample<'k>(key: &mut Key<'k>, study: &'k Study<'_>, now: bool, words: &str) {
    let (limbs, screws) = (&study.construct.limbs, !study.construct.screws.is_empty());
    let one = |hollow: bool| limbs.iter().position(|l| (l.group == "loop") == hollow);
    let kinds: Vec<usize> = [one(false), one(true)].into_iter().flatten().collect();
    let strands = if kinds.is_empty() { 0.0 } else { 4.6 * kinds.len() as f64 };
    key.add(strands + if screws { 8.0 } else { 0.0 }, words, move |canvas, r| {
        let (y, part) = (r.middle()[1], strands / kinds.len().max(1) as f64);
        for (k, limb) in kinds.iter().enumerate() {
            let from = r.x + k as f64 * part + if k > 0 { 0.4 } else { 0.0 };
            let (look, to) = (study.look(*limb, now), r.x + (k + 1) as f64 * part - 0.4);
            // A loop is round its line.
            let [from, to] = if look.hollow { [from + 1.8, to - 1.8] } else { [from, to] };
            look.draw(canvas, &[[from, y], [to, y]], false);
        }
        if screws {
            // Its head and its tip stand out of the line by half the band each.
            let places = [0.0, 2.0, 5.0].map(|l| [r.x + strands + 1.8 + l, y]);
            sign::band(canvas, study.theme, places, now);
            sign::screw(canvas, places, study.screw_ink(now));
        }
    });
}
