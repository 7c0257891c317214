//! Figures: size, legibility, determinism, and care for other people's files.

#[path = "figures/synthetic.rs"]
mod synthetic;

use rimhold::case::Side;
use rimhold::figures::{Figure, Format, Theme, construct, resistance, who_resists};
use rimhold::study::result::Push;

fn all() -> Vec<(String, Figure)> {
    let two = synthetic::two_pushes();
    let eight = synthetic::eight_pushes();
    let two: Vec<&Push> = two.iter().collect();
    let eight: Vec<&Push> = eight.iter().collect();
    let mut figures = Vec::new();
    for (width, theme) in [("85", Theme::single()), ("180", Theme::double())] {
        for (n, pushes) in [("two", &two), ("eight", &eight)] {
            figures.push((
                format!("resistance-{n}-{width}"),
                resistance(pushes, &theme),
            ));
            figures.push((format!("who-{n}-{width}"), who_resists(pushes, &theme)));
        }
        for (name, side, w, hours) in [
            ("right", Side::Right, 6.5, 4.0),
            ("left", Side::Left, 6.5, 4.0),
            ("large", Side::Right, 9.1, 3.5),
            ("posterior", Side::Right, 6.5, 8.5),
        ] {
            let case = synthetic::case(side, w, hours);
            let one = construct(
                &case,
                &synthetic::construct("one-by-one"),
                &synthetic::one_by_one(&case),
                &theme,
            );
            let four = construct(
                &case,
                &synthetic::construct("two-by-two crossed"),
                &synthetic::two_by_two(&case),
                &theme,
            );
            figures.push((format!("one-{name}-{width}"), one));
            figures.push((format!("four-{name}-{width}"), four));
        }
    }
    figures
}

/// Writes every figure where a person can look at it.
#[test]
#[ignore = "writes pictures to look at"]
fn draw_all() {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("figures");
    for (name, mut figure) in all() {
        figure.name = name;
        figure
            .write(&folder, &[Format::Svg, Format::Png { dpi: 300 }])
            .unwrap();
    }
}
