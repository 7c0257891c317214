//! A repair on the terminal: tied, pushed, and compared with others.

use super::construct;
use super::reading::pulls_outside;
use super::shares::{by_group, sample};
use crate::model::{Case, Construct, Equal, Terms};
use crate::quantities::{QUANTITIES, Quantity, View};
use crate::show::prose::sentences;
use crate::show::table::{Cell, Table};
use crate::show::terminal::Page;
use crate::show::words::{certificate, event, event_of, not_held, not_held_short, num, percent, pushed, way, word};
use crate::study::MARKS;
use crate::study::result::{BedState, Certificate, Compared, Failure, Hold, Jump, Push, Ultimate, with_unit};
use minijinja::context;

/// Events told of each construct of a comparison.
const EVENTS: usize = 3;

/// Writes what tying did and the tied state, or that fixation fails and how.
pub fn hold_table(page: &mut Page, case: &Case, hold: &Hold) {
    page.heading(&format!("{} on {}, tied from the {} position", hold.construct, case.name, word(&hold.from)));
    if let Some(words) = not_held(&hold.outcome) {
        page.paragraph(&format!("Finding, {words}."));
    }
    let screws = hold.tied.iter().flat_map(|t| t.screws.iter().map(|s| s.name.clone())).collect::<Vec<_>>();
    page.titled(construct::ties(hold, &screws));
    jumps(page, &hold.jumps);
    let Some(tied) = &hold.tied else {
        return;
    };
    page.titled(construct::tied_limbs(hold));
    page.titled(construct::tied_screws(hold));
    let bed = BedState { cells: Vec::new(), ..tied.bed.clone() };
    let data = context! {
        bed,
        screws => !tied.screws.is_empty(),
        outside => pulls_outside(tied),
        angle => tied.resultant_angle,
        friction_angle => tied.friction_angle,
        m => tied.measures,
    };
    page.heading("Fracture bed");
    page.values(&sentences(include_str!("said/bed.txt"), &data));
    page.heading("Malreduction: how the fragment lies, against its reduced place");
    page.values(&sentences(include_str!("said/lies.txt"), &data));
    page.titled(construct::tied_anchors(hold));
    page.heading("Softest motions: how it would give way most easily");
    for w in tied.weakest.iter().take(2) {
        page.value(&format!("{} N/mm", num(w.stiffness, 0)), way(case, w));
    }
    page.heading("Balance of the tied state");
    page.paragraph(&certificate(&tied.certificate));
}

pub(super) fn jumps(page: &mut Page, jumps: &[Jump]) {
    for jump in jumps {
        let let_go = match jump.let_go.as_slice() {
            [] => "no limb went slack".to_owned(),
            limbs => format!("{} went slack", limbs.join(", ")),
        };
        page.item(&format!(
            "during the {} the fragment jumped to another position ({} mm, {} deg): {let_go}, contact with the bed from {} to {}",
            jump.during,
            num(jump.shift, 2),
            num(jump.turn, 1),
            percent(jump.contact[0]),
            percent(jump.contact[1])
        ));
    }
}

/// Writes load, stiffness, load sharing and events of a push.
pub fn push_table(page: &mut Page, push: &Push) {
    let turning = if push.guided { ", turning forbidden" } else { "" };
    page.heading(&format!("{} pushed {}{turning}", push.construct, pushed(&push.direction)));
    if let Some(words) = not_held(&push.outcome) {
        let reach = push
            .curve
            .last()
            .map_or_else(String::new, |p| format!(" The numbers below reach to {} mm.", num(p.displacement, 2)));
        page.paragraph(&format!("Finding, {words}.{reach}"));
    }
    let loads = push.load_at.iter().zip(MARKS).collect::<Vec<_>>();
    let data = context! {
        loads,
        held => push.outcome.is_held(),
        stiffness => push.stiffness,
        peak => push.peak,
    };
    page.values(&sentences(include_str!("said/push.txt"), &data));
    if push.curve.is_empty() {
        return;
    }
    // The last mark that the push reached and that is no more than 1 mm.
    let mark = [1.0, 0.5].into_iter().find(|mark| sample(push, *mark).is_some());
    page.titled(mark.and_then(|mark| construct::sharing(push, mark)));
    match construct::events(push) {
        Some(events) => page.titled(Some(events)),
        None => page.paragraph("Nothing happens that is watched for."),
    }
    jumps(page, &push.jumps);
    page.heading("Balance of the push");
    let worst = |f: fn(&Certificate) -> f64| push.curve.iter().map(|p| f(&p.certificate)).fold(0.0, f64::max);
    page.paragraph(&format!(
        "All {} states are in balance to {:.0e} N and {:.0e} N mm; no tension in the bed, no strand in \
         compression, friction of bed and strands within its bounds.",
        push.curve.len(),
        worst(|c| c.net_force.max(c.net_node_force)),
        worst(|c| c.net_moment)
    ));
}

/// Writes what people compare of constructs, and on which terms; and the rose, where one was pushed.
pub fn compare_short(page: &mut Page, case: &Case, constructs: &[Construct], results: &[Compared]) {
    page.table(&compared_by(&SHORT, case, constructs, results));
    let settled = results.iter().any(|r| r.push.as_ref().is_some_and(|p| p.settling.is_some()));
    let loads = if settled { "Loads are of the settled repair" } else { "All is of the repair as tied" };
    page.paragraph(&format!("{loads}; + is proud, and rim up."));
    if let [equal, unequal] = terms(constructs)
        && constructs.len() > 1
    {
        page.paragraph(&format!("Equal terms: {}. Not equal: {} (--equal).", named(&equal), named(&unequal)));
    }
    let roses: Vec<(&str, &[_])> =
        results.iter().filter_map(|r| Some((r.hold.construct.as_str(), r.rose.as_deref()?))).collect();
    page.titled(construct::rose(&roses));
}

fn named(resources: &[&str]) -> String {
    if resources.is_empty() { "none".to_owned() } else { resources.join(", ") }
}

/// Writes all of a comparison.
pub fn compare_full(page: &mut Page, case: &Case, constructs: &[Construct], results: &[Compared]) {
    let count = crate::study::result::counted(results.len() as u64, "construct");
    page.heading(&format!("{count} on case {}, in every quantity", case.name));
    page.table(&comparison(case, constructs, results));
    let outside = results.iter().filter(|r| r.hold.tied.as_ref().is_some_and(pulls_outside));
    let outside: Vec<&str> = outside.map(|r| r.hold.construct.as_str()).collect();
    if !outside.is_empty() {
        page.paragraph(&format!(
            "Outside the friction cone, so that the pull itself tends to slide the fragment: {}.",
            outside.join(", ")
        ));
    }
    page.titled(sharing(results));
    page.heading("What happens first (mm of push)");
    for result in results {
        page.value(&result.hold.construct, first_events(result));
    }
    page.heading("Balance");
    let states: usize =
        results.iter().map(|r| usize::from(r.hold.tied.is_some()) + r.push.as_ref().map_or(0, |p| p.curve.len())).sum();
    page.paragraph(&match states {
        0 => "The fragment comes to rest under none of the constructs: there is no state to check.".to_owned(),
        _ => format!(
            "Balance checked of all {states} states behind these numbers: forces in balance, no tension in \
             the bed, no strand in compression, friction within its bound."
        ),
    });
}

/// Quantities that people compare.
const SHORT: [&str; 6] = ["compression", "settled-compression", "tilt", "load-1mm", "load-2mm", "failure-load"];

/// A resource that constructs spend: its name, its unit, and how much of it.
type Resource = (&'static str, &'static str, fn(&Terms) -> Option<f64>);

const TERMS: [Resource; 4] = [
    ("anchors", "", |t| Some(t.anchors as f64)),
    ("strands", "", |t| Some(t.strands as f64)),
    ("tension at a lateral anchor", "N", |t| t.tension(Equal::Anchor)),
    ("bridge tension in all", "N", |t| t.tension(Equal::Total)),
];

/// The resources that all constructs spend alike, and those that they do not.
fn terms(constructs: &[Construct]) -> [Vec<&'static str>; 2] {
    let all: Vec<Terms> = constructs.iter().map(Terms::of).collect();
    let alike = |(.., of): &&Resource| all.windows(2).all(|t| of(&t[0]).map(f64::round) == of(&t[1]).map(f64::round));
    let spent = TERMS.iter().filter(|(.., of)| all.iter().any(|t| of(t).is_some()));
    let (equal, unequal): (Vec<&Resource>, Vec<&Resource>) = spent.partition(alike);
    [equal, unequal].map(|list| list.iter().map(|r| r.0).collect())
}

/// The resource in which constructs differ most to the point, with what each spends.
pub(super) fn unequal(constructs: &[Construct]) -> Option<String> {
    let [_, unequal] = terms(constructs);
    let (what, unit, of) = TERMS.iter().rev().find(|r| unequal.contains(&r.0))?;
    let spent = constructs.iter().map(|c| of(&Terms::of(c)).map_or_else(|| "none".to_owned(), |v| num(v, 0)));
    let mut spent: Vec<String> = spent.collect();
    spent.dedup();
    Some(format!("{what} {} {unit}", spent.join(", ")).trim_end().to_owned())
}

/// The constructs side by side, one row a quantity of the headline.
pub(super) fn comparison(case: &Case, constructs: &[Construct], results: &[Compared]) -> Table {
    compared_by(&[], case, constructs, results)
}

/// The same in the quantities that are wanted, with what the constructs spend.
fn compared_by(keys: &[&str], case: &Case, constructs: &[Construct], results: &[Compared]) -> Table {
    let direction = results.iter().find_map(|r| r.push.as_ref()).map_or("inferior", |p| p.direction.as_str());
    let title = format!("The constructs compared, pushed {}", pushed(direction));
    let names = results.iter().map(|r| r.hold.construct.as_str());
    let mut table = Table::new("comparison", &title, &std::iter::once("quantity").chain(names).collect::<Vec<_>>());
    let row = |table: &mut Table, name: String, cell: &dyn Fn(usize) -> Cell| {
        table.row(std::iter::once(name.into()).chain((0..results.len()).map(cell)));
    };
    row(&mut table, "as tied".to_owned(), &|k| {
        not_held_short(&results[k].hold.outcome).unwrap_or_else(|| "stable".to_owned()).into()
    });
    let views: Vec<View<'_>> = results.iter().zip(constructs).map(|(r, c)| View::of(case, c, r)).collect();
    let wanted = |q: &&Quantity| if keys.is_empty() { q.headline } else { keys.contains(&q.key) };
    for q in QUANTITIES.iter().filter(wanted) {
        if let ("tilt", false) = (q.key, keys.is_empty()) {
            for (station, name) in ["step-off inferior (mm)", "    middle (mm)", "    superior (mm)"].iter().enumerate()
            {
                row(&mut table, (*name).to_owned(), &|k| {
                    let tied = results[k].hold.tied.as_ref();
                    tied.map(|t| Cell::of("step", t.measures.stations[station])).into()
                });
            }
        }
        let values: Vec<Option<f64>> = views.iter().map(|v| (q.of)(v)).collect();
        if values.iter().all(Option::is_none) {
            continue;
        }
        row(&mut table, q.axis(), &|k| values[k].map_or_else(|| missing(&results[k]), |v| Cell::of(q.key, v)));
        // Loads are what constructs are compared by.
        let ratios = q.unit == "N" && results.len() > 1 && keys.is_empty();
        if let (Some(first), true) = (values[0].filter(|v| *v > 0.0), ratios) {
            row(&mut table, format!("    times that of {}", results[0].hold.construct), &|k| {
                values[k].map(|v| Cell::fixed(v / first, 2)).into()
            });
        }
    }
    if results.iter().any(|r| r.ultimate.is_some()) {
        row(&mut table, "fails by".to_owned(), &|k| {
            let never = |u: &Ultimate| format!("no fall to {} mm", num(u.reached, 1)).into();
            results[k].ultimate.as_ref().map(|u| u.failure.as_ref().map_or_else(|| never(u), fails_by)).into()
        });
    }
    if !keys.is_empty() {
        for (what, unit, of) in TERMS {
            row(&mut table, with_unit(what, unit), &|k| {
                of(&Terms::of(&constructs[k])).map(|v| Cell::fixed(v, 0)).into()
            });
        }
        return table;
    }
    row(&mut table, "push".to_owned(), &|k| match &results[k].push {
        None => Cell::none(),
        Some(p) => {
            let reach = num(p.curve.last().map_or(0.0, |q| q.displacement), 2);
            not_held_short(&p.outcome)
                .map_or_else(|| "stable to its end".into(), |w| format!("beyond {reach} mm {w}").into())
        }
    });
    table
}

/// What gave at the failure load.
pub(super) fn fails_by(failure: &Failure) -> Cell {
    match &failure.gave {
        Some((kind, subject)) if subject.is_empty() => event(*kind).into(),
        Some((kind, subject)) => format!("{subject}: {}", event(*kind)).into(),
        None => "slides or turns out; no part gives".into(),
    }
}

/// Why a construct has no such number.
fn missing(result: &Compared) -> Cell {
    match &result.push {
        Some(push) if !push.outcome.is_held() => "fails before".into(),
        Some(_) => "beyond".into(),
        None => Cell::none(),
    }
}

/// Load sharing at 1 mm, one row a group and one column a construct; `None` when no push gets so far.
pub(super) fn sharing(results: &[Compared]) -> Option<Table> {
    let shares: Vec<_> = results.iter().map(|r| r.push.as_ref().and_then(|p| by_group(p, 1.0))).collect();
    let mut names: Vec<(u8, String)> = Vec::new();
    for share in shares.iter().flatten().flatten() {
        // Groups of limbs first, then the bed, tissue and loads, whatever the first construct has.
        if !names.iter().any(|n| n.1 == share.name) {
            names.push((share.carrier as u8, share.name.clone()));
        }
    }
    names.sort_by_key(|n| n.0);
    let title = "Load sharing at 1 mm (N; negative: acts with the applied load)";
    let heads = std::iter::once("carrier").chain(results.iter().map(|r| r.hold.construct.as_str()));
    let mut table = Table::new("sharing", title, &heads.collect::<Vec<_>>());
    for (_, name) in names {
        let cells = shares.iter().map(|groups| {
            let groups = groups.as_ref()?;
            let load: f64 = groups.iter().map(|g| g.now).sum();
            let now = groups.iter().find(|g| g.name == name)?.now;
            let share = if load > 0.0 { format!(" ({})", percent(now / load)) } else { String::new() };
            Some(Cell { text: format!("{}{share}", num(now, 0)), value: Some(now) })
        });
        let cells: Vec<Cell> = cells.map(Cell::from).collect();
        table.row(std::iter::once(name.into()).chain(cells));
    }
    table.filled()
}

fn first_events(result: &Compared) -> String {
    let push = match (&result.push, not_held(&result.hold.outcome)) {
        (_, Some(words)) => return words,
        (None, None) => return "not pushed".to_owned(),
        (Some(push), None) => push,
    };
    let mut words = Vec::new();
    let already: Vec<String> = push.events.iter().filter(|e| e.displacement == 0.0).map(event_of).collect();
    if !already.is_empty() {
        words.push(format!("as tied {}", already.join(", ")));
    }
    let later = push.events.iter().filter(|e| e.displacement > 0.0).take(EVENTS);
    words.extend(later.map(|e| format!("{} {}", num(e.displacement, 2), event_of(e))));
    if let (Some(lost), Some(last)) = (not_held(&push.outcome), push.curve.last()) {
        words.push(format!("beyond {} {lost}", num(last.displacement, 2)));
    }
    if words.is_empty() { "nothing that is watched for".to_owned() } else { words.join("; ") }
}

/// Stiffness along the bed and the softest motions; `None` when nothing is stable.
pub(super) fn stiffness<'a>(results: impl Iterator<Item = &'a Compared>) -> Option<Table> {
    let mut table = Table::new(
        "stiffness",
        "Stiffness of the tied fragment against a first, small motion",
        &["construct", "motion", "stiffness (N/mm)"],
    );
    for compared in results {
        let (name, tied) = (compared.hold.construct.as_str(), compared.hold.tied.as_ref());
        let mut row = |what: String, stiffness: f64, decimals| {
            table.row([name.into(), what.into(), Cell::fixed(stiffness, decimals)]);
        };
        if let Some(k) = tied.and_then(|t| t.stiffness) {
            let toward = |v: [f64; 2]| crate::show::words::bed_direction(v[0], v[1]);
            row(format!("along the bed, least: toward {}", toward(k.least_toward)), k.least, 0);
            row(format!("along the bed, most: toward {}", toward(k.most_toward)), k.most, 0);
        }
        for (k, way) in tied.iter().flat_map(|t| t.weakest.iter().enumerate()) {
            row(format!("softest motion of the whole fragment, number {}", k + 1), way.stiffness, 1);
        }
    }
    table.filled()
}
