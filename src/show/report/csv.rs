//! Tidy CSV: one value a line, or one state of a push a line (RFC 4180).

use super::json::SampleShown;
use super::shares::by_group;
use super::summary::{CaseSummary, ConstructSummary};
use crate::show::table::{csv_line, csv_number};
use crate::study::MARKS;
use crate::study::result::{Carrier, Compared, Outcome, Push, TiedState};

pub(super) use crate::show::table::csv_text as field;

/// Lines of `construct, quantity, unit, value`.
struct Lines(String);

impl Lines {
    fn new() -> Self {
        Self("construct,quantity,unit,value\n".to_owned())
    }

    fn put(&mut self, construct: &str, quantity: &str, unit: &str, value: &str) {
        self.0 += &csv_line([construct, quantity, unit, value].map(field));
    }

    fn number(&mut self, construct: &str, quantity: &str, unit: &str, value: f64) {
        self.0 += &csv_line([field(construct), field(quantity), field(unit), csv_number(value)]);
    }
}

/// The case and its constructs as understood; the case's own lines have no construct.
pub fn case_csv(case: &CaseSummary, constructs: &[ConstructSummary]) -> String {
    let mut lines = Lines::new();
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
    for taken in &case.defaults {
        let quantity = format!("default {}", taken.path);
        lines.put("", &quantity, &taken.unit, &taken.value);
    }
    for c in constructs {
        for a in &c.anchors {
            for (axis, value) in ["anterior", "superior", "lateral"].iter().zip(a.place) {
                lines.number(&c.name, &format!("anchor {} {axis}", a.name), "mm", value);
            }
            lines.put(&c.name, &format!("anchor {}", a.name), "clock", &a.clock);
        }
        for l in &c.limbs {
            lines.number(&c.name, &format!("limb {} length", l.name), "mm", l.length);
            lines.number(&c.name, &format!("limb {} tension", l.name), "N", l.tension);
        }
        for s in &c.screws {
            let name = |what: &str| format!("screw {} {what}", s.name);
            for (axis, value) in ["anterior", "superior", "lateral"].iter().zip(s.head) {
                lines.number(&c.name, &name(axis), "mm", value);
            }
            lines.number(&c.name, &name("preload"), "N", s.preload);
            lines.number(&c.name, &name("axial stiffness"), "N/mm", s.axial_stiffness);
            lines.number(&c.name, &name("shift stiffness"), "N/mm", s.shift_stiffness);
        }
        for taken in &c.defaults {
            let quantity = format!("default {}", taken.path);
            lines.put(&c.name, &quantity, &taken.unit, &taken.value);
        }
    }
    lines.0
}

/// Tied states and what pushes came to, in the order of the constructs; before them the sample that
/// they belong to, if they do. Its lines have no construct.
pub fn result_csv(results: &[Compared], sample: Option<&SampleShown>) -> String {
    let mut lines = Lines::new();
    if let Some(sample) = sample {
        lines.put("", "sample", "1", &sample.number.to_string());
        lines.put("", "samples", "1", &sample.samples.to_string());
        lines.put("", "seed", "1", &sample.seed.to_string());
        for d in &sample.drawn {
            let quantity = format!("drawn {} ({})", d.path, d.usage);
            lines.number("", &quantity, &d.unit, d.value);
        }
    }
    for result in results {
        let name = &result.hold.construct;
        lines.put(name, "tying outcome", "", outcome(&result.hold.outcome));
        if let Some(tied) = &result.hold.tied {
            tied_lines(&mut lines, name, tied);
        }
        if let Some(push) = &result.push {
            push_lines(&mut lines, name, push);
        }
        for petal in result.rose.iter().flatten() {
            if let Some(load) = petal.load {
                let quantity = format!("load at 1 mm toward {:.0} deg", petal.angle);
                lines.number(name, &quantity, "N", load);
            }
        }
    }
    lines.0
}

pub(super) fn outcome(outcome: &Outcome) -> &'static str {
    match outcome {
        Outcome::Held => "held",
        Outcome::NotHeld { .. } => "not held",
        Outcome::Uncertified { .. } => "uncertified",
    }
}

fn tied_lines(lines: &mut Lines, name: &str, tied: &TiedState) {
    let (bed, m) = (&tied.bed, &tied.measures);
    let mut number = |quantity: &str, unit: &str, value: f64| {
        lines.number(name, quantity, unit, value);
    };
    number("bed compression", "N", bed.compression);
    number("bed friction", "N", bed.friction);
    if let Some(reserve) = bed.reserve {
        number("friction reserve", "1", reserve);
    }
    number("peak pressure", "MPa", bed.peak_pressure);
    number("mean pressure", "MPa", bed.mean_pressure);
    number("contact", "1", bed.contact);
    number("bed sliding", "1", bed.sliding);
    number("bed crushed", "1", bed.crushed);
    if let Some([along, down]) = bed.centre {
        number("centre of pressure along the chord", "mm", along);
        number("centre of pressure down the plane", "mm", down);
    }
    if let Some(angle) = tied.resultant_angle {
        number("resultant angle", "deg", angle);
    }
    number("friction angle", "deg", tied.friction_angle);
    number("articular step", "mm", m.step.value);
    number("articular step at", "mm", m.step.at);
    number("gap", "mm", m.gap.value);
    number("gap at", "mm", m.gap.at);
    number("inferior shift middle", "mm", m.inferior_middle);
    number("inferior shift superior end", "mm", m.inferior_superior_end);
    number("inferior shift inferior end", "mm", m.inferior_inferior_end);
    number("medial shift", "mm", m.medial);
    number("tilt", "deg", m.tilt);
    number("spin", "deg", m.spin);
    number("yaw", "deg", m.yaw);
    number("strand over cartilage", "mm", tied.cartilage);
    for (k, way) in tied.weakest.iter().enumerate() {
        number(&format!("weakest way {}", k + 1), "N/mm", way.stiffness);
    }
    for l in &tied.limbs {
        for (k, tension) in l.tensions.iter().enumerate() {
            number(&format!("limb {} tension of segment {}", l.name, k + 1), "N", *tension);
        }
        number(&format!("limb {} compression", l.name), "N", l.compression);
        number(&format!("limb {} shear toward superior", l.name), "N", l.shear_along[0]);
        number(&format!("limb {} shear toward medial", l.name), "N", l.shear_along[1]);
    }
    for s in &tied.screws {
        let name = |what: &str| format!("screw {} {what}", s.name);
        number(&name("head pull"), "N", s.axial);
        number(&name("bearing"), "N", s.bearing);
        number(&name("compression"), "N", s.compression);
        number(&name("shear toward superior"), "N", s.shear_along[0]);
        number(&name("shear toward medial"), "N", s.shear_along[1]);
        number(&name("pressure on bone"), "MPa", s.pressure);
    }
    for a in &tied.anchors {
        number(&format!("anchor {} pull", a.name), "N", a.force);
        number(&format!("anchor {} give", a.name), "mm", a.give);
    }
}

fn push_lines(lines: &mut Lines, name: &str, push: &Push) {
    lines.put(name, "push outcome", "", outcome(&push.outcome));
    lines.put(name, "push direction", "", &push.direction);
    for (mark, load) in MARKS.iter().zip(push.load_at) {
        if let Some(load) = load {
            lines.number(name, &format!("load at {mark} mm"), "N", load);
        }
    }
    if let Some(stiffness) = push.stiffness {
        lines.number(name, "stiffness at the start", "N/mm", stiffness);
    }
    if let Some([load, at]) = push.peak {
        lines.number(name, "largest load", "N", load);
        lines.number(name, "largest load at", "mm", at);
    }
    for group in by_group(push, 1.0).into_iter().flatten() {
        let quantity = format!("share at 1 mm of {}", group.name);
        lines.number(name, &quantity, "N", group.now);
    }
    for event in &push.events {
        let quantity = format!("first {}", crate::show::words::event_of(event));
        lines.number(name, &quantity, "mm", event.displacement);
    }
}

/// The curve of a push: one certified state a line.
pub fn curve_csv(push: &Push) -> String {
    let mut heads: Vec<String> = [
        "construct",
        "displacement_mm",
        "load_N",
        "bed_compression_N",
        "contact",
        "sliding",
        "peak_pressure_MPa",
        "step_mm",
        "tilt_deg",
        "spin_deg",
        "yaw_deg",
        "medial_mm",
    ]
    .map(str::to_owned)
    .to_vec();
    heads.extend(push.contributors.iter().map(|c| field(&format!("share of {} (N)", c.name))));
    let limbs: Vec<&str> = push
        .contributors
        .iter()
        .take(push.curve.first().map_or(0, |p| p.tensions.len()))
        .map(|c| c.name.as_str())
        .collect();
    heads.extend(limbs.iter().map(|l| field(&format!("tension of {l} (N)"))));
    let screws = push.contributors.iter().filter(|c| c.carrier == Carrier::Screw);
    heads.extend(screws.map(|c| field(&format!("head pull of {} (N)", c.name))));
    let mut text = heads.join(",");
    text.push('\n');
    for p in &push.curve {
        let mut numbers = vec![
            p.displacement,
            p.load,
            p.compression,
            p.contact,
            p.sliding,
            p.peak_pressure,
            p.measures.step.value,
            p.measures.tilt,
            p.measures.spin,
            p.measures.yaw,
            p.measures.medial,
        ];
        numbers.extend(&p.shares);
        numbers.extend(&p.tensions);
        numbers.extend(&p.heads);
        text.push_str(&field(&push.construct));
        for number in numbers {
            text.push(',');
            text += &csv_number(number);
        }
        text.push('\n');
    }
    text
}
