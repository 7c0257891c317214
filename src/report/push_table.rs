//! How a tied fragment resists being pushed.

use super::hold_table::jumps;
use super::layout::{Page, Set};
use super::shares::{by_group, sample};
use super::words::{bed_direction, certificate, event_of, not_held, num, pushed, signed};
use crate::study::MARKS;
use crate::study::result::{Carrier, Petal, Push};

/// Writes load, stiffness, shares, events and the rose of a push.
pub fn push_table(page: &mut Page, push: &Push, rose: Option<&[Petal]>) {
    page.heading(&format!(
        "{} pushed {}{}",
        push.construct,
        pushed(&push.direction),
        if push.guided {
            ", turning forbidden"
        } else {
            ""
        }
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
        page.value(
            "stiffness at the start",
            format!("{} N/mm", num(stiffness, 1)),
        );
    }
    if let Some([load, at]) = push.peak {
        page.value(
            "largest load",
            format!("{} N at {} mm", num(load, 1), num(at, 2)),
        );
    }
    shares(page, push);
    events(page, push);
    jumps(page, &push.jumps);
    if let Some(petals) = rose {
        rose_table(page, petals);
    }
    if let Some(worst) = push
        .curve
        .iter()
        .map(|p| &p.certificate)
        .max_by(|a, b| a.net_force.total_cmp(&b.net_force))
    {
        page.heading(&format!(
            "Certificate of the least balanced of {} states",
            push.curve.len()
        ));
        page.paragraph(&certificate(worst));
    }
}

fn shares(page: &mut Page, push: &Push) {
    // The last mark that the push reached and that is no more than 1 mm.
    let Some(mark) = [1.0, 0.5]
        .into_iter()
        .find(|mark| sample(push, *mark).is_some())
    else {
        return;
    };
    let (Some(groups), Some(at), Some(first)) =
        (by_group(push, mark), sample(push, mark), push.curve.first())
    else {
        return;
    };
    page.heading(&format!("Who carries the load at {mark} mm"));
    let row = |name: String, now: f64, tied: f64| {
        vec![
            name,
            num(now, 1),
            if at.load > 0.0 {
                format!("{} %", num(100.0 * now / at.load, 0))
            } else {
                "-".to_owned()
            },
            signed(now - tied, 1),
        ]
    };
    let mut rows = Vec::new();
    for group in &groups {
        rows.push(row(group.name.clone(), group.now, group.tied));
        if group.carrier != Carrier::Limb {
            continue;
        }
        for (k, c) in push.contributors.iter().enumerate() {
            if c.carrier == Carrier::Limb && format!("limbs: {}", c.group) == group.name {
                rows.push(row(
                    format!("    {}", c.name),
                    at.shares[k],
                    first.shares[k],
                ));
            }
        }
    }
    rows.push(row("together: the load".to_owned(), at.load, first.load));
    page.grid(
        &[
            ("carrier", Set::Left),
            ("N", Set::Right),
            ("of the load", Set::Right),
            ("change since tied N", Set::Right),
        ],
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
                if e.displacement == 0.0 {
                    "as tied".to_owned()
                } else {
                    num(e.displacement, 2)
                },
                if e.displacement == 0.0 {
                    "-".to_owned()
                } else {
                    num(e.load, 1)
                },
                event_of(e),
            ]
        })
        .collect();
    page.grid(
        &[("mm", Set::Right), ("N", Set::Right), ("event", Set::Fill)],
        &rows,
    );
}

/// The rose as a table.
pub(super) fn rose_table(page: &mut Page, petals: &[Petal]) {
    page.heading("Rose: load at 1 mm round the bed plane");
    let rows: Vec<Vec<String>> = petals
        .iter()
        .map(|p| {
            let a = p.angle.to_radians();
            vec![
                num(p.angle, 0),
                bed_direction(-a.cos(), a.sin()).to_owned(),
                p.load.map_or_else(|| "-".to_owned(), |l| num(l, 1)),
                not_held(&p.outcome).unwrap_or_default(),
            ]
        })
        .collect();
    page.grid(
        &[
            ("deg", Set::Right),
            ("nearest", Set::Left),
            ("N", Set::Right),
            ("", Set::Fill),
        ],
        &rows,
    );
    page.paragraph("Degrees from inferior (along the fracture line) toward medial.");
}
