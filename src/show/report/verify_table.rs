//! A verification, and predictions beside publications, as tables for reading.

use super::evidence::{
    ORDERS, VERDICTS, answer, band, by_category, by_law, design, drawn, expected, grouped, ok, or_dash, order,
    published, range, refined, share, summary, verdict, with_unit,
};
use crate::show::terminal::{Page, Set};
use crate::show::words::significant;
use crate::verify::published::Predictions;
use crate::verify::{Check, Series, Verification};

/// The verification: each law with its source and checks, each refinement, and the end of it.
pub fn verify_table(page: &mut Page, found: &Verification) {
    for (category, checks) in by_category(found) {
        if checks.is_empty() {
            continue;
        }
        let (name, question) = category.words();
        page.heading(&format!("{}: {question}", name.to_uppercase()));
        for law in by_law(&checks) {
            checks_of(page, law);
        }
    }
    if !found.series.is_empty() {
        page.heading("REFINEMENT: is the answer resolved?");
        for group in grouped(&found.series) {
            series_of(page, group);
        }
        page.gap();
        page.paragraph(ORDERS);
    }
    page.heading("Result");
    page.paragraph(&summary(found));
    for check in found.checks.iter().filter(|c| !c.passed) {
        // The first line of a longer trouble; JSON has all of it.
        let trouble = check.trouble.as_deref().and_then(|t| t.lines().next());
        let why = trouble.unwrap_or("out of tolerance");
        page.item(&format!("{}: {}: {why}", check.law, check.name));
    }
    for series in found.series.iter().filter(|s| !s.passed) {
        page.item(&format!(
            "{}: {} on finer {}: off by {} %, allowed {} %",
            series.subject,
            series.quantity,
            refined(series.refined),
            share(series.error),
            share(Some(series.tolerance))
        ));
    }
    page.paragraph("What makes each tolerance so large is told by --format markdown and json.");
}

fn checks_of(page: &mut Page, law: &[Check]) {
    let Some(first) = law.first() else { return };
    page.heading(&first.law);
    page.paragraph(&format!("Source: {}.", first.source));
    let rows: Vec<Vec<String>> = law
        .iter()
        .map(|check| {
            vec![
                with_unit(&check.name, &check.unit),
                expected(check),
                or_dash(check.obtained, 6),
                or_dash(check.error, 2),
                significant(check.tolerance, 2),
                ok(check.passed).to_owned(),
            ]
        })
        .collect();
    page.grid(
        &[
            ("", Set::Fill),
            ("expected", Set::Right),
            ("obtained", Set::Right),
            ("off by", Set::Right),
            ("allowed", Set::Right),
            ("", Set::Left),
        ],
        &rows,
    );
}

fn series_of(page: &mut Page, group: &[Series]) {
    let Some(first) = group.first() else { return };
    page.heading(&format!("{}: {}", first.subject, refined(first.refined)));
    let rows: Vec<Vec<String>> = group
        .iter()
        .map(|series| {
            let mut row = vec![with_unit(&series.quantity, &series.unit)];
            row.extend(series.values.iter().map(|v| or_dash(*v, 5)));
            row.push(order(&series.order));
            row.push(share(series.error));
            row.push(share(series.uncertainty));
            row.push(share(Some(series.tolerance)));
            row.push(ok(series.passed).to_owned());
            row
        })
        .collect();
    let levels = first.levels.map(|n| n.to_string());
    let mut heads = vec![("", Set::Fill)];
    heads.extend(levels.iter().map(|l| (l.as_str(), Set::Right)));
    heads.extend([
        ("order", Set::Right),
        ("error %", Set::Right),
        ("index %", Set::Right),
        ("allowed %", Set::Right),
        ("", Set::Left),
    ]);
    page.grid(&heads, &rows);
}

/// Predictions beside publications, and facts of the trade.
pub fn published_table(page: &mut Page, found: &Predictions) {
    page.heading("Predictions beside published bench tests");
    page.paragraph(&design(found));
    page.paragraph(VERDICTS);
    for study in found.comparisons.chunk_by(|a, b| a.study == b.study) {
        page.heading(&study[0].study);
        let rows: Vec<Vec<String>> = study
            .iter()
            .map(|c| {
                vec![
                    with_unit(&c.quantity, &c.unit),
                    band(&c.predicted),
                    or_dash(c.predicted.and_then(|b| b.at_defaults), 3),
                    published(&c.published),
                    drawn(&c.predicted),
                    verdict(c).to_owned(),
                ]
            })
            .collect();
        page.grid(
            &[
                ("", Set::Fill),
                ("predicted", Set::Left),
                ("at defaults", Set::Right),
                ("published", Set::Left),
                ("draws", Set::Right),
                ("verdict", Set::Left),
            ],
            &rows,
        );
    }
    page.heading("Facts of the trade (common practice, no source), asked of the model");
    for fact in &found.facts {
        page.gap();
        page.value(
            &fact.fact,
            format!(
                "{} at the defaults; yes in {}, no in {} draws, no answer in {}. {}",
                answer(fact.at_defaults),
                fact.yes,
                fact.no,
                fact.without,
                range(fact)
            ),
        );
        page.value("", format!("Asked: {}.", fact.asked));
    }
    page.heading("Not compared");
    for words in &found.left_out {
        page.item(&format!("{words}."));
    }
}
