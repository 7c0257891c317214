//! The animation for a slide: its pictures, the moving file, and a poster for print.

use super::gif::{self, Palette};
use super::motion::{self, Moment};
use super::scene::Scene;
use super::slide::{self, Slide};
use super::stage::Sequence;
use super::{rows, table, words};
use crate::model::{Case, Construct};
use crate::show::figures::figure::Figure;
use crate::show::figures::png::{self, PngError};
use crate::study::result::Orders;
use rayon::prelude::*;

/// Pixels of the moving picture.
pub(super) const PIXELS: [u16; 2] = [1280, 720];
/// Interpolated pictures between two states: most of them, and about how many in all.
const BETWEEN: [usize; 2] = [10, 60];
/// How long pictures stay, hundredths of a second: before tying, a tie that is about to be made,
/// on the way, a state, the last state.
const STAY: [u16; 5] = [200, 80, 7, 180, 450];
/// Name of poster and animation.
pub(super) const NAME: &str = "tie-animation";

/// The animation of the best and the worst order.
#[derive(Debug, Clone, PartialEq)]
pub struct TieAnimation {
    /// A still for print, with caption and alternative text that hold for the animation too.
    pub poster: Figure,
    /// The pictures of the solved states in order, the one before tying first.
    pub stills: Vec<Figure>,
    /// All pictures, moving, as a GIF of 1280 by 720 pixels.
    pub gif: Vec<u8>,
    /// How many pictures the GIF shows.
    pub frames: usize,
}

/// Draws the animation. `None` without any order.
///
/// # Errors
/// When a picture cannot be rendered.
pub(super) fn animation(case: &Case, construct: &Construct, orders: &Orders) -> Result<Option<TieAnimation>, PngError> {
    let theme = slide::theme();
    let scene = Scene::new(case, construct, &theme);
    let rows = rows(case, construct, orders);
    if rows.is_empty() {
        return Ok(None);
    }
    let slide = Slide::new(&scene, &rows);
    let count = rows.iter().map(|(s, _)| s.cells()).max().unwrap_or(1);
    let at = |k: usize| -> Vec<Moment> { rows.iter().map(|(s, _)| motion::at(s, k)).collect() };
    let parts = (BETWEEN[1] / (count - 1).max(1)).clamp(3, BETWEEN[0]);
    // (moments, stay, the state it is when it is one)
    let mut script: Vec<(Vec<Moment>, u16, Option<usize>)> = vec![(at(0), STAY[0], Some(0))];
    for k in 1..count {
        for j in 0..=parts {
            let s = j as f64 / (parts + 1) as f64;
            let moments = rows.iter().map(|(sequence, _)| motion::toward(&scene, sequence, k, s)).collect();
            script.push((moments, if j == 0 { STAY[1] } else { STAY[2] }, None));
        }
        let stay = if k + 1 == count { STAY[4] } else { STAY[3] };
        script.push((at(k), stay, Some(k)));
    }
    let drawings: Vec<String> =
        script.par_iter().map(|(moments, ..)| slide.draw(moments, false).finish("frame", "")).collect();
    let [w, h] = PIXELS.map(u32::from);
    // The palette from the states and from ties about to be made, in which every colour is.
    let (known, moving): (Vec<usize>, Vec<usize>) = (0..script.len()).partition(|k| script[*k].1 != STAY[2]);
    let render = |k: &usize| png::pixels(&drawings[*k], w, h).map(|p| p.data().to_vec());
    let pictures: Vec<Vec<u8>> = known.par_iter().map(render).collect::<Result<_, _>>()?;
    let slices: Vec<&[u8]> = pictures.iter().map(Vec::as_slice).collect();
    let palette = Palette::of(&slices);
    let still: Vec<Vec<u8>> = pictures.par_iter().map(|p| palette.indices(p)).collect();
    drop(pictures);
    let way: Vec<Vec<u8>> =
        moving.par_iter().map(|k| Ok(palette.indices(&render(k)?))).collect::<Result<_, PngError>>()?;
    let mut indexed: Vec<(usize, Vec<u8>)> = known.into_iter().zip(still).chain(moving.into_iter().zip(way)).collect();
    indexed.sort_by_key(|(k, _)| *k);
    let timed: Vec<(Vec<u8>, u16)> = indexed.into_iter().map(|(k, indices)| (indices, script[k].1)).collect();
    let stills = script
        .iter()
        .filter_map(|(moments, _, state)| {
            let k = (*state)?;
            Some(Figure::new(
                &format!("{NAME}-{k:02}"),
                slide.draw(moments, false),
                String::new(),
                still_caption(case, orders, &rows, k),
                still_alt(&rows, k),
            ))
        })
        .collect();
    Ok(Some(TieAnimation {
        poster: Figure::new(
            NAME,
            slide.draw(&at(count - 1), true),
            table::csv(case, construct, orders),
            caption(&scene, orders, &rows),
            alt(&rows),
        ),
        stills,
        gif: gif::encode(PIXELS, &palette, &timed)?,
        frames: timed.len(),
    }))
}

fn caption(scene: &Scene<'_>, orders: &Orders, rows: &[(Sequence<'_>, String)]) -> String {
    let named: Vec<String> = rows.iter().map(|(s, heading)| format!("{heading}: {}", words::chain(s))).collect();
    format!(
        "How the fragment moves while it is tied: construct {} on the case {}, {}, en face from lateral. {}. Poster: the last state, with the outlines of the states before it, numbered by ties done (0 before tying). Animation ({NAME}.gif): the pictures in which numbers stand under a tie are solved states; the pictures between them, marked as interpolated, are not computed: shift and turn run evenly from one state to the next, stops on the fragment ride on it, anchors give in proportion, so that the eye can follow, and the way that the fragment really takes is not shown. Dashed: reduced outline; dotted: before tying; darker bone: bed that the fragment does not cover; band or ring: {} being tied{}. Beside each view: largest step and inferior shift after each tie, and the fragment's articular edge (thick) along the fracture line against the intact edge (thin), lateral upward, to one scale in both orders; hatched where proud, plain where sunk. {}",
        orders.construct,
        scene.case.name,
        words::side(scene.case),
        named.join(". "),
        scene.members(),
        words::screws(scene.construct),
        words::choice(orders)
    )
}

fn alt(rows: &[(Sequence<'_>, String)]) -> String {
    let parts: Vec<String> = rows
        .iter()
        .map(|(s, heading)| {
            let mut states: Vec<String> = s.stages.iter().map(words::spoken).collect();
            states.extend(s.lost.clone());
            format!("{heading}. {}", states.join("; "))
        })
        .collect();
    format!("Scale drawings of a rim fragment seen en face as it is moved by each tie. {}.", parts.join(". "))
}

fn still_caption(case: &Case, orders: &Orders, rows: &[(Sequence<'_>, String)], k: usize) -> String {
    format!(
        "State {k} of the animation of tying, construct {} on the case {}: {}",
        orders.construct,
        case.name,
        still_alt(rows, k)
    )
}

fn still_alt(rows: &[(Sequence<'_>, String)], k: usize) -> String {
    let parts: Vec<String> = rows
        .iter()
        .map(|(s, heading)| {
            let words = match (s.stages.get(k), &s.lost) {
                (Some(stage), _) => words::spoken(stage),
                (None, Some(why)) => why.clone(),
                (None, None) => words::spoken(s.last()),
            };
            format!("{heading}, {words}.")
        })
        .collect();
    parts.join(" ")
}
