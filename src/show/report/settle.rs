//! Settling: what relaxation and cycles leave of a tied repair.

use crate::show::table::{Cell, Column, Table};
use crate::show::terminal::Page;
use crate::show::words::word;
use crate::study::result::{CyclePoint, Loss, Settling};

/// Writes a repair as tied and after each tenfold number of cycles.
pub fn settle_short(page: &mut Page, settling: &Settling) {
    let last = settling.points.last().map(|p| p.cycle);
    let tenfold = |n: u32| n == 0 || 10u32.checked_pow(n.ilog10()) == Some(n);
    let told = settling.points.iter().filter(|p| tenfold(p.cycle) || Some(p.cycle) == last);
    page.table(&cycles(told.collect::<Vec<_>>(), &[]));
    page.paragraph(
        "Displacement of the fragment's centroid along the load, from as tied: at peak under the largest \
         load of a cycle, at rest under the least. Step-off + proud.",
    );
}

/// Writes what a repair loses: against cycles, and part by part.
pub fn settle_table(page: &mut Page, settling: &Settling, limbs: &[String]) {
    page.titled(Some(settle_cycles(settling, limbs)));
    page.titled(Some(settle_losses(settling)));
    page.paragraph("Set: by how much a bite or an anchor lies further along its pull, or a loop has grown.");
}

/// The part that has lost most, where one has lost anything.
pub(super) fn most(settling: &Settling) -> Option<&Loss> {
    let lost = |l: &Loss| l.before - l.after;
    settling.losses.iter().max_by(|a, b| lost(a).total_cmp(&lost(b))).filter(|l| lost(l) > 0.05)
}

/// What a repair is after each computed cycle.
pub fn settle_cycles(settling: &Settling, limbs: &[String]) -> Table {
    cycles(settling.points.iter().collect(), limbs)
}

fn cycles(points: Vec<&CyclePoint>, limbs: &[String]) -> Table {
    let station = |k: usize| move |p: &&CyclePoint| Cell::of("step", p.measures.stations[k]);
    let (inferior, middle, superior) = (station(0), station(1), station(2));
    let columns: [Column<'_, &CyclePoint>; 8] = [
        ("cycle", "", &|p| if p.cycle == 0 { "as tied".into() } else { Cell::count(p.cycle as usize) }),
        ("at peak", "mm", &|p| if p.cycle == 0 { Cell::none() } else { Cell::fixed(p.peak, 2) }),
        ("at rest", "mm", &|p| Cell::fixed(p.rest, 2)),
        ("step-off inferior", "mm", &inferior),
        ("middle", "mm", &middle),
        ("superior", "mm", &superior),
        ("compression", "N", &|p| Cell::of("compression", p.compression)),
        ("in contact", "%", &|p| Cell::fixed(100.0 * p.contact, 0)),
    ];
    let mut table = Table::of("settling", "Against cycles", points.iter().copied(), &columns);
    for (k, limb) in limbs.iter().enumerate() {
        table.heads.push(format!("{limb} (N)"));
        for (row, point) in table.rows.iter_mut().zip(&points) {
            row.push(Cell::fixed(point.tensions[k], 1));
        }
    }
    table
}

/// What each part has lost.
pub fn settle_losses(settling: &Settling) -> Table {
    let columns: [Column<'_, &Loss>; 6] = [
        ("part", "", &|l| word(&l.part).into()),
        ("of", "", &|l| (&l.name).into()),
        ("as tied", "N", &|l| Cell::fixed(l.before, 1)),
        ("settled", "N", &|l| Cell::fixed(l.after, 1)),
        ("lost to relaxation", "N", &|l| Cell::fixed(l.relaxed, 1)),
        ("set", "mm", &|l| Cell::fixed(l.set, 2)),
    ];
    Table::of("losses", "What each part has lost", &settling.losses, &columns)
}
