//! The tables of a report that concern the whole.

use super::assumptions::ASSUMPTIONS;
use super::fact::Fact;
use super::limits::limits;
use super::record::Found;
use super::table::{Cell, Table};
use crate::show::report::shares::by_group;
use crate::show::report::words;
use crate::study::result::{Compared, Outcome, TiedState};

/// A row of the comparison: its name, and each construct's value.
type Row = (&'static str, fn(&Compared) -> Option<Fact>);

fn tied(compared: &Compared) -> Option<&TiedState> {
    compared.hold.tied.as_ref()
}

const ROWS: [Row; 17] = [
    ("compression on the bed (N)", |c| Some(Fact::new(tied(c)?.bed.compression, 1, "N"))),
    ("bed in contact (%)", |c| Some(Fact::percent(tied(c)?.bed.contact))),
    ("mean pressure of the contact (MPa)", |c| Some(Fact::new(tied(c)?.bed.mean_pressure, 2, "MPa"))),
    ("peak pressure (MPa)", |c| Some(Fact::new(tied(c)?.bed.peak_pressure, 2, "MPa"))),
    ("friction reserve (%)", |c| Some(Fact::percent(tied(c)?.bed.reserve?))),
    ("limbs and screw heads pull off square to the bed (deg)", |c| {
        Some(Fact::new(tied(c)?.resultant_angle?, 1, "deg"))
    }),
    ("friction angle (deg)", |c| Some(Fact::new(tied(c)?.friction_angle, 1, "deg"))),
    ("articular step (mm, + proud)", |c| Some(Fact::signed(tied(c)?.measures.step.value, 2, "mm"))),
    ("gap of the fracture line (mm)", |c| Some(Fact::signed(tied(c)?.measures.gap.value, 2, "mm"))),
    ("tilt (deg, + sits up)", |c| Some(Fact::signed(tied(c)?.measures.tilt, 1, "deg"))),
    ("strand across intact cartilage (mm)", |c| Some(Fact::new(tied(c)?.cartilage, 1, "mm"))),
    ("load at 0.5 mm (N)", |c| Some(Fact::new(c.push.as_ref()?.load_at[0]?, 1, "N"))),
    ("load at 1 mm (N)", |c| Some(Fact::new(c.push.as_ref()?.load_at[1]?, 1, "N"))),
    ("load at 2 mm (N)", |c| Some(Fact::new(c.push.as_ref()?.load_at[2]?, 1, "N"))),
    ("load beyond which loads are too high (N)", |c| Some(limits(c.push.as_ref()?).first()?.load.clone())),
    ("stiffness at the start of the push (N/mm)", |c| Some(Fact::new(c.push.as_ref()?.stiffness?, 0, "N/mm"))),
    ("largest load of the push (N)", |c| Some(Fact::new(c.push.as_ref()?.peak?[0], 1, "N"))),
];

/// The constructs side by side.
pub(super) fn comparison(compared: &[Compared]) -> Table {
    let mut heads = vec!["quantity"];
    heads.extend(compared.iter().map(|c| c.hold.construct.as_str()));
    let mut table = Table::new("comparison", "The constructs compared", &heads);
    let outcome = compared.iter().map(|c| {
        let lost = words::not_held_short(&c.hold.outcome);
        Cell::from(lost.unwrap_or_else(|| "held".to_owned()))
    });
    table.row(std::iter::once("as tied".into()).chain(outcome));
    for (name, of) in ROWS {
        table.row(std::iter::once(name.into()).chain(compared.iter().map(|c| Cell::from(of(c)))));
    }
    table
}

/// Who carries the load at 1 mm; `None` when no push reaches it.
pub(super) fn carriers(compared: &[Compared]) -> Option<Table> {
    let mut table = Table::new(
        "carriers",
        "Who carries the load at 1 mm, and what each bore before the push",
        &["construct", "carrier", "share at 1 mm (N)", "as tied (N)"],
    );
    for c in compared {
        let shares = c.push.as_ref().and_then(|p| by_group(p, 1.0));
        for share in shares.unwrap_or_default() {
            table.row([
                c.hold.construct.as_str().into(),
                share.name.into(),
                Fact::new(share.now, 1, "N").into(),
                Fact::new(share.tied, 1, "N").into(),
            ]);
        }
    }
    (!table.rows.is_empty()).then_some(table)
}

/// Load at 1 mm by direction; `None` without a rose.
pub(super) fn rose(compared: &[Compared]) -> Option<Table> {
    let roses: Vec<_> = compared.iter().filter_map(|c| Some((c.hold.construct.as_str(), c.rose.as_ref()?))).collect();
    let mut heads = vec!["direction, from inferior toward medial (deg)"];
    heads.extend(roses.iter().map(|r| r.0));
    let mut table = Table::new("rose", "Load at 1 mm by direction in the plane of the bed (N)", &heads);
    let (_, first) = roses.first()?;
    for (k, petal) in first.iter().enumerate() {
        let loads = roses.iter().map(|(_, r)| match r[k].load {
            Some(load) => Cell::from(Fact::new(load, 1, "N")),
            None => match r[k].outcome {
                Outcome::Uncertified { .. } => "no answer",
                Outcome::Held | Outcome::NotHeld { .. } => "not held",
            }
            .into(),
        });
        let angle = Cell::from(Fact::new(petal.angle, 0, "deg"));
        table.row(std::iter::once(angle).chain(loads));
    }
    Some(table)
}

/// Stiffness along the bed and the softest motions; `None` when nothing is held.
pub(super) fn stiffness(found: &[Found]) -> Option<Table> {
    let mut table = Table::new(
        "stiffness",
        "Stiffness of the tied fragment against a first, small motion",
        &["construct", "motion", "stiffness (N/mm)"],
    );
    for f in found {
        let name = f.compared.hold.construct.as_str();
        if let Some(k) = f.compared.hold.tied.as_ref().and_then(|t| t.stiffness) {
            for (what, toward, value) in [
                ("along the bed, least: toward", k.least_toward, k.least),
                ("along the bed, most: toward", k.most_toward, k.most),
            ] {
                let way = words::bed_direction(toward[0], toward[1]);
                let cell = Fact::new(value, 0, "N/mm");
                table.row([name.into(), format!("{what} {way}").into(), cell.into()]);
            }
        }
        for (k, way) in f.compared.hold.tied.iter().flat_map(|t| t.weakest.iter().enumerate()) {
            let what = format!("softest motion of the whole fragment, number {}", k + 1);
            let cell = Fact::new(way.stiffness, 1, "N/mm");
            table.row([name.into(), what.into(), cell.into()]);
        }
    }
    (!table.rows.is_empty()).then_some(table)
}

/// Assumptions and which way they err.
pub(super) fn assumptions() -> Table {
    let mut table =
        Table::new("assumptions", "Assumptions, and which way they err", &["assumption", "which way it errs"]);
    let plain = |text: &str| text.replace(['`', '*'], "");
    for a in ASSUMPTIONS {
        table.row([plain(a.what).into(), plain(a.errs).into()]);
    }
    table
}
