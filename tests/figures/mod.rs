//! Figures: size, legibility, determinism, and care for other people's files.

mod compared;
mod joint;
mod orders;
mod pairs;
mod place;
mod pose;
mod scatter;
mod studies;
mod styles;
mod synthetic;
mod tie;

use rimhold::model::{Case, ConstructFile, Side};
use rimhold::show::figures::{
    Figure, Format, Style, Theme, WriteError, construct, drilling, fragment, load_sharing, resistance,
};
use rimhold::study::result::{Event, EventKind, Push};
use rimhold::study::{DrillPlan, drill};
use std::sync::OnceLock;

/// A figure with what it shows.
type Named = (String, Figure);

/// Every figure, drawn once for all tests.
fn all() -> &'static [Named] {
    static ALL: OnceLock<Vec<Named>> = OnceLock::new();
    ALL.get_or_init(draw)
}

/// Figures of hard results, drawn once for all tests.
fn hard() -> &'static [Named] {
    static HARD: OnceLock<Vec<Named>> = OnceLock::new();
    HARD.get_or_init(draw_hard)
}

fn draw() -> Vec<Named> {
    let two = synthetic::two_pushes();
    let eight = synthetic::eight_pushes();
    let two: Vec<&Push> = two.iter().collect();
    let eight: Vec<&Push> = eight.iter().collect();
    let mut figures = Vec::new();
    for (width, theme) in [("85", Theme::single()), ("180", Theme::double())] {
        for (n, pushes) in [("two", &two), ("eight", &eight)] {
            figures.push((format!("resistance-{n}-{width}"), resistance(pushes, &theme)));
            figures.push((format!("who-{n}-{width}"), load_sharing(pushes, &theme)));
        }
        let screws = synthetic::push_of_screws();
        let beside = [two[0], &screws];
        figures.push((format!("resistance-screws-{width}"), resistance(&beside, &theme)));
        figures.push((format!("who-screws-{width}"), load_sharing(&beside, &theme)));
        for (name, side, w, hours) in [
            ("right", Side::Right, 6.5, 4.0),
            ("left", Side::Left, 6.5, 4.0),
            ("large", Side::Right, 9.1, 3.5),
            ("posterior", Side::Right, 6.5, 8.5),
        ] {
            let case = synthetic::case(side, w, hours);
            let one = construct(&case, &synthetic::construct("one-by-one"), &synthetic::one_by_one(&case), &theme);
            let four =
                construct(&case, &synthetic::construct("two-by-two crossed"), &synthetic::two_by_two(&case), &theme);
            let screws =
                construct(&case, &synthetic::construct("two-screws-with-loops"), &synthetic::two_screws(&case), &theme);
            figures.push((format!("screws-{name}-{width}"), screws));
            figures.push((format!("one-{name}-{width}"), one));
            figures.push((format!("four-{name}-{width}"), four));
        }
    }
    for case in ["quarter", "small", "large", "hinge-weak"] {
        figures.push((format!("fragment-{case}-180"), fragment(&Case::open(case).unwrap(), &Theme::double())));
    }
    figures.extend(drilled());
    figures.extend(compared::in_style(Style::Print));
    figures.extend(tie::all());
    figures.extend(scatter::all());
    figures.extend(place::all());
    figures.extend(joint::all());
    figures
}

/// The holes of constructs on cases of both sides, in both widths.
fn drilled() -> Vec<Named> {
    let mut figures = Vec::new();
    for (of, name) in [
        ("quarter", "one-by-one"),
        ("large", "two-by-two-crossed"),
        ("small", "crater-fan"),
        ("quarter", "two-screws-with-loops"),
    ] {
        let right = Case::open(of).unwrap();
        let left = Case { side: Side::Left, ..right.clone() };
        for (side, case) in [("right", right), ("left", left)] {
            let construct = ConstructFile::open(name).unwrap().fit(&case).unwrap();
            let found = drill(&case, &construct, &DrillPlan { remedies: false, ..DrillPlan::default() });
            for (width, theme) in [("85", Theme::single()), ("180", Theme::double())] {
                figures.push((format!("drilling-{name}-{side}-{width}"), drilling(&case, &construct, &found, &theme)));
            }
        }
    }
    figures
}

/// Writes every figure where a person can look at it.
#[test]
#[ignore = "writes pictures to look at"]
fn draw_all() {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("figures");
    let styles = [Style::Slide, Style::Grey].into_iter().flat_map(|style| {
        let drawn = compared::in_style(style).into_iter();
        let drawn = drawn.chain(scatter::in_style(style));
        let drawn = drawn.chain(place::in_style(style));
        drawn.map(move |(name, figure)| (format!("{style:?}-{name}").to_lowercase(), figure))
    });
    for (name, mut figure) in all().iter().chain(hard()).cloned().chain(styles) {
        figure.name = name;
        figure.write(&folder, &[Format::Svg, Format::Png { dpi: 300 }]).unwrap();
    }
}

/// Figures for slides have the shape of a page and words to be read from afar.
fn check_slides(figures: Vec<(String, Figure)>) {
    assert!(!figures.is_empty());
    for (name, figure) in figures {
        let shape = figure.width_mm / figure.height_mm;
        assert!((shape - 16.0 / 9.0).abs() < 1e-9, "{name}");
        // Common practice, no source: words on a slide ten inches wide from 8 pt up.
        check_words(&name, &figure, 8.0..=30.0);
        check_sheet(&name, &figure);
    }
}

/// Grey figures have no colour, and are as legible as others.
fn check_grey(figures: Vec<(String, Figure)>) {
    assert!(!figures.is_empty());
    for (name, figure) in figures {
        check_words(&name, &figure, 5.5..=8.1);
        check_sheet(&name, &figure);
        for (at, _) in figure.svg.match_indices("\"#") {
            let colour = &figure.svg[at + 2..at + 8];
            let [r, g, b] = [0, 2, 4].map(|k| &colour[k..k + 2]);
            assert!(r == g && g == b, "{name}: #{colour}");
        }
        assert!(tree(&figure.svg).size().width() > 0.0);
    }
}

/// Figures are refused where a file that is not ours has one of their names, and nothing is written.
fn check_foreign(figures: &[Figure], taken: &str) {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join(taken), "time,load\n").unwrap();
    let error = Figure::write_all(figures, folder.path(), &Format::ALL).unwrap_err();
    assert!(matches!(error, WriteError::Foreign { .. }), "{error}");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}

/// Ink box of every text of an SVG, in its user units, with its size in pt.
struct Words {
    text: String,
    size: f64,
    ink: resvg::tiny_skia::Rect,
}

fn tree(svg: &str) -> resvg::usvg::Tree {
    let options = resvg::usvg::Options { fontdb: rimhold::show::figures::font_database(), ..Default::default() };
    resvg::usvg::Tree::from_str(svg, &options).unwrap()
}

/// Every text as the renderer lays it out: the outside check of our own measuring.
fn words(figure: &Figure) -> Vec<Words> {
    fn walk(group: &resvg::usvg::Group, per_pt: f64, out: &mut Vec<Words>) {
        for node in group.children() {
            match node {
                resvg::usvg::Node::Group(inner) => walk(inner, per_pt, out),
                resvg::usvg::Node::Text(text) => {
                    let chunk = &text.chunks()[0];
                    // An upward text is turned: its scale is the same.
                    let transform = text.abs_transform();
                    let scale = f64::from(transform.sx.hypot(transform.ky));
                    out.push(Words {
                        text: chunk.text().to_owned(),
                        size: f64::from(chunk.spans()[0].font_size().get()) * scale / per_pt,
                        ink: text.flattened().bounding_box().transform(transform).unwrap(),
                    });
                }
                _ => {}
            }
        }
    }
    let tree = tree(&figure.svg);
    // usvg works in px of 1/96 inch; a pt is 1/72 inch (CSS Values and Units 3, section 6.2).
    let mut out = Vec::new();
    walk(tree.root(), 96.0 / 72.0, &mut out);
    out
}

#[test]
fn the_same_results_give_the_same_bytes() {
    for ((name, a), (_, b)) in all().iter().zip(draw()) {
        assert_eq!(*a, b, "{name}");
    }
    let case = synthetic::case(Side::Right, 6.5, 4.0);
    let draw = || {
        let tied = synthetic::one_by_one(&case);
        construct(&case, &synthetic::construct("x"), &tied, &Theme::single()).png(150).unwrap()
    };
    assert_eq!(draw(), draw());
}

#[test]
fn the_header_gives_the_true_size() {
    for (name, figure) in all() {
        let width = if name.ends_with("180") { 180.0 } else { 85.0 };
        assert_eq!(figure.width_mm, width, "{name}");
        let header = figure.svg.lines().next().unwrap();
        assert!(header.contains(&format!("width=\"{width:.2}mm\"")), "{header}");
        let size = tree(&figure.svg).size();
        // 96 px to the inch of 25.4 mm (CSS Values and Units 3, section 6.2); f32 arithmetic.
        let mm = |px: f32| f64::from(px) * 25.4 / 96.0;
        assert!((mm(size.width()) - width).abs() < 1e-3, "{name}");
        assert!((mm(size.height()) - figure.height_mm).abs() < 1e-2, "{name}");
        // A journal page has about 240 mm.
        assert!(figure.height_mm < 240.0 || name.starts_with("who-eight-85") || name.contains("nine"), "{name}");
    }
}

#[test]
fn the_picture_says_its_resolution() {
    let pushes = synthetic::two_pushes();
    let pushes: Vec<&Push> = pushes.iter().collect();
    let png = resistance(&pushes, &Theme::single()).png(600).unwrap();
    // PNG (ISO/IEC 15948): IHDR width at byte 16; pHYs in dots per metre, 600 dpi = 23622.
    assert_eq!(png[16..20], 2008_u32.to_be_bytes());
    let at = png.windows(4).position(|w| w == b"pHYs").unwrap();
    assert_eq!(png[at + 4..at + 8], 23_622_u32.to_be_bytes());
    assert!(resvg::tiny_skia::Pixmap::decode_png(&png).is_ok());
    assert!(resistance(&pushes, &Theme::single()).png(0).is_err());
}

#[test]
fn words_are_legible_on_the_sheet_and_apart() {
    let mut seen = 0;
    for (name, figure) in all().iter().chain(hard()) {
        // A slide is seen from farther away than a page.
        let most = if name.starts_with("slide") { 12.0 } else { 8.1 };
        let least = if name.ends_with("180") && !name.starts_with("slide") { 7.0 } else { 5.5 };
        seen += check_words(name, figure, least..=most);
    }
    assert!(seen > 1000);
}

/// Every text of a figure has a size in the range (pt), lies on the sheet and covers no other; how
/// many there are.
fn check_words(name: &str, figure: &Figure, sizes: std::ops::RangeInclusive<f64>) -> usize {
    let words = words(figure);
    let size = tree(&figure.svg).size();
    for (i, a) in words.iter().enumerate() {
        assert!(a.size >= sizes.start() - 0.02 && a.size <= *sizes.end(), "{name}: '{}' at {:.2} pt", a.text, a.size);
        let r = a.ink;
        assert!(
            r.left() >= 0.0 && r.top() >= 0.0 && r.right() <= size.width() && r.bottom() <= size.height(),
            "{name}: '{}' leaves the sheet: {r:?}",
            a.text
        );
        for b in &words[i + 1..] {
            assert!(a.ink.intersect(&b.ink).is_none(), "{name}: '{}' and '{}' overlap", a.text, b.text);
        }
    }
    words.len()
}

#[test]
fn nothing_leaves_the_sheet() {
    for (name, figure) in all().iter().chain(hard()) {
        check_sheet(name, figure);
    }
}

/// Nothing is drawn outside a figure's sheet, what a clip hides left out.
fn check_sheet(name: &str, figure: &Figure) {
    use resvg::usvg::{Group, Node};
    type Edges = [f32; 4];
    fn extent(group: &Group) -> Edges {
        let none = [f32::INFINITY, f32::INFINITY, f32::NEG_INFINITY, f32::NEG_INFINITY];
        let of = |node: &Node| match node {
            Node::Group(inner) => extent(inner),
            node => {
                let r = node.abs_stroke_bounding_box();
                [r.left(), r.top(), r.right(), r.bottom()]
            }
        };
        let join = |a: Edges, b: Edges| [a[0].min(b[0]), a[1].min(b[1]), a[2].max(b[2]), a[3].max(b[3])];
        let all = group.children().iter().map(of).fold(none, join);
        let Some(clip) = group.clip_path() else { return all };
        let own = clip.root().bounding_box().transform(group.abs_transform()).unwrap();
        [all[0].max(own.left()), all[1].max(own.top()), all[2].min(own.right()), all[3].min(own.bottom())]
    }
    let tree = tree(&figure.svg);
    let (size, r) = (tree.size(), extent(tree.root()));
    assert!(
        r[0] >= -0.01 && r[1] >= -0.01 && r[2] <= size.width() + 0.01 && r[3] <= size.height() + 0.01,
        "{name}: {r:?} in {size:?}"
    );
}

/// Long names, names of one long word, no pushes at all, no contact, a point far off the socket.
fn draw_hard() -> Vec<Named> {
    let mut figures = Vec::new();
    for (width, theme) in [("85", Theme::single()), ("180", Theme::double())] {
        let mut pushes = synthetic::two_pushes();
        pushes[0].construct = "a-construct-whose-name-says-everything about it, at length".into();
        pushes[1].construct = "Donaudampfschifffahrtsgesellschaftskonstruktion".into();
        let lost = synthetic::eight_pushes().swap_remove(2);
        pushes.push(lost);
        let few: Vec<&Push> = pushes.iter().collect();
        figures.push((format!("resistance-names-{width}"), resistance(&few, &theme)));
        figures.push((format!("who-names-{width}"), load_sharing(&few, &theme)));
        figures.push((format!("who-one-{width}"), load_sharing(&few[2..], &theme)));
        figures.push((format!("resistance-none-{width}"), resistance(&[], &theme)));
        figures.push((format!("who-none-{width}"), load_sharing(&[], &theme)));
        let mut empty = synthetic::two_pushes().swap_remove(0);
        empty.curve.clear();
        empty.events.clear();
        empty.load_at = [None; 3];
        figures.push((format!("resistance-empty-{width}"), resistance(&[&empty], &theme)));
        figures.push((format!("who-empty-{width}"), load_sharing(&[&empty], &theme)));
        let case = synthetic::case(Side::Left, 6.5, 6.0);
        let mut tied = synthetic::two_by_two(&case);
        tied.bed.cells.clear();
        tied.bed.peak_pressure = 0.0;
        tied.bed.centre = None;
        tied.anchors[3].place = [-17.0, 25.0, 9.0];
        tied.limbs[2].path[2] = [-17.0, 25.0, 9.0];
        tied.anchors[0].name = "an-anchor-with-a-long-name".into();
        tied.limbs[0].name = "Reduktionsfadenschlaufe".into();
        figures
            .push((format!("construct-hard-{width}"), construct(&case, &synthetic::construct("hard"), &tied, &theme)));
    }
    figures.extend(tie::hard());
    figures.extend(scatter::hard());
    figures.extend(place::hard());
    figures
}

/// Middle of the first text that says `what`, px.
fn middle(figure: &Figure, what: &str) -> f32 {
    let words = words(figure);
    let found = words.iter().find(|w| w.text == what).unwrap();
    0.5 * (found.ink.left() + found.ink.right())
}

#[test]
fn a_left_shoulder_is_mirrored_with_its_words() {
    let draw = |side| {
        let case = synthetic::case(side, 6.5, 4.0);
        let tied = synthetic::one_by_one(&case);
        construct(&case, &synthetic::construct("x"), &tied, &Theme::single())
    };
    let (right, left) = (draw(Side::Right), draw(Side::Left));
    // Seen from lateral, anterior is on the right of a right shoulder and on the left of a left one.
    assert!(middle(&right, "anterior") > middle(&right, "posterior"));
    assert!(middle(&left, "anterior") < middle(&left, "posterior"));
    assert!(middle(&right, "3") > middle(&right, "9"));
    assert!(middle(&left, "3") < middle(&left, "9"));
    assert!(middle(&right, "bridge-lower") > middle(&right, "12"));
    assert!(middle(&left, "bridge-lower") < middle(&left, "12"));
    assert!(left.caption.contains("left shoulder"));
    assert!(right.caption.contains("right shoulder"));
}

/// Whether a table gives a number: in nine digits.
fn near(written: &str, value: f64) -> bool {
    written.parse::<f64>().is_ok_and(|w| (w - value).abs() <= 1e-8 * value.abs().max(1e-4))
}

/// Whether a table gives a number, or nothing where there is none.
fn near_or_blank(written: &str, value: Option<f64>) -> bool {
    value.map_or(written.is_empty(), |v| near(written, v))
}

/// A table begins with its heading, and no number in it is a negative zero or shows a rounding error.
#[test]
fn tables_are_tidy() {
    for (name, figure) in all().iter().chain(hard()).filter(|(_, f)| !f.csv.is_empty()) {
        let heading = figure.csv.lines().next().unwrap();
        assert!(!heading.starts_with('#') && heading.contains(','), "{name}: {heading}");
        for field in figure.csv.lines().skip(1).flat_map(|l| l.split(',')) {
            if field.parse::<f64>().is_ok() {
                let digits = field.trim_start_matches('-').trim_start_matches(['0', '.']).chars();
                assert!(digits.filter(char::is_ascii_digit).count() <= 12 && field != "-0", "{name}: {field}");
            }
        }
    }
}

#[test]
fn the_csv_holds_the_numbers_drawn() {
    let pushes = synthetic::two_pushes();
    let pushes: Vec<&Push> = pushes.iter().collect();
    let figure = load_sharing(&pushes, &Theme::single());
    // At each state the shares of the table sum to its load: force balance.
    for push in &pushes {
        for p in &push.curve {
            let rows: Vec<Vec<&str>> = figure
                .csv
                .lines()
                .skip(1)
                .map(|l| l.split(',').collect())
                .filter(|r: &Vec<&str>| r[0] == push.construct && near(r[1], p.displacement))
                .collect();
            let of = |load: bool| -> f64 {
                let rows = rows.iter().filter(|r| (r[2] == "load") == load);
                rows.map(|r| r[4].parse::<f64>().unwrap()).sum()
            };
            // Ten numbers up to 1e2, in nine digits each.
            assert!((of(true) - of(false)).abs() < 1e-6);
        }
    }
}

/// Each kind of event under its own words, in the table, in the caption and in the key.
#[test]
fn an_event_is_named_as_what_it_is() {
    use EventKind::*;
    let all = [
        (LimbSlack, "limb slack"),
        (AboveKnot, "knot or clamp slides"),
        (AboveStrand, "strand breaks"),
        (AboveAnchor, "anchor pulls out"),
        (BiteTears, "bite cuts out"),
        (ScrewLoose, "screw preload lost"),
        (AboveBearing, "bone beside screw crushes"),
        (BiteSeated, "bite seated on bone"),
        (BedSliding, "whole bed slides"),
        (HalfContact, "under half of the bed in contact"),
        (AboveCrush, "bed crushes"),
        (Step, "step-off above 2 mm"),
        (Jump, "jump to another position"),
    ];
    for (kind, named) in all {
        let mut push = synthetic::two_pushes().remove(0);
        let of = |subject: &str, displacement| Event { kind, subject: subject.into(), displacement, load: 10.0 };
        push.events = vec![of("before", 0.0), of("superior", 1.0)];
        let figure = resistance(&[&push], &Theme::single());
        let rows: Vec<&str> = figure.csv.lines().filter(|line| line.starts_with("event,")).collect();
        assert_eq!(rows.len(), 2);
        assert!(rows[1].ends_with(&format!("superior: {named}")), "{rows:?}");
        assert!(figure.caption.contains(&format!("before: {named}")), "{}", figure.caption);
        assert!(words(&figure).iter().any(|w| w.text == named), "{named} in the key");
    }
}

#[test]
fn files_are_written_whole_and_ours_replaced() {
    let folder = tempfile::tempdir().unwrap();
    let plots = folder.path().join("a/b");
    let pushes = synthetic::two_pushes();
    let pushes: Vec<&Push> = pushes.iter().collect();
    let figure = resistance(&pushes, &Theme::single());
    let paths = figure.write(&plots, &Format::ALL).unwrap();
    assert_eq!(paths.len(), 4);
    let read = || -> Vec<Vec<u8>> { paths.iter().map(|p| std::fs::read(p).unwrap()).collect() };
    let first = read();
    // Our own files are known again, each by itself; a table by its hash in the caption beside it.
    for format in Format::ALL {
        figure.write(&plots, &[format]).unwrap();
    }
    assert_eq!(first, read());
    assert_eq!(std::fs::read_dir(&plots).unwrap().count(), 4, "nothing else is left behind");
    let csv = plots.join("resistance.csv");
    let edited = String::from_utf8(std::fs::read(&csv).unwrap()).unwrap() + "a line of somebody's own\n";
    std::fs::write(&csv, &edited).unwrap();
    assert!(figure.write(&plots, &[Format::Csv]).is_err());
    assert_eq!(std::fs::read_to_string(&csv).unwrap(), edited);
}

#[test]
fn a_foreign_file_is_refused_and_left_alone() {
    let pushes = synthetic::two_pushes();
    let pushes: Vec<&Push> = pushes.iter().collect();
    let figure = resistance(&pushes, &Theme::single());
    for (file, content) in [
        ("resistance.svg", "<svg xmlns=\"http://www.w3.org/2000/svg\"/>"),
        ("resistance.png", "not ours"),
        ("resistance.csv", "time,load\n0,1\n"),
        ("resistance.txt", "my notes"),
        ("resistance.csv", ""),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join(file);
        std::fs::write(&path, content).unwrap();
        let error = figure.write(folder.path(), &Format::ALL).unwrap_err();
        assert!(error.to_string().contains(file), "{error}");
        assert_eq!(std::fs::read_to_string(&path).unwrap(), content);
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1, "nothing half-written");
    }
    // A folder of that name, and a file where the folder should be.
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("resistance.svg")).unwrap();
    assert!(figure.write(folder.path(), &Format::ALL).is_err());
    let file = folder.path().join("plots");
    std::fs::write(&file, "mine").unwrap();
    assert!(figure.write(&file, &Format::ALL).is_err());
    assert_eq!(std::fs::read_to_string(&file).unwrap(), "mine");
}
