//! Evidence from the run itself: certificates, sums of shares, and the bed once more with finer cells.

use super::fact::Fact;
use super::record::Found;
use crate::show::table::{Cell, Table};
use crate::study::result::{Certificate, Compared, Tally};
use std::collections::BTreeMap;

/// What the certificates of all states say together: of ties, pushes and rose, and of ties and pushes
/// on the finer bed.
pub(super) fn tally(found: &[Found]) -> Tally {
    let mut all = Tally::default();
    found.iter().for_each(|f| all.join(&f.tally()));
    all
}

/// A check: what, against what, what is demanded, what was found, whether that is kept.
type Row = (&'static str, &'static str, Fact, Fact, bool);

/// What all certificates say together, and the checks made of this run.
pub(super) fn certificate(all: &Tally) -> (BTreeMap<String, Fact>, Table) {
    let facts = [
        ("states", Fact::count(all.states, "")),
        ("certified", Fact::count(all.certified, "")),
        ("net_force", Fact::power(all.net_force, 1, "N")),
        ("net_moment", Fact::power(all.net_moment, 1, "N·mm")),
        ("largest_force", Fact::new(all.largest_force, 1, "N")),
    ];
    let at_most = |what, against, limit: f64, found: f64, unit| -> Row {
        let limit_told = Fact::exact(limit, unit);
        let found_told = Fact::power(found, 1, unit);
        (what, against, limit_told, found_told, found <= limit)
    };
    let never_below_zero = |what, against, found: f64, unit| -> Row {
        let zero = Fact::exact(0.0, unit);
        (what, against, zero, Fact::exact(found, unit), found >= 0.0)
    };
    let rows = [
        (
            "states whose certificate holds",
            "all states of ties, pushes and rose, of ties and pushes on finer cells, and of ties in every order",
            Fact::count(all.states, ""),
            Fact::count(all.certified, ""),
            all.is_whole(),
        ),
        at_most(
            "largest net force on fragment, anchor or bite, share of its state's limit",
            "balance of forces",
            1.0,
            all.force_share,
            "",
        ),
        at_most(
            "largest net moment on the fragment, share of its state's limit",
            "balance of moments",
            1.0,
            all.moment_share,
            "",
        ),
        at_most(
            "largest difference of a load and the sum of its shares, share of its state's limit of net force",
            "balance of forces along the push",
            1.0,
            all.gap_share,
            "",
        ),
        never_below_zero("least pressure of a cell (MPa)", "a bed that bears no tension", all.least_pressure, "MPa"),
        never_below_zero("least tension of a strand (N)", "a strand that bears no compression", all.least_tension, "N"),
        never_below_zero("least pull of a screw's head (N)", "a head that only presses", all.least_head, "N"),
        at_most(
            "largest shear beyond its friction limit (MPa)",
            "Coulomb friction",
            Certificate::FRICTION_EXCESS,
            all.friction_excess,
            "MPa",
        ),
        at_most(
            "largest tension beyond its capstan bound, share of it",
            "Euler–Eytelwein",
            Certificate::CAPSTAN_EXCESS,
            all.capstan_excess,
            "",
        ),
    ];
    let mut table = Table::new("checks", "Checks made of this run", &["check", "against", "demanded", "found", "kept"]);
    for (what, against, demanded, found, kept) in rows {
        table.row([what.into(), against.into(), demanded.into(), found.into(), if kept { "yes" } else { "no" }.into()]);
    }
    let facts = facts.into_iter().map(|(name, fact)| (name.to_owned(), fact)).collect();
    (facts, table)
}

/// What is compared on the finer bed: key, words, and the value.
type Measured = (&'static str, &'static str, fn(&Compared) -> Option<f64>);

const MEASURED: [Measured; 7] = [
    ("compression", "compression (N)", |c| Some(c.hold.tied.as_ref()?.bed.compression)),
    ("contact", "share of the bed in contact", |c| Some(c.hold.tied.as_ref()?.bed.contact)),
    ("peak_pressure", "peak pressure (MPa)", |c| Some(c.hold.tied.as_ref()?.bed.peak_pressure)),
    ("step", "articular step (mm)", |c| Some(c.hold.tied.as_ref()?.measures.step.value)),
    ("load_at_05", "load at 0.5 mm (N)", |c| c.push.as_ref()?.load_at[0]),
    ("load_at_1", "load at 1 mm (N)", |c| c.push.as_ref()?.load_at[1]),
    ("load_at_2", "load at 2 mm (N)", |c| c.push.as_ref()?.load_at[2]),
];

/// What cells half as wide change: the largest relative change of each quantity, and a table.
pub(super) fn refinement(found: &[Found]) -> (BTreeMap<String, Fact>, Table) {
    let mut table = Table::new(
        "refinement",
        "The bed with cells half as wide",
        &["construct", "quantity", "as computed", "finer cells", "change (%)"],
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
    let worst = worst.into_iter().map(|(key, change)| (key, Fact::new(change, 2, "%"))).collect();
    (worst, table)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A tally of two states that keeps every limit.
    fn sound() -> Tally {
        Tally { states: 2, certified: 2, force_share: 0.5, ..Tally::default() }
    }

    fn kept(tally: &Tally) -> Vec<bool> {
        let (_, table) = certificate(tally);
        table.rows.iter().map(|r| r[4].text == "yes").collect()
    }

    #[test]
    fn each_check_fails_alone_when_its_limit_is_passed() {
        let all = kept(&sound());
        assert!(all.iter().all(|kept| *kept), "{all:?}");
        type Spoil = fn(&mut Tally);
        let spoil: [Spoil; 9] = [
            |t| t.certified = 1,
            |t| t.force_share = 1.001,
            |t| t.moment_share = 1.001,
            |t| t.gap_share = 1.001,
            |t| t.least_pressure = -1e-300,
            |t| t.least_tension = -1e-300,
            |t| t.least_head = -1e-300,
            |t| t.friction_excess = 1.001e-9,
            |t| t.capstan_excess = 1.001e-9,
        ];
        assert_eq!(spoil.len(), all.len());
        for (k, spoil) in spoil.iter().enumerate() {
            let mut tally = sound();
            spoil(&mut tally);
            let found = kept(&tally);
            let failed: Vec<usize> = (0..found.len()).filter(|i| !found[*i]).collect();
            assert_eq!(failed, [k]);
        }
    }
}
