//! `rimhold tie`: tying orders chosen, run, ranked and told.

use super::compare::Way;
use super::figures::tell;
use super::open::open;
use super::present::{Summaries, present};
use super::progress::Progress;
use super::say::Failure;
use super::values::seed;
use super::{Common, example, stop};
use crate::list::distinct;
use crate::model::{Construct, Split, StopRule};
use crate::show::figures::write_tie;
use crate::show::report::{Asked, Described, Document, Told, Verdict, order_csv, order_reading, tie_short, tie_table};
use crate::study::result::{Orders, Start, SweepOver};
use crate::study::{Chosen, OrdersPlan, SEED, Watcher, orders, sweep_orders, sweep_points};
use clap::{Args, ValueEnum};
use std::path::Path;

#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold tie quarter one-by-one --orders all --then-push",
    "With nothing given: all orders of two-by-two-crossed on the case quarter. An order names each tie \
     once, by its letter, any of its limbs (or screws) or several joined with +. A file has one order a line, \
     ties parted by commas, comments after #:\n    inferior-loop, bridge-lower, superior-loop   # as in practice\n  \
     Steps that differ by no more than 0.1 mm count as equal."
))]
#[command(mut_arg("direction", |a| a.requires("then_push")))]
#[command(mut_arg("to", |a| a.requires("then_push")))]
#[command(mut_arg("guided", |a| a.requires("then_push")))]
#[command(mut_arg("as_tied", |a| a.requires("then_push")))]
pub(super) struct Tie {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE")]
    case: Option<String>,
    /// Construct: a file, or a built-in name
    #[arg(value_name = "CONSTRUCT", default_value = "two-by-two-crossed")]
    construct: String,
    /// Where tying starts
    #[arg(long, value_name = "POSE", default_value_t = OrdersPlan::default().from, value_enum)]
    from: Start,
    /// Orders to run: `all` (taken when nothing is given; of up to 6 ties; beyond that a sample of 120 that
    /// holds the own order, its reverse and bridge-first), `own` (the construct's), or a file of orders. A file that is called like one of these words is named with its folder, as ./all
    #[arg(long, value_name = "own|all|FILE", conflicts_with = "order")]
    orders: Option<String>,
    /// An order, its ties parted by commas; may be repeated
    #[arg(long, value_name = "TIE,TIE,…")]
    order: Vec<String>,
    /// Seed of the sample where `all` is too many
    #[arg(long, default_value_t = SEED, value_parser = seed, allow_hyphen_values = true)]
    seed: u64,
    /// When every pull ends, instead of each tie's own rule
    #[arg(long, value_name = "RULE", value_enum)]
    stop: Option<StopRule>,
    /// Take ties of several limbs or screws apart
    #[arg(long, value_name = "BY", value_enum)]
    split: Option<Split>,
    /// Also pull all limbs together, and then set all screws, for comparison
    #[arg(long)]
    together: bool,
    /// Run the same orders against other inputs; several parted by commas
    #[arg(long, value_name = "OVER", value_delimiter = ',', value_enum)]
    sweep: Vec<SweepOver>,
    /// Push every result afterwards
    #[arg(long)]
    then_push: bool,
    #[command(flatten, next_help_heading = "With --then-push")]
    way: Way,
}

impl Tie {
    pub fn run(&self, common: &Common) -> Result<(), Failure> {
        let case = self.case.as_deref().unwrap_or("quarter");
        let mut opened = open(case, std::slice::from_ref(&self.construct), self.from)?;
        if let Some(split) = self.split {
            opened.constructs[0] = opened.constructs[0].split(split);
        }
        let construct = &opened.constructs[0];
        let chosen = self.choose(construct)?;
        let plan = self.plan();
        let overs = distinct(self.sweep.iter().copied());
        let points: usize = overs.iter().map(|over| sweep_points(*over)).sum();
        let progress = Progress::start(common.quiet);
        progress.stage(((chosen.orders.len() + usize::from(plan.together)) * (1 + points)) as u64, "orders");
        let found = orders(&opened.case, construct, &chosen, &plan, &progress);
        let sweep = |over: &SweepOver| sweep_orders(&opened.case, construct, *over, &chosen, &plan, &progress);
        let sweeps: Vec<_> = overs.iter().map(sweep).collect();
        drop(progress);
        let reading = order_reading(construct, &found, &sweeps);
        let doubtful = found.is_doubtful()
            || sweeps.iter().flat_map(|s| &s.points).any(|p| p.orders.as_ref().is_some_and(Orders::is_doubtful));
        let _gently = stop::gently();
        let figures = common.figures.as_deref();
        let written = figures.map(|folder| (write_tie(folder, &opened.case, construct, &found), folder));
        let summaries = Summaries::warned(&opened, common);
        let verdict = Verdict::tied(&opened.case.name, construct, &found, &sweeps);
        present(
            common,
            &verdict,
            |page| tie_short(page, construct, &found, &sweeps),
            |page| {
                tie_table(page, &opened.case, construct, &found);
                page.remarks(&summaries.case, &summaries.constructs, self.from);
                page.items("Reading", &reading);
            },
            || order_csv(construct, &found, &sweeps),
            || {
                let described = Described::new(&opened.case, construct, summaries.constructs[0].clone(), None);
                let mut document = Document::new(self.asked(&plan), summaries.case.clone(), vec![described]);
                document.orders = Some(Told { found: found.clone(), reading: reading.clone() });
                document.order_sweeps.clone_from(&sweeps);
                document.verdict = verdict.lines().to_vec();
                document
            },
        )?;
        if let Some((written, folder)) = written {
            tell(written, folder, common.quiet)?;
        }
        Failure::if_doubtful(doubtful)
    }

    fn plan(&self) -> OrdersPlan {
        OrdersPlan {
            from: self.from,
            stop: self.stop,
            together: self.together,
            push: self.then_push.then(|| self.way.plan(None)),
        }
    }

    /// The orders that were asked for.
    fn choose(&self, construct: &Construct) -> Result<Chosen, Failure> {
        if !self.order.is_empty() {
            return Ok(Chosen::these(construct.parse_orders(&self.order)?));
        }
        match self.orders.as_deref() {
            Some("all") | None => Ok(Chosen::all(construct, self.seed)),
            Some("own") => Ok(Chosen::own(construct)),
            Some(file) => Ok(Chosen::these(construct.read_orders(Path::new(file))?)),
        }
    }

    fn asked(&self, plan: &OrdersPlan) -> Asked {
        fn word<T: ValueEnum>(value: T) -> Option<String> {
            value.to_possible_value().map(|v| v.get_name().to_owned())
        }
        let push = plan.push.as_ref();
        Asked {
            from: Some(self.from),
            direction: push.map(|p| p.direction.name.clone()),
            to: push.map(|p| p.to),
            guided: push.map(|p| p.guided),
            orders: Some(match (&self.orders, self.order.as_slice()) {
                (Some(orders), _) => orders.clone(),
                (None, []) => "all".to_owned(),
                (None, orders) => orders.join("; "),
            }),
            stop: self.stop.and_then(word),
            split: self.split.and_then(word),
            ..Asked::of("tie")
        }
    }
}
