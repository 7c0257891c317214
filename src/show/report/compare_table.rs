//! Several constructs on one case, side by side.

use super::layout::{Page, Set, WIDTH, wrap};
use super::push_table::rose_table;
use super::shares::by_group;
use super::summary::{CaseSummary, ConstructSummary};
use super::words::{event_of, not_held, not_held_short, num, percent, pushed, signed, start};
use crate::study::MARKS;
use crate::study::result::{Compared, Push, Start, TiedState};

/// Columns of the names of the rows.
const NAMES: usize = 32;
/// Least and largest width of a construct's column.
const COLUMN: (usize, usize) = (15, 20);
/// Events told of each construct.
const EVENTS: usize = 3;

/// A row of the table: its name, and what each construct has to say; `None` is a heading.
struct Row {
    name: String,
    cells: Option<Vec<String>>,
}

/// Writes the comparison.
pub fn compare_table(page: &mut Page, case: &CaseSummary, constructs: &[ConstructSummary], results: &[Compared]) {
    let from = results.first().map_or("reduced", |r| start(r.hold.from));
    page.heading(&format!(
        "{} on case {}, {} shoulder, tied from the {from} position",
        if results.len() == 1 { "1 construct".to_owned() } else { format!("{} constructs", results.len()) },
        case.name,
        case.side
    ));
    page.paragraph("");
    // As many constructs side by side as the page takes; the rest below.
    let most = (WIDTH - 2 - NAMES) / (COLUMN.0 + 2);
    let blocks: Vec<&[Compared]> = results.chunks(most.max(1)).collect();
    let width = (WIDTH - 2 - NAMES) / results.len().min(most).max(1) - 2;
    let width = width.clamp(COLUMN.0, COLUMN.1);
    for (k, block) in blocks.iter().enumerate() {
        if k > 0 {
            page.paragraph("");
        }
        write(page, block, &results[0], width);
    }
    let outside = |t: &TiedState| t.resultant_angle.is_some_and(|a| a > t.friction_angle);
    if results.iter().any(|r| r.hold.tied.as_ref().is_some_and(outside)) {
        page.paragraph("!: outside the friction cone, the limbs themselves tend to slide the fragment");
    }
    first_events(page, results);
    let roses: Vec<(&str, &[_])> =
        results.iter().filter_map(|r| Some((r.hold.construct.as_str(), r.rose.as_deref()?))).collect();
    rose_table(page, &roses);
    page.remarks(case, constructs, results.first().map_or(Start::Reduced, |r| r.hold.from));
    page.heading("Certificate");
    let states: usize =
        results.iter().map(|r| usize::from(r.hold.tied.is_some()) + r.push.as_ref().map_or(0, |p| p.curve.len())).sum();
    page.paragraph(&match states {
        0 => "The fragment comes to rest under none of the constructs: there is no state to certify.".to_owned(),
        states => format!(
            "All {states} states behind these numbers are certified: forces in balance, no tension in \
             the bed, no strand in compression, friction within its bound."
        ),
    });
}

fn write(page: &mut Page, block: &[Compared], first: &Compared, width: usize) {
    let rows = rows(block, first);
    // A construct that is not held has no numbers: its finding takes their place, line by line.
    let mut findings: Vec<Vec<String>> = block
        .iter()
        .map(|r| match not_held_short(&r.hold.outcome) {
            Some(words) => wrap(&words, width),
            None => Vec::new(),
        })
        .collect();
    findings.iter_mut().for_each(|lines| lines.reverse());
    let mut cells: Vec<Vec<String>> = Vec::new();
    let mut names = rows.iter();
    loop {
        let row = names.next();
        if row.is_none() && findings.iter().all(Vec::is_empty) {
            break;
        }
        let mut line = vec![row.map_or_else(String::new, |r| r.name.clone())];
        for (k, result) in block.iter().enumerate() {
            let numbers = row.and_then(|r| r.cells.as_ref());
            line.push(if result.hold.tied.is_none() {
                findings[k].pop().unwrap_or_default()
            } else {
                numbers.map_or_else(String::new, |c| c[k].clone())
            });
        }
        cells.push(line);
    }
    let mut heads = vec![("", Set::Left)];
    heads.extend(block.iter().map(|r| (r.hold.construct.as_str(), Set::Exact(width))));
    page.grid(&heads, &cells);
}

fn rows(block: &[Compared], first: &Compared) -> Vec<Row> {
    let heading = |name: String| Row { name, cells: None };
    let tied = |name: &str, cell: &dyn Fn(&TiedState) -> String| Row {
        name: format!("  {name}"),
        cells: Some(block.iter().map(|r| r.hold.tied.as_ref().map_or_else(String::new, cell)).collect()),
    };
    let each = |name: String, cell: &dyn Fn(&Push) -> String| Row {
        name: format!("  {name}"),
        cells: Some(block.iter().map(|r| r.push.as_ref().map_or_else(String::new, cell)).collect()),
    };
    let mut rows = vec![
        heading("As tied".to_owned()),
        tied("bed compression (N)", &|t| num(t.bed.compression, 1)),
        tied("bed in contact", &|t| percent(t.bed.contact)),
        tied("peak pressure (MPa)", &|t| num(t.bed.peak_pressure, 2)),
        tied("articular step (mm, + proud)", &|t| signed(t.measures.step.value, 2)),
        tied("tilt (deg, + sits up)", &|t| signed(t.measures.tilt, 1)),
        tied("limbs pull off square (deg)", &|t| {
            t.resultant_angle.map_or_else(
                || "-".to_owned(),
                |a| {
                    let beyond = if a > t.friction_angle { "!" } else { "" };
                    format!("{beyond}{} of {}", num(a, 1), num(t.friction_angle, 1))
                },
            )
        }),
    ];
    let direction = block.iter().find_map(|r| r.push.as_ref()).map_or("inferior", |p| p.direction.as_str());
    rows.push(heading(format!("Pushed {}", pushed(direction))));
    for (k, mark) in MARKS.iter().enumerate() {
        rows.push(each(format!("load at {mark} mm (N, ratio)"), &|p| {
            let base = first.push.as_ref().and_then(|f| f.load_at[k]);
            match (p.load_at[k], base) {
                (Some(load), Some(base)) if base > 0.0 => {
                    format!("{}  x{}", num(load, 1), num(load / base, 2))
                }
                (Some(load), _) => format!("{}      -", num(load, 1)),
                (None, _) if p.outcome.is_held() => "beyond".to_owned(),
                (None, _) => "not held".to_owned(),
            }
        }));
    }
    rows.push(each("stiffness at first (N/mm)".to_owned(), &|p| {
        p.stiffness.map_or_else(|| "-".to_owned(), |k| num(k, 1))
    }));
    rows.extend(carriers(block));
    rows.push(heading("How it ends".to_owned()));
    rows.push(each("held to (mm)".to_owned(), &|p| {
        let reach = p.curve.last().map_or(0.0, |q| q.displacement);
        if p.outcome.is_held() { num(reach, 1) } else { format!("{} lost", num(reach, 2)) }
    }));
    rows
}

/// Who carries the load at 1 mm, one row a group, and only groups that some construct has.
fn carriers(block: &[Compared]) -> Vec<Row> {
    let shares: Vec<_> = block.iter().map(|r| r.push.as_ref().and_then(|p| by_group(p, 1.0))).collect();
    let mut names: Vec<(u8, String)> = Vec::new();
    for share in shares.iter().flatten().flatten() {
        // Groups of limbs first, then the bed, tissue and loads, whatever the first construct has.
        let rank = share.carrier as u8;
        if !names.iter().any(|n| n.1 == share.name) {
            names.push((rank, share.name.clone()));
        }
    }
    if names.is_empty() {
        return Vec::new();
    }
    names.sort_by_key(|n| n.0);
    let mut rows = vec![Row { name: "Who carries the load at 1 mm (N)".to_owned(), cells: None }];
    for (_, name) in names {
        let cells = shares
            .iter()
            .map(|groups| match groups {
                None => "-".to_owned(),
                Some(groups) => {
                    let load: f64 = groups.iter().map(|g| g.now).sum();
                    match groups.iter().find(|g| g.name == name) {
                        Some(g) if load > 0.0 => {
                            format!("{}  {:>4}", num(g.now, 1), format!("{}%", num(100.0 * g.now / load, 0)))
                        }
                        Some(g) => num(g.now, 1),
                        None => "-".to_owned(),
                    }
                }
            })
            .collect();
        rows.push(Row { name: format!("  {name}"), cells: Some(cells) });
    }
    rows
}

fn first_events(page: &mut Page, results: &[Compared]) {
    page.heading("What happens first (mm of push)");
    for result in results {
        let words = match (&result.push, not_held(&result.hold.outcome)) {
            (_, Some(words)) => words,
            (None, None) => "not pushed".to_owned(),
            (Some(push), None) => {
                let mut words: Vec<String> = push
                    .events
                    .iter()
                    .filter(|e| e.displacement > 0.0)
                    .take(EVENTS)
                    .map(|e| format!("{} {}", num(e.displacement, 2), event_of(e)))
                    .collect();
                let already: Vec<String> = push.events.iter().filter(|e| e.displacement == 0.0).map(event_of).collect();
                if !already.is_empty() {
                    words.insert(0, format!("as tied {}", already.join(", ")));
                }
                if let (Some(lost), Some(last)) = (not_held(&push.outcome), push.curve.last()) {
                    words.push(format!("beyond {} {lost}", num(last.displacement, 2)));
                }
                if words.is_empty() { "nothing that is watched for".to_owned() } else { words.join("; ") }
            }
        };
        page.value(&result.hold.construct, words);
    }
}
