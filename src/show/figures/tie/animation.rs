//! The animation for a slide: its pictures, the moving file, and a poster for print.

use super::slide::{self, Slide};
use super::*;

use crate::math::{Vec3, rotation, rotation_vector};
use crate::model::Stop;
use crate::par;

/// Pixels of the moving picture.
const PIXELS: [u16; 2] = [1280, 720];
/// Interpolated pictures between two states: most of them, and about how many in all.
const BETWEEN: [usize; 2] = [10, 60];
/// How long pictures stay, hundredths of a second: before tying, a tie that is about to be made,
/// on the way, a state, the last state.
const STAY: [u16; 5] = [200, 80, 7, 180, 450];
/// Name of poster and animation.
pub(super) const NAME: &str = "tie-animation";

/// The pictures for a slide of the best and the worst order.
#[derive(Debug, Clone, PartialEq)]
pub struct TieSlides {
    /// A still for print, with caption and alternative text that hold for the animation too.
    pub poster: Figure,
    /// The pictures of the solved states in order, the one before tying first.
    pub stills: Vec<Figure>,
}

/// The animation of the best and the worst order.
#[derive(Debug, Clone, PartialEq)]
pub struct TieAnimation {
    /// All pictures, moving, as a GIF of 1280 by 720 pixels.
    pub gif: Vec<u8>,
    /// How many pictures the GIF shows.
    pub frames: usize,
}

/// States that a slide shows: as many as the longer order needs.
fn count(rows: &[(Sequence<'_>, String)]) -> usize {
    rows.iter().map(|(s, _)| s.cells()).max().unwrap_or(1)
}

fn moments(rows: &[(Sequence<'_>, String)], k: usize) -> Vec<Moment> {
    rows.iter().map(|(s, _)| at(s, k)).collect()
}

/// Draws the poster and the solved states of the best and the worst order. `None` without any order.
pub fn tie_slides(case: &Case, construct: &Construct, orders: &Orders) -> Option<TieSlides> {
    let theme = slide::theme();
    let study = Study::new(case, construct, &theme);
    let rows = rows(case, construct, orders);
    let slide = (!rows.is_empty()).then(|| Slide::new(&study, &rows))?;
    let still = |k: usize| {
        let said = spoken(&rows, k);
        let (construct, case) = (&orders.construct, &case.name);
        let caption = format!("State {k} of the animation of tying, construct {construct} on the case {case}: {said}");
        Figure::new(&format!("{NAME}-{k:02}"), slide.draw(&moments(&rows, k), false), String::new(), caption, said)
    };
    let last = slide.draw(&moments(&rows, count(&rows) - 1), true);
    let table = numbers(case, construct, orders);
    let poster = Figure::new(NAME, last, table, caption(&study, orders, &rows), alt(&rows));
    Some(TieSlides { poster, stills: (0..count(&rows)).map(still).collect() })
}

/// Draws the animation of the best and the worst order. `None` without any order.
///
/// # Errors
/// When a picture cannot be rendered.
pub fn tie_animation(case: &Case, construct: &Construct, orders: &Orders) -> Result<Option<TieAnimation>, PngError> {
    let theme = slide::theme();
    let study = Study::new(case, construct, &theme);
    let rows = rows(case, construct, orders);
    if rows.is_empty() {
        return Ok(None);
    }
    let slide = Slide::new(&study, &rows);
    let count = count(&rows);
    let parts = (BETWEEN[1] / (count - 1).max(1)).clamp(3, BETWEEN[0]);
    let mut script: Vec<(Vec<Moment>, u16)> = vec![(moments(&rows, 0), STAY[0])];
    for k in 1..count {
        for j in 0..=parts {
            let s = j as f64 / (parts + 1) as f64;
            let way = rows.iter().map(|(sequence, _)| toward(&study, sequence, k, s)).collect();
            script.push((way, if j == 0 { STAY[1] } else { STAY[2] }));
        }
        script.push((moments(&rows, k), if k + 1 == count { STAY[4] } else { STAY[3] }));
    }
    let [w, h] = PIXELS.map(u32::from);
    let render = |k: &usize| {
        let drawing = slide.draw(&script[*k].0, false).finish("frame", "");
        pixels(&drawing, w, h).map(|p| p.data().to_vec())
    };
    // The palette from the states and from ties about to be made, in which every colour is.
    let (known, moving): (Vec<usize>, Vec<usize>) = (0..script.len()).partition(|k| script[*k].1 != STAY[2]);
    let pictures: Vec<Vec<u8>> = par::map(&known, render).into_iter().collect::<Result<_, _>>()?;
    let palette = Palette::of(&pictures.iter().map(Vec::as_slice).collect::<Vec<_>>());
    let still: Vec<Vec<u8>> = par::map(&pictures, |p| palette.indices(p));
    drop(pictures);
    let way: Vec<Vec<u8>> =
        par::map(&moving, |k| Ok(palette.indices(&render(k)?))).into_iter().collect::<Result<_, PngError>>()?;
    let mut indexed: Vec<(usize, Vec<u8>)> = known.into_iter().zip(still).chain(moving.into_iter().zip(way)).collect();
    indexed.sort_by_key(|(k, _)| *k);
    let timed: Vec<(Vec<u8>, u16)> = indexed.into_iter().map(|(k, indices)| (indices, script[k].1)).collect();
    Ok(Some(TieAnimation { gif: encode(PIXELS, &palette, &timed)?, frames: timed.len() }))
}

fn caption(study: &Study<'_>, orders: &Orders, rows: &[(Sequence<'_>, String)]) -> String {
    let (construct, case, side) = (&orders.construct, &study.case.name, side(study.case));
    let rows = joined(rows.iter().map(|(s, heading)| format!("{heading}: {}", chain(s))), ". ");
    let (members, screws, choice) = (study.members(), screws(study.construct), choice(orders));
    format!(
        "How the fragment moves while it is tied: construct {construct} on the case {case}, {side}, en face from lateral. {rows}. Poster: the last state, with the outlines of the states before it, numbered by ties done (0 before tying). Animation ({NAME}.gif): the pictures in which numbers stand under a tie are solved states; the pictures between them, marked as interpolated, are not computed: shift and turn run evenly from one state to the next, stops on the fragment ride on it, anchors give in proportion, so that the eye can follow, and the way that the fragment really takes is not shown. Dashed: reduced outline; dotted: before tying; darker bone: bed that the fragment does not cover; band or ring: {members} being tied{screws}. Beside each view: largest step-off and inferior shift after each tie, and the fragment's articular edge (thick) along the fracture line against the intact edge (thin), lateral upward, to one scale in both orders; hatched where proud, plain where recessed. {choice}"
    )
}

fn alt(rows: &[(Sequence<'_>, String)]) -> String {
    let parts: Vec<String> = rows.iter().map(|(s, heading)| format!("{heading}. {}", all_spoken(s))).collect();
    format!("Scale drawings of a rim fragment seen en face as it is moved by each tie. {}.", parts.join(". "))
}

/// A state of both orders in words.
fn spoken(rows: &[(Sequence<'_>, String)], k: usize) -> String {
    let part = |(s, heading): &(Sequence<'_>, String)| {
        let words = match (s.stages.get(k), &s.lost) {
            (Some(stage), _) => stage::spoken(stage),
            (None, Some(why)) => why.clone(),
            (None, None) => stage::spoken(s.last()),
        };
        format!("{heading}, {words}.")
    };
    rows.iter().map(part).collect::<Vec<_>>().join(" ")
}

/// What one order shows at one moment.
#[derive(Debug, Clone)]
pub(super) struct Moment {
    /// Fragment and limbs.
    pub shown: Moved,
    /// The state that is shown, or that the fragment moves to.
    pub state: usize,
    /// Whether it is on its way: then the picture is interpolated.
    pub moving: bool,
}

/// The moment at which a sequence stands at its state `k`; beyond its end it stays there.
fn at(sequence: &Sequence<'_>, k: usize) -> Moment {
    let last = sequence.stages.len() - 1;
    Moment { shown: Moved::stage(&sequence.stages[k.min(last)]), state: k, moving: false }
}

/// The moment at share `s` (0 to 1) of the way to the state `k`, which is not the first.
fn toward(study: &Study<'_>, sequence: &Sequence<'_>, k: usize, s: f64) -> Moment {
    if k >= sequence.stages.len() {
        return at(sequence, k);
    }
    let (from, to) = (&sequence.stages[k - 1], &sequence.stages[k]);
    let eased = s * s * (3.0 - 2.0 * s);
    Moment {
        shown: Moved {
            pose: between(&from.measures.pose(), &to.measures.pose(), eased),
            paths: (0..to.paths.len()).map(|limb| path(study, from, to, limb, eased)).collect(),
            now: to.now.clone(),
        },
        state: k,
        moving: true,
    }
}

/// Shift in proportion, turn about the one axis that joins both.
fn between(from: &Pose, to: &Pose, s: f64) -> Pose {
    let turn = rotation_vector(&(to.turn * from.turn.inverse()));
    Pose { shift: from.shift + (to.shift - from.shift) * s, turn: rotation(&(turn * s)) * from.turn }
}

/// A limb or screw on the way: a limb's stops on the fragment ride on it, its anchors give in
/// proportion.
fn path(study: &Study<'_>, from: &Stage, to: &Stage, limb: usize, s: f64) -> Vec<[f64; 3]> {
    let reference = study.case.fragment.centroid;
    let (a, b) = (from.measures.pose(), to.measures.pose());
    let here = between(&a, &b, s);
    let own = |pose: &Pose, p: &[f64; 3]| pose.turn.inverse() * (Vec3::from(*p) - reference - pose.shift) + reference;
    let Some(spec) = study.construct.limbs.get(limb) else {
        // A screw's head rides on the fragment, its tip stays in the scapula.
        let &[head, plane, tip] = to.paths[limb].as_slice() else {
            return Vec::new();
        };
        let [head, plane, tip] = [head, plane, tip].map(Vec3::from);
        let share = (plane - head).norm() / (tip - head).norm();
        let head = here.place(&reference, &own(&b, &head.into()));
        return [head, head + (tip - head) * share, tip].map(Into::into).to_vec();
    };
    let stops = &spec.path;
    to.paths[limb]
        .iter()
        .zip(stops)
        .enumerate()
        .map(|(j, (end, stop))| {
            let start = from.paths[limb].get(j);
            match stop {
                Stop::Anchor { index, .. } => {
                    let unloaded = study.construct.anchors[*index].point;
                    let start =
                        start.copied().or_else(|| study.anchor_place(&from.paths, *index)).map_or(unloaded, Vec3::from);
                    start + (Vec3::from(*end) - start) * s
                }
                Stop::Bite { .. } | Stop::Crossing { .. } => {
                    let end = own(&b, end);
                    let start = start.map_or(end, |p| own(&a, p));
                    here.place(&reference, &(start + (end - start) * s))
                }
            }
            .into()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_way_joins_both_ends() {
        let a = Pose { shift: Vec3::new(1.0, -2.0, 0.5), turn: rotation(&Vec3::new(0.1, 0.0, -0.2)) };
        let b = Pose { shift: Vec3::new(-0.5, 0.0, 0.0), turn: rotation(&Vec3::new(0.0, 0.3, 0.1)) };
        for (s, end) in [(0.0, &a), (1.0, &b)] {
            let p = between(&a, &b, s);
            assert!((p.shift - end.shift).norm() < 1e-12);
            assert!(p.turn.angle_to(&end.turn) < 1e-12);
        }
        // Half-way both ends are as far: one axis, one rate.
        let half = between(&a, &b, 0.5);
        let (back, on) = (half.turn.angle_to(&a.turn), half.turn.angle_to(&b.turn));
        assert!((back - on).abs() < 1e-12);
    }
}
