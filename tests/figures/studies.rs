//! Studies of scatter and sweeps made up for the figures: samples whose quantiles are known, planes over
//! grids.

use rimhold::model::Tag;
use rimhold::model::spread::LineUsed;
use rimhold::quantities::{quantity, sampled};
use rimhold::stats::SobolIndex;
use rimhold::study::result::{
    Astray, BandPoint, End, Ends, Estimate, GridPoint, Index, Indices, InputUsed, Paired, Quantiles, Quantity, Rank,
    Ranking, Sampler, Scatter, Scattered, Scattering, Share, Start, Sweep, SweepAxis, Swept, UnderLoad,
};
use rimhold::study::scatter::histogram;

/// Quantiles of the standard normal at 5, 25, 50, 75 and 95 % (tables, e.g. Abramowitz and Stegun
/// 26.2).
const NORMAL: [f64; 5] = [-1.644_853_627, -0.674_489_750, 0.0, 0.674_489_750, 1.644_853_627];

fn estimate(value: f64) -> Estimate {
    Estimate { value, error: Some(0.01 * value.abs() + 0.001) }
}

fn share(value: f64) -> Share {
    Share { value, error: Some(0.01 * value + 0.001), bound: None }
}

fn quantiles(mean: f64, deviation: f64, of: usize) -> Quantiles {
    let at = NORMAL.map(|z| mean + z * deviation);
    Quantiles {
        of,
        mean: estimate(mean),
        deviation,
        low: estimate(at[0]),
        lower: at[1],
        median: estimate(at[2]),
        upper: at[3],
        high: estimate(at[4]),
    }
}

/// A sample of a normal distribution at evenly spread probabilities, sorted (a logistic stands in:
/// only the shape of a hill matters).
fn hill(mean: f64, deviation: f64, of: usize) -> Vec<f64> {
    (0..of)
        .map(|k| {
            let p = (k as f64 + 0.5) / of as f64;
            mean + 0.55 * deviation * (p / (1.0 - p)).ln()
        })
        .collect()
}

pub const PATHS: [&str; 13] = [
    "bite.stiffness",
    "limb.superior-loop.tension",
    "friction.rim",
    "bed.friction",
    "anchor.medial-upper.along_error",
    "limb.bridge-falling.knot_slack",
    "anchor-class.all-suture.stiffness",
    "envelope.turn_stiffness",
    "fragment.tilt",
    "bed.normal_stiffness",
    "strand.cord.rigidity",
    "tether.hinge",
    "a.path.nobody-knows",
];

fn construct(name: &str, k: usize, done: u64, held: bool, indices: bool) -> Scattered {
    let lost = if k == 0 { done / 7 } else { 0 };
    let of = if held { (done - lost) as usize } else { 0 };
    let size = 100.0 + 15.0 * k as f64;
    let means = |key: &str| match key {
        "load-1mm" => (size, 0.2 * size),
        "load-2mm" => (1.3 * size, 0.25 * size),
        "compression" => (1.1 * size, 20.0),
        "step" => (-0.8 - 0.3 * k as f64, 1.2),
        _ => (5.0, 1.0),
    };
    let steps = 10;
    let band = (0..=steps).map(|g| {
        let displacement = 0.2 * f64::from(g);
        let mean = 90.0 * (1.0 + 0.15 * k as f64) * displacement.sqrt();
        BandPoint { displacement, of, loads: (of > 0).then(|| NORMAL.map(|z| mean * (1.0 + 0.17 * z))) }
    });
    let ranked = ["compression", "step", "load-1mm", "load-2mm", "peak-load"];
    let rankings = ranked.iter().map(|key| Ranking {
        quantity: quantity(key).named(),
        of,
        ranks: if of < 40 {
            Vec::new()
        } else {
            PATHS
                .iter()
                .enumerate()
                .map(|(i, path)| {
                    let size = 0.9 - 0.07 * i as f64;
                    let c = if i % 3 == 1 { -size } else { size };
                    Rank { path: (*path).into(), coefficient: c, interval: [c - 0.05, (c + 0.05).min(1.0)] }
                })
                .collect()
        },
    });
    let sobol = ranked.iter().map(|key| Indices {
        quantity: quantity(key).named(),
        of: 50,
        left_out: 14,
        variance: 12.0,
        indices: PATHS
            .iter()
            .enumerate()
            .map(|(i, path)| {
                let total = 0.8 / (1.0 + i as f64);
                let first = total - 0.1;
                Index {
                    path: if i == 2 { "friction.rim + friction.labrum".into() } else { (*path).into() },
                    index: SobolIndex {
                        first,
                        first_interval: [first - 0.3, first + 0.3],
                        total,
                        total_interval: [0.6 * total, 1.5 * total],
                    },
                }
            })
            .collect(),
    });
    Scattered {
        construct: name.into(),
        ends: Ends {
            held: if held { done - lost } else { 0 },
            lost_in_push: if held { lost } else { 0 },
            not_held: if held { 0 } else { done },
            uncertified: 0,
            impossible: 0,
            listed: vec![Astray { sample: 0, end: End::NotHeld, why: "turns over".into() }],
        },
        quantities: sampled()
            .map(|q| {
                let (mean, deviation) = means(q.key);
                Scattering { quantity: q.named(), quantiles: (of > 0).then(|| quantiles(mean, deviation, of)) }
            })
            .collect(),
        shares: Vec::new(),
        band: band.collect(),
        under: UnderLoad {
            load: 50.0,
            step: Some(share(0.1)),
            gives_way: Some(share(0.1)),
            either: Some(share(0.2)),
            not_reached: Some(share(0.0)),
        },
        events: Vec::new(),
        rankings: rankings.collect(),
        indices: if indices { sobol.collect() } else { Vec::new() },
    }
}

fn pair(first: &str, second: &str, key: &str, of: usize) -> Paired {
    let (mean, deviation) = match key {
        "compression" => (55.0, 18.0),
        "step" => (-0.3, 0.8),
        "load-1mm" => (-2.0, 12.0),
        _ => (1.0, 0.8),
    };
    let sorted = hill(mean, deviation, of);
    let at = |p: f64| sorted[((p * of as f64) as usize).min(of - 1)];
    Paired {
        first: first.into(),
        second: second.into(),
        quantity: quantity(key).named(),
        difference: (of > 0).then(|| Quantiles {
            low: estimate(at(0.05)),
            lower: at(0.25),
            median: estimate(at(0.5)),
            upper: at(0.75),
            high: estimate(at(0.95)),
            ..quantiles(mean, deviation, of)
        }),
        percentiles: if of > 0 { (0..=100).map(|p| at(0.01 * f64::from(p))).collect() } else { Vec::new() },
        histogram: histogram(&sorted),
        superiority: (of > 0).then(|| share(0.493)),
        superiority_of: of,
        variance_ratio: None,
    }
}

/// A study of constructs with these names, each held in some samples or in none.
pub fn study(names: &[(&str, bool)], done: u64, indices: bool) -> Scatter {
    let constructs: Vec<Scattered> =
        names.iter().enumerate().map(|(k, (name, held))| construct(name, k, done, *held, indices)).collect();
    let keys = ["compression", "peak-pressure", "step", "tilt", "load-1mm", "load-2mm"];
    // Every construct against each before it.
    let pairs = names.iter().enumerate().flat_map(|(k, (first, one))| {
        names[k + 1..].iter().flat_map(move |(second, other)| {
            let of = if *one && *other { done as usize } else { 0 };
            keys.map(|key| pair(first, second, key, of))
        })
    });
    Scatter {
        case: "quarter".into(),
        from: Start::Reduced,
        direction: "inferior".into(),
        to: 2.0,
        cells: 220,
        steps: 10,
        sampler: Sampler::LatinHypercube,
        seed: 1,
        samples: done,
        done,
        replicates: 16,
        spread: "built-in spread".into(),
        inputs: vec![InputUsed {
            line: LineUsed {
                path: "bed.friction".into(),
                targets: vec!["bed.friction".into()],
                shared: false,
                distribution: "triangular 0.3, 0.5, 0.9".into(),
                usage: "value".into(),
                unit: String::new(),
                tag: Tag::Memory,
                source: String::new(),
                cut: 0.0,
                dimension: 0,
            },
            mean: 0.57,
            deviation: 0.12,
        }],
        correlations: Vec::new(),
        pairs: pairs.collect(),
        constructs,
        index_base: if indices { 64 } else { 0 },
        index_done: 0,
        complete: true,
    }
}

pub const TWO: [(&str, bool); 2] = [("one-by-one", true), ("two-by-two-crossed", true)];

pub fn axis(path: &str, unit: &str, values: &[f64]) -> SweepAxis {
    SweepAxis { path: path.into(), label: "an input".into(), unit: unit.into(), values: values.to_vec() }
}

/// A sweep whose values are `of(construct, x, y)`.
pub fn sweep(
    axes: Vec<SweepAxis>,
    names: &[&str],
    keys: &[&str],
    of: impl Fn(usize, f64, f64) -> (End, Option<f64>),
) -> Sweep {
    let quantities: Vec<Quantity> = keys.iter().map(|k| quantity(k).named()).collect();
    let second = axes.get(1).map_or(vec![0.0], |a| a.values.clone());
    let constructs = names.iter().enumerate().map(|(c, name)| Swept {
        construct: (*name).into(),
        points: axes[0]
            .values
            .iter()
            .flat_map(|x| second.iter().map(move |y| (*x, *y)))
            .map(|(x, y)| {
                let (end, value) = of(c, x, y);
                GridPoint {
                    at: if axes.len() > 1 { vec![x, y] } else { vec![x] },
                    end,
                    why: if end == End::Held { String::new() } else { "turns over, they say".into() },
                    values: keys.iter().enumerate().map(|(k, _)| value.map(|v| v * (1.0 + 0.1 * k as f64))).collect(),
                }
            })
            .collect(),
    });
    Sweep {
        name: None,
        question: None,
        case: "quarter".into(),
        from: Start::Reduced,
        direction: "inferior".into(),
        to: 2.0,
        cells: 400,
        constructs: constructs.collect(),
        axes,
        shown: quantities.len(),
        quantities,
        complete: true,
    }
}

pub fn grid(n: usize, from: f64, to: f64) -> Vec<f64> {
    (0..n).map(|k| from + (to - from) * k as f64 / (n - 1) as f64).collect()
}

/// Lines: one construct falls off in parts, the other is not held at first.
pub fn over_width() -> Sweep {
    sweep(
        vec![axis("fragment.width", "%", &grid(16, 10.0, 40.0))],
        &["one-by-one", "two-by-two-crossed"],
        &["load-1mm", "load-2mm", "step"],
        |c, x, _| match (c, x as i32) {
            (0, ..=24) => (End::LostInPush, Some(60.0 + x)),
            (1, ..=14) => (End::NotHeld, None),
            (1, 37..) => (End::Impossible, None),
            _ => (End::Held, Some(60.0 + 1.2 * x)),
        },
    )
}

/// Maps of a shift: the plane x + y, torn at one corner.
pub fn plane() -> Sweep {
    sweep(
        vec![
            axis("anchor.medial.along", "%", &grid(13, -60.0, 60.0)),
            axis("tether.hinge.stiffness", "N/mm", &[0.5, 2.0, 5.0, 10.0, 20.0, 60.0]),
        ],
        &["one-by-one-bare", "one-by-one"],
        &["lower-off"],
        |c, x, y| {
            let v = 1.5 + 0.02 * x + 0.01 * y;
            if x > 35.0 && y < 3.0 {
                (End::NotHeld, None)
            } else if x < -55.0 && c == 0 {
                (End::Uncertified, None)
            } else if c == 1 && y > 50.0 {
                (End::LostInPush, None)
            } else if x < -25.0 {
                (End::LostInPush, Some(v))
            } else {
                (End::Held, Some(v))
            }
        },
    )
}

/// The hinge as a whole: lines in groups.
pub fn hinges() -> Sweep {
    sweep(
        vec![axis("bed.friction", "", &grid(7, 0.3, 0.9)), axis("tether.hinge", "", &[0.0, 1.0, 2.0])],
        &["one-by-one", "two-by-two-crossed"],
        &["load-1mm", "step"],
        |c, x, y| (End::Held, Some(50.0 + 60.0 * x + 8.0 * y + 5.0 * c as f64)),
    )
}
