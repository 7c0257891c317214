//! What was understood of a case and of a construct, with every default that was taken.

use super::construct;
use super::summary::{CaseSummary, ConstructSummary};
use crate::model::{Tag, Taken, Warning};
use crate::show::table::Table;
use crate::show::terminal::Page;
use crate::show::words::{num, percent, signed, tag};
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

fn describe(page: &mut Page, summary: &ConstructSummary) {
    page.heading(&format!("Construct {}", summary.name));
    if !summary.description.is_empty() {
        page.paragraph(&summary.description);
    }
    for table in [construct::anchors(summary), construct::limbs(summary), construct::screws(summary)] {
        page.titled(table);
    }
    page.titled(construct::screw_stiffness(summary));
    page.paragraph("");
    let order: Vec<String> = summary
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
    page.value("tension kept after relaxation", percent(summary.retained));
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
    let title = format!("Not said in {of}, so taken from the table of defaults");
    page.titled(
        Table::of(
            "defaults",
            &title,
            taken,
            &[
                ("value", "", &|t| (&t.path).into()),
                ("taken", "", &|t| format!("{} {}", t.value, t.unit).trim().into()),
                ("backing", "", &|t| tag(t.tag).into()),
                ("where it comes from", "", &|t| (&t.source).into()),
            ],
        )
        .filled(),
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
