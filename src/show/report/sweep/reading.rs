//! The reading of sweeps, in sentences.

use crate::show::words::{num, signed};
use crate::study::STEP_LIMIT;
use crate::study::result::{End, GridPoint, Sweep, Swept};

/// A load (N) below which a construct no longer does, for the ready-made sweep over size: what a
/// single row bore at 1 mm was 30 N, a double row 61 N, in 14 pairs of shoulders (10.1177/0363546514532782,
/// its abstract read). Twice the largest capsular pull of bench studies (25 N) is our choice.
const ENOUGH: f64 = 50.0;
/// Further tension no longer pays when 10 N more a limb bring less than this share more load at 1 mm.
/// Our choice.
const PAYS: f64 = 0.05;

/// What a sweep says.
pub fn sweep_reading(found: &Sweep) -> Vec<String> {
    let mut list = Vec::new();
    if !found.complete {
        list.push("Interrupted: these are not all points.".to_owned());
    }
    match found.name.as_deref() {
        Some("lower-end") => found.constructs.iter().for_each(|c| lower_end(found, c, &mut list)),
        Some("size") => size(found, &mut list),
        Some("tension") => {
            found.constructs.iter().for_each(|c| tension(found, c, &mut list));
            list.push("That less than 5 % for 10 N no longer pays is our choice: assumed.".into());
        }
        _ => {}
    }
    for c in &found.constructs {
        for (end, words) in [
            (End::LostInPush, "is tied but fails in the push"),
            (End::NotHeld, "fails when tied"),
            (End::Uncertified, "could not be checked for balance"),
            (End::Impossible, "makes invalid geometry"),
        ] {
            let own: Vec<&GridPoint> = c.points.iter().filter(|p| p.end == end).collect();
            let (Some(first), Some(last)) = (own.first(), own.last()) else {
                continue;
            };
            let range = match found.axes.as_slice() {
                [axis] => format!(" ({} from {} to {})", axis.path, num(first.at[0], 2), num(last.at[0], 2)),
                _ => String::new(),
            };
            list.push(format!("{}: {words} at {} of {} points{range}.", c.construct, own.len(), c.points.len()));
        }
    }
    list
}

fn value(found: &Sweep, point: &GridPoint, key: &str) -> Option<f64> {
    let at = found.quantities.iter().position(|q| q.key == key)?;
    point.values[at]
}

fn lower_end(found: &Sweep, c: &Swept, list: &mut Vec<String>) {
    let [along, hinges] = found.axes.as_slice() else {
        return;
    };
    let of = |key: &str| -> Vec<(&GridPoint, f64)> {
        let points = c.points.iter();
        points.filter_map(|p| Some((p, value(found, p, key)?))).collect()
    };
    let (gaps, off) = (of("lower-gap"), of("lower-off"));
    let by = |list: &[(&GridPoint, f64)], most: bool| {
        let best = list.iter().min_by(|a, b| if most { b.1.total_cmp(&a.1) } else { a.1.total_cmp(&b.1) });
        best.map(|(p, v)| (p.at.clone(), *v))
    };
    let (Some((near, least)), Some((far, most))) = (by(&off, false), by(&off, true)) else {
        list.push(format!("{}: fixation fails at every point.", c.construct));
        return;
    };
    let open = gaps.iter().filter(|g| g.1 > 0.0).count();
    list.push(format!(
        "{}: the inferior end is open at {open} of the {} stable points, and pressed on its bed at the others.",
        c.construct,
        gaps.len()
    ));
    let at =
        |p: &[f64]| format!("medial anchor at {} {} and hinge of {} N/mm", signed(p[0], 0), along.unit, num(p[1], 1));
    list.push(format!(
        "{}: it comes to lie {} mm off its place at best ({}) and {} mm at worst ({}); along is a share of the half chord, negative inferior.",
        c.construct,
        num(least, 2),
        at(&near),
        num(most, 2),
        at(&far)
    ));
    let find = |a: f64, h: f64| {
        let found = off.iter().find(|(p, _)| p.at == [a, h]);
        found.map(|f| f.1)
    };
    let middle = along.values[along.values.len() / 2];
    let ends = [hinges.values.first(), hinges.values.last()].map(|h| *h.unwrap_or(&0.0));
    if let [Some(weak), Some(stiff)] = ends.map(|h| find(middle, h)) {
        list.push(format!(
            "{}: with the medial anchor at {} {}, a hinge of {} N/mm instead of {} leaves it {} mm farther off.",
            c.construct,
            signed(middle, 0),
            along.unit,
            num(ends[0], 1),
            num(ends[1], 1),
            num(weak - stiff, 2)
        ));
    }
    let weakest: Vec<&(&GridPoint, f64)> = off.iter().filter(|(p, _)| p.at[1] == ends[0]).collect();
    if let (Some(low), Some(high)) = (weakest.first(), weakest.last()) {
        list.push(format!(
            "{}: on the weakest hinge it lies {} mm off with the medial anchor at {} {}, and {} mm at {} {}.",
            c.construct,
            num(low.1, 2),
            signed(low.0.at[0], 0),
            along.unit,
            num(high.1, 2),
            signed(high.0.at[0], 0),
            along.unit
        ));
    }
}

fn size(found: &Sweep, list: &mut Vec<String>) {
    let unit = &found.axes[0].unit;
    for c in &found.constructs {
        let widths = |is: &dyn Fn(&GridPoint) -> bool| {
            let own: Vec<&GridPoint> = c.points.iter().filter(|p| is(p)).collect();
            match (own.first(), own.last()) {
                (Some(low), Some(high)) => format!(
                    "at widths of {} to {} {unit} ({} of {} widths)",
                    num(low.at[0], 0),
                    num(high.at[0], 0),
                    own.len(),
                    c.points.len()
                ),
                _ => "at no width".to_owned(),
            }
        };
        let of = |p: &GridPoint, key: &str| value(found, p, key);
        list.push(format!(
            "{}: bears {ENOUGH} N at 1 mm {}; has a step of at most {STEP_LIMIT} mm when tied {}; is stable to the \
             end of the push {}.",
            c.construct,
            widths(&|p| of(p, "load-1mm").is_some_and(|l| l >= ENOUGH)),
            widths(&|p| of(p, "step").is_some_and(|s| s.abs() <= STEP_LIMIT)),
            widths(&|p| p.end == End::Held)
        ));
    }
    list.push(format!("The borders of {ENOUGH} N and {STEP_LIMIT} mm are our choice: assumed."));
    let [first, second, ..] = found.constructs.as_slice() else {
        return;
    };
    for key in ["load-1mm", "load-2mm"] {
        let better: Vec<f64> = first
            .points
            .iter()
            .zip(&second.points)
            .filter_map(|(a, b)| {
                let (a_load, b_load) = (value(found, a, key), value(found, b, key)?);
                (b_load > a_load.unwrap_or(0.0)).then_some(a.at[0])
            })
            .collect();
        let words = match better.as_slice() {
            [] => "at no width".to_owned(),
            list => format!(
                "at {} {unit}",
                crate::show::words::joined(&list.iter().map(|w| num(*w, 0)).collect::<Vec<_>>())
            ),
        };
        let mark = if key == "load-1mm" { 1 } else { 2 };
        list.push(format!("{} bears more than {} at {mark} mm {words}.", second.construct, first.construct));
    }
}

fn tension(found: &Sweep, c: &Swept, list: &mut Vec<String>) {
    let [tensions, frictions] = found.axes.as_slice() else {
        return;
    };
    for (f, friction) in frictions.values.iter().enumerate() {
        let row: Vec<(f64, f64)> = (0..tensions.values.len())
            .filter_map(|t| {
                let p = c.points.get(t * frictions.values.len() + f)?;
                Some((p.at[0], value(found, p, "load-1mm")?))
            })
            .collect();
        let stops = row.windows(2).find(|w| (w[1].1 / w[0].1 - 1.0) / (w[1].0 - w[0].0) * 10.0 < PAYS);
        let pushed = |held: &dyn Fn(End) -> bool| {
            (0..tensions.values.len())
                .filter_map(|t| c.points.get(t * frictions.values.len() + f))
                .filter(|p| !held(p.end))
                .map(|p| p.at[0])
                .fold(f64::INFINITY, f64::min)
        };
        let lost = pushed(&|end| end == End::Held);
        let ends = if lost.is_finite() {
            format!("; from {} N on fixation fails before the end of the push somewhere", num(lost, 0))
        } else {
            String::new()
        };
        let words = match (stops, row.last()) {
            (Some(w), _) => format!(
                "above {} N a limb, where {} N are borne, 10 N more bring less than 5 % more load",
                num(w[0].0, 0),
                num(w[0].1, 0)
            ),
            (None, Some(last)) => format!(
                "more tension raises it up to {} N a limb, where {} N are borne",
                num(last.0, 0),
                num(last.1, 0)
            ),
            (None, None) => "fixation fails at every tension".to_owned(),
        };
        list.push(format!("{}, friction {}: {words}{ends} (load at 1 mm).", c.construct, num(*friction, 2)));
    }
}
