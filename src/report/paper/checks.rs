//! Evidence from the run itself: certificates, sums of shares, and the bed once more with finer cells.

use super::fact::Fact;
use super::record::Found;
use super::table::{Cell, Table};
use crate::study::result::{Certificate, Compared};
use std::collections::BTreeMap;

/// Certified states behind a result: one a tie, and one a state of the push.
pub(super) fn states(compared: &Compared) -> usize {
    certificates(compared).count()
}

fn certificates(compared: &Compared) -> impl Iterator<Item = &Certificate> {
    let ties = compared.hold.ties.iter().map(|t| &t.certificate);
    let tied = compared.hold.tied.iter().map(|t| &t.certificate);
    let push = compared.push.iter().flat_map(|p| p.curve.iter());
    ties.chain(tied).chain(push.map(|p| &p.certificate))
}

/// What all certificates say together, and the checks made of this run.
pub(super) fn certificate(compared: &[Compared]) -> (BTreeMap<String, Fact>, Table) {
    let all = || compared.iter().flat_map(certificates);
    let worst = |of: fn(&Certificate) -> f64| all().map(of).fold(0.0, f64::max);
    let least = |of: fn(&Certificate) -> f64| all().map(of).fold(0.0, f64::min);
    let held = all().filter(|c| c.holds()).count();
    let force = worst(|c| c.net_force.max(c.net_node_force));
    let moment = worst(|c| c.net_moment);
    let largest = worst(|c| c.largest_force);
    let facts = [
        ("states", Fact::count(all().count(), "")),
        ("certified", Fact::count(held, "")),
        ("net_force", Fact::power(force, 1, "N")),
        ("net_moment", Fact::power(moment, 1, "N·mm")),
        ("largest_force", Fact::new(largest, 1, "N")),
    ];
    let mut table = Table::new(
        "checks",
        "Checks made of this run",
        &["check", "against", "demanded", "found", "kept"],
    );
    let mut put = |what: &str, against: &str, limit: Cell, found: Fact, kept: bool| {
        table.row([
            what.into(),
            against.into(),
            limit,
            found.into(),
            if kept { "yes" } else { "no" }.into(),
        ]);
    };
    put(
        "states whose certificate holds",
        "all states",
        Fact::count(all().count(), "").into(),
        Fact::count(held, ""),
        held == all().count(),
    );
    let limit = (1e-8 * largest).max(1e-6);
    put(
        "largest net force on fragment, anchor or bite (N)",
        "balance of forces",
        Fact::power(limit, 1, "N").into(),
        Fact::power(force, 1, "N"),
        force <= limit,
    );
    let limit = all()
        .map(|c| (1e-8 * c.largest_force * c.arm).max(1e-5))
        .fold(1e-5, f64::max);
    put(
        "largest net moment on the fragment (N·mm)",
        "balance of moments",
        Fact::power(limit, 1, "N·mm").into(),
        Fact::power(moment, 1, "N·mm"),
        moment <= limit,
    );
    let pressure = least(|c| c.least_pressure);
    put(
        "least pressure of a cell (MPa)",
        "a bed that bears no tension",
        Fact::exact(0.0, "").into(),
        Fact::exact(pressure, "MPa"),
        pressure >= 0.0,
    );
    let tension = least(|c| c.least_tension);
    put(
        "least tension of a strand (N)",
        "a strand that bears no compression",
        Fact::exact(0.0, "").into(),
        Fact::exact(tension, "N"),
        tension >= 0.0,
    );
    let excess = worst(|c| c.friction_excess);
    put(
        "largest shear beyond its friction limit (MPa)",
        "Coulomb friction",
        Fact::exact(1e-9, "").into(),
        Fact::power(excess, 1, "MPa"),
        excess <= 1e-9,
    );
    let excess = worst(|c| c.capstan_excess);
    put(
        "largest tension beyond its capstan bound, share of it",
        "Euler–Eytelwein",
        Fact::exact(1e-9, "").into(),
        Fact::power(excess, 1, ""),
        excess <= 1e-9,
    );
    let gap = compared
        .iter()
        .filter_map(|c| c.push.as_ref())
        .flat_map(|p| &p.curve)
        .map(|p| (p.shares.iter().sum::<f64>() - p.load).abs())
        .fold(0.0, f64::max);
    put(
        "largest difference of the load and the sum of its shares (N)",
        "balance of forces along the push",
        Fact::power(1e-6, 1, "N").into(),
        Fact::power(gap, 1, "N"),
        gap <= 1e-6,
    );
    let facts = facts
        .into_iter()
        .map(|(name, fact)| (name.to_owned(), fact))
        .collect();
    (facts, table)
}

/// What is compared on the finer bed: key, words, and the value.
type Measured = (&'static str, &'static str, fn(&Compared) -> Option<f64>);

const MEASURED: [Measured; 7] = [
    ("compression", "compression (N)", |c| {
        Some(c.hold.tied.as_ref()?.bed.compression)
    }),
    ("contact", "share of the bed in contact", |c| {
        Some(c.hold.tied.as_ref()?.bed.contact)
    }),
    ("peak_pressure", "peak pressure (MPa)", |c| {
        Some(c.hold.tied.as_ref()?.bed.peak_pressure)
    }),
    ("step", "articular step (mm)", |c| {
        Some(c.hold.tied.as_ref()?.measures.step.value)
    }),
    ("load_at_05", "load at 0.5 mm (N)", |c| {
        c.push.as_ref()?.load_at[0]
    }),
    ("load_at_1", "load at 1 mm (N)", |c| {
        c.push.as_ref()?.load_at[1]
    }),
    ("load_at_2", "load at 2 mm (N)", |c| {
        c.push.as_ref()?.load_at[2]
    }),
];

/// What cells half as wide change: the largest relative change of each quantity, and a table.
pub(super) fn refinement(found: &[Found]) -> (BTreeMap<String, Fact>, Table) {
    let mut table = Table::new(
        "refinement",
        "The bed with cells half as wide",
        &[
            "construct",
            "quantity",
            "as computed",
            "finer cells",
            "change (%)",
        ],
    );
    let mut worst = BTreeMap::new();
    for (key, words, of) in MEASURED {
        for f in found {
            let (coarse, fine) = (of(&f.compared), of(&f.finer));
            let change = match (coarse, fine) {
                (Some(a), Some(b)) if b != 0.0 => Some(100.0 * (a - b).abs() / b.abs()),
                _ => None,
            };
            let cell = |v: Option<f64>| Cell::from(v.map(|v| Fact::new(v, 3, "")));
            table.row([
                f.compared.hold.construct.as_str().into(),
                words.into(),
                cell(coarse),
                cell(fine),
                change.map(|c| Fact::new(c, 2, "%")).into(),
            ]);
            if let Some(change) = change {
                let most = worst.entry(key.to_owned()).or_insert(0.0_f64);
                *most = most.max(change);
            }
        }
    }
    let worst = worst
        .into_iter()
        .map(|(key, change)| (key, Fact::new(change, 2, "%")))
        .collect();
    (worst, table)
}
