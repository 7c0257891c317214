//! Published bench tests and facts of the trade beside predictions. Looked at, not forced: asserted is
//! that everything is asked and answered, that nothing is calibrated in silence, and that the evidence
//! page tells the verdicts that the program finds.
//!
//! Sources: Spiegl et al., Am J Sports Med 2014, 10.1177/0363546514532782; Park et al., J Shoulder
//! Elbow Surg 2007;16:461; Yamamoto et al., Am J Sports Med 2009;37:949 (abstracts).

use rimhold::anatomy::Socket;
use rimhold::show::report::{Page, evidence_page, published_markdown, published_table};
use rimhold::verify::published::{DRAWS, SEED, Verdict, predict, slope};
use std::sync::atomic::{AtomicUsize, Ordering};
use unicode_width::UnicodeWidthStr;

const PAGE: &str = include_str!("evidence/published.md");
const DISCUSSED: &str = include_str!("README.md");

/// Cells of the lines of Markdown tables.
fn lines(text: &str) -> Vec<Vec<&str>> {
    text.lines()
        .filter(|l| l.starts_with("| ") && !l.starts_with("| ---"))
        .map(|l| l.trim_matches('|').split(" | ").map(str::trim).collect())
        .collect()
}

#[test]
fn predictions_stand_beside_what_was_published_and_on_the_evidence_page() {
    let done = AtomicUsize::new(0);
    let found = predict(DRAWS, SEED, &|| {
        done.fetch_add(1, Ordering::Relaxed);
    });
    assert_eq!(done.into_inner(), DRAWS + 1);
    assert!(found.calibrated.is_empty());
    for c in &found.comparisons {
        let band = c.predicted.unwrap_or_else(|| panic!("{c:?}"));
        assert!(band.low <= band.median && band.median <= band.high, "{c:?}");
        assert_eq!(band.draws + band.without, DRAWS, "{c:?}");
        assert!(band.draws > DRAWS / 2, "{c:?}");
        assert_eq!(c.verdict.is_some(), c.published.is_some(), "{c:?}");
    }
    for f in &found.facts {
        assert_eq!(f.yes + f.no + f.without, DRAWS, "{f:?}");
        assert!(f.yes + f.no > DRAWS / 2, "{f:?}");
    }
    let text = published_markdown(&found);
    println!("{text}");
    let mut table = Page::new(false);
    published_table(&mut table, &found);
    let table = table.finish();
    let words = table.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("OUTSIDE") && words.contains("no independent test"), "{table}");
    assert!(table.lines().all(|line| line.width() <= 80), "{table}");
    // Row by row, in order. Of a comparison its name, what was published and its range, the verdict
    // (also where nothing was read); of a fact its name, how it is asked and the answer at the
    // defaults. Counts and digits are those of the run that was pasted.
    if std::env::var_os("RIMHOLD_WRITE").is_some() {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/evidence/published.md");
        let page = evidence_page("Predictions beside published bench tests", &[text]);
        return std::fs::write(path, page).unwrap();
    }
    let page = lines(PAGE);
    let now = lines(&text);
    let mut facts = false;
    for (told, line) in page.iter().zip(&now) {
        if ["quantity", "rule", "input"].contains(&line[0]) {
            facts = line[0] == "rule";
            assert_eq!(told, line);
        }
        let kept: &[usize] = match line.len() {
            7 if facts => &[0, 1, 2],
            7 => &[0, 3, 4, 6],
            4 => &[0, 1, 2, 3],
            other => panic!("{other} cells: {line:?}"),
        };
        assert!(
            told.len() == line.len() && kept.iter().all(|k| told[*k] == line[*k]),
            "the evidence page says {told:?}, the program {line:?}"
        );
    }
    assert_eq!(page.len(), now.len());
    // Every comparison that falls outside is discussed there by its words.
    let bullets: Vec<&str> = DISCUSSED.lines().filter(|l| l.starts_with("- **")).collect();
    for c in found.comparisons.iter().filter(|c| c.verdict == Some(Verdict::Outside)) {
        let words = format!("**{}**", c.quantity);
        assert!(bullets.iter().any(|bullet| bullet.contains(&words)), "no discussion of {words}");
    }
}

#[test]
fn stability_ratio_is_the_slope_of_the_face() {
    // Concavity and compression: a head on a sphere of radius ρ leaves over a rim at r when the push is
    // the slope there times the compression, r/√(ρ² − r²) (statics of a body on an incline).
    for (rho, radius) in [(30.0f64, 13.0f64), (24.0, 15.0), (35.0, 11.5)] {
        let socket = Socket { radius, face_radius: Some(rho) };
        for r in [radius, radius - 6.0] {
            let exact = r / (rho * rho - r * r).sqrt();
            // A central difference over 1e-4 mm: roundings of 1e-15 mm over it.
            assert!((slope(&socket, r) - exact).abs() < 1e-9);
        }
    }
}
