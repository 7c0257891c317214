//! Figures of a head on the socket: of the model's own results, which cost little.

use crate::figures::{Named, near};
use rimhold::model::{Case, ConstructFile};
use rimhold::show::figures::{Style, joint_map, joint_slid};
use rimhold::study::result::Joint;
use rimhold::study::{JointPlan, joint};

fn found(case: &str, construct: Option<&str>) -> Joint {
    let case = Case::open(case).unwrap();
    let construct = construct.map(|name| ConstructFile::open(name).unwrap().fit(&case).unwrap());
    joint(&case, construct.as_ref(), &JointPlan::default())
}

pub fn in_style(style: Style) -> Vec<Named> {
    let [five, three] = [found("quarter", Some("two-by-two-crossed")), found("large", None)];
    let theme = style.double();
    let drawn = [
        ("joint-slides-five-180", joint_slid(&five, &theme)),
        ("joint-slides-three-180", joint_slid(&three, &theme)),
        ("joint-map-five-180", joint_map(&five, &theme)),
        ("joint-map-three-180", joint_map(&three, &theme)),
    ];
    drawn.map(|(name, figure)| (name.to_owned(), style.finish(figure))).to_vec()
}

pub fn all() -> Vec<Named> {
    in_style(Style::Print)
}

#[test]
fn joints_are_grey_without_colour_and_fit_a_slide() {
    crate::figures::check_grey(in_style(Style::Grey));
    crate::figures::check_slides(in_style(Style::Slide));
}

#[test]
fn the_tables_of_a_joint_are_what_is_drawn_and_friction_is_told() {
    let found = found("quarter", Some("one-by-one"));
    let theme = Style::Print.double();
    let (slides, map) = (joint_slid(&found, &theme), joint_map(&found, &theme));
    for figure in [&slides, &map] {
        assert!(figure.caption.contains("no friction") && figure.caption.contains("no labrum"), "{}", figure.caption);
        assert!(figure.alt.len() > 60, "{}", figure.alt);
    }
    let points: usize = found.states.iter().flat_map(|s| &s.slides).map(|d| d.curve.len() + 1).sum();
    assert_eq!(slides.csv.lines().count(), 1 + points);
    assert_eq!(map.csv.lines().count(), 1 + found.map.cells.len());
    for (line, cell) in map.csv.lines().skip(1).zip(&found.map.cells) {
        let fields: Vec<&str> = line.split(',').collect();
        assert!(near(fields[3], cell.ratio) && near(fields[4], cell.pressure), "{line}");
    }
}
