//! Holes: how each is reached, what bone they leave, what is not kept, and what would do instead.

use super::json::{Body, Told};
use super::summary::{CaseSummary, ConstructSummary};
use crate::anatomy::Surface;
use crate::model::Warning;
use crate::show::table::{Cell, Column, Table};
use crate::show::terminal::Page;
use crate::show::words::{exact, num, short, surface, tag};
use crate::study::result::{Bridge, DrillLimit, Drilling, Hole, OverCartilage, Portal, Violation};
use schemars::JsonSchema;
use serde::Serialize;

/// What `rimhold drill --format json` gives.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DrillBody {
    /// The case as it stands in its file.
    pub case: CaseSummary,
    /// The construct as it stands in its file.
    pub construct: ConstructSummary,
    /// What was found, and what it says.
    pub drilling: Told<Drilling>,
    /// The answer in at most five lines.
    pub verdict: Vec<String>,
}

impl DrillBody {
    /// A document of one construct.
    pub fn new(case: CaseSummary, construct: ConstructSummary, found: Drilling, verdict: &[String]) -> Self {
        let reading = drill_reading(&found);
        Self { case, construct, drilling: Told { found, reading }, verdict: verdict.to_vec() }
    }
}

impl Body for DrillBody {
    const SCHEMA: &str = "rimhold-drill/1";
}

/// Writes how holes are reached, what bone they leave, and what is not kept.
pub fn drill_short(page: &mut Page, found: &Drilling) {
    page.table(&drill_holes(found));
    page.paragraph(
        "Off square: degrees between a hole and square to the bone where it enters, or the direction given. Bone left \
         from the hole's wall, negative where it breaks through; to the surface that it enters by, what covers its tip. \
         Nerves, vessels and muscle are not modelled.",
    );
    let mut violations = drill_violations(found);
    let more = violations.rows.len().saturating_sub(SHOWN);
    violations.rows.truncate(SHOWN);
    page.titled(violations.filled());
    if more > 0 {
        page.paragraph(&format!("{more} more with --full"));
    }
    page.titled(drill_remedies(found).filled());
}

/// Violations that are shown where not all of them are asked for.
const SHOWN: usize = 8;

/// Writes the rest: bone between holes, limbs over cartilage, portals, and what was asked.
pub fn drill_table(page: &mut Page, found: &Drilling) {
    if found.violations.len() > SHOWN {
        page.titled(drill_violations(found).filled());
    }
    page.titled(drill_sizes(found).filled());
    page.titled(drill_bridges(found).filled());
    page.titled(drill_strands(found).filled());
    page.titled(drill_portals(found).filled());
    page.titled(drill_limits(found).filled());
    page.items("Reading", &drill_reading(found));
}

/// Bone that a hole leaves to a surface.
fn left(hole: &Hole, to: Surface) -> Cell {
    hole.left.iter().find(|l| l.surface == to).map(|l| Cell::fixed(l.bone, 1)).into()
}

/// The tables that have rows.
pub(crate) fn drill_tables(found: &Drilling) -> Vec<Table> {
    let all = [
        drill_holes,
        drill_sizes,
        drill_violations,
        drill_remedies,
        drill_bridges,
        drill_strands,
        drill_portals,
        drill_limits,
    ];
    all.into_iter().filter_map(|of| of(found).filled()).collect()
}

/// Size and direction of each hole.
fn drill_sizes(found: &Drilling) -> Table {
    let columns: [Column<'_, &Hole>; 4] = [
        ("hole", "", &|h| (&h.name).into()),
        ("diameter", "mm", &|h| Cell::fixed(h.diameter, 1)),
        ("depth", "mm", &|h| Cell::fixed(h.depth, 0)),
        ("axis: anterior, superior, lateral", "", &|h| h.axis.map(|v| num(v, 2)).join(", ").into()),
    ];
    Table::of("holes-sizes", "Sizes of holes", &found.holes, &columns)
}

/// How each hole is reached, and what bone it leaves.
pub fn drill_holes(found: &Drilling) -> Table {
    let to = |surface: Surface| move |h: &&Hole| left(h, surface);
    let (face, rim, bed, wall) = (to(Surface::Face), to(Surface::Rim), to(Surface::Bed), to(Surface::Wall));
    let columns: [Column<'_, &Hole>; 8] = [
        ("hole", "", &|h| (&h.name).into()),
        ("portal", "", &|h| h.portal.as_ref().into()),
        ("reached", "", &|h| if h.reached { "" } else { "no" }.into()),
        ("off square", "°", &|h| Cell::fixed(h.short, 0)),
        ("face", "mm", &face),
        ("rim", "mm", &rim),
        ("bed", "mm", &bed),
        ("neck wall", "mm", &wall),
    ];
    Table::of("holes", "Holes", &found.holes, &columns).without_empty()
}

/// What is not kept, the farthest beyond its limit first.
pub fn drill_violations(found: &Drilling) -> Table {
    let columns: [Column<'_, &Violation>; 5] = [
        ("not kept", "", &|v| (&v.label).into()),
        ("of", "", &|v| (&v.subject).into()),
        ("is", "", &|v| beside(v).into()),
        ("limit", "", &|v| said(v.limit, &v.unit).into()),
        ("nearest place that would do", "", &|v| {
            let near = v.nearest.as_ref();
            near.map(|n| format!("{} {} mm off: {}", n.hole, num(n.distance, 1), place(&n.coordinates))).into()
        }),
    ];
    Table::of("violations", "What is not kept", &found.violations, &columns)
}

/// What would do instead, of each hole of which something is not kept.
pub fn drill_remedies(found: &Drilling) -> Table {
    let of = |h: &Hole| h.remedy.clone();
    let deep = |h: &Hole, depth: f64| (depth < h.depth).then(|| Cell::fixed(depth, 0));
    let columns: [Column<'_, &Hole>; 7] = [
        ("hole", "", &|h| (&h.name).into()),
        ("place", "", &|h| of(h).and_then(|r| r.moved).map(|m| place(&m.coordinates)).into()),
        ("away", "mm", &|h| of(h).and_then(|r| r.moved).map(|m| Cell::fixed(m.distance, 1)).into()),
        ("deep", "mm", &|h| of(h).and_then(|r| r.moved).and_then(|m| deep(h, m.depth)).into()),
        ("or turned", "°", &|h| of(h).and_then(|r| r.turned).map(|t| Cell::fixed(t.by, 0)).into()),
        ("through", "", &|h| of(h).and_then(|r| r.turned.map(|t| t.portal)).into()),
        ("and deep", "mm", &|h| of(h).and_then(|r| r.turned).and_then(|t| deep(h, t.depth)).into()),
    ];
    let mendable = |h: &&Hole| h.remedy.as_ref().is_some_and(|r| r.moved.is_some() || r.turned.is_some());
    let holes = found.holes.iter().filter(mendable);
    Table::of("remedies", "What would keep all of a hole's limits, every other hole as it is", holes, &columns)
        .without_empty()
}

/// Coordinates as a file has them.
fn place(coordinates: &[crate::study::result::Coordinate]) -> String {
    let said = coordinates.iter().map(|c| format!("{} {}", c.key, num(c.value, 2)));
    said.collect::<Vec<_>>().join(", ")
}

/// Bone between each two holes, the thinnest first.
pub fn drill_bridges(found: &Drilling) -> Table {
    let mut bridges: Vec<&Bridge> = found.bridges.iter().collect();
    bridges.sort_by(|a, b| a.bone.total_cmp(&b.bone));
    let columns: [Column<'_, &Bridge>; 4] = [
        ("hole", "", &|b| (&b.first).into()),
        ("other", "", &|b| (&b.second).into()),
        ("bone between", "mm", &|b| Cell::fixed(b.bone, 1)),
        ("mouths apart", "mm", &|b| Cell::fixed(b.spacing, 1)),
    ];
    Table::of("bridges", "Bone between two holes", bridges, &columns)
}

/// How far each limb runs over intact cartilage.
pub fn drill_strands(found: &Drilling) -> Table {
    let columns: [Column<'_, &OverCartilage>; 2] =
        [("limb", "", &|s| (&s.limb).into()), ("over cartilage", "mm", &|s| Cell::fixed(s.length, 1))];
    Table::of("over-cartilage", "Limbs over intact cartilage, taut", &found.strands, &columns)
}

/// The portals.
pub fn drill_portals(found: &Drilling) -> Table {
    let columns: [Column<'_, &Portal>; 6] = [
        ("portal", "", &|p| (&p.name).into()),
        ("clock", "h", &|p| Cell::exact(p.clock)),
        ("elevation", "°", &|p| Cell::exact(p.elevation)),
        ("half angle", "°", &|p| Cell::exact(p.half_angle)),
        ("turn", "°", &|p| Cell::exact(p.turn)),
        ("backing", "", &|p| tag(p.tag).into()),
    ];
    Table::of("portals", "Portals", &found.portals, &columns)
}

/// What was asked of the holes.
pub fn drill_limits(found: &Drilling) -> Table {
    let columns: [Column<'_, &DrillLimit>; 4] = [
        ("asked", "", &|l| (&l.label).into()),
        ("limit", "", &|l| {
            format!("{} {}", if l.at_least { "at least" } else { "at most" }, said(l.limit, &l.unit)).into()
        }),
        ("backing", "", &|l| tag(l.tag).into()),
        ("source", "", &|l| (&l.source).into()),
    ];
    Table::of("asked", "What is asked, and what backs it", &found.limits, &columns)
}

/// A value beside its limit: with a decimal more where the two would read alike.
fn beside(v: &Violation) -> String {
    match (said(v.value, &v.unit), said(v.limit, &v.unit)) {
        (value, limit) if value == limit && v.unit == "mm" => format!("{} mm", num(v.value, 2)),
        (value, _) => value,
    }
}

/// A value with its unit.
fn said(value: f64, unit: &str) -> String {
    match unit {
        "deg" => format!("{}°", num(value, 0)),
        _ => format!("{} {unit}", num(value, 1)),
    }
}

/// What of a hole is farthest beyond its limit, as a clause.
pub(crate) fn worst_of(found: &Drilling, hole: usize) -> Option<String> {
    found.violations.iter().find(|v| v.holes.contains(&hole)).map(clause)
}

/// The same in a few words, below a name in a figure.
pub(crate) fn worst_short(found: &Drilling, hole: usize) -> String {
    let worst = found.violations.iter().find(|v| v.holes.contains(&hole));
    worst.map_or_else(
        || "all kept".to_owned(),
        |v| format!("{} {}", key(v), said(v.value, &v.unit).replace('-', "\u{2212}")),
    )
}

/// Words of a key of what is asked.
fn key(v: &Violation) -> String {
    v.key.replace('-', " ")
}

pub(super) fn clause(v: &Violation) -> String {
    format!("{} {} (limit {})", v.label, beside(v), exact(v.limit))
}

/// What would mend the worst, if a place near does, and how many holes could keep all.
pub(super) fn remedy(found: &Drilling) -> Option<[String; 2]> {
    let near = found.violations.first()?.nearest.as_ref();
    let near = near.map(|n| format!("{} {} mm off: {}", short(&n.hole, 21), num(n.distance, 1), place(&n.coordinates)));
    let all = found.holes.iter().filter_map(|h| h.remedy.as_ref());
    let (mended, of) =
        all.fold((0, 0), |(mended, of), r| (mended + usize::from(r.moved.is_some() || r.turned.is_some()), of + 1));
    (of > 0).then(|| [near.unwrap_or_else(|| "no place near mends the worst".to_owned()), format!("{mended} of {of}")])
}

/// The worst of what drilling does not keep, as a warning.
pub fn drill_warning(found: &Drilling) -> Option<Warning> {
    let worst = found.violations.first()?;
    let more = match found.violations.len() - 1 {
        0 => String::new(),
        more => format!(", and {more} more"),
    };
    Some(Warning {
        message: format!("the hole of {}: {}{more}", worst.subject, clause(worst)),
        advice: "`rimhold drill` says how each hole is reached, what bone it leaves, and what would do instead"
            .to_owned(),
    })
}

/// Plain sentences made of the numbers.
pub fn drill_reading(found: &Drilling) -> Vec<String> {
    let mut all = Vec::new();
    for hole in &found.holes {
        if let Some(out) = hole.leaves {
            let least = hole.left.iter().find(|l| l.surface == out).map_or(0.0, |l| l.bone);
            all.push(format!("{} leaves the bone through the {}, by {} mm.", hole.name, surface(out), num(-least, 1)));
        }
        let Some(remedy) = &hole.remedy else {
            continue;
        };
        let shallow = |depth: f64| {
            if depth < hole.depth { format!(", {} mm deep", num(depth, 0)) } else { String::new() }
        };
        all.push(match (&remedy.moved, &remedy.turned) {
            (Some(m), _) => format!(
                "{} would keep all {} mm away: {}{}.",
                hole.name,
                num(m.distance, 1),
                place(&m.coordinates),
                shallow(m.depth)
            ),
            (None, Some(t)) => format!(
                "{} would keep all where it is, turned by {}° through the {} portal{}.",
                hole.name,
                num(t.by, 0),
                t.portal,
                shallow(t.depth)
            ),
            (None, None) => format!("For {} nothing near would keep all while every other hole stays.", hole.name),
        });
    }
    all
}

/// Everything, a line a value.
pub fn drill_csv(found: &Drilling) -> String {
    let mut table = Table::new("drilling", "", &["of", "other", "quantity", "unit", "value", "limit"]);
    let limit = |key: &str| found.limit(key).map(|l| Cell::exact(l.limit));
    for h in &found.holes {
        let mut put = |quantity: &str, unit: &str, value: Cell, limit: Cell| {
            table.row([(&h.name).into(), "".into(), quantity.into(), unit.into(), value, limit]);
        };
        put("portal", "", h.portal.as_ref().into(), Cell::none());
        put("reached", "", if h.reached { "yes" } else { "no" }.into(), Cell::none());
        put("short", "deg", Cell::exact(h.short), Cell::none());
        put("lean", "deg", h.lean.map(Cell::exact).into(), limit("lean").into());
        put("diameter", "mm", Cell::exact(h.diameter), Cell::none());
        put("depth", "mm", Cell::exact(h.depth), Cell::none());
        for (name, p) in [("mouth", h.entry), ("tip", h.tip), ("axis", h.axis)] {
            for (axis, value) in ["anterior", "superior", "lateral"].iter().zip(p) {
                put(
                    &format!("{name} {axis}"),
                    if name == "axis" { "1" } else { "mm" },
                    Cell::exact(value),
                    Cell::none(),
                );
            }
        }
        for l in &h.left {
            let key = crate::show::words::surface_key(l.surface);
            put(&format!("bone to {}", surface(l.surface)), "mm", Cell::exact(l.bone), limit(key).into());
        }
    }
    for b in &found.bridges {
        let mut put = |quantity: &str, value: f64, key: &str| {
            let limit: Cell = limit(key).into();
            table.row([(&b.first).into(), (&b.second).into(), quantity.into(), "mm".into(), Cell::exact(value), limit]);
        };
        put("bone between", b.bone, "bridge");
        put("mouths apart", b.spacing, "spacing");
    }
    for s in &found.strands {
        let value = Cell::exact(s.length);
        table.row([
            (&s.limb).into(),
            "".into(),
            "over cartilage".into(),
            "mm".into(),
            value,
            limit("cartilage").into(),
        ]);
    }
    table.csv()
}
