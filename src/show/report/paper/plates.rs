//! The figures of a report, in the order in which a reader meets them.

use crate::model::{Case, Construct};
use crate::par;
use crate::show::figures::{
    Figure, Style, Subject, comparison_sheet, construct, limb_forces, load_sharing, name_apart, place_before_after,
    place_convergence, place_front, place_tolerance, pressure_maps, resistance, rose, scatter_differences, scatter_fan,
    scatter_indices, scatter_intervals, scatter_ranking, stiffness_ellipses, sweep_drawn, tie_residuals, tie_strip,
    tie_strips,
};
use crate::study::result::{Place, Push, Scatter};

use super::further::Further;
use super::record::Found;
use super::sweeping::ReportedSweep;

/// A figure with the heading it stands under.
#[derive(Debug, Clone, PartialEq)]
pub struct Plate {
    /// Heading.
    pub title: String,
    /// The figure.
    pub figure: Figure,
    /// Whether it stands in the supplement.
    pub supplement: bool,
}

/// Figures to be drawn: their heading, how, and whether for the supplement. One, unless their number is seen only in
/// drawing them.
type Job<'a> = (String, Box<dyn Fn() -> Vec<Figure> + Sync + Send + 'a>, bool);

/// Draws every figure of a report in a style. A further study adds a line here.
pub fn plates(
    case: &Case,
    constructs: &[Construct],
    found: &[Found],
    scatter: Option<&Scatter>,
    sweeps: &[ReportedSweep],
    place: Option<&Place>,
    style: Style,
) -> Vec<Plate> {
    let subjects: Vec<Subject<'_>> =
        constructs.iter().zip(found).filter_map(|(construct, found)| Subject::of(construct, &found.compared)).collect();
    let pushes: Vec<&Push> = subjects.iter().filter_map(|s| s.push).filter(|p| p.curve.len() > 1).collect();
    let (single, double, drawing) = (style.single(), style.double(), style.drawing());
    let strip = style.strip();
    // One panel needs one column alone.
    let panels = if subjects.len() > 1 { &double } else { &single };
    let (subjects, pushes) = (&subjects, &pushes);
    let mut jobs: Vec<Job<'_>> = Vec::new();
    if !subjects.is_empty() {
        let double = &double;
        jobs.push(job("The constructs on one sheet", move || comparison_sheet(case, subjects, double)));
    }
    if !pushes.is_empty() {
        let single = &single;
        jobs.push(aside(job("Load against displacement", move || resistance(pushes, single))));
        let theme = if pushes.len() > 1 { &double } else { single };
        jobs.push(job("Who carries the load", move || load_sharing(pushes, theme)));
    }
    if !subjects.is_empty() {
        jobs.push(job("Load at 1 mm by direction", move || rose(case, subjects, panels)));
        jobs.push(aside(job("Pressure on the bed", move || pressure_maps(case, subjects, panels))));
        jobs.push(aside(job("What each limb does to the fragment", move || limb_forces(case, subjects, panels))));
        jobs.push(aside(job("Stiffness along the bed, and the weakest ways", move || {
            stiffness_ellipses(case, subjects, panels)
        })));
    }
    for subject in subjects {
        let drawing = &drawing;
        let title = format!("The construct {} on the fragment", subject.construct.name);
        jobs.push(job(&title, move || construct(case, subject.construct, subject.tied, drawing)));
    }
    let mut strips = false;
    for (one, found) in constructs.iter().zip(found) {
        let orders = &found.orders;
        if orders.best().is_none() {
            continue;
        }
        let double = &double;
        let name = &one.name;
        let strip = &strip;
        if style == Style::Slide {
            // Both on one sheet would be too small to read from a seat.
            let both = orders.runs.iter().filter(|r| r.rank.is_some()).count() > 1;
            for (k, which) in ["Best", "Worst"].into_iter().enumerate().take(1 + usize::from(both)) {
                let title = format!("{which} order of tying {name}");
                jobs.push(job(&title, move || tie_strips(case, one, orders, strip).swap_remove(k).of(name)));
            }
        } else {
            let title = format!("Orders of tying {name}");
            let drawn = job(&title, move || tie_strip(case, one, orders, strip).of(name));
            // One in the report is enough to see what the order does.
            jobs.push(if std::mem::replace(&mut strips, true) { aside(drawn) } else { drawn });
        }
        let title = format!("What each order of tying {name} leaves");
        jobs.push(aside(job(&title, move || tie_residuals(case, one, orders, double).of(name))));
    }
    if let Some(scatter) = scatter {
        let double = &double;
        jobs.push(job("Load against displacement, with its band", move || scatter_fan(scatter, panels)));
        jobs.push(aside(job("The answers with their bands", move || scatter_intervals(scatter, double))));
        jobs.push(several("Which construct does better, draw by draw", move || scatter_differences(scatter, double)));
        jobs.push(aside(several("Which input moves the answer", move || scatter_ranking(scatter, double))));
        jobs.push(aside(several("What the uncertainty is made of", move || scatter_indices(scatter, double))));
    }
    for ReportedSweep { sweep, .. } in sweeps {
        let title = sweep.question.as_deref().unwrap_or("A sweep");
        jobs.push(several(title, move || sweep_drawn(sweep, style)));
    }
    // The places sought are those of the last construct.
    if let (Some(place), Some(last)) = (place, constructs.last()) {
        let (single, double, drawing) = (&single, &double, &drawing);
        let title = format!("Places of the anchors of {}, given and found", last.name);
        jobs.push(job(&title, move || place_before_after(case, last, place, drawing)));
        jobs.push(aside(several("Placement tolerance of each anchor", move || {
            place_tolerance(case, place, double).into_iter().collect()
        })));
        jobs.push(several("Two objectives at once", move || place_front(case, place, double).into_iter().collect()));
        jobs.push(aside(job("How the search for places went", move || place_convergence(place, single))));
    }
    let drawn: Vec<Vec<Plate>> = par::map(&jobs, |(title, draw, supplement)| {
        let plate = |figure| Plate { title: title.clone(), figure: style.finish(figure), supplement: *supplement };
        draw().into_iter().map(plate).collect()
    });
    let mut plates: Vec<Plate> = drawn.into_iter().flatten().collect();
    name_apart(plates.iter_mut().map(|plate| &mut plate.figure));
    plates
}

/// The figures of further questions, behind those of the report.
pub fn further_plates(plates: &mut Vec<Plate>, further: &[Further], style: Style) {
    for one in further {
        let plate = |f: &Figure| Plate { title: one.title.clone(), figure: style.finish(f.clone()), supplement: false };
        plates.extend(one.figures.iter().map(plate));
    }
    name_apart(plates.iter_mut().map(|plate| &mut plate.figure));
}

fn job<'a>(title: &str, draw: impl Fn() -> Figure + Sync + Send + 'a) -> Job<'a> {
    several(title, move || vec![draw()])
}

fn several<'a>(title: &str, draw: impl Fn() -> Vec<Figure> + Sync + Send + 'a) -> Job<'a> {
    (title.to_owned(), Box::new(draw), false)
}

/// The same for the supplement.
fn aside<'a>((title, draw, _): Job<'a>) -> Job<'a> {
    (title, draw, true)
}
