//! The case as page and methods section tell it: numbers and words by their names in a template.

use super::fact::Fact;
use crate::model::Case;
use crate::show::report::CaseSummary;
use crate::show::words::pushed;
use crate::study;
use std::collections::BTreeMap;

/// The case in numbers, by name.
pub(super) fn facts(case: &Case, summary: &CaseSummary) -> BTreeMap<String, Fact> {
    let s = summary;
    let [inferior, medial, out, tilt, spin, yaw] = s.displaced;
    let (sin, cos) = libm::sincos(case.fragment.shape.direction);
    let facts = [
        ("diameter", Fact::new(s.diameter, 1, "mm")),
        ("width", Fact::new(s.width, 2, "mm")),
        ("width_share", Fact::percent(s.width_share)),
        ("middle_angle", Fact::new(libm::atan2(sin, cos).to_degrees(), 1, "deg")),
        ("depth", Fact::new(s.depth, 1, "mm")),
        ("tilt", Fact::new(s.tilt, 1, "deg")),
        ("chord", Fact::new(s.chord, 2, "mm")),
        ("segment_area", Fact::new(s.segment_area, 1, "mm²")),
        ("segment_share", Fact::new(100.0 * s.segment_share, 1, "%")),
        ("taper", Fact::signed(s.taper, 1, "deg")),
        ("volume", Fact::new(s.volume, 0, "mm³")),
        ("bed_area", Fact::new(s.bed_area, 1, "mm²")),
        ("bed_cells", Fact::count(s.bed_cells, "")),
        ("friction", Fact::exact(s.friction, "")),
        ("friction_angle", Fact::new(s.friction_angle, 1, "deg")),
        ("normal_stiffness", Fact::exact(s.normal_stiffness, "MPa/mm")),
        ("shear_stiffness", Fact::exact(s.shear_stiffness, "MPa/mm")),
        ("crush_strength", Fact::exact(s.crush_strength, "MPa")),
        ("edge_width", Fact::exact(case.bed.edge_width, "mm")),
        ("asperity_angle", Fact::exact(case.bed.asperity_angle, "°")),
        ("asperity_height", Fact::exact(case.bed.asperity_height, "mm")),
        ("asperity_rounding", Fact::exact(case.bed.asperity_rounding, "mm")),
        ("pull_out", Fact::exact(case.anchors.pull_out, "mm")),
        ("bite_kept", Fact::percent(case.settling.bite_kept)),
        ("strand_kept", Fact::percent(case.settling.strand_kept)),
        ("bite_set", Fact::exact(case.settling.bite_set, "mm")),
        ("set_growth", Fact::exact(case.settling.set_growth, "")),
        ("knot_growth", Fact::exact(case.settling.knot_growth, "mm")),
        ("clamp_growth", Fact::exact(case.settling.clamp_growth, "mm")),
        ("bite_force", Fact::exact(study::BITE_FORCE, "N")),
        ("anchor_force", Fact::exact(study::ANCHOR_FORCE, "N")),
        ("cycle_low", Fact::exact(case.settling.low, "N")),
        ("cycle_high", Fact::exact(case.settling.high, "N")),
        ("cycles", Fact::exact(case.settling.cycles, "")),
        ("seat_length", Fact::exact(case.seat.length, "mm")),
        ("seat_stiffness", Fact::exact(case.seat.stiffness, "N/mm")),
        ("displaced_inferior", Fact::new(inferior, 1, "mm")),
        ("displaced_medial", Fact::new(medial, 1, "mm")),
        ("displaced_out", Fact::new(out, 1, "mm")),
        ("displaced_tilt", Fact::new(tilt, 1, "deg")),
        ("displaced_spin", Fact::new(spin, 1, "deg")),
        ("displaced_yaw", Fact::new(yaw, 1, "deg")),
    ];
    facts.into_iter().map(|(name, fact)| (name.to_owned(), fact)).collect()
}

/// The case in words, by name.
pub(super) fn words(case: &CaseSummary) -> BTreeMap<String, String> {
    let listed = |names: &[String]| {
        if names.is_empty() { "none".to_owned() } else { names.join(", ") }
    };
    let words = [
        ("name", case.name.clone()),
        ("description", case.description.clone()),
        ("side", case.side.clone()),
        ("middle", case.middle.clone()),
        (
            "face",
            case.face_radius.map_or_else(
                || "flat".to_owned(),
                |r| format!("curved with a radius of {}", Fact::new(r, 1, "mm").with_unit()),
            ),
        ),
        (
            "envelope",
            match (case.envelope, &case.envelope_rest) {
                (Some([shift, turn]), Some(rest)) => format!(
                    "springs of {} against shifts and {} against turns, at rest in the position: {rest}",
                    Fact::exact(shift, "N/mm").with_unit(),
                    Fact::exact(turn, "N·mm/rad").with_unit()
                ),
                _ => "none".to_owned(),
            },
        ),
        ("cycled", case.cycled.as_deref().map_or_else(|| "along the push".to_owned(), pushed)),
        ("tethers", listed(&case.tethers)),
        ("loads", listed(&case.loads)),
    ];
    words.into_iter().map(|(name, text)| (name.to_owned(), text)).collect()
}
