//! How a tied fragment resists being pushed.

use super::hold_table::jumps;
use super::layout::{Page, Set};
use super::shares::{by_group, group_of, sample};
use super::words::{bed_direction, event_of, not_held, num, pushed, signed};
use crate::study::MARKS;
use crate::study::result::{Carrier, Certificate, Petal, Push};

/// Writes load, stiffness, shares, events and the rose of a push.
pub fn push_table(page: &mut Page, push: &Push, rose: Option<&[Petal]>) {
    page.heading(&format!(
        "{} pushed {}{}",
        push.construct,
        pushed(&push.direction),
        if push.guided { ", turning forbidden" } else { "" }
    ));
    if let Some(words) = not_held(&push.outcome) {
        page.paragraph(&format!(
            "Finding, {words}. {}",
            match push.curve.last() {
                Some(p) => format!("The numbers below reach to {} mm.", num(p.displacement, 2)),
                None => String::new(),
            }
        ));
    }
    for (mark, load) in MARKS.iter().zip(push.load_at) {
        page.value(
            &format!("load at {mark} mm"),
            match load {
                Some(load) => format!("{} N", num(load, 1)),
                None if push.outcome.is_held() => "beyond the push".to_owned(),
                None => "not held that far".to_owned(),
            },
        );
    }
    if let Some(stiffness) = push.stiffness {
        page.value("stiffness at the start", format!("{} N/mm", num(stiffness, 1)));
    }
    if let Some([load, at]) = push.peak {
        page.value("largest load", format!("{} N at {} mm", num(load, 1), num(at, 2)));
    }
    shares(page, push);
    events(page, push);
    jumps(page, &push.jumps);
    if let Some(petals) = rose {
        rose_table(page, &[(push.construct.as_str(), petals)]);
    }
    if push.curve.is_empty() {
        return;
    }
    page.heading("Certificate of the push");
    let worst = |f: fn(&Certificate) -> f64| push.curve.iter().map(|p| f(&p.certificate)).fold(0.0, f64::max);
    page.paragraph(&format!(
        "All {} states are in balance to {:.0e} N and {:.0e} N mm; no tension in the bed, no strand in \
         compression, friction of bed and strands within its bounds.",
        push.curve.len(),
        worst(|c| c.net_force.max(c.net_node_force)),
        worst(|c| c.net_moment)
    ));
}

fn shares(page: &mut Page, push: &Push) {
    // The last mark that the push reached and that is no more than 1 mm.
    let Some(mark) = [1.0, 0.5].into_iter().find(|mark| sample(push, *mark).is_some()) else {
        return;
    };
    let (Some(groups), Some(at), Some(first)) = (by_group(push, mark), sample(push, mark), push.curve.first()) else {
        return;
    };
    page.heading(&format!("Who carries the load at {mark} mm"));
    let row = |name: String, now: f64, tied: f64| {
        vec![
            name,
            num(now, 1),
            if at.load > 0.0 { format!("{} %", num(100.0 * now / at.load, 0)) } else { "-".to_owned() },
            signed(now - tied, 1),
        ]
    };
    let mut rows = Vec::new();
    for group in &groups {
        rows.push(row(group.name.clone(), group.now, group.tied));
        if !matches!(group.carrier, Carrier::Limb | Carrier::Screw) {
            continue;
        }
        for (k, c) in push.contributors.iter().enumerate() {
            if group_of(c) == group.name {
                rows.push(row(format!("    {}", c.name), at.shares[k], first.shares[k]));
            }
        }
    }
    rows.push(row("together: the load".to_owned(), at.load, first.load));
    page.grid(
        &[("carrier", Set::Left), ("N", Set::Right), ("of the load", Set::Right), ("change since tied N", Set::Right)],
        &rows,
    );
    page.paragraph("Negative: pushes along with the load.");
}

fn events(page: &mut Page, push: &Push) {
    page.heading("What happens, in order");
    if push.events.is_empty() {
        page.paragraph("Nothing that is watched for.");
        return;
    }
    let rows: Vec<Vec<String>> = push
        .events
        .iter()
        .map(|e| {
            vec![
                if e.displacement == 0.0 { "as tied".to_owned() } else { num(e.displacement, 2) },
                if e.displacement == 0.0 { "-".to_owned() } else { num(e.load, 1) },
                event_of(e),
            ]
        })
        .collect();
    page.grid(&[("mm", Set::Right), ("N", Set::Right), ("event", Set::Fill)], &rows);
}

/// Most roses side by side.
const ROSES: usize = 8;

/// Roses side by side, one column a construct, and below each other when there are many.
pub(super) fn rose_table(page: &mut Page, roses: &[(&str, &[Petal])]) {
    let Some((_, first)) = roses.first() else {
        return;
    };
    page.heading("Rose: load at 1 mm (N) round the bed plane");
    for block in roses.chunks(ROSES) {
        rose_block(page, block, first);
        page.paragraph("");
    }
    page.paragraph("Degrees from inferior (along the fracture line) toward medial. lost: not held that far.");
}

fn rose_block(page: &mut Page, roses: &[(&str, &[Petal])], first: &[Petal]) {
    let rows: Vec<Vec<String>> = (0..first.len())
        .map(|k| {
            let a = first[k].angle.to_radians();
            let mut row = vec![num(first[k].angle, 0), bed_direction(-libm::cos(a), libm::sin(a)).to_owned()];
            row.extend(roses.iter().map(|(_, petals)| match petals[k].load {
                Some(load) => num(load, 1),
                None => "lost".to_owned(),
            }));
            row
        })
        .collect();
    let mut heads = vec![("deg", Set::Right), ("nearest", Set::Left)];
    heads.extend(roses.iter().map(|(name, _)| (*name, Set::Right)));
    page.grid(&heads, &rows);
}
