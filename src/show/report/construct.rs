//! The tables of one construct: as placed, as tied, as pushed. Terminal and report print the same.

use super::shares::{by_group, group_of, sample};
use super::summary::ConstructSummary;
use crate::show::table::{Cell, Column, Table};
use crate::show::words::{bed_direction, event_of, percent, pull_end};
use crate::study::result::{AnchorState, Carrier, Event, Hold, LimbState, Petal, Push, ScrewState, TieRecord};

/// The anchors as placed; `None` when there is none.
pub(super) fn anchors(construct: &ConstructSummary) -> Option<Table> {
    let title = format!("Anchors of {}", construct.name);
    Table::of(
        "anchors",
        &title,
        &construct.anchors,
        &[
            ("anchor", "", &|a| (&a.name).into()),
            ("clock", "", &|a| (&a.clock).into()),
            ("anterior", "mm", &|a| Cell::fixed(a.place[0], 1)),
            ("superior", "mm", &|a| Cell::fixed(a.place[1], 1)),
            ("lateral", "mm", &|a| Cell::fixed(a.place[2], 1)),
            ("stiffness", "N/mm", &|a| a.stiffness.map_or_else(|| "rigid".into(), Cell::exact)),
            ("holding load", "N", &|a| a.holding.map(Cell::exact).into()),
            ("class", "", &|a| (&a.class).into()),
            ("place", "", &|a| (&a.asked).into()),
        ],
    )
    .filled()
}

/// The limbs as laid; `None` when there is none.
pub(super) fn limbs(construct: &ConstructSummary) -> Option<Table> {
    let title = format!("Limbs of {}", construct.name);
    Table::of(
        "limbs",
        &title,
        &construct.limbs,
        &[
            ("limb", "", &|l| (&l.name).into()),
            ("path, tie end last", "", &|l| {
                format!("{}{}", l.path.join(", "), if l.closed { ", and back: closed" } else { "" }).into()
            }),
            ("strand", "", &|l| (&l.strand).into()),
            ("EA", "N", &|l| Cell::exact(l.rigidity)),
            ("length", "mm", &|l| Cell::fixed(l.length, 1)),
            ("pull", "N", &|l| Cell::exact(l.tension)),
            ("finished with", "", &|l| (&l.fixing).into()),
            ("growth", "mm", &|l| Cell::exact(l.knot_slack)),
            ("strength", "N", &|l| Cell::exact(l.knot_limit)),
        ],
    )
    .without_empty()
    .filled()
}

/// The screws as placed; `None` when there is none.
pub(super) fn screws(construct: &ConstructSummary) -> Option<Table> {
    let title = format!("Screws of {}", construct.name);
    Table::of(
        "screws",
        &title,
        &construct.screws,
        &[
            ("screw", "", &|s| (&s.name).into()),
            ("head", "", &|s| (&s.asked).into()),
            ("clock", "", &|s| (&s.clock).into()),
            ("off square", "deg", &|s| Cell::fixed(s.off_square, 1)),
            ("diameter", "mm", &|s| Cell::exact(s.diameter)),
            ("to the fracture", "mm", &|s| Cell::fixed(s.grip, 1)),
            ("beyond it", "mm", &|s| Cell::exact(s.working_length)),
            ("preload", "N", &|s| Cell::exact(s.preload)),
        ],
    )
    .filled()
}

/// How stiff the screws are held in bone; `None` when there is none.
pub(super) fn screw_stiffness(construct: &ConstructSummary) -> Option<Table> {
    let title = format!("Stiffness of the screws of {} at the fracture plane", construct.name);
    Table::of(
        "screw-stiffness",
        &title,
        &construct.screws,
        &[
            ("screw", "", &|s| (&s.name).into()),
            ("along its axis, k_a", "N/mm", &|s| Cell::fixed(s.axial_stiffness, 0)),
            ("across it, K_ss", "N/mm", &|s| Cell::fixed(s.shift_stiffness, 0)),
            ("against a slope, K_tt", "N·mm/rad", &|s| Cell::fixed(s.turn_stiffness, 0)),
        ],
    )
    .filled()
}

/// What each tie did; `None` when none came to an end.
pub(super) fn ties(hold: &Hold, screws: &[String]) -> Option<Table> {
    let title = format!("Ties of {} in order", hold.construct);
    let columns: [Column<'_, &TieRecord>; 7] = [
        ("tie", "", &|t| t.names().join(" + ").into()),
        ("pull ended", "", &|t| pull_end(t.end).into()),
        ("pulled to", "N", &|t| Cell::fixed(t.pulled, 1)),
        ("after locking", "N", &|t| match t.holds(screws).as_slice() {
            [one] => Cell::fixed(*one, 1),
            several => several.iter().map(|v| format!("{v:.1}")).collect::<Vec<_>>().join(", ").into(),
        }),
        ("compression", "N", &|t| Cell::fixed(t.compression, 0)),
        ("step", "mm", &|t| Cell::signed(t.measures.step.value, 1)),
        ("tilt", "deg", &|t| Cell::signed(t.measures.tilt, 1)),
    ];
    Table::of("ties", &title, hold.ties.iter(), &columns).filled()
}

fn toward(shear: f64, along: [f64; 2]) -> Cell {
    if shear < 0.05 { Cell::none() } else { bed_direction(along[0], along[1]).into() }
}

/// Each limb as tied; `None` when there is none.
pub(super) fn tied_limbs(hold: &Hold) -> Option<Table> {
    let title = format!("Limbs of {} as tied: force of each on the fragment", hold.construct);
    let columns: [Column<'_, &LimbState>; 7] = [
        ("limb", "", &|l| (&l.name).into()),
        ("largest tension", "N", &|l| Cell::fixed(l.tensions.iter().copied().fold(0.0, f64::max), 1)),
        ("normal force", "N", &|l| Cell::fixed(l.compression, 1)),
        ("shear force", "N", &|l| Cell::fixed(l.shear, 1)),
        ("shear toward", "", &|l| toward(l.shear, l.shear_along)),
        ("over cartilage", "mm", &|l| Cell::fixed(l.cartilage, 1)),
        ("bite on bone", "", &|l| if l.seated { "yes" } else { "no" }.into()),
    ];
    Table::of("tied", &title, hold.tied.as_ref()?.limbs.iter(), &columns).filled()
}

/// Each screw as tied; `None` when there is none.
pub(super) fn tied_screws(hold: &Hold) -> Option<Table> {
    let title = format!("Screws of {} as tied: force of each on the fragment", hold.construct);
    let columns: [Column<'_, &ScrewState>; 7] = [
        ("screw", "", &|s| (&s.name).into()),
        ("pull of the head", "N", &|s| Cell::fixed(s.axial, 1)),
        ("bearing of the shank", "N", &|s| Cell::fixed(s.bearing, 1)),
        ("normal force", "N", &|s| Cell::fixed(s.compression, 1)),
        ("shear force", "N", &|s| Cell::fixed(s.shear, 1)),
        ("shear toward", "", &|s| toward(s.shear, s.shear_along)),
        ("largest pressure on bone", "MPa", &|s| Cell::fixed(s.pressure, 2)),
    ];
    Table::of("tied-screws", &title, hold.tied.as_ref()?.screws.iter(), &columns).filled()
}

/// Each anchor as tied; `None` when there is none.
pub(super) fn tied_anchors(hold: &Hold) -> Option<Table> {
    let title = format!("Anchors of {} as tied", hold.construct);
    let columns: [Column<'_, &AnchorState>; 5] = [
        ("anchor", "", &|a| (&a.name).into()),
        ("pull", "N", &|a| Cell::fixed(a.force, 1)),
        ("displacement", "mm", &|a| Cell::fixed(a.give, 2)),
        ("holding load", "N", &|a| a.holding.map(|h| Cell::fixed(h, 0)).into()),
        ("used", "%", &|a| a.holding.map(|h| Cell::percent(a.force / h)).into()),
    ];
    Table::of("tied-anchors", &title, hold.tied.as_ref()?.anchors.iter(), &columns).filled()
}

/// First events of a push; `None` when there was none.
pub(super) fn events(push: &Push) -> Option<Table> {
    let title = format!("First events while {} is pushed (at zero: already as tied)", push.construct);
    let columns: [Column<'_, &Event>; 3] = [
        ("displacement", "mm", &|e| Cell::fixed(e.displacement, 2)),
        ("load", "N", &|e| Cell::fixed(e.load, 0)),
        ("event", "", &|e| event_of(e).into()),
    ];
    Table::of("events", &title, push.events.iter(), &columns).filled()
}

/// Load sharing at a displacement (mm), by group and within the groups of limbs and screws; `None` where
/// the push does not get so far.
pub(super) fn sharing(push: &Push, mark: f64) -> Option<Table> {
    let (groups, at, first) = (by_group(push, mark)?, sample(push, mark)?, push.curve.first()?);
    let title = format!("Load sharing of {} at {mark} mm (negative: acts with the applied load)", push.construct);
    let heads = ["carrier", "force (N)", "of the load", "change since tied (N)"];
    let mut table = Table::new("sharing", &title, &heads);
    let mut row = |name: String, now: f64, tied: f64| {
        let share = if at.load > 0.0 { percent(now / at.load).into() } else { Cell::none() };
        table.row([name.into(), Cell::fixed(now, 0), share, Cell::signed(now - tied, 0)]);
    };
    for group in &groups {
        row(group.name.clone(), group.now, group.tied);
        let within = matches!(group.carrier, Carrier::Limb | Carrier::Screw);
        for (k, c) in push.contributors.iter().enumerate().filter(|(_, c)| within && group_of(c) == group.name) {
            row(format!("    {}", c.name), at.shares[k], first.shares[k]);
        }
    }
    row("together: the load".to_owned(), at.load, first.load);
    Some(table)
}

/// Load at 1 mm by direction, one column a construct; `None` without a rose.
pub(super) fn rose(roses: &[(&str, &[Petal])]) -> Option<Table> {
    let (_, first) = roses.first()?;
    let title = "Load at 1 mm by direction in the plane of the bed (N), from inferior toward medial (deg)";
    let heads = ["direction (deg)", "nearest"].into_iter().chain(roses.iter().map(|r| r.0));
    let mut table = Table::new("rose", title, &heads.collect::<Vec<_>>());
    for (k, petal) in first.iter().enumerate() {
        let a = petal.angle.to_radians();
        let loads = roses.iter().map(|(_, r)| match (r[k].load, r[k].outcome.is_uncertified()) {
            (Some(load), _) => Cell::fixed(load, 0),
            (None, true) => "no answer".into(),
            (None, false) => "fails".into(),
        });
        let head = [Cell::fixed(petal.angle, 0), bed_direction(-libm::cos(a), libm::sin(a)).into()];
        table.row(head.into_iter().chain(loads));
    }
    Some(table)
}
