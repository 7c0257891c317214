//! The record of a run: everything that page, methods, tables and files say, in one place.

use super::assumptions::{ASSUMPTIONS, Assumption};
use super::fact::{Fact, Facts};
use super::further::Further;
use super::one_construct::OneConstruct;
use super::parameters::{self, Value};
use super::placing::placing;
use super::plates::Plate;
use super::question::question;
use super::sources::{GRID_INDEX, INDEX_LAWS, SHANK_LAW, Source as Publication, used};
use super::sweeping::{ReportedSweep, sweeping};
use super::tying::{self, Tying};
use super::uncertainty::uncertainty;
use super::verified::{Verified, verification};
use super::{answer, assumptions, case_facts, checks, published, tolerances};
use crate::model::{Case, Construct, Warning};
use crate::show::report::{Asked, CAUTION, CaseSummary, ConstructSummary, Described, Document, Versus};
use crate::show::report::{construct, place, repair, scatter, sweep, verify};
use crate::show::table::Table;
use crate::study::PushPlan;
use crate::study::result::{Compared, Orders, Place, Scatter, Start, Tally};
use serde::Serialize;
use std::collections::BTreeMap;

/// Version of the record's shape; it changes when a field changes its meaning or goes.
const SCHEMA: &str = "rimhold-report/2";

/// A file that was read, as it was.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// Name of what it describes.
    pub name: String,
    /// Stem of its copy in the report.
    pub stem: String,
    /// Its text.
    pub text: String,
}

/// What was found of one construct.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// Hold, push and rose.
    pub compared: Compared,
    /// Hold and push once more on a bed of cells half as wide.
    pub finer: Compared,
    /// Its tying orders.
    pub orders: Orders,
}

impl Found {
    /// What the certificates of all its states say together, those on the finer bed and those of every
    /// tying order among them.
    pub fn tally(&self) -> Tally {
        let mut tally = Tally::of(&self.compared);
        tally.join(&Tally::of(&self.finer));
        for run in self.orders.every() {
            tally.join(&Tally::of_hold(&run.hold));
        }
        tally
    }
}

/// What a record is made from.
#[derive(Debug, Clone, Copy)]
pub struct Run<'a> {
    /// The case.
    pub case: &'a Case,
    /// The constructs on it, at least one.
    pub constructs: &'a [Construct],
    /// What was found of each, in the same order.
    pub found: &'a [Found],
    /// What was verified.
    pub verified: &'a Verified,
    /// The study of scatter, when one was made.
    pub scatter: Option<&'a Scatter>,
    /// The ready-made sweeps.
    pub sweeps: &'a [ReportedSweep],
    /// The search for better places of the last construct, when one was made.
    pub place: Option<&'a Place>,
    /// Further questions.
    pub further: &'a [Further],
    /// The file of the case.
    pub case_file: &'a Source,
    /// The file of each construct.
    pub construct_files: &'a [Source],
    /// Where tying started.
    pub from: Start,
    /// The push.
    pub push: &'a PushPlan,
    /// The figures.
    pub plates: &'a [Plate],
    /// Commit that the program was built from, or `unknown`.
    pub commit: &'a str,
    /// The one line that runs it again, from inside the report.
    pub again: &'a str,
}

/// A figure in the record.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OneFigure {
    /// Stem of its files.
    pub name: String,
    /// Heading.
    pub title: String,
    /// Caption.
    pub caption: String,
    /// Alternative text.
    pub alt: String,
}

/// A remark on a file.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Remark {
    /// Of the case or of which construct.
    pub of: String,
    /// What was found, and what to do about it.
    #[serde(flatten)]
    pub warning: Warning,
}

/// The program that made it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Program {
    /// Name.
    pub name: String,
    /// Version.
    pub version: String,
    /// Commit, or `unknown`.
    pub commit: String,
    /// The line that runs it again.
    pub again: String,
}

/// The record. Facts carry their unit; the results under `results` are in mm, N, N·mm, MPa, N/mm and
/// degrees.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Record {
    /// `rimhold-report/2`.
    pub schema: String,
    /// What this is and is not.
    pub caution: String,
    /// Who made it.
    pub program: Program,
    /// What was asked.
    pub question: Facts,
    /// The answer in four sentences; the first tells the limits beyond which its loads are too high.
    pub answer: Vec<String>,
    /// The case in facts, by name.
    pub case: BTreeMap<String, Fact>,
    /// The case in words, by name.
    pub words: BTreeMap<String, String>,
    /// The constructs.
    pub constructs: Vec<OneConstruct>,
    /// Number of screws of all constructs.
    pub screws: Fact,
    /// What the certificates say together, by name.
    pub certificate: BTreeMap<String, Fact>,
    /// The tying orders of each construct.
    pub tying: Vec<Tying>,
    /// Why orders were tied from elsewhere than the displaced position; empty when they were not.
    pub tying_from: String,
    /// Samples of tying orders, by construct; empty when all orders were run.
    pub tying_samples: Vec<String>,
    /// What was verified, in counts.
    pub verification: Facts,
    /// How far the answers move when the inputs do; absent when no study of that was made.
    pub uncertainty: Option<Facts>,
    /// The ready-made sweeps; empty when none was made.
    pub sweeps: Vec<Facts>,
    /// The search for better places of the last construct; absent when none was made.
    pub placing: Option<Facts>,
    /// Further questions; empty when none was asked.
    pub further: Vec<Further>,
    /// What halving the cells of the bed changed at most, by quantity.
    pub refinement: BTreeMap<String, Fact>,
    /// The tables that concern the whole.
    pub tables: Vec<Table>,
    /// The figures.
    pub figures: Vec<OneFigure>,
    /// Assumptions and which way they err.
    pub assumptions: Vec<Assumption>,
    /// Remarks on the files.
    pub warnings: Vec<Remark>,
    /// Publications used.
    pub sources: Vec<Publication>,
    /// Everything that was found, as `rimhold compare --format json` gives it.
    pub results: Document,
    /// Every check and refinement, as `rimhold verify --format json` gives them.
    pub verified: Verified,
    /// The study of scatter, as `rimhold scatter --format json` gives it.
    pub scatter: Option<Scatter>,
    /// Every point of the sweeps.
    pub swept: Vec<ReportedSweep>,
    /// The search for better places, as `rimhold place --format json` gives it.
    pub place: Option<Place>,
}

impl Record {
    /// The record of a run.
    pub fn new(run: &Run<'_>) -> Self {
        let case = CaseSummary::new(run.case);
        let constructs: Vec<ConstructSummary> =
            run.constructs.iter().map(|c| ConstructSummary::new(run.case, c)).collect();
        let compared: Vec<Compared> = run.found.iter().map(|f| f.compared.clone()).collect();
        let values = values(run, &case, &constructs);
        let warnings = warnings(&case, &constructs);
        let tally = checks::tally(run.found);
        let (certificate, checks) = checks::certificate(&tally);
        let (refinement, refined) = checks::refinement(run.found);
        let mut all = vec![repair::comparison(run.case, run.constructs, &compared)];
        all.extend(repair::sharing(&compared));
        let roses = compared.iter().filter_map(|c| Some((c.hold.construct.as_str(), c.rose.as_deref()?)));
        all.extend(construct::rose(&roses.collect::<Vec<_>>()));
        all.extend(repair::stiffness(compared.iter()));
        all.push(parameters::table(&values));
        all.push(assumptions::table());
        all.push(published::table());
        all.push(tolerances::tolerances());
        all.push(checks);
        all.push(refined);
        all.extend(verify::tables(&run.verified.case, run.verified.suite.as_ref(), &case.name));
        all.extend(run.scatter.into_iter().flat_map(scatter::tables));
        all.extend(run.sweeps.iter().map(|s| sweep::points(&s.sweep)));
        all.extend(run.place.into_iter().flat_map(place::tables));
        let tying: Vec<Tying> = run
            .constructs
            .iter()
            .zip(run.found)
            .map(|(construct, found)| Tying::new(construct, &found.orders))
            .collect();
        let orders: Vec<&Orders> = run.found.iter().map(|f| &f.orders).collect();
        let described = constructs.iter().zip(&compared).zip(run.constructs).map(|((summary, found), construct)| {
            Described::new(run.case, construct, summary.clone(), Some(found.clone()))
        });
        let mut document = Document::new(
            Asked {
                from: Some(run.from),
                direction: Some(run.push.direction.name.clone()),
                to: Some(run.push.to),
                guided: Some(run.push.guided),
                rose: Some(true),
                ..Asked::of("report")
            },
            case.clone(),
            described.collect(),
        );
        let screws = constructs.iter().map(|c| c.screws.len()).sum();
        let laws = (screws > 0)
            .then_some(SHANK_LAW)
            .into_iter()
            .chain(run.verified.has_refined().then_some(GRID_INDEX))
            .chain(run.scatter.filter(|s| s.index_base > 0).map(|_| INDEX_LAWS));
        let drawn = run.scatter.iter().flat_map(|s| &s.inputs);
        let further = run.further.iter().flat_map(|f| &f.backing);
        let drawn: Vec<&str> = drawn.map(|i| i.line.source.as_str()).chain(further.map(String::as_str)).collect();
        document.versus_first = Versus::first(&compared);
        document.reading = crate::show::report::compared(&compared);
        Self {
            schema: SCHEMA.to_owned(),
            caution: CAUTION.to_owned(),
            program: Program {
                name: env!("CARGO_PKG_NAME").to_owned(),
                version: env!("CARGO_PKG_VERSION").to_owned(),
                commit: run.commit.to_owned(),
                again: run.again.to_owned(),
            },
            question: question(run, &case),
            answer: answer::answer(run.found, run.scatter, &tally, &refinement),
            case: case_facts::facts(run.case, &case),
            words: case_facts::words(&case),
            constructs: constructs
                .iter()
                .zip(&compared)
                .map(|(construct, found)| OneConstruct::new(run.case, construct, found))
                .collect(),
            screws: Fact::count(screws, ""),
            certificate,
            tying_from: tying::why_from(&orders).unwrap_or_default(),
            tying_samples: tying::samples(&tying),
            tying,
            verification: verification(run.verified),
            uncertainty: run.scatter.map(uncertainty),
            sweeps: run.sweeps.iter().map(sweeping).collect(),
            placing: run.place.map(placing),
            further: run.further.to_vec(),
            refinement,
            tables: all,
            figures: run
                .plates
                .iter()
                .map(|p| OneFigure {
                    name: p.figure.name.clone(),
                    title: p.title.clone(),
                    caption: p.figure.caption.clone(),
                    alt: p.figure.alt.clone(),
                })
                .collect(),
            assumptions: ASSUMPTIONS.to_vec(),
            warnings,
            sources: used(values.iter().map(|v| v.source.as_str()).chain(laws).chain(drawn)),
            results: document,
            verified: run.verified.clone(),
            scatter: run.scatter.cloned(),
            swept: run.sweeps.to_vec(),
            place: run.place.cloned(),
        }
    }

    /// Every table with the stem of its files: those of a construct carry its number. (The orders of a
    /// construct stand with what else is told of them.)
    pub fn all_tables(&self) -> Vec<(String, &Table)> {
        let whole = self.tables.iter().map(|t| (t.name.clone(), t));
        let own = self
            .constructs
            .iter()
            .enumerate()
            .flat_map(|(k, c)| c.tables.iter().map(move |t| (format!("construct-{}-{}", k + 1, t.name), t)));
        let orders = self.tying.iter().enumerate();
        let orders = orders.map(|(k, t)| (format!("construct-{}-{}", k + 1, t.table.name), &t.table));
        let further = self.further.iter().flat_map(|f| f.tables.iter().map(move |t| (f.of, t)));
        let further = further.map(|(of, t)| (format!("construct-{of}-{}", t.name), t));
        whole.chain(own).chain(orders).chain(further).collect()
    }
}

fn values(run: &Run<'_>, case: &CaseSummary, constructs: &[ConstructSummary]) -> Vec<Value> {
    let of_case = parameters::values(run.case_file, &case.defaults);
    let of_constructs = run
        .construct_files
        .iter()
        .zip(constructs)
        .flat_map(|(file, construct)| parameters::values(file, &construct.defaults))
        .collect();
    let mut values: Vec<Value> = of_case.into_iter().map(|v| Value { of: "case".to_owned(), ..v }).collect();
    values.extend(parameters::joined(of_constructs, constructs.len()));
    values
}

fn warnings(case: &CaseSummary, constructs: &[ConstructSummary]) -> Vec<Remark> {
    let of_case = case.warnings.iter().map(|w| ("the case", w));
    let of_constructs = constructs.iter().flat_map(|c| c.warnings.iter().map(|w| (c.name.as_str(), w)));
    of_case.chain(of_constructs).map(|(of, w)| Remark { of: of.to_owned(), warning: w.clone() }).collect()
}
