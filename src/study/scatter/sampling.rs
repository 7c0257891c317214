//! Rows of numbers, many at a time: every construct tied and pushed at points of the inputs.

use super::row::{Layout, Probe, Row, run};
use crate::model::spread::{Reading, Subject};
use crate::par;
use crate::study::Watcher;
use crate::study::result::{End, Start};

/// Most listed of those that did not end as held.
const MOST_LISTED: usize = 200;

/// A case and constructs whose inputs are set, again and again.
#[derive(Debug)]
pub(crate) struct Points {
    pub subject: Subject,
    pub probe: Probe,
    pub layouts: Vec<Layout>,
    pub names: Vec<String>,
}

impl Points {
    /// `hinge`: a hinge may be there at some points.
    pub fn new(subject: Subject, probe: Probe, hinge: bool) -> Self {
        let layouts = subject.constructs().map(|c| Layout::new(subject.case(), c, hinge, &probe)).collect();
        let names = subject.constructs().map(|c| c.name.clone()).collect();
        Self { subject, probe, layouts, names }
    }

    /// Numbers that a point takes.
    pub fn width(&self) -> usize {
        self.layouts.iter().map(Layout::width).sum()
    }

    /// The files with their numbers as they were set, read again. As for a file that was typed, tying cannot
    /// start from deeper in the bed than bone gives.
    pub fn read(&self, subject: &Subject) -> Reading {
        let mut reading = subject.read();
        if let (Ok(case), Start::Displaced) = (&reading.case, self.probe.from)
            && let Some(sunk) = case.sunk()
        {
            reading.case = Err(sunk.to_string());
        }
        reading
    }

    /// The rows of a point that was set: of every construct that is wanted. `None` when it was to end.
    pub fn rows(
        &self,
        subject: &Subject,
        wanted: impl Fn(usize) -> bool,
        watcher: &dyn Watcher,
    ) -> Option<Vec<Option<Row>>> {
        let reading = self.read(subject);
        let impossible = |k: usize, why: &str| Some(self.layouts[k].without(End::Impossible, why.to_owned()));
        let found: Option<Vec<Option<Row>>> = (0..self.layouts.len())
            .map(|k| {
                if !wanted(k) {
                    return Some(None);
                }
                Some(match &reading.case {
                    Err(why) => impossible(k, why),
                    Ok(case) => match &reading.constructs[k] {
                        Err(why) => impossible(k, why),
                        Ok(construct) => Some(run(case, construct, &self.layouts[k], &self.probe, watcher)?),
                    },
                })
            })
            .collect();
        watcher.step();
        found
    }

    /// The rows of the points below `count`, each set by its number, until it is to end.
    pub fn each(&self, count: u64, set: impl Fn(&mut Subject, u64) + Sync + Send, watcher: &dyn Watcher) -> Rows {
        Rows(par::until(
            count,
            || self.subject.clone(),
            |subject, k| {
                set(subject, k);
                let rows = self.rows(subject, |_| true, watcher)?;
                Some(rows.into_iter().flatten().collect())
            },
        ))
    }
}

/// The rows of all points that are done, in their order; of each, one row a construct.
#[derive(Debug)]
pub(crate) struct Rows(pub Vec<Vec<Row>>);

impl Rows {
    /// Points done.
    pub fn done(&self) -> u64 {
        self.0.len() as u64
    }

    /// One column of a construct.
    pub fn column(&self, construct: usize, column: usize) -> Vec<f64> {
        self.0.iter().map(|rows| rows[construct].values[column]).collect()
    }

    /// How each point of a construct ended.
    pub fn ends(&self, construct: usize) -> Vec<End> {
        self.0.iter().map(|rows| rows[construct].end).collect()
    }

    /// The first that did not end as held: number, end, why.
    pub fn listed(&self, construct: usize) -> impl Iterator<Item = (u64, End, &str)> {
        let rows = self.0.iter().enumerate().map(move |(k, rows)| (k as u64, &rows[construct]));
        rows.filter(|(_, row)| row.end != End::Held).take(MOST_LISTED).map(|(k, row)| (k, row.end, row.why.as_str()))
    }
}
