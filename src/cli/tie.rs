//! `rimhold tie`: orders chosen, run, ranked and told.

use super::arguments::{self, Common, Format};
use super::failure::Failure;
use super::open::{Opened, check_start, open};
use super::output::{json, note, print};
use super::progress::Progress;
use super::run;
use crate::model::{Construct, Split, StopRule};
use crate::show::figures::write_tie;
use crate::show::report::{
    CAUTION, CaseSummary, ConstructSummary, Described, Document, Page, order_csv, order_reading, tie_table,
};
use crate::study::result::{OrderSweep, Orders, SweepOver};
use crate::study::{Chosen, FRICTIONS, HINGES, MULTIPLES, OrdersPlan, orders, sweep_orders};
use std::collections::BTreeMap;
use std::path::Path;

/// Case when none is given; all orders are run then.
const CASE: &str = "quarter";

/// Runs the command.
pub(super) fn tie(typed: &arguments::Tie, common: &Common) -> Result<(), Failure> {
    let case = typed.case.as_deref().unwrap_or(CASE);
    let mut opened = open(case, std::slice::from_ref(&typed.construct))?;
    check_start(&opened, typed.from.start())?;
    if let Some(split) = typed.split {
        opened.constructs[0] = opened.constructs[0].split(match split {
            arguments::Split::Anchor => Split::Anchor,
            arguments::Split::Limb => Split::Limb,
        });
    }
    let construct = &opened.constructs[0];
    let chosen = choose(typed, construct)?;
    let plan = OrdersPlan {
        from: typed.from.start(),
        stop: typed.stop.map(|stop| match stop {
            arguments::Stop::Tension => StopRule::Tension,
            arguments::Stop::Reduced => StopRule::Reduced,
        }),
        together: typed.together,
        push: typed.then_push.then(|| typed.way.plan()),
    };
    let mut overs: Vec<SweepOver> = Vec::new();
    for over in typed.sweep.iter().map(|s| match s {
        arguments::Sweep::Friction => SweepOver::Friction,
        arguments::Sweep::Displacement => SweepOver::Displacement,
        arguments::Sweep::Hinge => SweepOver::Hinge,
    }) {
        if !overs.contains(&over) {
            overs.push(over);
        }
    }
    let points = |over: &SweepOver| match over {
        SweepOver::Friction => FRICTIONS.len(),
        SweepOver::Displacement => MULTIPLES.len(),
        SweepOver::Hinge => HINGES.len(),
    };
    let each = chosen.orders.len() + usize::from(plan.together);
    let total = each * (1 + overs.iter().map(points).sum::<usize>());
    let progress = Progress::start(total, common.quiet);
    let done = || progress.step();
    let mut found = orders(&opened.case, construct, &chosen, &plan, &done);
    let sweeps: Vec<OrderSweep> =
        overs.iter().map(|over| sweep_orders(&opened.case, construct, *over, &chosen, &plan, &done)).collect();
    drop(progress);
    found.reading = order_reading(construct, &found, &sweeps);
    let doubtful = found.is_doubtful()
        || sweeps.iter().flat_map(|s| &s.points).any(|p| p.orders.as_ref().is_some_and(Orders::is_doubtful));
    let written = common.figures.as_deref().map(|folder| write_tie(folder, &opened.case, construct, &found));
    present(typed, &opened, found, sweeps, common)?;
    if let (Some(written), Some(folder)) = (written, common.figures.as_deref()) {
        run::tell(&written?, folder, common.quiet);
    }
    if doubtful {
        return Err(Failure::uncertified());
    }
    Ok(())
}

/// The orders that were asked for.
fn choose(typed: &arguments::Tie, construct: &Construct) -> Result<Chosen, Failure> {
    let wrong = |p| Failure::Files(vec![p]);
    if !typed.order.is_empty() {
        return construct.parse_orders(&typed.order).map(Chosen::these).map_err(wrong);
    }
    match typed.orders.as_deref() {
        Some("all") => Ok(Chosen::all(construct, typed.seed)),
        Some("own") => Ok(Chosen::own(construct)),
        Some(file) => construct.read_orders(Path::new(file)).map(Chosen::these).map_err(wrong),
        None if typed.case.is_none() => Ok(Chosen::all(construct, typed.seed)),
        None => Ok(Chosen::own(construct)),
    }
}

/// Prints what was found.
fn present(
    typed: &arguments::Tie,
    opened: &Opened,
    found: Orders,
    sweeps: Vec<OrderSweep>,
    common: &Common,
) -> Result<(), Failure> {
    let construct = &opened.constructs[0];
    let case = CaseSummary::new(&opened.case);
    let summary = ConstructSummary::new(&opened.case, construct);
    match common.format {
        Format::Table | Format::Markdown => {
            let mut page = Page::new(common.colour.on_stdout());
            tie_table(&mut page, &opened.case, construct, &found, &sweeps);
            page.remarks(&case, std::slice::from_ref(&summary));
            page.order_reading(&found.reading);
            page.caution(CAUTION);
            print(&page.finish())
        }
        Format::Csv => {
            if !common.quiet {
                for warning in &summary.warnings {
                    note(&format!("warning: {}", warning.message));
                }
            }
            print(&order_csv(construct, &found, &sweeps))
        }
        Format::Json => {
            let mut asked = run::asked("tie", Some(typed.from), None);
            if typed.then_push {
                asked.direction = Some(typed.way.direction.name.clone());
                asked.to = Some(typed.way.to);
                asked.guided = Some(typed.way.guided);
            }
            asked.orders = Some(match (&typed.orders, typed.order.as_slice()) {
                (Some(orders), _) => orders.clone(),
                (None, []) if typed.case.is_none() => "all".to_owned(),
                (None, []) => "own".to_owned(),
                (None, orders) => orders.join("; "),
            });
            asked.stop = typed.stop.map(|stop| {
                match stop {
                    arguments::Stop::Tension => "tension",
                    arguments::Stop::Reduced => "reduced",
                }
                .to_owned()
            });
            asked.split = typed.split.map(|split| {
                match split {
                    arguments::Split::Anchor => "anchor",
                    arguments::Split::Limb => "limb",
                }
                .to_owned()
            });
            let described = Described { construct: summary, quantities: BTreeMap::new(), found: None };
            let mut document = Document::new(asked, case, vec![described]);
            document.orders = Some(found);
            document.order_sweeps = sweeps;
            json(&document)
        }
    }
}
