//! Figures of scatter and sweeps.

use crate::figures::studies::{PATHS, TWO, axis, grid, hinges, over_width, plane, study, sweep};
use crate::figures::{check_foreign, check_grey, check_slides, near};
use rimhold::quantities::quantity;
use rimhold::show::figures::{
    Figure, Style, Theme, scatter_differences, scatter_fan, scatter_figures, scatter_indices, scatter_intervals,
    scatter_ranking, sweep_figures, sweep_lines, sweep_map,
};
use rimhold::study::result::{End, Scatter};

fn named(base: &str, width: &str, figures: Vec<Figure>) -> Vec<(String, Figure)> {
    let number = |(k, figure)| (format!("{base}-{k}-{width}"), figure);
    figures.into_iter().enumerate().map(number).collect()
}

fn every(found: &Scatter, theme: &Theme) -> Vec<Figure> {
    let mut figures = vec![scatter_fan(found, theme), scatter_intervals(found, theme)];
    figures.extend(scatter_differences(found, theme));
    figures.extend(scatter_ranking(found, theme));
    figures.extend(scatter_indices(found, theme));
    figures
}

pub fn all() -> Vec<(String, Figure)> {
    let mut figures = Vec::new();
    for (width, theme) in [("85", Theme::single()), ("180", Theme::double())] {
        figures.extend(named("scatter", width, every(&study(&TWO, 300, true), &theme)));
        let sweeps =
            vec![sweep_lines(&over_width(), &theme), sweep_lines(&hinges(), &theme), sweep_map(&plane(), 0, &theme)];
        figures.extend(named("sweep", width, sweeps));
    }
    figures
}

pub fn in_style(style: Style) -> Vec<(String, Figure)> {
    let mut figures = named("scatter", "180", scatter_figures(&study(&TWO, 300, true), style));
    for (name, found) in [("width", over_width()), ("plane", plane()), ("hinge", hinges())] {
        figures.extend(named(&format!("sweep-{name}"), "180", sweep_figures(&found, style)));
    }
    figures
}

/// Too little of everything, and too much.
pub fn hard() -> Vec<(String, Figure)> {
    let never = [("one-by-one", true), ("never held at all, whatever is drawn", false)];
    let many: Vec<(String, bool)> = (0..8).map(|k| (format!("construct-number-{k}"), true)).collect();
    let many: Vec<(&str, bool)> = many.iter().map(|(n, h)| (n.as_str(), *h)).collect();
    let mut figures = Vec::new();
    for (width, theme) in [("85", Theme::single()), ("180", Theme::double())] {
        for (name, found) in [
            ("never", study(&never, 300, true)),
            ("none", study(&[("nothing-held", false)], 20, false)),
            ("single", study(&TWO, 1, false)),
            ("nine-many", study(&many, 10_000, false)),
        ] {
            figures.extend(named(&format!("scatter-{name}"), width, every(&found, &theme)));
        }
        let names = ["one-by-one", "Donaudampfschifffahrtsgesellschaftskonstruktion"];
        let one = |x: f64| vec![axis("bed.friction", "", &[x])];
        let held = |_, x: f64, _| (End::Held, Some(10.0 * x));
        let lost = |_, _, _| (End::NotHeld, None);
        let both = || vec![axis("bed.friction", "", &[0.5]), axis("a.b", "N", &[1e3])];
        let mut torn = plane();
        torn.constructs[1].points.truncate(31);
        torn.complete = false;
        let wide = vec![
            axis("fragment.width", "%", &grid(40, 10.0, 40.0)),
            axis("limb.*.tension", "N", &grid(33, 10.0, 80.0)),
        ];
        let fine = sweep(wide, &names, &["step"], |_, x, y| (End::Held, Some((0.2 * x).sin() * 2.3 + 0.02 * y - 1.0)));
        figures.extend(named(
            "sweep-hard",
            width,
            vec![
                sweep_lines(&sweep(one(0.5), &names, &["load-1mm", "step"], held), &theme),
                sweep_lines(&sweep(one(0.5), &names, &["load-1mm"], lost), &theme),
                sweep_map(&sweep(both(), &names, &["load-1mm"], held), 0, &theme),
                sweep_map(&sweep(both(), &names, &["step"], lost), 0, &theme),
                sweep_map(&torn, 0, &theme),
                sweep_map(&fine, 0, &theme),
                sweep_lines(&sweep(vec![axis("tether.hinge", "", &[0.0, 1.0, 2.0])], &names, &["tilt"], held), &theme),
            ],
        ));
    }
    figures
}

/// The fields of a CSV row; none of those here holds a quoted comma before the fields looked at.
fn rows(figure: &Figure) -> Vec<Vec<&str>> {
    figure.csv.lines().skip(1).map(|l| l.split(',').collect()).collect()
}

fn says(figure: &Figure, what: &str) -> bool {
    crate::figures::words(figure).iter().any(|w| w.text.contains(what))
}

#[test]
fn tables_hold_the_numbers_of_the_result() {
    let found = study(&TWO, 300, true);
    let fan = scatter_fan(&found, &Theme::double());
    let rows_of_fan = rows(&fan);
    assert_eq!(rows_of_fan.len(), 2 * 11);
    for construct in &found.constructs {
        for p in &construct.band {
            let own = |r: &&Vec<&str>| r[0] == construct.construct && near(r[1], p.displacement);
            let row = rows_of_fan.iter().find(own).unwrap();
            assert!(row[4..9].iter().zip(p.loads.unwrap()).all(|(written, load)| near(written, load)), "{row:?}");
            assert_eq!(row[2].parse::<usize>().unwrap(), p.of);
        }
    }
    let differences = scatter_differences(&found, &Theme::double());
    assert_eq!(differences.len(), 1);
    let of = |kind: &str| -> Vec<f64> {
        let rows = rows(&differences[0]);
        let own = rows.iter().filter(|r| r[0] == "load-1mm" && r[2] == kind);
        own.map(|r| r[5].parse().unwrap()).collect()
    };
    let pair = found.pairs.iter().find(|p| p.quantity.key == "load-1mm").unwrap();
    assert!(near(&of("median")[0].to_string(), pair.difference.as_ref().unwrap().median.value));
    assert_eq!(of("probability of superiority"), [0.493]);
    // Every draw is in one bar of the histogram.
    assert_eq!(of("count").iter().sum::<f64>(), 300.0);
    let ranking = &scatter_ranking(&found, &Theme::double())[0];
    let own = rows(ranking).into_iter().filter(|r| r[0] == "step").count();
    assert_eq!(own, PATHS.len(), "all inputs, also those not drawn");
    let indices = &scatter_indices(&found, &Theme::double())[0];
    assert!(indices.csv.contains("friction.rim + friction.labrum"));
}

#[test]
fn counts_errors_and_bands_stand_on_the_figures() {
    let found = study(&TWO, 300, true);
    let theme = Theme::double();
    let fan = scatter_fan(&found, &theme);
    // 300 samples less a seventh for the first construct.
    for what in ["25–75 %", "5–95 %", "median: ", "of 300", "258"] {
        assert!(says(&fan, what), "{what}");
    }
    let intervals = scatter_intervals(&found, &theme);
    // The normal: 100 ± 1.645 · 20.
    assert!(says(&intervals, "100 (67 to 133)"));
    assert!(says(&intervals, "258 of 300 samples"));
    assert!(says(&intervals, "\u{2212}2 mm"));
    let difference = &scatter_differences(&found, &theme)[0];
    assert!(says(difference, "more on 49.3 % (s.e. 0.6) of 300 draws"));
    assert!(says(difference, "two-by-two-crossed minus one-by-one"));
    let ranking = &scatter_ranking(&found, &theme)[0];
    assert!(says(ranking, "superior-loop, tension") && !says(ranking, "limb.superior"));
    assert!(says(ranking, "3 more inputs"));
    assert_eq!(scatter_indices(&study(&TWO, 300, false), &theme).len(), 0);
}

#[test]
fn what_is_missing_is_said() {
    let theme = Theme::double();
    let found = study(&[("one-by-one", true), ("never", false)], 300, false);
    assert!(says(&scatter_fan(&found, &theme), "stable in none of 300 samples"));
    assert!(says(&scatter_intervals(&found, &theme), "no value in 300 samples"));
    assert!(says(&scatter_differences(&found, &theme)[0], "no draw on which both have it"));
    assert!(says(&scatter_ranking(&found, &theme)[1], "too few samples"));
    let fan = scatter_fan(&found, &theme);
    assert!(fan.caption.contains("300 unstable as tied"), "{}", fan.caption);
    let one = study(&TWO, 1, false);
    assert!(says(&scatter_fan(&one, &theme), "of 1:"));
    let mut stopped = study(&TWO, 300, false);
    stopped.samples = 500;
    assert!(scatter_fan(&stopped, &theme).caption.contains("of 500 requested; interrupted"));
}

/// How many strokes of a kind an SVG has.
fn count(figure: &Figure, start: &str, holds: &str) -> usize {
    let lines = figure.svg.lines();
    lines.filter(|l| l.starts_with(start) && l.contains(holds)).count()
}

#[test]
fn no_point_of_a_sweep_is_dropped_in_silence() {
    let found = over_width();
    let theme = Theme::double();
    let figure = sweep_lines(&found, &theme);
    for what in ["failed in the push", "unstable as tied", "invalid geometry"] {
        assert!(says(&figure, what), "{what}");
    }
    assert_eq!(rows(&figure).len(), 32);
    assert!(figure.csv.contains("unstable as tied"));
    assert!(figure.csv.contains("\"turns over, they say\""));
    // The same without losses: fewer symbols, no key.
    let held = sweep(
        found.axes.clone(),
        &["one-by-one", "two-by-two-crossed"],
        &["load-1mm", "load-2mm", "step"],
        |_, x, _| (End::Held, Some(x)),
    );
    let plain = sweep_lines(&held, &theme);
    assert!(!says(&plain, "failed in the push"));
    // Eight lost points of one line and three not held of the other: a ring in the strip of each of
    // three panels, and two strokes of a cross.
    let first = "stroke=\"#000000\"";
    let rings = |f: &Figure| count(f, "<circle", first);
    assert!(rings(&figure) >= rings(&plain) + 3 * 8, "{} {}", rings(&figure), rings(&plain));
    let map = sweep_map(&plane(), 0, &theme);
    for what in ["unstable as tied", "balance not checked", "failed in the push before this"] {
        assert!(says(&map, what), "{what}");
    }
    assert_eq!(rows(&map).len(), 2 * 13 * 6);
    let mut torn = plane();
    torn.constructs[1].points.truncate(31);
    assert!(says(&sweep_map(&torn, 0, &theme), "not computed"));
}

#[test]
fn contours_are_labelled_and_limits_drawn_for_shifts_alone() {
    let theme = Theme::double();
    let map = sweep_map(&plane(), 0, &theme);
    // The plane runs from 0.3 to 3.3 mm.
    assert!(says(&map, "1 mm") && says(&map, "2 mm"));
    let mut load = plane();
    load.quantities = vec![quantity("load-1mm").named()];
    let load = sweep_map(&load, 0, &theme);
    assert!(!says(&load, "1 mm") || !says(&load, "2 mm"));
    let line = sweep_lines(&over_width(), &theme);
    assert!(!says(&line, "\u{2212}2 mm"), "a step far above has no limit in range");
}

/// A map that is all but flat beside another has no contours; one that spans as little by itself, in a
/// unit where that is much, has them.
#[test]
fn a_flat_map_has_no_contours() {
    let over = || vec![axis("bed.friction", "", &grid(9, 0.0, 8.0)), axis("a.b", "N", &grid(5, 0.0, 4.0))];
    // Shifts: 3.0 to 4.6 mm, and 0.92 to 1.08 mm about the limit of 1 mm.
    let map = |key: &str, flat: f64| {
        let of = move |c: usize, x: f64, _: f64| {
            let v = if c == 0 { 3.0 + 0.2 * x } else { 1.0 + flat * (x - 4.2) };
            (End::Held, Some(v))
        };
        sweep_map(&sweep(over(), &["steep", "flat"], &[key], of), 0, &Theme::double())
    };
    assert!(!says(&map("lower-off", 0.02), "1 mm"));
    assert!(says(&map("lower-off", 0.05), "1 mm"));
    // Percent: flat alone counts against the step of the contours, 0.5 here.
    let alone = |slope: f64| {
        let of = move |_: usize, x: f64, _: f64| (End::Held, Some(1.0 + slope * x));
        let figure = sweep_map(&sweep(over(), &["one"], &["reserve"], of), 0, &Theme::single());
        contours(&figure)
    };
    assert!(alone(0.02) > 0);
    // Beside a map of 10 to 90 %, one that crosses 60 % has a contour there, but not within half a
    // percent of it everywhere.
    let beside = |slope: f64| {
        let of = move |c: usize, x: f64, _: f64| {
            let v = if c == 0 { 10.0 + 10.0 * x } else { 60.0 + slope * (x - 4.2) };
            (End::Held, Some(v))
        };
        let found = sweep(over(), &["steep", "flat"], &["reserve"], of);
        contours(&sweep_map(&found, 0, &Theme::double()))
    };
    assert_eq!(beside(1.0), beside(0.05) + 1);
}

/// Lines under a stroke of paper: the contours of a map.
fn contours(figure: &Figure) -> usize {
    let lines = figure.svg.lines();
    lines.filter(|l| l.starts_with("<polyline") && l.contains("stroke=\"#FFFFFF\"")).count()
}

/// Points that are lost later are marked over the contours, and no label covers a mark.
#[test]
fn marks_of_points_lost_later_stand_over_contours_and_clear_of_labels() {
    let found = sweep(
        vec![axis("limb.*.tension", "N", &grid(8, 10.0, 80.0)), axis("bed.friction", "", &grid(7, 0.3, 0.9))],
        &["one-by-one"],
        &["load-1mm"],
        |_, x, y| {
            let end = if x > 25.0 { End::LostInPush } else { End::Held };
            (end, Some(40.0 + x * (0.5 + y)))
        },
    );
    let figure = sweep_map(&found, 0, &Theme::single());
    let last_contour = figure.svg.rfind("stroke=\"#FFFFFF\"").unwrap();
    let number = |of: &str, key: &str| -> f64 {
        let rest = of.split(&format!(" {key}=\"")).nth(1).unwrap();
        rest.split('"').next().unwrap().parse().unwrap()
    };
    let mut marks = Vec::new();
    for (at, _) in figure.svg.match_indices("<circle") {
        let circle = figure.svg[at..].lines().next().unwrap();
        assert!(at > last_contour, "a mark under a contour");
        marks.push(["cx", "cy", "r"].map(|key| number(circle, key)));
    }
    assert!(marks.len() > 40);
    let mut labels = 0;
    for patch in figure.svg.lines().filter(|l| l.starts_with("<polygon") && l.contains("fill=\"#FFFFFF\"")) {
        let points: Vec<[f64; 2]> = patch
            .split(" points=\"")
            .nth(1)
            .unwrap()
            .split('"')
            .next()
            .unwrap()
            .split_whitespace()
            .map(|p| {
                let (x, y) = p.split_once(',').unwrap();
                [x.parse().unwrap(), y.parse().unwrap()]
            })
            .collect();
        // The sheet itself is no patch.
        if points.iter().any(|p| p[0] <= 0.0) {
            continue;
        }
        labels += 1;
        let side = |k: usize, f: fn(f64, f64) -> f64, from: f64| points.iter().map(|p| p[k]).fold(from, f);
        let (lo, hi) = ([0, 1].map(|k| side(k, f64::min, f64::INFINITY)), [0, 1].map(|k| side(k, f64::max, 0.0)));
        for [x, y, r] in &marks {
            // The nearest point of the patch to the centre of the mark.
            let near = [x.clamp(lo[0], hi[0]), y.clamp(lo[1], hi[1])];
            assert!((near[0] - x).hypot(near[1] - y) >= *r, "a label covers a mark");
        }
    }
    assert!(labels >= 3, "{labels} labels");
}

/// Bars say whose they are and what a full and a hatched one mean.
#[test]
fn bars_have_a_heading_and_a_key() {
    let found = study(&TWO, 300, true);
    for theme in [Theme::single(), Theme::double()] {
        for (figures, words) in [
            (scatter_ranking(&found, &theme), vec!["coefficient: more of", "95 % interval"]),
            (
                scatter_indices(&found, &theme),
                vec!["first: share that goes", "total: share that stays", "95 % interval"],
            ),
        ] {
            for (figure, construct) in figures.iter().zip(TWO.map(|t| t.0)) {
                assert!(says(figure, construct), "{construct}");
                for words in &words {
                    assert!(says(figure, words), "{construct}: {words}");
                }
            }
        }
    }
}

#[test]
fn the_scale_of_maps_darkens_in_even_steps_also_in_grey() {
    use rimhold::show::figures::Colour;
    // CIE L* (1976) of a scale that is even in Oklab: monotone, and even within a third.
    let tones: Vec<f64> = (0..=20).map(|k| Colour::depth(f64::from(k) / 20.0).lightness()).collect();
    let mean = (tones[0] - tones[20]) / 20.0;
    assert!(mean > 2.5, "{tones:?}");
    for pair in tones.windows(2) {
        let step = pair[0] - pair[1];
        assert!((step / mean - 1.0).abs() < 0.34, "{step} of {mean}");
    }
    // A map that rises from left to right darkens from left to right, in colour and in grey.
    let values = grid(9, 0.0, 8.0);
    let found =
        sweep(vec![axis("bed.friction", "", &values), axis("a.b", "N", &[1.0])], &["one"], &["load-1mm"], |_, x, _| {
            (End::Held, Some(x))
        });
    for theme in [Theme::single(), Theme::single().in_grey()] {
        let figure = sweep_map(&found, 0, &theme);
        let fills: Vec<f64> = figure
            .svg
            .lines()
            .filter(|l| l.starts_with("<polygon"))
            .filter_map(|l| l.split("fill=\"#").nth(1))
            .take(9)
            .map(|c| {
                let part = |k: usize| u8::from_str_radix(&c[k..k + 2], 16).unwrap();
                Colour(part(0), part(2), part(4)).lightness()
            })
            .collect();
        assert_eq!(fills.len(), 9);
        assert!(fills.windows(2).all(|p| p[0] > p[1] + 3.0), "{fills:?}");
    }
}

#[test]
fn series_of_scatter_differ_in_grey_and_in_markers() {
    let found = study(&TWO, 300, false);
    let theme = Theme::double().in_grey();
    let figure = scatter_intervals(&found, &theme);
    // The first construct's median is a disc, the second's a square.
    let [a, b] = [0, 1].map(|k| theme.series[k]);
    assert!((a.lightness() - b.lightness()).abs() >= 9.5);
    let ink = |c: rimhold::show::figures::Colour| format!("fill=\"#{:02X}{:02X}{:02X}\"", c.0, c.1, c.2);
    assert_eq!(count(&figure, "<circle", &ink(a)), 4);
    assert_eq!(count(&figure, "<circle", &ink(b)), 0);
    assert_eq!(count(&figure, "<polygon", &ink(b)), 4);
}

#[test]
fn slides_and_grey_hold_their_rules() {
    check_slides(in_style(Style::Slide));
    check_grey(in_style(Style::Grey));
}

#[test]
fn names_are_fit_for_files_and_foreign_ones_left_alone() {
    let figures = scatter_figures(&study(&TWO, 300, true), Style::Print);
    let names: Vec<&str> = figures.iter().map(|f| f.name.as_str()).collect();
    assert_eq!(
        names,
        [
            "scatter-fan",
            "scatter-intervals",
            "scatter-difference-two-by-two-crossed",
            "scatter-ranking-one-by-one",
            "scatter-ranking-two-by-two-crossed",
            "scatter-indices-one-by-one",
            "scatter-indices-two-by-two-crossed",
        ]
    );
    check_foreign(&figures, "scatter-fan.csv");
    // Two constructs of one name keep two files.
    let twins = scatter_figures(&study(&[("a", true), ("a", true)], 50, false), Style::Print);
    let mut names: Vec<String> = twins.into_iter().map(|f| f.name).collect();
    let all = names.len();
    names.sort();
    names.dedup();
    assert_eq!(names.len(), all);
}
