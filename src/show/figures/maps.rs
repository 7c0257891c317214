//! Figure "pressure": the pressure on the bed of every construct, side by side on one scale.

use super::canvas::{Align, Canvas, Type};
use super::construct::Scene;
use super::construct::pressure::{Levels, depths, ends, key, map};
use super::construct::view::View;
use super::csv::{Csv, field};
use super::figure::Figure;
use super::font::Face;
use super::subject::{Panels, Subject, mirror};
use super::theme::Theme;
use crate::model::Case;

/// Least width of a panel, mm.
const LEAST: f64 = 44.0;
/// Most page mm per bone mm.
const SCALE: f64 = 2.2;

/// Draws the pressure on the bed as each construct was tied, seen square to the bed from the
/// fragment with lateral up, all maps in one size and on one scale.
pub fn pressure_maps(case: &Case, subjects: &[Subject<'_>], theme: &Theme) -> Figure {
    let f = &case.fragment;
    let small = Type::new(theme.small, theme.muted);
    // The key stands right of the maps.
    let key_room = 6.0 + small.width("centre of") + 1.0;
    let panels = Panels::new(theme, subjects, theme.width - key_room, LEAST);
    let scale = ((panels.width - 6.0) / f.chord()).min(SCALE);
    let [lo, hi] = depths(f);
    let note = small.leading() + 1.2;
    let deep = scale * (hi - lo);
    let tall = (note + deep + 3.0).max(2.2 * small.leading() + 24.0);
    let peak = subjects.iter().map(|s| s.tied.bed.peak_pressure).fold(0.0, f64::max);
    let levels = Levels::up_to(peak);
    let foot = small.leading() + 2.4;
    let mut canvas = Canvas::new(theme.width, panels.height(tall).max(34.0) + foot);
    for (k, subject) in subjects.iter().enumerate() {
        let area = panels.area(k, tall);
        let scene = Scene { case, construct: subject.construct, tied: subject.tied, theme };
        let view =
            View { origin: [area.x + 0.5 * area.w, area.y + note + 1.2 - scale * lo], scale, mirror: mirror(case) };
        map(&mut canvas, &scene, &view, levels);
        panels.title(&mut canvas, theme, k, tall);
        canvas.text(&words(subject), [area.x + 0.5 * area.w, area.y + small.capital()], small.align(Align::Centre));
        // The bed is deepest in its middle: its lower corners are free.
        let [plus, minus] = ends(f);
        let italic = small.face(Face::Italic);
        let low = view.page(0.0, -hi)[1];
        let half = scale * f.half_chord;
        for (word, side) in [(plus, view.mirror), (minus, -view.mirror)] {
            let align = if side > 0.0 { Align::Right } else { Align::Left };
            let at = [view.origin[0] + side * (half + 1.5), low];
            canvas.text(word, at, italic.align(align));
        }
        if k == 0 {
            let low = panels.height(tall).max(34.0) + foot;
            view.scale_bar(&mut canvas, theme, [area.x + 2.0, low - 1.6]);
        }
    }
    if subjects.is_empty() {
        let set = Type::new(theme.text, theme.muted);
        canvas.text("no construct was held", [2.0, 10.0], set);
    } else {
        let at = [theme.width - key_room + 1.0, panels.head + note + 3.0];
        key(&mut canvas, theme, at, levels);
    }
    Figure::new(
        "pressure",
        canvas,
        csv(subjects),
        "Pressure on the bed as tied, seen square to the bed from the fragment, lateral up and medial down, one panel a construct, all on one scale of size and of pressure. The cross is the centre of pressure. White inside the outline: not in contact.".to_owned(),
        alt(subjects),
    )
}

fn words(subject: &Subject<'_>) -> String {
    let bed = &subject.tied.bed;
    format!("{:.0} N, {:.0} % in contact, peak {:.1} MPa", bed.compression, 100.0 * bed.contact, bed.peak_pressure)
}

fn csv(subjects: &[Subject<'_>]) -> String {
    let mut csv = Csv::new(&["construct", "t_mm", "m_mm", "area_mm2", "pressure_MPa"]);
    for subject in subjects {
        for cell in &subject.tied.bed.cells {
            csv.row([
                field(&subject.construct.name),
                cell.t.to_string(),
                cell.m.to_string(),
                cell.area.to_string(),
                cell.pressure.to_string(),
            ]);
        }
    }
    csv.finish()
}

fn alt(subjects: &[Subject<'_>]) -> String {
    let rows: Vec<String> = subjects.iter().map(|s| format!("{}: {}", s.construct.name, words(s))).collect();
    format!("Maps of the pressure on the bed, side by side. {}.", rows.join("; "))
}
