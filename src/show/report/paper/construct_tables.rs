//! The tables of one construct: as placed, as tied, as pushed.

use super::fact::Fact;
use super::table::{Cell, Table};
use crate::show::report::ConstructSummary;
use crate::show::report::words;
use crate::study::result::{Hold, Push};

/// The anchors of a construct as placed; `None` when it has none.
pub(super) fn anchors(construct: &ConstructSummary) -> Option<Table> {
    let mut table = Table::new(
        "anchors",
        &format!("Anchors of {}", construct.name),
        &[
            "anchor",
            "class",
            "place",
            "clock",
            "anterior (mm)",
            "superior (mm)",
            "lateral (mm)",
            "stiffness (N/mm)",
            "holds (N)",
        ],
    );
    for a in &construct.anchors {
        let [x, y, z] = a.place.map(|v| Cell::from(Fact::new(v, 1, "mm")));
        table.row([
            a.name.as_str().into(),
            a.class.as_str().into(),
            a.asked.as_str().into(),
            a.clock.as_str().into(),
            x,
            y,
            z,
            a.stiffness.map_or_else(|| "rigid".into(), |k| Fact::exact(k, "N/mm").into()),
            a.holding.map(|h| Fact::exact(h, "N")).into(),
        ]);
    }
    (!table.rows.is_empty()).then_some(table)
}

/// The limbs of a construct as laid; `None` when it has none.
pub(super) fn limbs(construct: &ConstructSummary) -> Option<Table> {
    let mut table = Table::new(
        "limbs",
        &format!("Limbs of {}", construct.name),
        &[
            "limb",
            "path, tie end last",
            "strand",
            "EA (N)",
            "length (mm)",
            "pull (N)",
            "finished with",
            "growth (mm)",
            "bears (N)",
        ],
    );
    for l in &construct.limbs {
        table.row([
            l.name.as_str().into(),
            l.path.join(", ").into(),
            l.strand.as_str().into(),
            Fact::exact(l.rigidity, "N").into(),
            Fact::new(l.length, 1, "mm").into(),
            Fact::exact(l.tension, "N").into(),
            l.fixing.as_str().into(),
            Fact::exact(l.knot_slack, "mm").into(),
            Fact::exact(l.knot_limit, "N").into(),
        ]);
    }
    (!table.rows.is_empty()).then_some(table)
}

/// The screws of a construct as placed; `None` when it has none.
pub(super) fn screws(construct: &ConstructSummary) -> Option<Table> {
    let mut table = Table::new(
        "screws",
        &format!("Screws of {}", construct.name),
        &[
            "screw",
            "head",
            "clock",
            "off square (deg)",
            "diameter (mm)",
            "to the fracture (mm)",
            "beyond it (mm)",
            "preload (N)",
        ],
    );
    for s in &construct.screws {
        table.row([
            s.name.as_str().into(),
            s.asked.as_str().into(),
            s.clock.as_str().into(),
            Fact::new(s.off_square, 1, "deg").into(),
            Fact::exact(s.diameter, "mm").into(),
            Fact::new(s.grip, 1, "mm").into(),
            Fact::exact(s.working_length, "mm").into(),
            Fact::exact(s.preload, "N").into(),
        ]);
    }
    (!table.rows.is_empty()).then_some(table)
}

/// How stiff the screws of a construct are held in bone; `None` when it has none.
pub(super) fn screw_stiffness(construct: &ConstructSummary) -> Option<Table> {
    let mut table = Table::new(
        "screw-stiffness",
        &format!("Stiffness of the screws of {} at the fracture plane", construct.name),
        &["screw", "along its axis, k_a (N/mm)", "across it, K_ss (N/mm)", "against a slope, K_tt (N·mm/rad)"],
    );
    for s in &construct.screws {
        table.row([
            s.name.as_str().into(),
            Fact::new(s.axial_stiffness, 0, "N/mm").into(),
            Fact::new(s.shift_stiffness, 0, "N/mm").into(),
            Fact::new(s.turn_stiffness, 0, "N·mm/rad").into(),
        ]);
    }
    (!table.rows.is_empty()).then_some(table)
}

/// What each tie did; `None` when none came to an end.
pub(super) fn ties(construct: &ConstructSummary, hold: &Hold) -> Option<Table> {
    let screws: Vec<String> = construct.screws.iter().map(|s| s.name.clone()).collect();
    let mut table = Table::new(
        "ties",
        &format!("Ties of {} in order", hold.construct),
        &["tie", "pull ended", "pulled to (N)", "after locking (N)", "compression (N)", "step (mm)", "tilt (deg)"],
    );
    for t in &hold.ties {
        let locked = match t.holds(&screws).as_slice() {
            [one] => Fact::new(*one, 1, "N").into(),
            several => {
                let list: Vec<String> = several.iter().map(|v| words::num(*v, 1)).collect();
                Cell::from(list.join(", "))
            }
        };
        table.row([
            t.names().join(" + ").into(),
            words::pull_end(t.end).into(),
            Fact::new(t.pulled, 1, "N").into(),
            locked,
            Fact::new(t.compression, 1, "N").into(),
            Fact::signed(t.measures.step.value, 2, "mm").into(),
            Fact::signed(t.measures.tilt, 1, "deg").into(),
        ]);
    }
    (!table.rows.is_empty()).then_some(table)
}

/// Each limb in the tied state; `None` when not held, or when there is no limb.
pub(super) fn tied_limbs(hold: &Hold) -> Option<Table> {
    let tied = hold.tied.as_ref()?;
    let mut table = Table::new(
        "tied",
        &format!("What each limb of {} does as tied", hold.construct),
        &["limb", "largest tension (N)", "presses on the bed (N)", "drags along it (N)", "bite on bone"],
    );
    for l in &tied.limbs {
        let most = l.tensions.iter().copied().fold(0.0, f64::max);
        table.row([
            l.name.as_str().into(),
            Fact::new(most, 1, "N").into(),
            Fact::new(l.compression, 1, "N").into(),
            Fact::new(l.shear, 1, "N").into(),
            if l.seated { "yes" } else { "no" }.into(),
        ]);
    }
    (!table.rows.is_empty()).then_some(table)
}

/// Each screw in the tied state; `None` when not held, or when there is no screw.
pub(super) fn tied_screws(hold: &Hold) -> Option<Table> {
    let tied = hold.tied.as_ref()?;
    let mut table = Table::new(
        "tied-screws",
        &format!("What each screw of {} does as tied", hold.construct),
        &[
            "screw",
            "its head pulls (N)",
            "its shank bears (N)",
            "presses on the bed (N)",
            "drags along it (N)",
            "shank on bone, largest (MPa)",
        ],
    );
    for s in &tied.screws {
        table.row([
            s.name.as_str().into(),
            Fact::new(s.axial, 1, "N").into(),
            Fact::new(s.bearing, 1, "N").into(),
            Fact::new(s.compression, 1, "N").into(),
            Fact::new(s.shear, 1, "N").into(),
            Fact::new(s.pressure, 2, "MPa").into(),
        ]);
    }
    (!table.rows.is_empty()).then_some(table)
}

/// First events of a push; `None` when there was none.
pub(super) fn events(push: &Push) -> Option<Table> {
    let mut table = Table::new(
        "events",
        &format!("First events while {} is pushed (at zero: already as tied)", push.construct),
        &["event", "displacement (mm)", "load (N)"],
    );
    for e in &push.events {
        table.row([
            words::event_of(e).into(),
            Fact::new(e.displacement, 2, "mm").into(),
            Fact::new(e.load, 1, "N").into(),
        ]);
    }
    (!table.rows.is_empty()).then_some(table)
}
