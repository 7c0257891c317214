//! Studies of scatter and sweeps for machines: JSON documents and CSV.

use super::CAUTION;
use super::csv::field;
use super::summary::{CaseSummary, ConstructSummary};
use crate::model::spread::Known;
use crate::study::result::{Estimate, Quantiles, Scatter, Share, Sweep, with_unit};
use schemars::JsonSchema;
use serde::Serialize;

/// Versions of the shapes; they change when a field changes its meaning or goes.
const SCATTER: &str = "rimhold-scatter/2";
const SWEEP: &str = "rimhold-sweep/1";

/// The document of a study of scatter.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ScatterDocument {
    /// `rimhold-scatter/2`.
    pub schema: String,
    /// Version of the program.
    pub version: String,
    /// What this is and is not.
    pub caution: String,
    /// The case as it stands in its file.
    pub case: CaseSummary,
    /// The constructs as they stand in their files.
    pub constructs: Vec<ConstructSummary>,
    /// How it was done, for a methods section.
    pub methods: String,
    /// What was found.
    pub scatter: Scatter,
}

impl ScatterDocument {
    /// A document of one study.
    pub fn new(case: CaseSummary, constructs: Vec<ConstructSummary>, methods: String, scatter: Scatter) -> Self {
        Self {
            schema: SCATTER.to_owned(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
            caution: CAUTION.to_owned(),
            case,
            constructs,
            methods,
            scatter,
        }
    }
}

/// The document of a sweep.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SweepDocument {
    /// `rimhold-sweep/1`.
    pub schema: String,
    /// Version of the program.
    pub version: String,
    /// What this is and is not.
    pub caution: String,
    /// The case as it stands in its file.
    pub case: CaseSummary,
    /// The constructs as they stand in their files.
    pub constructs: Vec<ConstructSummary>,
    /// What was found.
    pub sweep: Sweep,
}

impl SweepDocument {
    /// A document of one sweep.
    pub fn new(case: CaseSummary, constructs: Vec<ConstructSummary>, sweep: Sweep) -> Self {
        Self {
            schema: SWEEP.to_owned(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
            caution: CAUTION.to_owned(),
            case,
            constructs,
            sweep,
        }
    }
}

/// The JSON Schema (draft 2020-12) of the document of a study of scatter.
pub fn scatter_schema() -> serde_json::Value {
    let mut schema = schemars::schema_for!(ScatterDocument);
    schema.insert("title".to_owned(), SCATTER.into());
    schema.to_value()
}

/// The JSON Schema (draft 2020-12) of the document of a sweep.
pub fn sweep_schema() -> serde_json::Value {
    let mut schema = schemars::schema_for!(SweepDocument);
    schema.insert("title".to_owned(), SWEEP.into());
    schema.to_value()
}

/// Lines of `construct,kind,name,unit,statistic,value,error`.
struct Lines(String);

impl Lines {
    fn put(&mut self, at: [&str; 4], statistic: &str, value: Estimate) {
        let error = value.error.map_or_else(String::new, |e| e.to_string());
        let mut cells: Vec<String> = at.iter().map(|c| field(c)).collect();
        cells.extend([field(statistic), value.value.to_string(), error]);
        self.0.push_str(&cells.join(","));
        self.0.push('\n');
    }

    fn share(&mut self, at: [&str; 4], statistic: &str, share: Share) {
        let Share { value, error, bound } = share;
        self.put(at, statistic, Estimate { value, error });
        if let Some(bound) = bound {
            self.bare(at, &format!("{statistic}, 95 % bound"), bound);
        }
    }

    fn bare(&mut self, at: [&str; 4], statistic: &str, value: f64) {
        self.put(at, statistic, Estimate { value, error: None });
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

/// A study of scatter, one value a line; `error` is the Monte Carlo standard error.
pub fn scatter_csv(found: &Scatter) -> String {
    let mut lines = Lines("construct,kind,name,unit,statistic,value,error\n".to_owned());
    for i in &found.inputs {
        let at = ["", "input", &i.path, &i.unit];
        lines.bare(at, "mean drawn", i.mean);
        lines.bare(at, "standard deviation drawn", i.deviation);
        lines.bare(at, "share cut", i.cut);
    }
    for c in &found.correlations {
        let pair = c.between.join(" + ");
        let at = ["", "rank correlation", &pair, "1"];
        lines.bare(at, &format!("asked for ({})", crate::show::words::tag(c.tag)), c.asked);
        lines.bare(at, "reached", c.reached);
    }
    for c in &found.constructs {
        let name = c.construct.as_str();
        for (end, count) in [
            ("held", c.ends.held),
            ("lost in push", c.ends.lost_in_push),
            ("not held", c.ends.not_held),
            ("uncertified", c.ends.uncertified),
            ("impossible", c.ends.impossible),
        ] {
            lines.bare([name, "end", end, "1"], "samples", count as f64);
        }
        for s in &c.quantities {
            if let Some(q) = &s.quantiles {
                lines.quantiles([name, "quantity", &s.quantity.key, &s.quantity.unit], q);
            }
        }
        for s in &c.shares {
            if let Some(q) = &s.quantiles {
                lines.quantiles([name, "share at 1 mm", &s.name, "N"], q);
            }
        }
        for b in &c.band {
            let at = b.displacement.to_string();
            let place = [name, "load at mm", at.as_str(), "N"];
            lines.bare(place, "samples", b.of as f64);
            for (statistic, load) in ["5 %", "25 %", "50 %", "75 %", "95 %"].iter().zip(b.loads.iter().flatten()) {
                lines.bare(place, statistic, *load);
            }
        }
        let load = c.under.load.to_string();
        let at = [name, "under N", load.as_str(), "1"];
        for (statistic, share) in [
            ("step above 2 mm", c.under.step),
            ("gives way", c.under.gives_way),
            ("not reached", c.under.not_reached),
            ("either", c.under.either),
        ] {
            if let Some(share) = share {
                lines.share(at, statistic, share);
            }
        }
        for e in &c.events {
            let what = format!("{} {}", crate::show::words::event(e.kind), e.subject);
            let at = [name, "event", what.trim(), "1"];
            lines.share(at, "probability", e.probability);
            lines.share(at, "before all else", e.first);
        }
        for r in &c.rankings {
            for k in &r.ranks {
                let kind = format!("partial rank correlation with {}", r.quantity.key);
                let at = [name, kind.as_str(), &k.path, "1"];
                lines.bare(at, "coefficient", k.coefficient);
                lines.bare(at, "95 % low", k.interval[0]);
                lines.bare(at, "95 % high", k.interval[1]);
            }
        }
        for i in &c.indices {
            for x in &i.indices {
                let kind = format!("Sobol' index of {}", i.quantity.key);
                let at = [name, kind.as_str(), &x.path, "1"];
                for (name, value, [low, high]) in
                    [("first", x.first, x.first_interval), ("total", x.total, x.total_interval)]
                {
                    lines.bare(at, name, value);
                    lines.bare(at, &format!("{name}, 95 % low"), low);
                    lines.bare(at, &format!("{name}, 95 % high"), high);
                }
            }
        }
        for a in &c.ends.listed {
            let sample = a.sample.to_string();
            lines.bare([name, "astray", &sample, "1"], &a.why, a.sample as f64);
        }
    }
    for p in &found.pairs {
        let kind = format!("minus {}", p.first);
        let at = [p.second.as_str(), kind.as_str(), &p.quantity.key, &p.quantity.unit];
        if let Some(d) = &p.difference {
            lines.quantiles(at, d);
        }
        if let Some(s) = p.superiority {
            lines.share(at, "probability of more", s);
        }
        if let Some(r) = p.variance_ratio {
            lines.bare(at, "variance ratio", r);
        }
    }
    lines.0
}

/// A sweep, one point a line.
pub fn sweep_csv(found: &Sweep) -> String {
    let mut heads = vec!["construct".to_owned()];
    heads.extend(found.axes.iter().map(|a| with_unit(&a.path, &a.unit)));
    heads.push("end".to_owned());
    heads.extend(found.quantities.iter().map(|q| with_unit(&q.key, &q.unit)));
    let line = |cells: &[String]| cells.iter().map(|c| field(c)).collect::<Vec<_>>().join(",") + "\n";
    let mut text = line(&heads);
    for c in &found.constructs {
        for p in &c.points {
            let mut cells = vec![c.construct.clone()];
            let at = found.axes.iter().zip(&p.at);
            cells.extend(at.map(|(axis, value)| axis.written(*value)));
            // Of the first that were lost it is known why.
            cells.push(if p.why.is_empty() { p.end.words().to_owned() } else { p.why.clone() });
            cells.extend(p.values.iter().map(|v| v.map_or_else(String::new, |v| v.to_string())));
            text.push_str(&line(&cells));
        }
    }
    text
}

/// The inputs that can be varied, one a line.
pub fn inputs_csv(known: &[Known]) -> String {
    let mut text = "path,meaning,unit,low,usual,high,least allowed,most allowed,backing,source\n".to_owned();
    for k in known {
        let cells = [
            k.path.clone(),
            k.meaning.clone(),
            k.unit.to_owned(),
            k.spread[0].to_string(),
            k.spread[1].to_string(),
            k.spread[2].to_string(),
            k.allowed.0.to_string(),
            k.allowed.1.to_string(),
            crate::show::words::tag(k.tag).to_owned(),
            k.source.to_owned(),
        ];
        text.push_str(&cells.map(|c| field(&c)).join(","));
        text.push('\n');
    }
    text
}
