//! Published bench tests and facts of the trade beside predictions. Looked at, not forced: asserted is
//! that everything is asked and answered, that nothing is calibrated in silence, and that the evidence
//! page tells the verdicts that the program finds.
//!
//! Sources: Spiegl et al., Am J Sports Med 2014, 10.1177/0363546514532782; Park et al., J Shoulder
//! Elbow Surg 2007;16:461; Yamamoto et al., Am J Sports Med 2009;37:949 (abstracts).

use rimhold::anatomy::Socket;
use rimhold::report::{Page, published_markdown, published_table};
use rimhold::verify::published::{DRAWS, SEED, Verdict, predict, slope};
use std::sync::atomic::{AtomicUsize, Ordering};
use unicode_width::UnicodeWidthStr;

const PAGE: &str = include_str!("README.md");

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
    assert!(table.contains("OUTSIDE") && table.contains("nothing is tuned"));
    assert!(table.lines().all(|line| line.width() <= 100), "{table}");
    let page = lines(PAGE);
    for line in lines(&text) {
        // Of a comparison its name, what was published and the verdict; of a fact its name, how it is
        // asked and the answer at the defaults. Counts and digits are those of the run that was pasted.
        let kept: Vec<usize> = match line.len() {
            7 if line[6] == "verdict"
                || line[4].contains("mean")
                || line[4].contains("specimens") =>
            {
                vec![0, 3, 6]
            }
            7 => vec![0],
            _ => vec![0, 1, 2],
        };
        assert!(
            page.iter()
                .any(|p| p.len() == line.len() && kept.iter().all(|k| p[*k] == line[*k])),
            "the evidence page does not say: {line:?}"
        );
    }
    // Every comparison that falls outside is discussed there by its words.
    for c in found
        .comparisons
        .iter()
        .filter(|c| c.verdict == Some(Verdict::Outside))
    {
        let words = format!("- **{}", c.quantity);
        assert!(PAGE.contains(&words), "no discussion of {words}");
    }
}

#[test]
fn stability_ratio_is_the_slope_of_the_face() {
    // Concavity and compression: a head on a sphere of radius ρ leaves over a rim at r when the push is
    // the slope there times the compression, r/√(ρ² − r²) (statics of a body on an incline).
    for (rho, radius) in [(30.0f64, 13.0f64), (24.0, 15.0), (35.0, 11.5)] {
        let socket = Socket {
            radius,
            face_radius: Some(rho),
        };
        for r in [radius, radius - 6.0] {
            let exact = r / (rho * rho - r * r).sqrt();
            // A central difference over 1e-4 mm: roundings of 1e-15 mm over it.
            assert!((slope(&socket, r) - exact).abs() < 1e-9);
        }
    }
}
