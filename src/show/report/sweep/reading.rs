//! The reading of sweeps: the numbers of its template.

use crate::show::prose::sentences;
use crate::show::words::num;
use crate::study::STEP_LIMIT;
use crate::study::result::{End, GridPoint, Sweep, Swept};
use minijinja::{Value, context};

/// A load (N) below which a construct no longer does, for the ready-made sweep over size: what a
/// single row bore at 1 mm was 30 N, a double row 61 N, in 14 pairs of shoulders (10.1177/0363546514532782,
/// its abstract read). Twice the largest capsular pull of bench studies (25 N) is our choice.
const ENOUGH: f64 = 50.0;
/// Further tension no longer pays when 10 N more a limb bring less than this share more load at 1 mm.
/// Our choice.
const PAYS: f64 = 0.05;

/// What a sweep says.
pub fn sweep_reading(found: &Sweep) -> Vec<String> {
    let each = |of: fn(&Sweep, &Swept) -> Option<Value>| {
        found.constructs.iter().filter_map(|c| of(found, c)).collect::<Vec<_>>()
    };
    let data = context! {
        complete => found.complete,
        name => found.name,
        axes => found.axes,
        enough => ENOUGH,
        limit => STEP_LIMIT,
        lower => each(lower_end),
        sizes => each(size),
        more => more(found),
        tensions => each(tension),
        fails => found.constructs.iter().flat_map(fails).collect::<Vec<_>>(),
    };
    sentences(include_str!("../said/sweep.txt"), &data)
}

/// At which points a construct fails, by how.
fn fails(c: &Swept) -> Vec<Value> {
    let ends = [
        (End::LostInPush, "is tied but fails in the push"),
        (End::NotHeld, "fails when tied"),
        (End::Uncertified, "could not be checked for balance"),
        (End::Impossible, "makes invalid geometry"),
    ];
    let one = |(end, words)| {
        let own: Vec<&GridPoint> = c.points.iter().filter(|p| p.end == end).collect();
        let (first, last) = (own.first()?, own.last()?);
        let range = [first.at[0], last.at[0]];
        Some(context! { construct => c.construct, words, times => own.len(), of => c.points.len(), range })
    };
    ends.into_iter().filter_map(one).collect()
}

fn value(found: &Sweep, point: &GridPoint, key: &str) -> Option<f64> {
    let at = found.quantities.iter().position(|q| q.key == key)?;
    point.values[at]
}

/// Where a construct leaves the inferior end, of two axes: the medial anchor and the hinge.
fn lower_end(found: &Sweep, c: &Swept) -> Option<Value> {
    let [along, hinges] = found.axes.as_slice() else {
        return None;
    };
    let of = |key: &str| -> Vec<([f64; 2], f64)> {
        c.points.iter().filter_map(|p| Some(([p.at[0], p.at[1]], value(found, p, key)?))).collect()
    };
    let (gaps, off) = (of("lower-gap"), of("lower-off"));
    let find = |at: [f64; 2]| off.iter().find(|(p, _)| *p == at).map(|f| f.1);
    let middle = along.values[along.values.len() / 2];
    let ends = [hinges.values.first(), hinges.values.last()].map(|h| *h.unwrap_or(&0.0));
    let weakest = || off.iter().filter(|(p, _)| p[1] == ends[0]);
    let farther = match ends.map(|h| find([middle, h])) {
        [Some(weak), Some(stiff)] => Some(weak - stiff),
        _ => None,
    };
    Some(context! {
        construct => c.construct,
        open => gaps.iter().filter(|g| g.1 > 0.0).count(),
        of => gaps.len(),
        near => off.iter().min_by(|a, b| a.1.total_cmp(&b.1)),
        far => off.iter().min_by(|a, b| b.1.total_cmp(&a.1)),
        middle,
        ends,
        farther,
        weakest => weakest().next().zip(weakest().next_back()),
    })
}

/// At which widths a construct bears enough, lies well, and is stable.
fn size(found: &Sweep, c: &Swept) -> Option<Value> {
    let unit = &found.axes[0].unit;
    let widths = |is: &dyn Fn(&GridPoint) -> bool| {
        let own: Vec<&GridPoint> = c.points.iter().filter(|p| is(p)).collect();
        let (Some(low), Some(high)) = (own.first(), own.last()) else {
            return "at no width".to_owned();
        };
        let (low, high) = (num(low.at[0], 0), num(high.at[0], 0));
        format!("at widths of {low} to {high} {unit} ({} of {} widths)", own.len(), c.points.len())
    };
    let of = |p: &GridPoint, key: &str| value(found, p, key);
    Some(context! {
        construct => c.construct,
        bears => widths(&|p| of(p, "load-1mm").is_some_and(|l| l >= ENOUGH)),
        lies => widths(&|p| of(p, "step").is_some_and(|s| s.abs() <= STEP_LIMIT)),
        stable => widths(&|p| p.end == End::Held),
    })
}

/// At which widths the second construct bears more than the first.
fn more(found: &Sweep) -> Vec<Value> {
    let [first, second, ..] = found.constructs.as_slice() else {
        return Vec::new();
    };
    let marks = [("load-1mm", 1), ("load-2mm", 2)].map(|(key, mark)| {
        let pairs = first.points.iter().zip(&second.points);
        let better = pairs.filter_map(|(a, b)| {
            let (a_load, b_load) = (value(found, a, key), value(found, b, key)?);
            (b_load > a_load.unwrap_or(0.0)).then(|| num(a.at[0], 0))
        });
        let widths: Vec<String> = better.collect();
        context! { first => first.construct, second => second.construct, mark, widths }
    });
    marks.into()
}

/// How the load at 1 mm goes with the tension of a limb, at each friction: where more no longer pays, or the most.
fn tension(found: &Sweep, c: &Swept) -> Option<Value> {
    let [tensions, frictions] = found.axes.as_slice() else {
        return None;
    };
    let one = |(f, friction): (usize, &f64)| {
        let points = || (0..tensions.values.len()).filter_map(|t| c.points.get(t * frictions.values.len() + f));
        let row: Vec<(f64, f64)> = points().filter_map(|p| Some((p.at[0], value(found, p, "load-1mm")?))).collect();
        let stops = row.windows(2).find(|w| (w[1].1 / w[0].1 - 1.0) / (w[1].0 - w[0].0) * 10.0 < PAYS);
        let fails = points().filter(|p| p.end != End::Held).map(|p| p.at[0]).reduce(f64::min);
        context! { friction, stops => stops.map(|w| w[0]), most => row.last(), fails }
    };
    let rows: Vec<Value> = frictions.values.iter().enumerate().map(one).collect();
    Some(context! { construct => c.construct, rows })
}
