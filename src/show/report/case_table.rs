//! What was understood of a case and of a construct, with every default that was taken.

use super::layout::{Page, Set};
use super::summary::{CaseSummary, ConstructSummary};
use super::words::{num, percent, signed, tag};
use crate::model::{Tag, Taken, Warning};
use crate::study::result::Start;

/// Warnings shown beside results; `check` shows all.
const WARNINGS: usize = 4;

/// Writes the case, the constructs on it, the defaults taken and the warnings.
pub fn case_table(page: &mut Page, case: &CaseSummary, constructs: &[ConstructSummary]) {
    page.heading(&format!("Case {}, {} shoulder", case.name, case.side));
    if !case.description.is_empty() {
        page.paragraph(&case.description);
    }
    geometry(page, case);
    for construct in constructs {
        describe(page, construct);
    }
    warnings(page, case, constructs, usize::MAX);
    defaults(page, "the case", &case.defaults);
    for construct in constructs {
        defaults(page, &construct.name, &construct.defaults);
    }
}

fn geometry(page: &mut Page, case: &CaseSummary) {
    page.value(
        "circle of the socket",
        format!(
            "{} mm across; face {}",
            num(case.diameter, 1),
            case.face_radius.map_or_else(|| "flat".to_owned(), |r| format!("curved with a radius of {} mm", num(r, 1)))
        ),
    );
    page.value(
        "fragment",
        format!(
            "{} mm wide ({} of the diameter), middle at {}, {} mm deep, fracture tilted {} deg",
            num(case.width, 2),
            percent(case.width_share),
            case.middle,
            num(case.depth, 1),
            num(case.tilt, 1)
        ),
    );
    page.value("fracture line on the face", format!("{} mm (chord)", num(case.chord, 2)));
    page.value(
        "segment of the circle lost",
        format!("{} mm2, {} % of the circle's area", num(case.segment_area, 1), num(100.0 * case.segment_share, 1)),
    );
    page.value(
        "fracture bed",
        format!(
            "{} mm2 in {} cells; friction {} (angle {} deg)",
            num(case.bed_area, 1),
            case.bed_cells,
            case.friction,
            num(case.friction_angle, 1)
        ),
    );
    page.value(
        "neck wall",
        format!("tapers by {} deg under the rim (positive: narrows medially)", signed(case.taper, 1)),
    );
    page.value("volume of the fragment", format!("{} mm3", num(case.volume, 0)));
    page.value(
        "soft tissue still attached",
        match (case.envelope, &case.envelope_rest) {
            (Some([shift, turn]), Some(rest)) => {
                format!("{} N/mm, {} N mm/rad, at rest: {rest}", num(shift, 2), num(turn, 0))
            }
            _ => "none".to_owned(),
        },
    );
    if !case.tethers.is_empty() {
        page.value("tethers", case.tethers.join(", "));
    }
    if !case.loads.is_empty() {
        page.value("dead loads", case.loads.join(", "));
    }
    let [inferior, medial, out, tilt, spin, yaw] = case.displaced;
    page.value(
        "displaced position",
        format!(
            "{} mm inferior, {} mm medial, {} mm out of the bed; tilt {}, spin {}, yaw {} deg",
            num(inferior, 1),
            num(medial, 1),
            num(out, 1),
            num(tilt, 1),
            num(spin, 1),
            num(yaw, 1)
        ),
    );
}

fn describe(page: &mut Page, construct: &ConstructSummary) {
    page.heading(&format!("Construct {}", construct.name));
    if !construct.description.is_empty() {
        page.paragraph(&construct.description);
    }
    if !construct.anchors.is_empty() {
        anchors(page, construct);
    }
    if !construct.limbs.is_empty() {
        limbs(page, construct);
    }
    if !construct.screws.is_empty() {
        screws(page, construct);
    }
    let order: Vec<String> = construct
        .ties
        .iter()
        .enumerate()
        .map(|(k, t)| {
            format!(
                "{}. {} (stops {}{})",
                k + 1,
                [t.limbs.as_slice(), &t.screws].concat().join(" + "),
                if t.stop == "reduced" { "when reduced" } else { "at its tension" },
                if t.held { "; an instrument holds the fragment" } else { "" }
            )
        })
        .collect();
    page.value("order of tying", order.join("  "));
    page.value("tension kept after relaxation", percent(construct.retained));
}

fn anchors(page: &mut Page, construct: &ConstructSummary) {
    let rows: Vec<Vec<String>> = construct
        .anchors
        .iter()
        .map(|a| {
            let [x, y, z] = a.place.map(|v| num(v, 1));
            vec![
                a.name.clone(),
                a.clock.clone(),
                x,
                y,
                z,
                a.stiffness.map_or_else(|| "rigid".to_owned(), |k| num(k, 0)),
                a.holding.map_or_else(|| "-".to_owned(), |h| num(h, 0)),
                format!("{}; {}", a.class, a.asked),
            ]
        })
        .collect();
    page.grid(
        &[
            ("anchor", Set::Left),
            ("clock", Set::Right),
            ("anterior mm", Set::Right),
            ("superior mm", Set::Right),
            ("lateral mm", Set::Right),
            ("stiffness N/mm", Set::Right),
            ("holds N", Set::Right),
            ("class; place", Set::Fill),
        ],
        &rows,
    );
    page.paragraph("");
}

fn limbs(page: &mut Page, construct: &ConstructSummary) {
    let rows: Vec<Vec<String>> = construct
        .limbs
        .iter()
        .map(|l| {
            vec![
                l.name.clone(),
                num(l.length, 1),
                num(l.tension, 0),
                format!("{} ({} N)", l.fixing, num(l.knot_limit, 0)),
                l.strand.clone(),
                format!("{}{}", l.path.join(", "), if l.closed { ", and back: closed" } else { "" }),
            ]
        })
        .collect();
    page.grid(
        &[
            ("limb", Set::Left),
            ("length mm", Set::Right),
            ("pull N", Set::Right),
            ("finished with", Set::Left),
            ("strand", Set::Left),
            ("path, tie end last", Set::Fill),
        ],
        &rows,
    );
    page.paragraph("");
}

fn screws(page: &mut Page, construct: &ConstructSummary) {
    let rows: Vec<Vec<String>> = construct
        .screws
        .iter()
        .map(|s| {
            vec![
                s.name.clone(),
                s.clock.clone(),
                num(s.diameter, 1),
                format!("{} + {}", num(s.grip, 1), num(s.working_length, 1)),
                num(s.off_square, 0),
                num(s.preload, 0),
                num(s.axial_stiffness, 0),
                num(s.shift_stiffness, 0),
                s.asked.clone(),
            ]
        })
        .collect();
    page.grid(
        &[
            ("screw", Set::Left),
            ("clock", Set::Right),
            ("diameter mm", Set::Right),
            ("length mm", Set::Right),
            ("off square deg", Set::Right),
            ("preload N", Set::Right),
            ("axial N/mm", Set::Right),
            ("sideways N/mm", Set::Right),
            ("head", Set::Fill),
        ],
        &rows,
    );
    page.paragraph("length: in the fragment + beyond the fracture plane.");
    page.paragraph("");
}

/// Warnings of a case and its constructs, each with its advice, at most `most`; nothing when there
/// are none.
fn warnings(page: &mut Page, case: &CaseSummary, constructs: &[ConstructSummary], most: usize) {
    let all: Vec<(Option<&str>, &Warning)> = case
        .warnings
        .iter()
        .map(|w| (None, w))
        .chain(constructs.iter().flat_map(|c| c.warnings.iter().map(|w| (Some(c.name.as_str()), w))))
        .collect();
    if all.is_empty() {
        return;
    }
    page.heading("Worth a look");
    let more = all.len().saturating_sub(most);
    for (of, warning) in all.into_iter().take(most) {
        let of = of.map_or_else(String::new, |name| format!("{name}: "));
        page.item(&format!("{of}{}. Advice: {}.", warning.message, warning.advice));
    }
    if more > 0 {
        page.item(&format!("and {more} more: `rimhold check CASE CONSTRUCT` lists them"));
    }
}

fn defaults(page: &mut Page, of: &str, taken: &[Taken]) {
    if taken.is_empty() {
        return;
    }
    page.heading(&format!("Not said in {of}, so taken from the table of defaults"));
    let rows: Vec<Vec<String>> = taken
        .iter()
        .map(|t| {
            vec![
                t.path.clone(),
                format!("{} {}", t.value, t.unit).trim().to_owned(),
                tag(t.tag).to_owned(),
                t.source.clone(),
            ]
        })
        .collect();
    // A worded value would squeeze the sources: it is broken into lines instead.
    let long = rows.iter().any(|r| r[1].len() > 24);
    page.grid(
        &[
            ("value", Set::Left),
            ("taken", if long { Set::Fill } else { Set::Left }),
            ("backing", Set::Left),
            ("where it comes from", Set::Fill),
        ],
        &rows,
    );
}

impl Page {
    /// The warnings, and a line on the defaults taken, for tables that do not list them. A displaced pose
    /// counts only where tying starts from it.
    pub fn remarks(&mut self, case: &CaseSummary, constructs: &[ConstructSummary], from: Start) {
        warnings(self, case, constructs, WARNINGS);
        let mut paths: Vec<(&str, bool)> = case
            .defaults
            .iter()
            .chain(constructs.iter().flat_map(|c| &c.defaults))
            .filter(|t| from == Start::Displaced || !t.path.starts_with("displaced."))
            .map(|t| (t.path.as_str(), t.tag == Tag::Assumed))
            .collect();
        paths.sort_unstable();
        paths.dedup_by_key(|p| p.0);
        let assumed = paths.iter().filter(|p| p.1).count();
        self.heading("Defaults");
        self.paragraph(&format!(
            "{} values were not given and taken from the table of defaults, {assumed} of them \
             assumed without a publication: `rimhold check CASE CONSTRUCT` lists them.",
            paths.len()
        ));
    }
}
