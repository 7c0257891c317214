//! Figures that compare held constructs, drawn from the engine's own results.

use rimhold::model::{Case, Construct, ConstructFile, Side};
use rimhold::show::figures::{
    Figure, Style, Subject, Theme, comparison_sheet, construct, limb_forces, load_sharing, pressure_maps, resistance,
    rose, stiffness_ellipses,
};
use rimhold::study::result::{Hold, Petal, Push, Start};
use rimhold::study::{self, PushPlan};
use std::sync::OnceLock;

/// A construct with everything that is drawn of it.
#[derive(Clone)]
pub struct Held {
    pub construct: Construct,
    pub hold: Hold,
    pub push: Push,
    pub petals: Vec<Petal>,
}

impl Held {
    pub fn subject(&self) -> Subject<'_> {
        Subject {
            construct: &self.construct,
            tied: self.hold.tied.as_ref().unwrap(),
            push: Some(&self.push),
            petals: &self.petals,
        }
    }
}

fn held(case: &Case, names: &[&str]) -> Vec<Held> {
    names
        .iter()
        .map(|name| {
            let construct = ConstructFile::open(name).unwrap().fit(case).unwrap();
            let rig = study::rig(case, &construct, Start::Reduced);
            let (hold, tied) = study::tie(case, &construct, &rig, Start::Reduced);
            let tied = tied.unwrap();
            Held {
                push: study::push(case, &construct, &rig, &tied, &PushPlan::default()),
                petals: study::rose(case, &construct, &rig, &tied, &PushPlan::default(), 12),
                construct,
                hold,
            }
        })
        .collect()
}

/// All of them on a coarse bed, solved once for all tests: the drawing is looked at, not the answer.
fn all() -> &'static (Case, Vec<Held>) {
    static HELD: OnceLock<(Case, Vec<Held>)> = OnceLock::new();
    HELD.get_or_init(|| {
        let mut case = Case::open("quarter").unwrap();
        case.bed.cells = 150;
        let held = held(&case, &ALL);
        (case, held)
    })
}

const ALL: [&str; 8] = [
    "one-by-one",
    "two-by-two-crossed",
    "single-row",
    "one-by-one-bare",
    "two-by-two",
    "mattress",
    "linked-pair",
    "crater-fan",
];

/// The comparing figures of some constructs in two themes.
fn drawn(
    out: &mut Vec<(String, Figure)>,
    style: Style,
    tag: &str,
    case: &Case,
    subjects: &[Subject<'_>],
    theme: &Theme,
) {
    for (name, figure) in [
        ("rose", rose(case, subjects, theme)),
        ("maps", pressure_maps(case, subjects, theme)),
        ("forces", limb_forces(case, subjects, theme)),
        ("ways", stiffness_ellipses(case, subjects, theme)),
    ] {
        out.push((format!("{name}-{tag}"), style.finish(figure)));
    }
    let double = style.double();
    let sheet = comparison_sheet(case, subjects, &double);
    out.push((format!("sheet-{tag}-180"), style.finish(sheet)));
}

/// Figures of a style: three constructs across, one alone, on a left shoulder, all eight, and none.
pub fn in_style(style: Style) -> Vec<(String, Figure)> {
    let mut out = Vec::new();
    let (case, eight) = all();
    let three: Vec<Subject<'_>> = eight[..3].iter().map(Held::subject).collect();
    drawn(&mut out, style, "three-180", case, &three, &style.double());
    drawn(&mut out, style, "one-85", case, &three[..1], &style.single());
    drawn(&mut out, style, "none-180", case, &[], &style.double());
    let mut left = case.clone();
    left.side = Side::Left;
    drawn(&mut out, style, "left-180", &left, &three[1..], &style.double());
    let mut lost = [eight[0].clone()];
    lost[0].construct.name = "a construct that has lost its way, at some length".into();
    lost[0].petals[3].load = None;
    lost[0].petals[4].load = Some(-3.0);
    lost[0].hold.tied.as_mut().unwrap().stiffness = None;
    lost[0].push.load_at = [None; 3];
    let many: Vec<Subject<'_>> = eight.iter().chain(&lost).map(Held::subject).collect();
    if style != Style::Slide {
        drawn(&mut out, style, "nine-180", case, &many, &style.double());
    }
    // The figures that stood before, in this style.
    if style != Style::Print {
        let pushes: Vec<&Push> = three.iter().filter_map(|s| s.push).collect();
        let plain = [
            ("resistance-three-85", resistance(&pushes, &style.single())),
            ("who-three-180", load_sharing(&pushes, &style.double())),
            ("construct-180", construct(case, three[1].construct, three[1].tied, &style.drawing())),
        ];
        out.extend(plain.map(|(name, figure)| (name.to_owned(), style.finish(figure))));
    }
    out
}
