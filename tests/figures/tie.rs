//! Figures of tying orders, drawn from solved orders.

use crate::figures::orders;
use rimhold::model::{Case, Construct, Side, Split};
use rimhold::show::figures::{
    Figure, Theme, WriteError, tie_animation, tie_residuals, tie_slides, tie_strip, tie_tensions, write_tie,
};
use rimhold::study::result::{Mode, Orders, Outcome, Worse, WorseIn};
use std::sync::OnceLock;

/// Which orders are run: every one, the construct's own, or its own and the reverse.
enum Run {
    All,
    Own,
    Both,
}

/// A solved study with what it was solved for.
struct Study {
    name: &'static str,
    case: Case,
    construct: Construct,
    orders: Orders,
}

impl Study {
    fn new(name: &'static str, case: &str, construct: &str, change: fn(&mut Case, &mut Construct), run: Run) -> Self {
        let mut case = Case::open(case).unwrap();
        // Coarse: the drawing is looked at, not the answer.
        case.bed.cells = 120;
        let mut construct = orders::construct(&case, construct);
        change(&mut case, &mut construct);
        let own: Vec<usize> = (0..construct.ties.len()).collect();
        let reverse = own.iter().rev().copied().collect();
        let chosen = match run {
            Run::All => Vec::new(),
            Run::Own => vec![own],
            Run::Both => vec![own, reverse],
        };
        Self { name, orders: orders::orders(&case, &construct, &chosen), case, construct }
    }

    fn strip(&self, theme: &Theme) -> Figure {
        tie_strip(&self.case, &self.construct, &self.orders, theme)
    }

    /// Every figure for a page.
    fn pages(&self) -> Vec<(String, Figure)> {
        let (case, construct, orders) = (&self.case, &self.construct, &self.orders);
        let mut figures = Vec::new();
        for (width, theme) in [("85", Theme::single()), ("180", Theme::double())] {
            let residuals = tie_residuals(case, construct, orders, &theme);
            figures.push((format!("tie-residuals-{}-{width}", self.name), residuals));
            if let Some(figure) = tie_tensions(case, construct, orders, &theme) {
                figures.push((format!("tie-tensions-{}-{width}", self.name), figure));
            }
        }
        let strip = self.strip(&Theme::double());
        figures.push((format!("tie-strip-{}-180", self.name), strip));
        figures
    }

    /// Poster and pictures of the animation.
    fn slides(&self) -> Vec<(String, Figure)> {
        let slides = tie_slides(&self.case, &self.construct, &self.orders).unwrap();
        let mut figures = vec![(format!("slide-{}-180", self.name), slides.poster)];
        for (k, still) in slides.stills.into_iter().enumerate() {
            figures.push((format!("slide-{}-{k}-180", self.name), still));
        }
        figures
    }
}

fn none(_: &mut Case, _: &mut Construct) {}

fn left(case: &mut Case, _: &mut Construct) {
    case.side = Side::Left;
}

fn each_limb_alone(_: &mut Case, construct: &mut Construct) {
    *construct = construct.split(Split::Limb);
}

/// Long names, and tension lost after the last tie.
fn hard_names(_: &mut Case, construct: &mut Construct) {
    each_limb_alone(&mut Case::open("quarter").unwrap(), construct);
    construct.name = "a construct whose name says everything about it, at length".into();
    construct.limbs[0].name = "Reduktionsfadenschlaufe".into();
    construct.limbs[1].name = "the-lower-one-of-two-limbs-over-the-rim".into();
}

fn studies() -> &'static [Study] {
    static STUDIES: OnceLock<Vec<Study>> = OnceLock::new();
    STUDIES.get_or_init(|| {
        vec![
            Study::new("own", "quarter", "one-by-one", none, Run::All),
            Study::new("left", "small", "single-row", left, Run::All),
            Study::new("four", "hinge-weak", "one-by-one", each_limb_alone, Run::All),
            Study::new("one", "large", "linked-pair", none, Run::Own),
            Study::new("screws", "small", "two-screws-with-loops", none, Run::All),
        ]
    })
}

fn hard_studies() -> &'static [Study] {
    static STUDIES: OnceLock<Vec<Study>> = OnceLock::new();
    STUDIES.get_or_init(|| {
        let mut empty = Study::new("empty", "quarter", "one-by-one", none, Run::Own);
        empty.orders.runs.clear();
        let mut lost = Study::new("lost", "quarter", "two-by-two-crossed", none, Run::All);
        lost.orders.runs.retain(|r| r.residual_step.is_none());
        lost.orders.runs[0].hold.outcome =
            Outcome::Uncertified { during: "tie".into(), net_force: 1.0, net_moment: 1.0 };
        let mut never = Study::new("never", "quarter", "one-by-one", none, Run::Own);
        never.orders.runs[0].hold.ties.clear();
        never.orders.runs[0].hold.tied = None;
        never.orders.runs[0].hold.outcome = Outcome::NotHeld {
            mode: Mode::Free,
            during: "release before tying".into(),
            shift: [0.0; 3],
            turn: [0.0; 3],
        };
        let mut names = Study::new("names", "quarter", "two-by-two", hard_names, Run::Own);
        names.orders.runs[0].worsened = vec![Worse { tie: 1, measure: WorseIn::Step, by: 1.0 }];
        let many = Study::new("many", "quarter", "two-by-two-crossed", each_limb_alone, Run::Both);
        vec![empty, lost, never, names, many]
    })
}

pub fn all() -> Vec<(String, Figure)> {
    studies().iter().flat_map(|s| s.pages().into_iter().chain(s.slides())).collect()
}

pub fn hard() -> Vec<(String, Figure)> {
    let pages = hard_studies().iter().flat_map(Study::pages);
    let drawn = hard_studies().iter().filter(|s| s.name != "empty");
    pages.chain(drawn.flat_map(Study::slides)).collect()
}

#[test]
fn the_animation_is_a_valid_small_gif_that_shows_the_stills() {
    let study = &studies()[0];
    let draw = || tie_animation(&study.case, &study.construct, &study.orders).unwrap().unwrap();
    let animation = draw();
    let slides = tie_slides(&study.case, &study.construct, &study.orders).unwrap();
    let ties = study.construct.ties.len();
    assert_eq!(slides.stills.len(), ties + 1);
    assert!(animation.frames > 5 * ties);
    assert!(animation.gif.len() < 3_000_000, "{}", animation.gif.len());
    // An independent run gives the same bytes.
    assert_eq!(animation, draw());

    // Decoded frame by frame as a viewer does it (GIF89a: a frame covers its rectangle, except where
    // transparent, and stays).
    let mut options = gif::DecodeOptions::new();
    options.set_color_output(gif::ColorOutput::RGBA);
    let mut decoder = options.read_info(animation.gif.as_slice()).unwrap();
    assert_eq!((decoder.width(), decoder.height()), (1280, 720));
    assert_eq!(decoder.repeat(), gif::Repeat::Infinite);
    let mut screen = vec![0_u8; 1280 * 720 * 4];
    let mut shown = Vec::new();
    let mut frames = 0;
    while let Some(frame) = decoder.read_next_frame().unwrap() {
        frames += 1;
        let (left, top) = (usize::from(frame.left), usize::from(frame.top));
        let width = usize::from(frame.width);
        for (k, p) in frame.buffer.chunks_exact(4).enumerate() {
            if p[3] > 0 {
                let at = 4 * ((top + k / width) * 1280 + left + k % width);
                screen[at..at + 4].copy_from_slice(p);
            }
        }
        // States stay for more than a second, what is between them does not.
        if frame.delay > 100 {
            shown.push(screen.clone());
        }
    }
    assert_eq!(frames, animation.frames);
    assert_eq!(shown.len(), slides.stills.len());
    for (still, seen) in slides.stills.iter().zip(&shown) {
        let tree = crate::figures::tree(&still.svg);
        let mut pixels = resvg::tiny_skia::Pixmap::new(1280, 720).unwrap();
        pixels.fill(resvg::tiny_skia::Color::WHITE);
        let size = tree.size();
        let scale = resvg::tiny_skia::Transform::from_scale(1280.0 / size.width(), 720.0 / size.height());
        resvg::render(&tree, scale, &mut pixels.as_mut());
        let far = pixels.data().iter().zip(seen).map(|(a, b)| a.abs_diff(*b)).max();
        // The palette keeps colours 10 units apart; a blend at an edge falls to a neighbour.
        assert!(far < Some(48), "{}: {far:?}", still.name);
    }
}

#[test]
fn interpolated_pictures_are_said_to_be_so() {
    let study = &studies()[0];
    let slides = tie_slides(&study.case, &study.construct, &study.orders).unwrap();
    assert!(slides.poster.caption.contains("not computed"));
    for still in &slides.stills {
        assert!(!still.svg.contains("interpolated"), "{}", still.name);
    }
}

#[test]
fn the_strip_of_a_left_shoulder_is_mirrored() {
    let study = &studies()[1];
    let left = study.strip(&Theme::double());
    let mut case = study.case.clone();
    case.side = Side::Right;
    let right = tie_strip(&case, &study.construct, &study.orders, &Theme::double());
    // At 4 o'clock the fracture line rises from posterior-inferior to anterior-superior; anterior is
    // on the right of a right shoulder seen from lateral.
    let apart = |f: &Figure| crate::figures::middle(f, "superior") - crate::figures::middle(f, "inferior");
    assert!(apart(&right) > 0.0);
    assert!(apart(&left) < 0.0);
    assert!(left.caption.contains("left shoulder"));
}

#[test]
fn the_table_of_orders_holds_the_residuals() {
    let study = &studies()[0];
    let figure = tie_residuals(&study.case, &study.construct, &study.orders, &Theme::double());
    for run in &study.orders.runs {
        let label = format!("\"{}\"", run.label);
        let last = figure.csv.lines().rfind(|l| l.starts_with(&label)).unwrap()[label.len()..]
            .split(',')
            .map(str::to_owned)
            .collect::<Vec<_>>();
        match run.residual_step {
            Some(step) => {
                assert_eq!(last[3], run.hold.ties.len().to_string());
                assert!(crate::figures::near(last[5].trim_start_matches('-'), step));
            }
            None => assert!(last[4].starts_with("fixation fails"), "{last:?}"),
        }
    }
}

#[test]
fn the_study_is_written_whole_and_other_files_left_alone() {
    let study = studies().iter().find(|s| s.name == "one").unwrap();
    let write = |folder: &std::path::Path| write_tie(folder, &study.case, &study.construct, &study.orders);
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("talk.txt"), "mine").unwrap();
    let paths = write(folder.path()).unwrap();
    // Four figures in four formats, the animation, and the states before and after the one tie.
    assert_eq!(paths.len(), 4 * 4 + 1 + 2);
    let read = || -> Vec<Vec<u8>> { paths.iter().map(|p| std::fs::read(p).unwrap()).collect() };
    let first = read();
    assert_eq!(write(folder.path()).unwrap(), paths, "ours are replaced");
    assert_eq!(first, read());
    for file in ["tie-animation.gif", "tie-animation-01.png"] {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join(file);
        std::fs::write(&path, "GIF89a not ours").unwrap();
        let error = write(folder.path()).unwrap_err();
        assert!(matches!(error, WriteError::Foreign { .. }), "{error}");
        assert_eq!(std::fs::read(&path).unwrap(), b"GIF89a not ours");
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
    }
}
