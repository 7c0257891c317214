//! Tidy comma-separated values of a case, of repairs, of a push, and of tying orders.

use super::json::SampleShown;
use super::shares::by_group;
use super::summary::{CaseSummary, ConstructSummary};
use crate::model::{Case, Construct};
use crate::quantities::{QUANTITIES, View};
use crate::show::table::{Cell, Column, Table};
use crate::show::words::{event_of, word};
use crate::study::result::{
    Carrier, Compared, Measures, OrderRun, OrderSweep, Orders, Outcome, Push, PushPoint, TieRecord, TiedState,
};

/// One value a row.
struct Values(Table);

impl Values {
    fn new() -> Self {
        Self(Table::new("values", "", &["construct", "quantity", "unit", "value"]))
    }

    fn put(&mut self, construct: &str, quantity: &str, unit: &str, value: impl Into<Cell>) {
        self.0.row([construct.into(), quantity.into(), unit.into(), value.into()]);
    }

    fn number(&mut self, construct: &str, quantity: &str, unit: &str, value: f64) {
        self.put(construct, quantity, unit, Cell::exact(value));
    }

    /// A place, mm.
    fn place(&mut self, construct: &str, what: &str, place: [f64; 3]) {
        for (axis, value) in ["anterior", "superior", "lateral"].iter().zip(place) {
            self.number(construct, &format!("{what} {axis}"), "mm", value);
        }
    }
}

/// The case and its constructs as understood; the case's own lines have no construct.
pub fn case_csv(case: &CaseSummary, constructs: &[ConstructSummary]) -> String {
    let mut lines = Values::new();
    lines.put("", "case", "", &case.name);
    lines.put("", "side", "", &case.side);
    lines.put("", "middle", "clock", &case.middle);
    for (quantity, unit, value) in [
        ("diameter", "mm", case.diameter),
        ("width", "mm", case.width),
        ("depth", "mm", case.depth),
        ("tilt", "deg", case.tilt),
        ("chord", "mm", case.chord),
        ("bed area", "mm2", case.bed_area),
        ("segment area", "mm2", case.segment_area),
        ("segment share", "1", case.segment_share),
        ("taper", "deg", case.taper),
        ("volume", "mm3", case.volume),
        ("bed cells", "1", case.bed_cells as f64),
        ("friction", "1", case.friction),
    ] {
        lines.number("", quantity, unit, value);
    }
    let of_case = case.defaults.iter().map(|t| ("", t));
    let of_constructs = constructs.iter().flat_map(|c| c.defaults.iter().map(|t| (c.name.as_str(), t)));
    for c in constructs {
        for a in &c.anchors {
            lines.place(&c.name, &format!("anchor {}", a.name), a.place);
            lines.put(&c.name, &format!("anchor {}", a.name), "clock", &a.clock);
        }
        for l in &c.limbs {
            lines.number(&c.name, &format!("limb {} length", l.name), "mm", l.length);
            lines.number(&c.name, &format!("limb {} tension", l.name), "N", l.tension);
        }
        for s in &c.screws {
            let name = |what: &str| format!("screw {} {what}", s.name);
            lines.place(&c.name, &format!("screw {}", s.name), s.head);
            lines.number(&c.name, &name("preload"), "N", s.preload);
            lines.number(&c.name, &name("axial stiffness"), "N/mm", s.axial_stiffness);
            lines.number(&c.name, &name("shift stiffness"), "N/mm", s.shift_stiffness);
        }
    }
    for (of, taken) in of_case.chain(of_constructs) {
        lines.put(of, &format!("default {}", taken.path), &taken.unit, &taken.value);
    }
    lines.0.csv()
}

/// Tied states and what pushes came to, in the order of the constructs; before them the sample that
/// they belong to, if they do. Its lines have no construct.
pub fn result_csv(case: &Case, constructs: &[Construct], results: &[Compared], sample: Option<&SampleShown>) -> String {
    let mut lines = Values::new();
    if let Some(sample) = sample {
        lines.number("", "sample", "1", sample.number as f64);
        lines.number("", "samples", "1", sample.samples as f64);
        lines.put("", "seed", "1", sample.seed.to_string());
        for d in &sample.drawn {
            lines.number("", &format!("drawn {} ({})", d.path, d.usage), &d.unit, d.value);
        }
    }
    for (construct, result) in constructs.iter().zip(results) {
        let name = &result.hold.construct;
        lines.put(name, "tying outcome", "", outcome(&result.hold.outcome));
        let view = View::of(case, construct, result);
        for q in QUANTITIES {
            if let Some(value) = (q.of)(&view) {
                lines.number(name, q.key, q.unit, value);
            }
        }
        if let Some(tied) = &result.hold.tied {
            tied_lines(&mut lines, name, tied);
        }
        if let Some(push) = &result.push {
            push_lines(&mut lines, name, push);
        }
        for petal in result.rose.iter().flatten() {
            if let Some(load) = petal.load {
                lines.number(name, &format!("load at 1 mm toward {:.0} deg", petal.angle), "N", load);
            }
        }
    }
    lines.0.csv()
}

fn outcome(outcome: &Outcome) -> &'static str {
    match outcome {
        Outcome::Held => "stable",
        Outcome::NotHeld { .. } => "fails",
        Outcome::Uncertified { .. } => "balance not checked",
    }
}

/// What the list of quantities does not hold, being of a limb, a screw or an anchor, or a place.
fn tied_lines(lines: &mut Values, name: &str, tied: &TiedState) {
    let m = &tied.measures;
    let mut number = |quantity: String, unit: &str, value: f64| lines.number(name, &quantity, unit, value);
    if let Some([along, down]) = tied.bed.centre {
        number("centre of pressure along the chord".to_owned(), "mm", along);
        number("centre of pressure down the plane".to_owned(), "mm", down);
    }
    number("friction angle".to_owned(), "deg", tied.friction_angle);
    number("step at".to_owned(), "mm", m.step.at);
    number("gap at".to_owned(), "mm", m.gap.at);
    number("inferior shift superior end".to_owned(), "mm", m.inferior_superior_end);
    number("inferior shift inferior end".to_owned(), "mm", m.inferior_inferior_end);
    for (k, way) in tied.weakest.iter().enumerate() {
        number(format!("softest motion {}", k + 1), "N/mm", way.stiffness);
    }
    for l in &tied.limbs {
        for (k, tension) in l.tensions.iter().enumerate() {
            number(format!("limb {} tension of segment {}", l.name, k + 1), "N", *tension);
        }
        number(format!("limb {} normal force", l.name), "N", l.compression);
        number(format!("limb {} shear toward superior", l.name), "N", l.shear_along[0]);
        number(format!("limb {} shear toward medial", l.name), "N", l.shear_along[1]);
    }
    for s in &tied.screws {
        for (what, unit, value) in [
            ("head pull", "N", s.axial),
            ("bearing", "N", s.bearing),
            ("normal force", "N", s.compression),
            ("shear toward superior", "N", s.shear_along[0]),
            ("shear toward medial", "N", s.shear_along[1]),
            ("pressure on bone", "MPa", s.pressure),
        ] {
            number(format!("screw {} {what}", s.name), unit, value);
        }
    }
    for a in &tied.anchors {
        number(format!("anchor {} pull", a.name), "N", a.force);
        number(format!("anchor {} displacement", a.name), "mm", a.give);
    }
}

fn push_lines(lines: &mut Values, name: &str, push: &Push) {
    lines.put(name, "push outcome", "", outcome(&push.outcome));
    lines.put(name, "push direction", "", &push.direction);
    for group in by_group(push, 1.0).into_iter().flatten() {
        lines.number(name, &format!("share at 1 mm of {}", group.name), "N", group.now);
    }
    for event in &push.events {
        lines.number(name, &format!("first {}", event_of(event)), "mm", event.displacement);
    }
}

/// The curve of a push: one state a line.
pub fn curve_csv(push: &Push) -> String {
    let columns: [Column<'_, &PushPoint>; 12] = [
        ("construct", "", &|_| (&push.construct).into()),
        ("displacement_mm", "", &|p| Cell::exact(p.displacement)),
        ("load_N", "", &|p| Cell::exact(p.load)),
        ("bed_compression_N", "", &|p| Cell::exact(p.compression)),
        ("contact", "", &|p| Cell::exact(p.contact)),
        ("sliding", "", &|p| Cell::exact(p.sliding)),
        ("peak_pressure_MPa", "", &|p| Cell::exact(p.peak_pressure)),
        ("step_mm", "", &|p| Cell::exact(p.measures.step.value)),
        ("tilt_deg", "", &|p| Cell::exact(p.measures.tilt)),
        ("spin_deg", "", &|p| Cell::exact(p.measures.spin)),
        ("yaw_deg", "", &|p| Cell::exact(p.measures.yaw)),
        ("down_plane_mm", "", &|p| Cell::exact(p.measures.down_plane)),
    ];
    let mut table = Table::of("curve", "", push.curve.iter(), &columns);
    let limbs = push.curve.first().map_or(0, |p| p.tensions.len());
    let screws = push.contributors.iter().filter(|c| c.carrier == Carrier::Screw);
    table.heads.extend(push.contributors.iter().map(|c| format!("share of {} (N)", c.name)));
    table.heads.extend(push.contributors.iter().take(limbs).map(|c| format!("tension of {} (N)", c.name)));
    table.heads.extend(screws.map(|c| format!("head pull of {} (N)", c.name)));
    for (row, p) in table.rows.iter_mut().zip(&push.curve) {
        row.extend(p.shares.iter().chain(&p.tensions).chain(&p.heads).map(|v| Cell::exact(*v)));
    }
    table.csv()
}

/// Every order tie by tie, the line 0 of each before the first tie; then the same of every sweep.
pub fn order_csv(construct: &Construct, orders: &Orders, sweeps: &[OrderSweep]) -> String {
    // The orders, then those of every point of a sweep, with what is varied and its value.
    let mut all = vec![(String::new(), String::new(), orders)];
    for sweep in sweeps {
        for point in &sweep.points {
            let value = point.value.map_or_else(|| point.label.clone(), |v| v.to_string());
            all.extend(point.orders.as_ref().map(|orders| (word(&sweep.over), value, orders)));
        }
    }
    type Line<'a> = (&'a (String, String, &'a Orders), &'a OrderRun, usize);
    let lines = all
        .iter()
        .flat_map(|at| at.2.every().flat_map(move |run| (0..=run.hold.ties.len()).map(move |k| (at, run, k))));
    fn tie<'a>((_, run, k): &Line<'a>) -> Option<&'a TieRecord> {
        run.hold.ties.get(k.checked_sub(1)?)
    }
    fn lies<'a>(line: &Line<'a>) -> &'a Measures {
        tie(line).map_or(&line.0.2.before, |t| &t.measures)
    }
    let of = |line: &Line<'_>, cell: fn(&TieRecord) -> Cell| tie(line).map(cell).into();
    let number = |v: Option<f64>| Cell::from(v.map(Cell::exact));
    let columns: [Column<'_, Line<'_>>; 23] = [
        ("construct", "", &|(at, ..)| (&at.2.construct).into()),
        ("sweep", "", &|(at, ..)| (&at.0).into()),
        ("value", "", &|(at, ..)| (&at.1).into()),
        ("order", "", &|(_, run, _)| (&run.label).into()),
        ("own", "", &|(_, run, _)| run.own.to_string().into()),
        ("together", "", &|(_, run, _)| run.together.to_string().into()),
        ("rank", "", &|(_, run, _)| run.rank.map(Cell::count).into()),
        ("outcome", "", &|(_, run, _)| outcome(&run.hold.outcome).into()),
        ("tie", "", &|(.., k)| Cell::count(*k)),
        ("members", "", &|l| of(l, |t| t.names().join("+").into())),
        ("stopped", "", &|l| of(l, |t| word(&t.end).into())),
        ("target_N", "", &|l| of(l, |t| Cell::exact(t.target))),
        ("pulled_N", "", &|l| of(l, |t| Cell::exact(t.pulled))),
        ("watched_before_mm", "", &|l| number(tie(l).and_then(|t| Some(t.watch?.before)))),
        ("watched_after_mm", "", &|l| number(tie(l).and_then(|t| Some(t.watch?.after)))),
        ("bed_compression_N", "", &|l| of(l, |t| Cell::exact(t.compression))),
        ("friction_work_N_mm", "", &|l| of(l, |t| Cell::exact(t.friction_work))),
        ("lock_pull_N", "", &|l| number(tie(l).and_then(|t| Some(t.lock.as_ref()?.pull)))),
        ("lock_needed_N", "", &|l| number(tie(l).and_then(|t| Some(t.lock.as_ref()?.needed)))),
        ("lock_capacity_N", "", &|l| number(tie(l).and_then(|t| Some(t.lock.as_ref()?.capacity)))),
        ("locked", "", &|l| tie(l).and_then(|t| Some(t.lock.as_ref()?.locked.to_string())).into()),
        ("worse", "", &|l| tie(l).map(|_| l.1.worse().contains(&(l.2 - 1)).to_string()).into()),
        ("load_at_1mm_N", "", &|l| {
            let last = l.2 > 0 && l.2 == l.1.hold.ties.len();
            number(l.1.push.as_ref().filter(|_| last).and_then(|p| p.load_at[1]))
        }),
    ];
    let lines: Vec<Line<'_>> = lines.collect();
    let mut table = Table::of("orders", "", lines.iter().copied(), &columns);
    // How the fragment lies stands behind what the tie did.
    const AT: usize = 15;
    table.heads.splice(AT..AT, Measures::default().columns().map(|(head, _)| head.to_owned()));
    for (what, name) in construct.limbs.iter().map(|l| ("tension", &l.name)) {
        table.heads.extend([format!("{what} of {name} (N)"), format!("change of {name} (N)")]);
    }
    for screw in &construct.screws {
        table
            .heads
            .extend([format!("pull of the head of {} (N)", screw.name), format!("change of {} (N)", screw.name)]);
    }
    for (row, line) in table.rows.iter_mut().zip(&lines) {
        row.splice(AT..AT, lies(line).columns().map(|(_, value)| Cell::exact(value)));
        match tie(line) {
            None => row.extend((0..2 * (construct.limbs.len() + construct.screws.len())).map(|_| Cell::none())),
            Some(t) => {
                let limbs = t.tensions.iter().zip(&t.changes).flat_map(|(now, change)| [*now, *change]);
                // No head pulls before its screw is placed.
                let before = line.2.checked_sub(2).map(|k| &line.1.hold.ties[k].heads);
                let heads = t.heads.iter().enumerate();
                let heads = heads.flat_map(|(k, now)| [*now, now - before.map_or(0.0, |heads| heads[k])]);
                row.extend(limbs.chain(heads).map(Cell::exact));
            }
        }
    }
    table.csv()
}
