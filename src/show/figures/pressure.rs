//! Figure "pressure": the pressure on the bed of every construct, side by side on one scale.

use super::*;
use crate::show::scene::bed::{Levels, ends, heights, key, key_room, map};

/// Least width of a panel, mm.
const LEAST: f64 = 44.0;
/// Most page mm per bone mm.
const SCALE: f64 = 2.2;

/// Draws the pressure on the bed as each construct was tied, seen square to the bed from the
/// fragment with lateral up, all maps in one size and on one scale.
pub fn pressure_maps(case: &Case, subjects: &[Subject<'_>], theme: &Theme) -> Figure {
    let (f, small) = (&case.fragment, theme.note());
    // The key stands right of the maps.
    let panels = Panels::new(theme, &names(subjects), theme.width - key_room(theme), LEAST);
    let scale = ((panels.width - 6.0) / f.chord()).min(SCALE);
    let [lo, hi] = heights(f);
    let note = small.leading() + 1.2;
    let tall = (note + scale * (hi - lo) + 3.0).max(2.2 * small.leading() + 24.0);
    let levels = Levels::up_to(subjects.iter().map(|s| s.tied.bed.peak_pressure).fold(0.0, f64::max));
    let low = panels.height(tall).max(34.0) + small.leading() + 2.4;
    let mut canvas = Canvas::new(theme.width, low);
    panels.draw(&mut canvas, theme, tall, NONE, |canvas, k, area| {
        let middle = area.x + 0.5 * area.w;
        let view = View::new(case, theme, Seen::Bed, [middle, area.y + note + 1.2 + scale * hi], scale);
        map(canvas, &view, &subjects[k].tied.bed, levels);
        canvas.text(&words(&subjects[k]), [middle, area.y + small.capital()], small.centred());
        // The bed is deepest in its middle: its lower corners are free.
        let [plus, minus] = ends(f);
        for (word, side) in [(plus, view.mirror), (minus, -view.mirror)] {
            let at = [middle + side * (scale * f.half_chord + 1.5), view.at([0.0, lo])[1]];
            canvas.text(word, at, small.italic().away(-side));
        }
        if k == 0 {
            view.scale_bar(canvas, [area.x + 2.0, low - 1.6]);
            key(canvas, theme, [theme.width - key_room(theme) + 1.0, area.y + note + 3.0], levels);
        }
    });
    let rows = subjects.iter().flat_map(|s| {
        s.tied.bed.cells.iter().map(|cell| json!([s.construct.name, cell.t, cell.m, cell.area, cell.pressure]))
    });
    let table = csv("construct,t_mm,m_mm,area_mm2,pressure_MPa".split(','), rows);
    let caption = "Pressure on the bed as tied, seen square to the bed from the fragment, lateral up and medial down, one panel a construct, all on one scale of size and of pressure. The cross is the centre of pressure. White inside the outline: not in contact.";
    let alt = format!("Maps of the pressure on the bed, side by side. {}.", each(subjects, words));
    Figure::new("pressure", canvas, table, caption.to_owned(), alt)
}

fn words(subject: &Subject<'_>) -> String {
    let bed = &subject.tied.bed;
    format!("{:.0} N, {:.0} % in contact, peak {:.1} MPa", bed.compression, 100.0 * bed.contact, bed.peak_pressure)
}
