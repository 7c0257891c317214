//! Figures of a search for better places, drawn from a small search and from changed copies of it.

use crate::figures::styles::dash;
use crate::figures::{check_foreign, check_grey, check_slides, near, near_or_blank, words};
use rimhold::model::spread::Subject;
use rimhold::model::{Case, Construct, Side};
use rimhold::optimise::Plan as Search;
use rimhold::show::figures::{
    Figure, Style, Theme, place_before_after, place_convergence, place_figures, place_front, place_tolerance,
};
use rimhold::study::place::{Effort, Objective, Plan, run as place};
use rimhold::study::result::{EndedBy, Place, Start, Wandered, WayEnd};
use std::sync::OnceLock;

/// A search with what it was made for.
struct Study {
    case: Case,
    construct: Construct,
    found: Place,
}

/// A small search, coarse and short: the drawing is looked at, not the answer.
fn study() -> &'static Study {
    static STUDY: OnceLock<Study> = OnceLock::new();
    STUDY.get_or_init(|| {
        let names = ["two-by-two-crossed".to_owned()];
        let subject = Subject::open("quarter", &names).unwrap();
        let ask = Plan {
            objective: Objective::Inferior,
            against: Some(Objective::Evenness),
            robust: None,
            from: Start::Reduced,
            effort: Effort { cells: Some(100), steps: 2 },
            search: Search { starts: 3, particles: 10, rounds: 4, evaluations: 150, ..Search::default() },
            wander: true,
        };
        Study {
            found: place(&subject, &ask, &()).unwrap(),
            case: subject.case().clone(),
            construct: subject.constructs().next().unwrap().clone(),
        }
    })
}

fn every(case: &Case, found: &Place, theme: &Theme) -> Vec<Figure> {
    let construct = &study().construct;
    let mut figures = vec![place_before_after(case, construct, found, theme)];
    figures.extend(place_tolerance(case, found, theme));
    figures.extend(place_front(case, found, theme));
    figures.push(place_convergence(found, theme));
    figures
}

fn named(base: &str, width: &str, figures: Vec<Figure>) -> Vec<(String, Figure)> {
    let name = |f: Figure| (format!("{base}-{}-{width}", f.name), f);
    figures.into_iter().map(name).collect()
}

/// A width in words, and its theme.
type Width = (&'static str, fn() -> Theme);

const WIDTHS: [Width; 2] = [("85", Theme::single), ("180", Theme::double)];

pub fn all() -> Vec<(String, Figure)> {
    let Study { case, found, .. } = study();
    let mut left = case.clone();
    left.side = Side::Left;
    let mut figures = Vec::new();
    for (width, theme) in WIDTHS {
        figures.extend(named("right", width, every(case, found, &theme())));
        figures.extend(named("left", width, every(&left, found, &theme())));
    }
    figures
}

pub fn in_style(style: Style) -> Vec<(String, Figure)> {
    let Study { case, construct, found } = study();
    named("style", "180", place_figures(case, construct, found, style))
}

/// A given construct that is not held, long names, a place on a line, one start that met nothing,
/// twelve starts.
pub fn hard() -> Vec<(String, Figure)> {
    let Study { case, found, .. } = study();
    let mut lost = found.clone();
    lost.given.hold = None;
    lost.given.values = vec![None; 2];
    lost.given.why = "the fragment turns over while bridge-rising is pulled, and no order of these ties \
                      holds it where it should lie"
        .to_owned();
    lost.on_search_bed[0] = None;
    if let Some(front) = &mut lost.front {
        front.given = None;
    }
    lost.robust = true;
    let mut long = found.clone();
    let name = |n: &mut String| {
        if n.ends_with("-lower") {
            n.push_str("-Donaudampfschifffahrtsanker");
        }
    };
    for placement in [&mut long.given, &mut long.found] {
        placement.anchors.iter_mut().for_each(|a| name(&mut a.anchor));
        let tied = placement.hold.as_mut().and_then(|h| h.tied.as_mut()).unwrap();
        tied.anchors.iter_mut().for_each(|a| name(&mut a.name));
    }
    for map in &mut long.wander {
        name(&mut map.anchor);
        map.coordinates[1].clear();
        map.grid.retain(|g| g.offset[1] == 0.0);
        map.ways.truncate(2);
    }
    let mut none = found.clone();
    none.starts.truncate(1);
    none.starts[0].progress.clear();
    none.starts[0].value = None;
    none.starts[0].ended = EndedBy::Interrupted;
    none.complete = false;
    let mut many = found.clone();
    many.starts = (0..12).map(|k| found.starts[k % 3].clone()).collect();
    let mut figures = Vec::new();
    for (width, theme) in WIDTHS {
        for (base, found) in [("lost", &lost), ("long", &long), ("none", &none), ("many", &many)] {
            figures.extend(named(base, width, every(case, found, &theme())));
        }
    }
    figures
}

fn rows(figure: &Figure) -> Vec<Vec<&str>> {
    let lines = figure.csv.lines().skip(1);
    lines.map(|l| l.split(',').collect()).collect()
}

fn says(figure: &Figure, what: &str) -> bool {
    words(figure).iter().any(|w| w.text.contains(what))
}

fn left_of(figure: &Figure, what: &str) -> f32 {
    let words = words(figure);
    let found = words.iter().find(|w| w.text == what);
    found.unwrap_or_else(|| panic!("{what}")).ink.left()
}

#[test]
fn tables_hold_the_numbers_of_the_search() {
    let Study { case, found, .. } = study();
    let theme = Theme::double();
    let tolerance = place_tolerance(case, found, &theme).unwrap();
    for map in &found.wander {
        let table = rows(&tolerance);
        let own = |kind: &str| -> Vec<Vec<&str>> {
            let all = table.iter().filter(|r| r[0] == map.anchor && r[1] == kind);
            all.cloned().collect()
        };
        assert_eq!(own("point").len(), map.grid.len());
        for (row, g) in own("point").iter().zip(&map.grid) {
            assert!(near(row[3], g.offset[0]));
            assert!(near_or_blank(row[10], g.loss));
            assert_eq!(row[11], g.broken.as_deref().unwrap_or_default());
        }
        for (row, way) in own("direction").iter().zip(&map.ways) {
            let [a, b] = [3, 4].map(|k| row[k].parse::<f64>().unwrap());
            // The direction is a unit vector; nine digits are written.
            assert!((a.hypot(b) - way.distance).abs() < 1e-7, "{row:?}");
        }
        assert_eq!(own("direction").len(), map.ways.len());
        let areas = own("area").into_iter().zip([map.area_10, map.area_25]);
        areas.for_each(|(row, area)| assert!(near(row[8], area), "{row:?}"));
    }
    let convergence = place_convergence(found, &Theme::single());
    let table = rows(&convergence);
    for (k, start) in found.starts.iter().enumerate() {
        let number = (k + 1).to_string();
        let own: Vec<&str> = table.iter().filter(|r| r[0] == number).map(|r| r[3]).collect();
        assert_eq!(own.len(), start.progress.len());
        assert!(own.iter().zip(&start.progress).all(|(written, p)| near(written, p.value)), "{own:?}");
    }
    let front = place_front(case, found, &theme).unwrap();
    let told = found.front.as_ref().unwrap();
    let table = rows(&front);
    let own = table.iter().filter(|r| r[0] == "front").count();
    assert_eq!(own, told.points.len());
    assert_eq!(table.iter().filter(|r| r[3] == "full").count(), 4);
}

/// On a robust front every number is a percentile, beside the plot as in it, and the axes say so.
#[test]
fn a_robust_front_shows_percentiles_alone() {
    let Study { case, found, .. } = study();
    let mut robust = found.clone();
    (robust.robust, robust.draws) = (true, 32);
    let front = robust.front.as_mut().unwrap();
    let designs = std::iter::once(&mut robust.given).chain(&mut front.designs);
    for (k, design) in designs.enumerate() {
        design.over_draws = vec![Some(2000.0 + 100.0 * k as f64), Some(0.25 + 0.1 * k as f64)];
    }
    robust.given.over_draws[1] = None;
    let figure = place_front(case, &robust, &Theme::double()).unwrap();
    for k in 1..4 {
        let load = format!("{:.0} N at 1 mm inferiorly", 2000.0 + 100.0 * k as f64);
        assert!(says(&figure, &load), "{load}");
    }
    assert!(says(&figure, "no 10th percentile"));
    for design in &found.front.as_ref().unwrap().designs {
        let nominal = format!("{:.0} N at 1 mm", design.values[0].unwrap());
        assert!(!says(&figure, &nominal), "{nominal}");
    }
    assert!(says(&figure, "10th percentile: load at 1 mm inferiorly, tied from reduced (N)"));
    assert!(figure.caption.contains("10th percentile over 32 common draws"));
    let plain = place_front(case, found, &Theme::double()).unwrap();
    assert!(says(&plain, "Load at 1 mm inferiorly, tied from reduced (N)"));
}

#[test]
fn both_designs_bear_their_value_and_every_anchor_its_name() {
    let Study { case, construct, found } = study();
    let figure = place_before_after(case, construct, found, &Theme::double());
    for (word, placement) in [("As given", &found.given), ("As found", &found.found)] {
        let title = format!("{word}: {:.0} N at 1 mm inferiorly", placement.values[0].unwrap());
        assert!(says(&figure, &title), "{title}");
        for anchor in &placement.anchors {
            // A long name goes on in the next line behind its hyphen.
            let told = anchor.anchor.split_inclusive('-').all(|part| says(&figure, part));
            assert!(told, "{}", anchor.anchor);
        }
    }
    let mut left = case.clone();
    left.side = Side::Left;
    let mirrored = place_before_after(&left, construct, found, &Theme::double());
    assert!(left_of(&figure, "anterior") > left_of(&figure, "posterior"));
    assert!(left_of(&mirrored, "anterior") < left_of(&mirrored, "posterior"));
    let front = place_front(case, found, &Theme::double()).unwrap();
    for design in &found.front.as_ref().unwrap().designs {
        assert!(says(&front, &design.name));
    }
}

/// Area of a polygon of an SVG, in the square of its units (shoelace formula).
fn area(line: &str) -> f64 {
    let list = line.split("points=\"").nth(1).unwrap();
    let list = list.split('"').next().unwrap().trim();
    let points: Vec<[f64; 2]> = list
        .split_whitespace()
        .map(|p| {
            let (x, y) = p.split_once(',').unwrap();
            [x.parse().unwrap(), y.parse().unwrap()]
        })
        .collect();
    let turn = |k: usize| {
        let (a, b) = (points[k], points[(k + 1) % points.len()]);
        0.5 * (a[0] * b[1] - b[0] * a[1])
    };
    (0..points.len()).map(turn).sum::<f64>().abs()
}

/// A map made by hand: all points up to `radius` mm from an anchor lose nothing, a ring about them
/// `loss`, what lies superior of `wall` is excluded.
fn by_hand(found: &Place, case: &Case, radius: f64, loss: f64, wall: f64) -> Place {
    let mut made = found.clone();
    made.wander.retain(|m| m.coordinates[1] == "inset");
    made.wander.truncate(1);
    let map = &mut made.wander[0];
    let own = made.found.anchors.iter().find(|a| a.anchor == map.anchor).unwrap();
    let f = &case.fragment;
    map.grid = (-12..=12)
        .flat_map(|i| (-12..=12).map(move |j| [i, j].map(|k| f64::from(k) * 0.5)))
        .filter(|o| o[0].hypot(o[1]) <= radius + 1.0)
        .map(|offset| {
            let out = offset[0] > wall;
            let by = f.along * offset[0] - f.outward * offset[1];
            let inside = offset[0].hypot(offset[1]) <= radius;
            Wandered {
                offset,
                point: Some([0, 1, 2].map(|k| own.point[k] + by[k])),
                value: (!out).then_some(100.0),
                loss: (!out).then_some(if inside { 0.0 } else { loss }),
                broken: out.then(|| "spacing".to_owned()),
            }
        })
        .collect();
    // No range cuts a square.
    for v in &mut made.variables {
        (v.low, v.high) = (-50.0, 50.0);
    }
    made
}

#[test]
fn regions_are_drawn_to_the_scale_of_the_bar() {
    let Study { case, found, .. } = study();
    let theme = Theme::double();
    let made = by_hand(found, case, 2.2, 0.2, 9.0);
    let figure = place_tolerance(case, &made, &theme).unwrap();
    // The bar of 5 mm is the only line as wide as 1.5 pt (0.53 mm).
    let bar = figure.svg.lines().find(|l| l.starts_with("<polyline") && l.contains("stroke-width=\"0.53\"")).unwrap();
    let ends: Vec<f64> =
        bar.split("points=\"").nth(1).unwrap().split(['"', ' ', ',']).filter_map(|v| v.parse().ok()).collect();
    let scale = (ends[2] - ends[0]) / 5.0;
    let inside = made.wander[0].grid.iter().filter(|g| g.loss == Some(0.0)).count();
    let ring = made.wander[0].grid.iter().filter(|g| g.loss == Some(0.2)).count();
    assert!(inside > 50 && ring > 30);
    // Fills of the two regions: the tones of which there are as many as squares, and one in the key.
    let fills = |count: usize| -> f64 {
        let mut tones: Vec<(&str, usize, f64)> = Vec::new();
        for line in figure.svg.lines().filter(|l| l.starts_with("<polygon")) {
            let tone = line.split("fill=\"").nth(1).unwrap().split('"').next().unwrap();
            match tones.iter_mut().find(|t| t.0 == tone) {
                Some(t) => (t.1, t.2) = (t.1 + 1, t.2 + area(line)),
                None => tones.push((tone, 1, area(line))),
            }
        }
        let own: Vec<_> = tones.iter().filter(|t| t.1 == count + 1).collect();
        assert_eq!(own.len(), 1, "{tones:?}");
        // The key's box is 3 by 2.3 mm.
        own[0].2 - 3.0 * 2.3
    };
    for count in [inside, ring] {
        let drawn = fills(count) / (scale * scale);
        let true_area = 0.25 * count as f64;
        // Corners lie on a grid of 0.01 mm: a side of some 1.1 mm is off by as much at most.
        assert!((drawn / true_area - 1.0).abs() < 0.02, "{drawn} {true_area}");
    }
}

#[test]
fn what_a_constraint_excludes_is_hatched_and_no_colour_speaks_alone() {
    let Study { case, found, .. } = study();
    let theme = Theme::double();
    // Areas filled with a pattern.
    let hatch = |f: &Figure| f.svg.matches("fill=\"url(#").count();
    let free = place_tolerance(case, &by_hand(found, case, 2.2, 0.2, 9.0), &theme).unwrap();
    let walled = place_tolerance(case, &by_hand(found, case, 2.2, 0.2, 1.0), &theme).unwrap();
    assert!(hatch(&walled) > hatch(&free) + 20, "{} {}", hatch(&walled), hatch(&free));
    // The border of the region within 10 % is bolder (0.9 pt, 0.32 mm) than that within 25 %.
    let bold = |f: &Figure, width: &str| f.svg.matches(&format!("stroke-width=\"{width}\"")).count();
    assert!(bold(&free, "0.32") > 20 && bold(&free, "0.14") > 20);
    for what in ["within 10 %", "within 25 %", "a constraint excludes it"] {
        assert!(says(&free, what), "{what}");
    }
    // Under each map, in letters, what ends its ways.
    let mut ended = by_hand(found, case, 2.2, 0.2, 9.0);
    let map = &mut ended.wander[0];
    map.ways[0].distance = 1.26;
    map.ways[0].end = WayEnd::Range;
    map.ways[1].distance = 2.34;
    map.ways[1].end = WayEnd::Lost;
    let figure = place_tolerance(case, &ended, &theme).unwrap();
    assert!(says(&figure, "superior 1.3 mm r, inferior 2.3 mm"));
}

#[test]
fn starts_are_told_apart_by_dash_marker_and_number() {
    let Study { found, .. } = study();
    let figure = place_convergence(found, &Theme::single());
    for (k, start) in found.starts.iter().enumerate() {
        let number = (k + 1).to_string();
        let label = if start.progress.is_empty() { format!("was met by: {number}") } else { format!("{number}: ") };
        let text: Vec<String> = words(&figure).into_iter().map(|w| w.text).collect();
        assert!(text.join(" ").contains(&label), "start {number}");
    }
    assert!(says(&figure, "swarm ends"));
    let drawn = (0..found.starts.len()).filter(|k| found.starts[*k].progress.len() > 1);
    let mut dashes: Vec<String> = drawn.map(|k| dash(&figure, Theme::single().series[k])).collect();
    let all = dashes.len();
    dashes.sort();
    dashes.dedup();
    assert!(all > 1 && dashes.len() == all, "{dashes:?}");
}

#[test]
fn what_is_missing_is_said() {
    let figures = crate::figures::hard();
    let of = |name: &str| &figures.iter().find(|(n, _)| n == name).unwrap().1;
    let lost = of("lost-place-before-after-robust-180");
    assert!(says(lost, "As given: fixation fails") && says(lost, "the fragment turns over"));
    assert!(of("lost-place-tolerance-robust-180").caption.contains("10th percentile"));
    let none = of("none-place-convergence-180");
    assert!(says(none, "no start met a design"));
    assert!(none.caption.contains("interrupted"));
    let Study { case, found, .. } = study();
    let mut less = found.clone();
    less.wander.clear();
    less.front = None;
    assert!(place_tolerance(case, &less, &Theme::double()).is_none());
    assert!(place_front(case, &less, &Theme::double()).is_none());
}

#[test]
fn slides_and_grey_hold_their_rules() {
    check_slides(in_style(Style::Slide));
    check_grey(in_style(Style::Grey));
}

#[test]
fn names_are_fit_for_files_and_foreign_ones_left_alone() {
    let Study { case, construct, found } = study();
    let figures = place_figures(case, construct, found, Style::Print);
    let names: Vec<&str> = figures.iter().map(|f| f.name.as_str()).collect();
    assert_eq!(names, ["place-before-after", "place-tolerance", "place-front", "place-convergence"]);
    check_foreign(&figures, "place-tolerance.csv");
}
