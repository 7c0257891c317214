//! The animation for a slide: its pictures, the moving file, and a poster for print.

use super::motion::{self, Moment};
use super::slide::{self, Slide};
use super::stage::Sequence;
use super::study::Study;
use super::{rows, words};
use crate::model::{Case, Construct};
use crate::par::*;
use crate::show::chart::*;
use crate::show::scene::side;
use crate::study::result::Orders;

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
    rows.iter().map(|(s, _)| motion::at(s, k)).collect()
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
    let table = words::csv(case, construct, orders);
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
            let way = rows.iter().map(|(sequence, _)| motion::toward(&study, sequence, k, s)).collect();
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
    let pictures: Vec<Vec<u8>> = known.par_iter().map(render).collect::<Result<_, _>>()?;
    let palette = Palette::of(&pictures.iter().map(Vec::as_slice).collect::<Vec<_>>());
    let still: Vec<Vec<u8>> = pictures.par_iter().map(|p| palette.indices(p)).collect();
    drop(pictures);
    let way: Vec<Vec<u8>> =
        moving.par_iter().map(|k| Ok(palette.indices(&render(k)?))).collect::<Result<_, PngError>>()?;
    let mut indexed: Vec<(usize, Vec<u8>)> = known.into_iter().zip(still).chain(moving.into_iter().zip(way)).collect();
    indexed.sort_by_key(|(k, _)| *k);
    let timed: Vec<(Vec<u8>, u16)> = indexed.into_iter().map(|(k, indices)| (indices, script[k].1)).collect();
    Ok(Some(TieAnimation { gif: encode(PIXELS, &palette, &timed)?, frames: timed.len() }))
}

fn caption(study: &Study<'_>, orders: &Orders, rows: &[(Sequence<'_>, String)]) -> String {
    format!(
        "How the fragment moves while it is tied: construct {} on the case {}, {}, en face from lateral. {}. Poster: the last state, with the outlines of the states before it, numbered by ties done (0 before tying). Animation ({NAME}.gif): the pictures in which numbers stand under a tie are solved states; the pictures between them, marked as interpolated, are not computed: shift and turn run evenly from one state to the next, stops on the fragment ride on it, anchors give in proportion, so that the eye can follow, and the way that the fragment really takes is not shown. Dashed: reduced outline; dotted: before tying; darker bone: bed that the fragment does not cover; band or ring: {} being tied{}. Beside each view: largest step-off and inferior shift after each tie, and the fragment's articular edge (thick) along the fracture line against the intact edge (thin), lateral upward, to one scale in both orders; hatched where proud, plain where recessed. {}",
        orders.construct,
        study.case.name,
        side(study.case),
        joined(rows.iter().map(|(s, heading)| format!("{heading}: {}", words::chain(s))), ". "),
        study.members(),
        words::screws(study.construct),
        words::choice(orders)
    )
}

fn alt(rows: &[(Sequence<'_>, String)]) -> String {
    let parts: Vec<String> = rows.iter().map(|(s, heading)| format!("{heading}. {}", words::all_spoken(s))).collect();
    format!("Scale drawings of a rim fragment seen en face as it is moved by each tie. {}.", parts.join(". "))
}

/// A state of both orders in words.
fn spoken(rows: &[(Sequence<'_>, String)], k: usize) -> String {
    let part = |(s, heading): &(Sequence<'_>, String)| {
        let words = match (s.stages.get(k), &s.lost) {
            (Some(stage), _) => words::spoken(stage),
            (None, Some(why)) => why.clone(),
            (None, None) => words::spoken(s.last()),
        };
        format!("{heading}, {words}.")
    };
    rows.iter().map(part).collect::<Vec<_>>().join(" ")
}
