//! A study of uncertainty for machines: its JSON document and CSV.

use crate::show::report::json::{Body, Told};
use crate::show::report::summary::{CaseSummary, ConstructSummary};
use crate::show::table::{Cell, Table};
use crate::show::words::{event, tag};
use crate::study::result::{Estimate, Quantiles, Scatter, Share};
use schemars::JsonSchema;
use serde::Serialize;

/// What `rimhold scatter --format json` gives.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ScatterBody {
    /// The case as it stands in its file.
    pub case: CaseSummary,
    /// The constructs as they stand in their files.
    pub constructs: Vec<ConstructSummary>,
    /// How it was done, for a methods section.
    pub methods: String,
    /// What was found.
    pub scatter: Told<Scatter>,
}

impl ScatterBody {
    /// A document of one study.
    pub fn new(case: CaseSummary, constructs: Vec<ConstructSummary>, scatter: Scatter) -> Self {
        let (methods, reading) = (super::scatter_methods(&scatter), super::scatter_reading(&scatter));
        Self { case, constructs, methods, scatter: Told { found: scatter, reading } }
    }
}

impl Body for ScatterBody {
    const SCHEMA: &str = "rimhold-scatter/2";
}

/// One value a row.
struct Values(Table);

impl Values {
    fn put(&mut self, at: [&str; 4], statistic: &str, Estimate { value, error }: Estimate) {
        let number = |v: f64| Cell { text: String::new(), value: Some(v) };
        let last = [statistic.into(), number(value), error.map(number).into()];
        self.0.row(at.into_iter().map(Cell::from).chain(last));
    }

    fn share(&mut self, at: [&str; 4], statistic: &str, Share { value, error, bound }: Share) {
        self.put(at, statistic, Estimate { value, error });
        if let Some(bound) = bound {
            self.bare(at, &format!("{statistic}, 95 % bound"), bound);
        }
    }

    fn bare(&mut self, at: [&str; 4], statistic: &str, value: f64) {
        self.put(at, statistic, Estimate { value, error: None });
    }

    /// A value with the ends of its 95 % interval.
    fn interval(&mut self, at: [&str; 4], statistic: &str, value: f64, [low, high]: [f64; 2]) {
        self.bare(at, statistic, value);
        self.bare(at, &format!("{statistic}, 95 % low"), low);
        self.bare(at, &format!("{statistic}, 95 % high"), high);
    }

    fn quantiles(&mut self, at: [&str; 4], q: &Quantiles) {
        self.bare(at, "samples", q.of as f64);
        self.put(at, "mean", q.mean);
        self.bare(at, "standard deviation", q.deviation);
        self.put(at, "5 %", q.low);
        self.bare(at, "25 %", q.lower);
        self.put(at, "50 %", q.median);
        self.bare(at, "75 %", q.upper);
        self.put(at, "95 %", q.high);
    }
}

/// A study of uncertainty, one value a line; `error` is the Monte Carlo standard error.
pub fn scatter_csv(found: &Scatter) -> String {
    let heads = ["construct", "kind", "name", "unit", "statistic", "value", "error"];
    let mut values = Values(Table::new("scatter", "", &heads));
    for i in &found.inputs {
        let at = ["", "input", &i.line.path, &i.line.unit];
        values.bare(at, "mean drawn", i.mean);
        values.bare(at, "standard deviation drawn", i.deviation);
        values.bare(at, "share cut", i.line.cut);
    }
    for c in &found.correlations {
        let pair = c.between.join(" + ");
        let at = ["", "rank correlation", &pair, "1"];
        values.bare(at, &format!("requested ({})", tag(c.tag)), c.asked);
        values.bare(at, "reached", c.reached);
    }
    for c in &found.constructs {
        let name = c.construct.as_str();
        let ends = &c.ends;
        for (end, count) in [
            ("held", ends.held),
            ("lost in push", ends.lost_in_push),
            ("not held", ends.not_held),
            ("uncertified", ends.uncertified),
            ("impossible", ends.impossible),
        ] {
            values.bare([name, "end", end, "1"], "samples", count as f64);
        }
        let quantities =
            c.quantities.iter().map(|s| ("quantity", &s.quantity.key, s.quantity.unit.as_str(), &s.quantiles));
        let shares = c.shares.iter().map(|s| ("share at 1 mm", &s.name, "N", &s.quantiles));
        for (kind, what, unit, quantiles) in quantities.chain(shares) {
            if let Some(q) = quantiles {
                values.quantiles([name, kind, what, unit], q);
            }
        }
        for b in &c.band {
            let at = crate::show::table::csv_number(b.displacement);
            let place = [name, "load at mm", at.as_str(), "N"];
            values.bare(place, "samples", b.of as f64);
            for (statistic, load) in ["5 %", "25 %", "50 %", "75 %", "95 %"].iter().zip(b.loads.iter().flatten()) {
                values.bare(place, statistic, *load);
            }
        }
        let load = c.under.load.to_string();
        for (statistic, share) in [
            ("step above 2 mm", c.under.step),
            ("gives way", c.under.gives_way),
            ("not reached", c.under.not_reached),
            ("either", c.under.either),
        ] {
            if let Some(share) = share {
                values.share([name, "under N", load.as_str(), "1"], statistic, share);
            }
        }
        for e in &c.events {
            let what = format!("{} {}", event(e.kind), e.subject);
            values.share([name, "event", what.trim(), "1"], "probability", e.probability);
            values.share([name, "event", what.trim(), "1"], "before all else", e.first);
        }
        for r in &c.rankings {
            let kind = format!("partial rank correlation with {}", r.quantity.key);
            for k in &r.ranks {
                values.interval([name, kind.as_str(), &k.path, "1"], "coefficient", k.coefficient, k.interval);
            }
        }
        for i in &c.indices {
            let kind = format!("Sobol' index of {}", i.quantity.key);
            for x in &i.indices {
                let at = [name, kind.as_str(), &x.path, "1"];
                values.interval(at, "first", x.index.first, x.index.first_interval);
                values.interval(at, "total", x.index.total, x.index.total_interval);
            }
        }
        for a in &c.ends.listed {
            let sample = a.sample.to_string();
            values.bare([name, "failed", &sample, "1"], &a.why, a.sample as f64);
        }
    }
    for p in &found.pairs {
        let kind = format!("minus {}", p.first);
        let at = [p.second.as_str(), kind.as_str(), &p.quantity.key, &p.quantity.unit];
        if let Some(d) = &p.difference {
            values.quantiles(at, d);
        }
        if let Some(s) = p.superiority {
            values.share(at, "probability of more", s);
        }
        if let Some(r) = p.variance_ratio {
            values.bare(at, "variance ratio", r);
        }
    }
    values.0.csv()
}
