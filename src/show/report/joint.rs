//! The joint: what a head on the socket has of a reduction.

use super::json::Body;
use super::summary::{CaseSummary, ConstructSummary};
use super::verdict::Verdict;
use crate::show::table::{Cell, Column, Table};
use crate::show::terminal::Page;
use crate::show::words::{not_held, num, power, signed, word};
use crate::study::result::{Joint, JointState, MapCell, Notice, Slide};
use schemars::JsonSchema;
use serde::Serialize;

/// What the model of the joint leaves out, for every answer.
pub const LEFT_OUT: &str = "Left out: friction and labrum, which would hold more; the socket superior of its circle; the \
     head's own cartilage; any give of the fragment under the head. The head is held on its straight way: it does not \
     turn aside to where the rim is lower.";

/// What `rimhold joint --format json` gives.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct JointBody {
    /// The case as it was understood.
    pub case: CaseSummary,
    /// The construct as it was understood; absent without one.
    pub construct: Option<ConstructSummary>,
    /// What was found.
    pub joint: Joint,
    /// The answer in at most five lines.
    pub verdict: Vec<String>,
    /// What the model leaves out.
    pub left_out: String,
}

impl JointBody {
    /// A document of one joint.
    pub fn new(case: CaseSummary, construct: Option<ConstructSummary>, joint: Joint, verdict: &Verdict) -> Self {
        Self { case, construct, joint, verdict: verdict.lines().to_vec(), left_out: LEFT_OUT.to_owned() }
    }
}

impl Body for JointBody {
    const SCHEMA: &str = "rimhold-joint/1";
}

/// The states with the stability ratio of each direction, and what the slide toward the fragment has beside.
pub fn joint_states(found: &Joint) -> Table {
    let slides = found.states.first().map_or(&[][..], |s| &s.slides);
    let ways = slides.iter().map(|d| format!("{} (%)", d.direction));
    let ends = ["climb (mm)", "area (mm²)", "peak (MPa)"].map(str::to_owned);
    let heads: Vec<String> =
        ["state", "step-off (mm)"].map(str::to_owned).into_iter().chain(ways).chain(ends).collect();
    let mut table = Table::new("joint", "Stability ratio by direction of the slide", &heads);
    for s in &found.states {
        let step = s.measures.as_ref().map(|m| Cell::signed(m.step.value, 1));
        let ratios = s.slides.iter().map(|d| d.is_borne().then(|| Cell::percent(d.ratio)).into());
        let main = |of: fn(&Slide) -> Cell| s.slide(&found.map.direction).filter(|d| d.is_borne()).map(of).into();
        let ends =
            [main(|d| Cell::fixed(d.climb, 1)), main(|d| Cell::fixed(d.area, 0)), main(|d| Cell::fixed(d.pressure, 1))];
        table.row([word(&s.state).into(), step.into()].into_iter().chain(ratios).chain(ends));
    }
    table
}

/// Every slide of every state.
pub fn joint_slides(found: &Joint) -> Table {
    let all = found.states.iter().flat_map(|s| s.slides.iter().filter(|d| d.is_borne()).map(move |d| (s, d)));
    let columns: [Column<'_, (&JointState, &Slide)>; 9] = [
        ("state", "", &|s| word(&s.0.state).into()),
        ("direction", "", &|s| (&s.1.direction).into()),
        ("ratio", "%", &|s| Cell::fixed(100.0 * s.1.ratio, 1)),
        ("at", "mm", &|s| Cell::fixed(s.1.at, 2)),
        ("climbs", "mm", &|s| Cell::fixed(s.1.climb, 2)),
        ("area", "mm²", &|s| Cell::fixed(s.1.area, 0)),
        ("pressure", "MPa", &|s| Cell::fixed(s.1.pressure, 2)),
        ("strain", "%", &|s| Cell::percent(s.1.strain)),
        ("on fragment", "N", &|s| Cell::fixed(s.1.on_fragment, 1)),
    ];
    Table::of("slides", "Every slide", all, &columns)
}

/// The head in the middle of the socket, in every state.
fn centred(found: &Joint) -> Table {
    let columns: [Column<'_, &JointState>; 3] = [
        ("state", "", &|s| word(&s.state).into()),
        ("area", "mm²", &|s| Cell::fixed(s.centred.area, 0)),
        ("pressure", "MPa", &|s| Cell::fixed(s.centred.pressure, 2)),
    ];
    Table::of("centred", "The head in the middle of the socket", &found.states, &columns)
}

/// One quantity over step and gap: a row a step.
fn grid(found: &Joint, name: &str, title: &str, of: impl Fn(&MapCell) -> Cell) -> Table {
    let map = &found.map;
    let gaps = map.gaps.iter().map(|gap| format!("gap {} mm", num(*gap, 1)));
    let heads: Vec<String> = std::iter::once("step-off (mm)".to_owned()).chain(gaps).collect();
    let mut table = Table::new(name, title, &heads);
    for (step, cells) in map.steps.iter().zip(map.cells.chunks(map.gaps.len().max(1))) {
        table.row(std::iter::once(Cell::signed(*step, 1)).chain(cells.iter().map(&of)));
    }
    table
}

/// Writes the states, and what step and gap do.
pub fn joint_short(page: &mut Page, found: &Joint) {
    page.table(&joint_states(found));
    page.paragraph(&format!(
        "Stability ratio: largest force against the slide over the compression of {} N. Climb, area (where the ratio is \
         reached) and peak of pressure (within {} mm, where the intact joint resists most) of the slide {}, toward the \
         fragment; step-off + proud.",
        num(found.head.compression, 0),
        num(found.range, 1),
        found.map.direction
    ));
    for (what, end) in [("tied", &found.tied), ("settled", &found.settled)] {
        if let Some(words) = end.as_ref().and_then(not_held) {
            page.paragraph(&format!("Not {what}: {words}."));
        }
    }
    let leaves = found.states.iter().flat_map(|s| s.slides.iter().map(move |d| (s, d)));
    for (s, d) in leaves {
        if let (Some(at), true) = (d.leaves, d.is_borne()) {
            page.paragraph(&format!(
                "{}, {}: nothing bears the head beyond {} mm.",
                word(&s.state),
                d.direction,
                num(at, 1)
            ));
        }
    }
    if found.states.iter().flat_map(|s| &s.slides).any(|d| !d.is_borne()) {
        page.paragraph("Nothing bears the head in the middle of the socket: it sinks through the cartilage.");
    }
    page.paragraph("");
    page.paragraph(LEFT_OUT);
}

/// Writes every slide, the map and the evidence.
pub fn joint_table(page: &mut Page, found: &Joint) {
    page.titled(Some(joint_slides(found)));
    page.paragraph(
        "Ratio and area where the force is largest; pressure, strain (largest penetration over the cartilage's \
         thickness) and force on the fragment are the largest within the range where the intact joint resists. Above some 30 % of strain (assumed) a linear \
         foundation is too soft.",
    );
    page.titled(Some(centred(found)));
    let way = &found.map.direction;
    let percent = |c: &MapCell| Cell::percent(c.ratio);
    page.titled(Some(grid(found, "ratio", &format!("Stability ratio (%), {way}, by step-off and gap"), percent)));
    let pressure = |c: &MapCell| Cell::fixed(c.pressure, 1);
    page.titled(Some(grid(found, "pressure", &format!("Largest pressure (MPa), {way}"), pressure)));
    page.paragraph(&format!(
        "A fragment that lies with this step and gap along its whole line, without a turn. Noticed: the ratio fallen by \
         more than {} %, or the pressure risen by more than {} %, against the reduced fragment (our choice, assumed).",
        num(100.0 * found.map.fallen, 0),
        num(100.0 * found.map.risen, 0)
    ));
    for (side, notice) in [("recessed", &found.map.recessed), ("proud", &found.map.proud)] {
        page.value(&format!("noticed, {side}"), noticed(notice));
    }
    page.heading("Head and cartilage");
    let head = &found.head;
    page.value("radius of the head", format!("{} mm", num(head.head_radius, 1)));
    page.value("compression", format!("{} N", num(head.compression, 0)));
    page.value(
        "cartilage",
        format!(
            "{} MPa over {} mm: {} MPa/mm",
            num(head.cartilage_modulus, 1),
            num(head.cartilage_thickness, 1),
            num(found.foundation, 1)
        ),
    );
    let sure = &found.certificate;
    page.value(
        "balance checked",
        format!("compression missed by at most {} N in {} states", power(sure.imbalance, 1), sure.states),
    );
    page.value(
        "integrals",
        format!("twice as many chords change a ratio by at most {} %", power(100.0 * sure.refinement, 1)),
    );
}

fn noticed(notice: &Notice) -> String {
    let one = |step: Option<f64>, what: &str| match step {
        Some(step) => format!("{what} from {} mm on", signed(step, 1)),
        None => format!("{what} nowhere within the map"),
    };
    format!("{}; {}", one(notice.ratio, "ratio"), one(notice.pressure, "pressure"))
}
