//! Figures of pairs, and of sweeps that were broken off.

use crate::figures::studies::{over_width, plane, study};
use rimhold::show::figures::{Theme, scatter_differences, sweep_lines, sweep_map};
use rimhold::study::result::Scatter;

/// A figure of a sweep that was broken off tells of the points that were computed, and of no others.
#[test]
fn an_interrupted_sweep_claims_only_what_was_computed() {
    let mut torn = plane();
    torn.constructs[1].points.truncate(31);
    torn.constructs[0].points.truncate(31);
    torn.complete = false;
    let mut lines = over_width();
    lines.constructs.iter_mut().for_each(|c| c.points.truncate(3));
    lines.complete = false;
    for (figure, done) in [
        (sweep_map(&torn, 0, &Theme::double()), "31 of 78 requested"),
        (sweep_lines(&lines, &Theme::double()), "3 of 16 requested"),
    ] {
        for text in [&figure.caption, &figure.alt] {
            assert_eq!(text.matches(done).count(), 2, "{text}");
            assert!(!text.contains("all 78") && !text.contains("all 16"), "{text}");
            assert!(!text.contains("of 78 points"), "{text}");
        }
    }
}

/// Every pair has a figure with a name of its own; of many constructs only pairs with the first.
#[test]
fn every_pair_has_its_figure() {
    let names = |found: &Scatter| -> Vec<String> {
        let figures = scatter_differences(found, &Theme::double());
        figures.into_iter().map(|f| f.name).collect()
    };
    let some: Vec<(&str, bool)> = vec![("a", true), ("b", true), ("c", true), ("d", true)];
    assert_eq!(
        names(&study(&some[..3], 300, false)),
        ["scatter-difference-b", "scatter-difference-c", "scatter-difference-c-from-b"]
    );
    assert_eq!(names(&study(&some, 300, false)).len(), 6);
    let mut more = some.clone();
    more.push(("e", true));
    let found = study(&more, 300, false);
    let figures = scatter_differences(&found, &Theme::double());
    assert_eq!(figures.len(), 4);
    assert!(figures[0].caption.contains("stand in the tables"));
}
