//! What is drawn against what was computed, read back from the SVG.

use crate::figures::{orders, studies, synthetic, words};
use rimhold::model::{Case, Side};
use rimhold::show::figures::{Figure, Theme, construct, load_sharing, talk, tie_strip};
use rimhold::study::result::Push;

type Point = [f64; 2];

/// The corners of every shape of a kind whose line holds some words.
fn shapes(figure: &Figure, kind: &str, holds: &str) -> Vec<Vec<Point>> {
    let lines = figure.svg.lines().filter(|l| l.starts_with(kind) && l.contains(holds));
    let points = |l: &str| {
        let list = l.split("points=\"").nth(1).unwrap().split('"').next().unwrap();
        let pair = |p: &str| {
            let (x, y) = p.split_once(',').unwrap();
            [x, y].map(|v| v.parse().unwrap())
        };
        list.split(' ').map(pair).collect()
    };
    lines.map(points).collect()
}

fn length(a: Point, b: Point) -> f64 {
    (b[0] - a[0]).hypot(b[1] - a[1])
}

/// The angle of the line from the first to the last point, degrees.
fn turn(shape: &[Point]) -> f64 {
    let ([x, y], [u, v]) = (shape[0], shape[shape.len() - 1]);
    (v - y).atan2(u - x).to_degrees()
}

/// A fragment that was tied 11 degrees tilted is drawn so in section, where it was drawn upright when reduced.
#[test]
fn a_tilted_fragment_is_drawn_tilted() {
    let case = synthetic::case(Side::Right, 6.5, 4.0);
    let fill = "fill=\"#F5DBB0\"";
    let section = |tilt: f64| {
        let mut tied = synthetic::one_by_one(&case);
        // Tilt is the turn about minus the chord.
        tied.measures.turn = (-case.fragment.along * tilt).into();
        tied.measures.tilt = tilt;
        let figure = construct(&case, &synthetic::construct("x"), &tied, &Theme::double());
        // En face first, then the section.
        shapes(&figure, "<polygon", fill).pop().unwrap()
    };
    let apart = turn(&section(11.0)) - turn(&section(0.0));
    // Points are written in hundredths of a millimetre on a line of some twenty.
    assert!((apart.abs() - 11.0).abs() < 0.2, "{apart}");
}

/// The profile of the step below each view has the scale of the view's bar of 5 mm: the fracture line is as long in
/// both as the chord.
#[test]
fn the_profile_has_the_scale_of_the_bar() {
    let case = Case::open("quarter").unwrap();
    let one = orders::construct(&case, "one-by-one");
    let figure =
        tie_strip(&case, &one, &orders::orders(&case, &one, &[(0..one.ties.len()).collect()]), &Theme::double());
    // A bar is 1.5 pt wide, an edge 1.3 pt with 31 points.
    let bar = shapes(&figure, "<polyline", "stroke-width=\"0.53\"").into_iter().find(|p| p.len() == 2).unwrap();
    let scale = length(bar[0], bar[1]) / 5.0;
    let edges: Vec<_> =
        shapes(&figure, "<polyline", "stroke-width=\"0.46\"").into_iter().filter(|p| p.len() == 31).collect();
    assert_eq!(edges.len(), 2 * (one.ties.len() + 1));
    for edge in edges {
        let chord = length(edge[0], edge[30]) / scale / case.fragment.chord();
        // Turned out of the page by up to some fifteen degrees; longer where one end lies up to 4.4 mm lower.
        assert!((0.96..=1.025).contains(&chord), "{chord}");
    }
}

/// Shares start at zero: what is drawn is the change since the tied state, where the load is zero too.
#[test]
fn shares_start_from_the_tied_state() {
    let mut pushes = synthetic::two_pushes();
    for push in &mut pushes {
        // A preload that balances itself.
        push.curve.iter_mut().for_each(|p| {
            p.shares[0] += 55.0;
            p.shares[1] -= 55.0;
        });
    }
    let plain = synthetic::two_pushes();
    let draw = |pushes: &[Push]| load_sharing(&pushes.iter().collect::<Vec<_>>(), &Theme::double());
    let (loaded, plain) = (draw(&pushes), draw(&plain));
    let texts =
        |f: &Figure| -> Vec<String> { words(f).into_iter().map(|w| w.text).filter(|t| t.ends_with(" N")).collect() };
    assert_eq!(texts(&loaded), texts(&plain), "changes do not know of the preload");
    assert_ne!(loaded.svg, plain.svg, "but it is seen");
}

#[test]
fn a_talk_has_five_pages_with_large_words() {
    let case = Case::open("quarter").unwrap();
    let one = orders::construct(&case, "one-by-one");
    let found = orders::orders(&case, &one, &[]);
    let tied = synthetic::one_by_one(&case);
    let push = synthetic::two_pushes().swap_remove(0);
    let subject = rimhold::show::figures::Subject { construct: &one, tied: &tied, push: Some(&push), petals: &[] };
    let samples = studies::study(&[("one-by-one", true)], 500, false);
    for scatter in [None, Some(&samples)] {
        let pages = talk(&case, &[subject], (&one, &found), scatter);
        assert_eq!(pages.len(), 5);
        // With samples the loads have bars of their range.
        let bars = words(&pages[3].figure).into_iter().any(|w| w.text.contains("of 500 samples"));
        assert_eq!(bars, scatter.is_some());
        for page in pages {
            let figure = &page.figure;
            assert!((figure.width_mm / figure.height_mm - 16.0 / 9.0).abs() < 1e-9);
            crate::figures::check_words(&page.title, figure, 18.0..=24.1);
            crate::figures::check_sheet(&page.title, figure);
            assert!(page.title.len() > 20 && page.notes.len() > 20);
        }
    }
}
