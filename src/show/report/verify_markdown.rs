//! A verification, and predictions beside publications, as Markdown for a supplement: with what makes
//! each tolerance so large, and the spread of each input drawn.

use super::CAUTION;
use super::evidence::{
    ORDERS, VERDICTS, answer, band, by_category, by_law, design, drawn, expected, grouped, ok, or_dash, order,
    published, range, refined, share, summary, verdict, with_unit,
};
use crate::show::words::significant;
use crate::verify::published::Predictions;
use crate::verify::{Category, Verification};
use std::fmt::Write;

/// A line of a table; a bar in a cell would end it.
fn line(cells: &[String]) -> String {
    let cells: Vec<String> = cells.iter().map(|c| c.replace('|', "\\|")).collect();
    format!("| {} |\n", cells.join(" | "))
}

fn table(heads: &[&str], rows: &[Vec<String>]) -> String {
    let heads: Vec<String> = heads.iter().map(|h| (*h).to_owned()).collect();
    let rules = vec!["---".to_owned(); heads.len()];
    let mut text = line(&heads) + &line(&rules);
    for row in rows {
        text += &line(row);
    }
    text
}

/// The verification as Markdown.
pub fn verify_markdown(found: &Verification) -> String {
    let mut text = format!("{}\n", summary(found));
    for (category, checks) in by_category(found) {
        let has_series = category == Category::CalculationVerification && !found.series.is_empty();
        if checks.is_empty() && !has_series {
            continue;
        }
        let (name, question) = category.words();
        let _ = write!(text, "\n### {name}: {question}\n");
        for law in by_law(&checks) {
            let _ = write!(text, "\n**{}.** Source: {}.\n\n", law[0].law, law[0].source);
            let rows: Vec<Vec<String>> = law
                .iter()
                .map(|check| {
                    vec![
                        with_unit(&check.name, &check.unit),
                        expected(check),
                        match check.trouble.as_deref() {
                            Some(trouble) => trouble.lines().next().unwrap_or("-").to_owned(),
                            None => or_dash(check.obtained, 6),
                        },
                        or_dash(check.error, 2),
                        significant(check.tolerance, 2),
                        check.reason.clone(),
                        ok(check.passed).to_owned(),
                    ]
                })
                .collect();
            text += &table(&["check", "expected", "obtained", "off by", "allowed", "because", ""], &rows);
        }
        if has_series {
            for group in grouped(&found.series) {
                let first = &group[0];
                let _ = write!(text, "\n**{}: {}.**\n\n", first.subject, refined(first.refined));
                let rows: Vec<Vec<String>> = group
                    .iter()
                    .map(|s| {
                        let mut row = vec![with_unit(&s.quantity, &s.unit)];
                        row.extend(s.values.iter().map(|v| or_dash(*v, 5)));
                        row.extend([
                            or_dash(s.used, 5),
                            order(&s.order),
                            or_dash(s.extrapolated, 5),
                            share(s.error),
                            share(s.uncertainty),
                            share(Some(s.tolerance)),
                            s.reason.clone(),
                            ok(s.passed).to_owned(),
                        ]);
                        row
                    })
                    .collect();
                let levels = first.levels.map(|n| n.to_string());
                let mut heads = vec!["quantity"];
                heads.extend(levels.iter().map(String::as_str));
                heads.extend(["used", "order", "extrapolated", "error %", "index %", "allowed %", "because", ""]);
                text += &table(&heads, &rows);
            }
            let _ = write!(text, "\n{ORDERS}\n");
        }
    }
    text
}

/// Predictions beside publications as Markdown.
pub fn published_markdown(found: &Predictions) -> String {
    let mut text = format!("{}\n\n{VERDICTS}\n", design(found));
    for study in found.comparisons.chunk_by(|a, b| a.study == b.study) {
        let _ = write!(text, "\n**{}.**\n\n", study[0].study);
        let rows: Vec<Vec<String>> = study
            .iter()
            .map(|c| {
                vec![
                    with_unit(&c.quantity, &c.unit),
                    band(&c.predicted),
                    or_dash(c.predicted.and_then(|b| b.at_defaults), 3),
                    published(&c.published),
                    c.published.as_ref().map_or_else(String::new, |p| p.range_is.clone()),
                    drawn(&c.predicted),
                    verdict(c).to_owned(),
                ]
            })
            .collect();
        text += &table(&["quantity", "predicted", "at defaults", "published", "range", "draws", "verdict"], &rows);
    }
    text += "\n**Facts of the trade** (common practice, no source), asked of the model.\n\n";
    let rows: Vec<Vec<String>> = found
        .facts
        .iter()
        .map(|f| {
            vec![
                f.fact.clone(),
                f.asked.clone(),
                answer(f.at_defaults).to_owned(),
                f.yes.to_string(),
                f.no.to_string(),
                f.without.to_string(),
                range(f),
            ]
        })
        .collect();
    text += &table(&["fact", "asked", "at defaults", "yes", "no", "no answer", "over which inputs"], &rows);
    text += "\nNot compared:\n\n";
    for words in &found.left_out {
        let _ = writeln!(text, "- {words}.");
    }
    text += "\nInputs drawn, with low end, default and high end:\n\n";
    let rows: Vec<Vec<String>> = found
        .inputs
        .iter()
        .map(|i| {
            let mut row = vec![with_unit(&format!("`{}`", i.path), &i.unit)];
            row.extend(i.spread.map(|v| significant(v, 4)));
            row
        })
        .collect();
    text += &table(&["input", "low", "default", "high"], &rows);
    text
}

/// A whole page: what it is, the caution, and its parts.
pub fn evidence_page(title: &str, parts: &[String]) -> String {
    let version = env!("CARGO_PKG_VERSION");
    format!("## {title} (rimhold {version})\n\n> **Caution.** {CAUTION}\n\n{}", parts.join("\n"))
}
