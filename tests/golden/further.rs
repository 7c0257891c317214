//! The answers of the further questions (drilling, losses, rehabilitation, the joint) on the case of every first page.

use super::agree;
use rayon::prelude::*;
use rimhold::model::spread::Subject;
use rimhold::model::{CONSTRUCTS, Case, ConstructFile};
use rimhold::study::result::{JointPose, Slide};
use rimhold::study::{BudgetPlan, DrillPlan, JointPlan, LosePlan, budget, drill, joint, lose};
use std::fmt::Write;
use std::path::Path;

const CASE: &str = "quarter";

/// A line: question, construct, quantity, value; empty where there is none.
type Line = [String; 4];

fn line(question: &str, construct: &str, quantity: String, value: Option<f64>) -> Line {
    [question.into(), construct.into(), quantity, value.map_or_else(String::new, |v| format!("{v:.6e}"))]
}

fn lost(case: &Case, name: &str) -> Vec<Line> {
    let construct = ConstructFile::open(name).and_then(|file| file.fit(case)).expect("it fits");
    let found = lose(case, &construct, &[], &LosePlan::default(), &()).unwrap();
    let fails = |b: &rimhold::study::result::Bearing| b.failure.as_ref().map(|f| f.load);
    let mut lines = vec![line("lose", name, "whole (N)".into(), found.whole.load)];
    for l in &found.losses {
        let part = &l.parts[0].name;
        lines.push(line("lose", name, format!("after {part} (N)"), l.after.load));
        lines.push(line("lose", name, format!("after {part} to failure (N)"), fails(&l.after)));
        lines.push(line("lose", name, format!("without {part} (N)"), l.before.load));
    }
    lines
}

fn budgeted(name: &str) -> Vec<Line> {
    let subject = Subject::open(CASE, &[name.to_owned()]).unwrap();
    let found = budget(subject, &BudgetPlan { draws: 0, ..BudgetPlan::default() }, &()).unwrap();
    let of = |what: &str, phase: &str, value| line("budget", name, format!("{phase} {what}"), value);
    let phases = found.phases.iter().flat_map(|p| {
        let last = p.points.last().map(|q| q.compression);
        [
            of("residual (mm)", &p.name, p.left),
            of("at peak (mm)", &p.name, p.peak),
            of("compression (N)", &p.name, last),
            of("to failure (N)", &p.name, p.fails.as_ref().map(|f| f.load)),
        ]
    });
    phases.collect()
}

fn drilled(case: &Case, name: &str) -> Vec<Line> {
    let construct = ConstructFile::open(name).and_then(|file| file.fit(case)).expect("it fits");
    let found = drill(case, &construct, &DrillPlan::default());
    let of = |what: &str, value| line("drill", name, what.to_owned(), value);
    let mut lines = vec![
        of("reached", Some(found.reached() as f64)),
        of("violations", Some(found.violations.len() as f64)),
        of("thinnest bridge (mm)", found.thinnest().map(|b| b.bone)),
    ];
    lines.extend(found.holes.iter().map(|h| of(&format!("lean of {} (deg)", h.name), h.lean)));
    lines
}

fn joined(case: &Case, name: &str) -> Vec<Line> {
    let construct = ConstructFile::open(name).and_then(|file| file.fit(case)).expect("it fits");
    let found = joint(case, Some(&construct), &JointPlan::default());
    let slides = found.states.iter().flat_map(|s| s.slides.iter().map(move |d| (s.state, d)));
    let of = |(state, d): (JointPose, &Slide)| {
        let at = format!("{state:?} {}", d.direction).to_lowercase();
        [
            line("joint", name, format!("{at} ratio"), Some(d.ratio)),
            line("joint", name, format!("{at} pressure (MPa)"), Some(d.pressure)),
        ]
    };
    slides.flat_map(of).collect()
}

#[test]
fn further_answers_are_those_last_agreed_on() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden/further.csv");
    let case = Case::open(CASE).unwrap();
    let of = |(name, _): &(&str, &str)| {
        [drilled(&case, name), lost(&case, name), budgeted(name), joined(&case, name)].concat()
    };
    let rows: Vec<Line> = CONSTRUCTS.par_iter().flat_map_iter(of).collect();
    let then = std::fs::read_to_string(&path).unwrap_or_default();
    let then: Vec<Vec<&str>> = then.lines().skip(1).map(|line| line.split(',').collect()).collect();
    let mut changes = String::new();
    for now in &rows {
        let old = then.iter().find(|old| old[..3] == now[..3]).map_or("absent", |old| old[3]);
        if !agree(&now[3], old) {
            let _ = writeln!(changes, "{}: {old} → {}", now[..3].join(" "), now[3]);
        }
    }
    if std::env::var_os("RIMHOLD_WRITE").is_some() {
        let text: String = rows.iter().map(|row| row.join(",") + "\n").collect();
        std::fs::write(&path, format!("question,construct,quantity,value\n{text}")).unwrap();
        println!("{changes}");
    } else {
        assert!(changes.is_empty(), "{changes}");
        assert_eq!(then.len(), rows.len(), "questions that are no longer asked");
    }
}
