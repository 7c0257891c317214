//! Settling: what relaxation and cycles leave of a tied repair.

use crate::show::table::{Cell, Column, Table};
use crate::show::terminal::Page;
use crate::show::words::{not_held, num};
use crate::study::result::{CyclePoint, Loss, Part, Settling};

/// Writes what a repair loses: against cycles, and part by part.
pub fn settle_table(page: &mut Page, settling: &Settling, limbs: &[String]) {
    page.heading(&format!(
        "{} settled: relaxation, then cycles of {} to {} N {}",
        settling.construct,
        num(settling.low, 0),
        num(settling.high, 0),
        settling.direction
    ));
    page.paragraph(&settle_reading(settling));
    page.titled(Some(settle_cycles(settling, limbs)));
    page.titled(Some(settle_losses(settling)));
    page.paragraph(
        "Displacement: of the fragment's centroid along the load, from as tied; at peak under the largest load, at rest \
         under the least. Step-off at the inferior end, the middle and the superior end of the fracture line, + proud. Set: by \
         how much a bite or an anchor lies further along its pull, or a loop has grown.",
    );
}

/// The answer in one paragraph.
pub fn settle_reading(settling: &Settling) -> String {
    let (Some(first), Some(last)) = (settling.points.first(), settling.points.last()) else {
        return String::new();
    };
    let mut text = match not_held(&settling.outcome) {
        Some(words) => format!("Finding, {words}. "),
        None => String::new(),
    };
    text += &format!(
        "Of {} N of compression as tied, {} N are left after {} cycles; the fragment has moved by {} mm at rest and by {} mm \
         under {} N",
        num(first.compression, 0),
        num(last.compression, 0),
        last.cycle,
        num(last.rest, 2),
        num(last.peak, 2),
        num(settling.high, 0)
    );
    text += match settling.shakes_down() {
        Some(true) => "; it shakes down: from decade to decade of cycles it moves less.",
        Some(false) => "; it does not shake down: from decade to decade of cycles it moves more.",
        None => ".",
    };
    let most = settling.losses.iter().max_by(|a, b| (a.before - a.after).total_cmp(&(b.before - b.after)));
    if let Some(most) = most.filter(|l| l.before - l.after > 0.05) {
        text += &format!(
            " Most is lost at the {} of {}: {} of {} N, {} N of them by relaxation.",
            part(most.part),
            most.name,
            num(most.before - most.after, 0),
            num(most.before, 0),
            num(most.relaxed, 0)
        );
    }
    text
}

/// What a repair is after each computed cycle.
pub fn settle_cycles(settling: &Settling, limbs: &[String]) -> Table {
    let station = |k: usize| move |p: &&CyclePoint| Cell::signed(p.measures.stations[k], 2);
    let (inferior, middle, superior) = (station(0), station(1), station(2));
    let columns: [Column<'_, &CyclePoint>; 8] = [
        ("cycle", "", &|p| if p.cycle == 0 { "as tied".into() } else { Cell::count(p.cycle as usize) }),
        ("at peak", "mm", &|p| if p.cycle == 0 { Cell::none() } else { Cell::fixed(p.peak, 2) }),
        ("at rest", "mm", &|p| Cell::fixed(p.rest, 2)),
        ("step inferior", "mm", &inferior),
        ("middle", "mm", &middle),
        ("superior", "mm", &superior),
        ("compression", "N", &|p| Cell::fixed(p.compression, 1)),
        ("in contact", "%", &|p| Cell::fixed(100.0 * p.contact, 0)),
    ];
    let mut table = Table::of("settling", "Against cycles", &settling.points, &columns);
    for (k, limb) in limbs.iter().enumerate() {
        table.heads.push(format!("{limb} (N)"));
        for (row, point) in table.rows.iter_mut().zip(&settling.points) {
            row.push(Cell::fixed(point.tensions[k], 1));
        }
    }
    table
}

/// What each part has lost.
pub fn settle_losses(settling: &Settling) -> Table {
    let columns: [Column<'_, &Loss>; 6] = [
        ("part", "", &|l| part(l.part).into()),
        ("of", "", &|l| (&l.name).into()),
        ("as tied", "N", &|l| Cell::fixed(l.before, 1)),
        ("settled", "N", &|l| Cell::fixed(l.after, 1)),
        ("lost to relaxation", "N", &|l| Cell::fixed(l.relaxed, 1)),
        ("set", "mm", &|l| Cell::fixed(l.set, 2)),
    ];
    Table::of("losses", "What each part has lost", &settling.losses, &columns)
}

fn part(part: Part) -> &'static str {
    match part {
        Part::Anchor => "anchor",
        Part::Bite => "bite",
        Part::Knot => "knot",
        Part::Clamp => "clamp",
    }
}
