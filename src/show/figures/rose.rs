//! Figure "rose": load at 1 mm by direction in the plane of the bed.

use super::*;
use crate::anatomy::bed_direction;

/// Least width of a panel, mm.
const LEAST: f64 = 52.0;

/// Draws, for each construct, the load that moves the fragment by 1 mm in each direction round the
/// plane of its bed, on one scale, seen from the fragment with lateral up. With it the disc of the
/// shear that friction bears under the limbs' own compression, and the limbs' resultant along the bed.
pub fn rose(case: &Case, subjects: &[Subject<'_>], theme: &Theme) -> Figure {
    let panels = Panels::new(theme, &names(subjects), theme.width, LEAST);
    let note = theme.note();
    let radius = Wheel::radius_in(case, theme, panels.width, 24.0);
    let loads = subjects.iter().flat_map(|s| {
        let pull = Pull::of(case, s);
        s.petals.iter().filter_map(|p| p.load).chain([pull.capacity, pull.shear()])
    });
    let scale = Scale::load(0.0, loads.fold(0.0, f64::max), 4);
    // In one line where it fits, otherwise part by part.
    let room = panels.width - 2.0;
    let set = |parts: Vec<String>| match parts.join(", ") {
        whole if note.width(&whole) <= room => vec![whole],
        _ => parts.iter().flat_map(|p| wrap(p, note, room)).collect(),
    };
    let notes: Vec<Vec<String>> = subjects.iter().map(|s| notes(case, s).into_iter().flat_map(set).collect()).collect();
    let lines = notes.iter().map(Vec::len).max().unwrap_or(0);
    let wheel = Wheel::height(theme, radius);
    let tall = wheel + lines as f64 * note.leading() + 1.0;
    let mut canvas = Canvas::new(theme.width, panels.height(tall).max(20.0));
    panels.draw(&mut canvas, theme, tall, NONE, |canvas, k, area| {
        let centre = [area.x + 0.5 * area.w, area.y + 0.5 * wheel];
        draw(canvas, case, theme, &subjects[k], k, &Wheel::new(case, theme, centre, radius, scale));
        canvas.lines(&notes[k], [centre[0], area.y + wheel + note.leading()], note.centred());
    });
    let alt = each(subjects, |s| self::notes(case, s).concat().join("; "));
    let alt = format!("Polar plots of the load at 1 mm by direction in the plane of the bed. {alt}.");
    Figure::new("rose", canvas, numbers(case, subjects), caption(case), alt)
}

/// How limbs and heads of screws pull together along the bed, and what friction bears under them.
struct Pull {
    /// Along the chord and down the plane, N.
    along: [f64; 2],
    /// μ times their compression, N.
    capacity: f64,
}

impl Pull {
    fn of(case: &Case, subject: &Subject<'_>) -> Self {
        let [t, m, n] = in_bed(case, subject.tied.resultant);
        Self { along: [t, m], capacity: case.bed.friction * (-n).max(0.0) }
    }

    fn shear(&self) -> f64 {
        distance([0.0; 2], self.along)
    }
}

/// A load in the direction of a petal, along the chord and down the plane.
fn toward_petal(p: &Petal, load: f64) -> [f64; 2] {
    let [cos, sin] = turned(p.angle);
    [-load * cos, load * sin]
}

/// Draws one rose on its wheel.
fn draw(canvas: &mut Canvas, case: &Case, theme: &Theme, subject: &Subject<'_>, series: usize, wheel: &Wheel<'_>) {
    let (colour, _) = theme.series(series);
    let pull = Pull::of(case, subject);
    let disc = wheel.length(pull.capacity);
    let petal = |p: &Petal, load: f64| wheel.at(toward_petal(p, load));
    let mut outline: Vec<Point> = subject.petals.iter().filter_map(|p| Some(petal(p, p.load?.max(0.0)))).collect();
    let whole = outline.len() == subject.petals.len() && !outline.is_empty();
    if whole {
        canvas.area(&outline, colour.tint(0.86));
    }
    canvas.disc(wheel.centre, disc, theme.muted.tint(0.72));
    wheel.paper(canvas);
    canvas.circle(wheel.centre, disc, Stroke::dashed(theme.muted, 0.7, &[0.9, 0.7]));
    outline.extend(outline.first().copied());
    if whole {
        canvas.path(&outline, theme.line(series));
    }
    for p in subject.petals {
        match p.load {
            Some(load) => canvas.disc(petal(p, load.max(0.0)), 0.5, colour),
            None => cross(canvas, petal(p, wheel.scale.hi), 0.7, Stroke::solid(theme.ink, theme.curve)),
        }
    }
    let tip = wheel.at(pull.along);
    vector(canvas, wheel.centre, tip, Stroke::solid(theme.ink, 1.3));
    wheel.words(canvas, "N", &[&outline, &[wheel.centre, tip]]);
}

/// What stands under a rose, in lines of parts that belong together.
fn notes(case: &Case, subject: &Subject<'_>) -> Vec<Vec<String>> {
    let loads = || subject.petals.iter().filter_map(|p| p.load.map(|load| (p, load)));
    let least = loads().min_by(|a, b| a.1.total_cmp(&b.1)).map(|found| ("least", found));
    let most = loads().max_by(|a, b| a.1.total_cmp(&b.1)).map(|found| ("most", found));
    let toward = |p: &Petal| {
        let [superior, medial] = toward_petal(p, 1.0);
        bed_direction(superior, medial)
    };
    let ends = least.into_iter().chain(most);
    let ends = ends.map(|(which, (p, load))| format!("{which} {} ({})", newtons(load), toward(p))).collect();
    let failed = match subject.petals.iter().filter(|p| p.load.is_none()).count() {
        0 => Vec::new(),
        1 => vec!["fixation fails in 1 direction".to_owned()],
        n => vec![format!("fixation fails in {n} directions")],
    };
    let pull = Pull::of(case, subject);
    let along = format!("{} {} along the bed", subject.what_pulls(), newtons(pull.shear()));
    let mut notes = vec![ends, failed, vec![along, format!("friction bears {}", newtons(pull.capacity))]];
    notes.retain(|parts| !parts.is_empty());
    notes
}

fn numbers(case: &Case, subjects: &[Subject<'_>]) -> String {
    let rows = subjects.iter().flat_map(|subject| {
        let (name, pull) = (&subject.construct.name, Pull::of(case, subject));
        let petals = subject.petals.iter().map(move |petal| {
            let along = petal.load.map_or([None; 2], |load| toward_petal(petal, load).map(Some));
            json!([name, "load at 1 mm", petal.angle, along, petal.load])
        });
        let along = format!("{} along the bed", subject.what_pulls());
        let along = json!([name, along, "", pull.along, pull.shear()]);
        petals.chain([along, json!([name, "shear that friction bears", "", "", "", pull.capacity])])
    });
    csv("construct,what,angle_from_the_line_down_the_plane_deg,back_along_line_N,down_plane_N,load_N".split(','), rows)
}

fn caption(case: &Case) -> String {
    format!(
        "Load that moves the fragment's control point by 1 mm in each direction round the plane of its bed, from where the repair rests, free to turn; seen square to the bed from the fragment, lateral up; directions are of the bed, along the fracture line toward its ends, up and down the plane. The distance of a dot from the centre is the load, on one scale for all panels; a load below zero is drawn at the centre, and a cross on the outer edge is a direction in which fixation fails. The arrow is the resultant of limbs and heads of screws along the bed; the grey disc is the shear that friction bears under their compression alone, {} times it. An arrow inside the disc lies in the friction cone.",
        case.bed.friction
    )
}
