//! How far each anchor may wander from the answer, the others held.
//!
//! Points of a grid round the answer are looked at, from neighbour to neighbour, as far as less than a
//! quarter of the objective is lost: what hangs together with the answer is where a slip may end. The
//! ways out are then followed to where a tenth is lost, or a constraint or the range ends them, by
//! bisection with looks of their own.

use super::super::result::{WanderMap, Wandered, WayEnd, WayOut};
use super::look::Look;
use super::question::Question;
use crate::anatomy::Place;
use crate::optimise::Watcher;
use crate::par;
use std::collections::BTreeMap;

/// Shares of the objective.
const TENTH: f64 = 0.10;
const QUARTER: f64 = 0.25;
/// Length to which a way out is bisected, mm: the fineness of places, twice.
const SHARP: f64 = 0.002;

/// An end was asked for before a map was whole: one that is not tells less room than there is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ended;

/// The plane of an anchor: its free coordinates.
struct Plane<'a> {
    question: &'a Question,
    watch: &'a dyn Watcher,
    at: &'a [f64],
    best: f64,
    /// Index of each variable, and its units per mm superior or away.
    axes: Vec<(usize, f64)>,
}

impl Plane<'_> {
    /// Values of the variables at an offset in mm; absent beyond a range.
    fn moved(&self, offset: [f64; 2]) -> Option<Vec<f64>> {
        let mut at = self.at.to_vec();
        for ((k, per_mm), mm) in self.axes.iter().zip(offset) {
            let v = &self.question.variables[*k];
            at[*k] += per_mm * mm;
            // Rounding at an end of the range is none beyond it.
            if at[*k] < v.low - 1e-9 || at[*k] > v.high + 1e-9 {
                return None;
            }
        }
        Some(at)
    }

    /// A look at an offset; absent beyond a range.
    fn look(&self, offset: [f64; 2]) -> Result<Option<Look>, Ended> {
        let Some(at) = self.moved(offset) else {
            return Ok(None);
        };
        if self.watch.stops() {
            return Err(Ended);
        }
        let look = self.question.looked(Some(&at), self.watch);
        self.watch.step();
        look.map(Some).ok_or(Ended)
    }

    /// Share lost at a look; absent when infeasible.
    fn loss(&self, look: &Look) -> Option<f64> {
        let value = look.values[0].filter(|_| look.violation() == 0.0)?;
        Some(self.question.objectives[0].loss(self.best, value))
    }

    /// The anchor's point at an offset.
    fn point(&self, offset: [f64; 2], anchor: &str) -> Option<[f64; 3]> {
        let at = self.moved(offset)?;
        let reading = self.question.set(Some(&self.question.tried(&at))).read();
        let construct = reading.constructs.into_iter().next()?.ok()?;
        let found = construct.anchors.iter().find(|a| a.name == anchor)?;
        Some(found.point.into())
    }

    /// How far a direction stays inside the ranges, mm.
    fn room(&self, direction: [f64; 2]) -> f64 {
        let mut room = f64::INFINITY;
        for ((k, per_mm), d) in self.axes.iter().zip(direction) {
            let v = &self.question.variables[*k];
            let slope = per_mm * d;
            if slope > 0.0 {
                room = room.min((v.high - self.at[*k]) / slope);
            } else if slope < 0.0 {
                room = room.min((v.low - self.at[*k]) / slope);
            }
        }
        room.max(0.0)
    }
}

/// The map of one anchor round the answer; absent when none of its coordinates is free, or the answer
/// is not feasible on the bed of the question.
///
/// # Errors
/// An end that was asked for before the map was whole.
pub fn wander(
    question: &Question,
    at: &[f64],
    anchor: &str,
    step: f64,
    watch: &dyn Watcher,
) -> Result<Option<WanderMap>, Ended> {
    let at = question.tried(at);
    let best = question.looked(Some(&at), watch).ok_or(Ended)?;
    let Some(best) = best.values[0].filter(|_| best.violation() == 0.0) else {
        return Ok(None);
    };
    let mut axes = Vec::new();
    let mut coordinates = [String::new(), String::new()];
    for (k, variable) in question.variables.iter().enumerate() {
        let Some((name, key)) = variable.coordinate() else {
            continue;
        };
        if name == anchor && axes.len() < 2 {
            coordinates[axes.len()] = key.to_owned();
            axes.push((k, per_mm(question, &at, name, key)));
        }
    }
    // Along the fracture line first.
    if axes.len() == 2 && ["along", "hours"].contains(&coordinates[1].as_str()) {
        axes.swap(0, 1);
        coordinates.swap(0, 1);
    }
    if axes.is_empty() {
        return Ok(None);
    }
    let centre = [0, 1].map(|k| axes.get(k).map_or(0.0, |(v, _)| at[*v]));
    let units_per_mm = [0, 1].map(|k| axes.get(k).map_or(1.0, |a| a.1));
    let plane = Plane { question, watch, at: &at, best, axes };
    let looked = flood(&plane, step)?;
    let ways = ways(&plane, &coordinates, &looked, step)?;
    let grid: Vec<Wandered> = looked
        .iter()
        .map(|(cell, look)| {
            let offset = cell.map(|c| f64::from(c) * step);
            let loss = plane.loss(look);
            Wandered {
                offset,
                point: plane.point(offset, anchor),
                value: loss.and(look.values[0]),
                loss,
                broken: look.broken().map(|b| b.0),
            }
        })
        .collect();
    let size = if plane.axes.len() == 2 { step * step } else { step };
    let area = |share: f64| size * grid.iter().filter(|g| g.loss.is_some_and(|l| l <= share)).count() as f64;
    Ok(Some(WanderMap {
        anchor: anchor.to_owned(),
        coordinates,
        centre,
        units_per_mm,
        step,
        best,
        area_10: area(TENTH),
        area_25: area(QUARTER),
        grid,
        ways,
    }))
}

/// Units of a coordinate of an anchor per mm: superior for the one along, away for the other.
fn per_mm(question: &Question, at: &[f64], anchor: &str, key: &str) -> f64 {
    if key != "hours" {
        return 1.0;
    }
    let inset = question
        .set(Some(at))
        .read()
        .constructs
        .into_iter()
        .find_map(Result::ok)
        .and_then(|c| c.anchors.into_iter().find(|a| a.name == anchor))
        .map_or(0.0, |a| match a.place {
            Place::Clock { inset, .. } => inset,
            _ => 0.0,
        });
    // On the arc about the socket's centre on which the anchor lies; hours run from superior to
    // anterior.
    let radius = (question.subject.case().fragment.socket.radius - inset).max(1.0);
    -1.0 / (radius * std::f64::consts::FRAC_PI_6)
}

/// Looks at the grid from the answer outward, generation by generation.
fn flood(plane: &Plane<'_>, step: f64) -> Result<BTreeMap<[i32; 2], Look>, Ended> {
    let mut looked: BTreeMap<[i32; 2], Look> = BTreeMap::new();
    let mut next = vec![[0, 0]];
    let across = if plane.axes.len() == 2 { 1 } else { 0 };
    while !next.is_empty() {
        let looks = par::map(&next, |cell| plane.look(cell.map(|c| f64::from(c) * step)))
            .into_iter()
            .collect::<Result<Vec<Option<Look>>, Ended>>()?;
        let mut frontier: Vec<[i32; 2]> = Vec::new();
        for (cell, look) in next.into_iter().zip(looks) {
            let Some(look) = look else {
                continue;
            };
            if plane.loss(&look).is_some_and(|l| l <= QUARTER) {
                for i in -1..=1 {
                    for j in -across..=across {
                        frontier.push([cell[0] + i, cell[1] + j]);
                    }
                }
            }
            looked.insert(cell, look);
        }
        frontier.sort_unstable();
        frontier.dedup();
        frontier.retain(|c| !looked.contains_key(c));
        // Cells beyond the range were looked at in vain, and come back no more.
        frontier.retain(|c| plane.moved(c.map(|c| f64::from(c) * step)).is_some());
        next = frontier;
    }
    Ok(looked)
}

fn ways(
    plane: &Plane<'_>,
    coordinates: &[String; 2],
    looked: &BTreeMap<[i32; 2], Look>,
    step: f64,
) -> Result<Vec<WayOut>, Ended> {
    let cells: &[[i32; 2]] = if plane.axes.len() == 2 {
        &[[1, 0], [-1, 0], [0, 1], [0, -1], [1, 1], [1, -1], [-1, 1], [-1, -1]]
    } else {
        &[[1, 0], [-1, 0]]
    };
    par::map(cells, |cell| way(plane, coordinates, looked, step, *cell)).into_iter().collect()
}

/// Follows one way out.
fn way(
    plane: &Plane<'_>,
    coordinates: &[String; 2],
    looked: &BTreeMap<[i32; 2], Look>,
    step: f64,
    cell: [i32; 2],
) -> Result<WayOut, Ended> {
    let length = libm::hypot(f64::from(cell[0]), f64::from(cell[1]));
    let direction = cell.map(|c| f64::from(c) / length);
    let offset = |s: f64| direction.map(|d| d * s);
    let room = plane.room(direction);
    let inside = |look: &Look| plane.loss(look).is_some_and(|l| l <= TENTH);
    let mut low = (0.0, plane.best);
    let mut out: Option<(f64, Look)> = None;
    for k in 1.. {
        let s = f64::from(k) * step * length;
        let (s, look) = if s < room {
            let known = match looked.get(&cell.map(|c| c * k)) {
                Some(look) => Some(look.clone()),
                None => plane.look(offset(s))?,
            };
            match known {
                Some(look) => (s, look),
                None => break,
            }
        } else {
            match plane.look(offset(room))? {
                Some(look) if room > 0.0 => (room, look),
                _ => break,
            }
        };
        if !inside(&look) {
            out = Some((s, look));
            break;
        }
        low = (s, look.values[0].unwrap_or(plane.best));
        if s == room {
            break;
        }
    }
    let end = match out {
        None => WayEnd::Range,
        Some((mut high, mut beyond)) => {
            while high - low.0 > SHARP {
                let middle = 0.5 * (low.0 + high);
                let Some(look) = plane.look(offset(middle))? else {
                    break;
                };
                if inside(&look) {
                    low = (middle, look.values[0].unwrap_or(plane.best));
                } else {
                    (high, beyond) = (middle, look);
                }
            }
            match beyond.broken() {
                Some((key, label)) => WayEnd::Constraint { key, label },
                None => WayEnd::Lost,
            }
        }
    };
    Ok(WayOut { name: name(coordinates, cell), direction, distance: low.0, end, value: low.1 })
}

/// A way in words.
fn name(coordinates: &[String; 2], cell: [i32; 2]) -> String {
    let word = |key: &str, sign: i32| match (key, sign > 0) {
        ("along" | "hours", true) => "superior",
        ("along" | "hours", false) => "inferior",
        ("inset", true) => "inset",
        ("inset", false) => "outward",
        (_, true) => "medial",
        (_, false) => "lateral",
    };
    let parts: Vec<&str> =
        coordinates.iter().zip(cell).filter(|(_, sign)| *sign != 0).map(|(key, sign)| word(key, sign)).collect();
    parts.join(" and ")
}
