//! The tied state of a construct.

use super::layout::{Page, Set};
use super::words::{along_line, bed_direction, certificate, not_held, num, percent, pull_end, signed, start, way};
use crate::model::Case;
use crate::study::result::{Hold, Jump, TiedState};

/// Writes what tying did and the tied state, or the finding that the fragment is not held.
pub fn hold_table(page: &mut Page, case: &Case, hold: &Hold) {
    page.heading(&format!("{} on {}, tied from the {} position", hold.construct, case.name, start(hold.from)));
    if let Some(words) = not_held(&hold.outcome) {
        page.paragraph(&format!("Finding, {words}."));
    }
    ties(page, hold);
    jumps(page, &hold.jumps);
    let Some(tied) = &hold.tied else {
        return;
    };
    if !tied.limbs.is_empty() {
        limbs(page, tied);
    }
    if !tied.screws.is_empty() {
        screws(page, tied);
    }
    bed(page, tied);
    lie(page, tied);
    if !tied.anchors.is_empty() {
        anchors(page, tied);
    }
    page.heading("How it would give way most easily");
    for w in tied.weakest.iter().take(2) {
        page.value(&format!("{} N/mm", num(w.stiffness, 1)), way(case, w));
    }
    page.heading("Certificate of the tied state");
    page.paragraph(&certificate(&tied.certificate));
}

fn ties(page: &mut Page, hold: &Hold) {
    if hold.ties.is_empty() {
        return;
    }
    page.heading("What each tie did");
    let screws: Vec<String> =
        hold.tied.as_ref().map_or_else(Vec::new, |t| t.screws.iter().map(|s| s.name.clone()).collect());
    let rows: Vec<Vec<String>> = hold
        .ties
        .iter()
        .enumerate()
        .map(|(k, t)| {
            let locked: Vec<String> = t.holds(&screws).iter().map(|v| num(*v, 1)).collect();
            vec![
                format!("{}. {}", k + 1, t.names().join(" + ")),
                pull_end(t.end).to_owned(),
                num(t.pulled, 1),
                locked.join(", "),
                num(t.compression, 1),
                signed(t.measures.step.value, 2),
                signed(t.measures.tilt, 1),
            ]
        })
        .collect();
    page.grid(
        &[
            ("tie", Set::Fill),
            ("stopped", Set::Fill),
            ("pulled N", Set::Right),
            ("locked N", Set::Right),
            ("bed N", Set::Right),
            ("step mm", Set::Right),
            ("tilt deg", Set::Right),
        ],
        &rows,
    );
}

pub(super) fn jumps(page: &mut Page, jumps: &[Jump]) {
    for jump in jumps {
        page.item(&format!(
            "during the {} the fragment jumped to another position ({} mm, {} deg)",
            jump.during,
            num(jump.shift, 2),
            num(jump.turn, 1)
        ));
    }
}

fn limbs(page: &mut Page, tied: &TiedState) {
    page.heading("Limbs: what each does to the fragment");
    let rows: Vec<Vec<String>> = tied
        .limbs
        .iter()
        .map(|l| {
            let tensions: Vec<String> = l.tensions.iter().map(|t| num(*t, 1)).collect();
            vec![
                l.name.clone(),
                tensions.join(", "),
                num(l.compression, 1),
                num(l.shear, 1),
                if l.shear < 0.05 {
                    "-".to_owned()
                } else {
                    bed_direction(l.shear_along[0], l.shear_along[1]).to_owned()
                },
                num(l.cartilage, 1),
                if l.seated { "sits on bone" } else { "" }.to_owned(),
            ]
        })
        .collect();
    page.grid(
        &[
            ("limb", Set::Left),
            ("tension by segment N", Set::Right),
            ("presses N", Set::Right),
            ("drags N", Set::Right),
            ("toward", Set::Left),
            ("over cartilage mm", Set::Right),
            ("bite", Set::Left),
        ],
        &rows,
    );
    page.paragraph(&format!(
        "presses: force square to the bed. drags: force along the bed. {} mm of strand cross intact \
         cartilage in all.",
        num(tied.cartilage, 1)
    ));
}

fn screws(page: &mut Page, tied: &TiedState) {
    page.heading("Screws: what each does to the fragment");
    let rows: Vec<Vec<String>> = tied
        .screws
        .iter()
        .map(|s| {
            vec![
                s.name.clone(),
                num(s.axial, 1),
                num(s.bearing, 1),
                num(s.compression, 1),
                num(s.shear, 1),
                if s.shear < 0.05 {
                    "-".to_owned()
                } else {
                    bed_direction(s.shear_along[0], s.shear_along[1]).to_owned()
                },
                num(s.pressure, 2),
            ]
        })
        .collect();
    page.grid(
        &[
            ("screw", Set::Left),
            ("head pulls N", Set::Right),
            ("shank bears N", Set::Right),
            ("presses N", Set::Right),
            ("drags N", Set::Right),
            ("toward", Set::Left),
            ("on bone MPa", Set::Right),
        ],
        &rows,
    );
    page.paragraph(
        "head pulls: along the axis, never below zero. shank bears: across it. on bone: largest \
         pressure of the shank at the fracture plane.",
    );
}

fn bed(page: &mut Page, tied: &TiedState) {
    let bed = &tied.bed;
    page.heading("Fracture bed");
    page.value("compression", format!("{} N", num(bed.compression, 1)));
    page.value(
        "friction at work",
        match bed.reserve {
            Some(reserve) => {
                format!("{} N; {} of what friction can bear is in reserve", num(bed.friction, 1), percent(reserve))
            }
            None => format!("{} N", num(bed.friction, 1)),
        },
    );
    page.value(
        "pressure",
        format!("peak {} MPa, mean {} MPa over what touches", num(bed.peak_pressure, 2), num(bed.mean_pressure, 2)),
    );
    page.value(
        "contact",
        format!(
            "{} of the bed; {} of the contact slides; {} above the crush strength",
            percent(bed.contact),
            percent(bed.sliding),
            percent(bed.crushed)
        ),
    );
    if let Some([along, down]) = bed.centre {
        page.value(
            "centre of pressure",
            format!(
                "{} mm {} of the middle, {} mm medial to the face edge",
                num(along.abs(), 1),
                if along >= 0.0 { "superior" } else { "inferior" },
                num(down, 1)
            ),
        );
    }
    if let Some(angle) = tied.resultant_angle {
        page.value(
            if tied.screws.is_empty() { "pull of all limbs together" } else { "pull of limbs and screw heads" },
            format!(
                "{} deg off square to the bed; friction holds up to {} deg: {}",
                num(angle, 1),
                num(tied.friction_angle, 1),
                if angle > tied.friction_angle {
                    "OUTSIDE, they themselves tend to slide the fragment"
                } else {
                    "inside"
                }
            ),
        );
    }
}

fn lie(page: &mut Page, tied: &TiedState) {
    let m = &tied.measures;
    page.heading("How the fragment lies, against its reduced place");
    page.value(
        "articular step",
        format!(
            "{} mm {}, {}",
            signed(m.step.value, 2),
            if m.step.value >= 0.0 { "(lateral, proud)" } else { "(medial, sunk)" },
            along_line(m.step.at)
        ),
    );
    page.value("gap of the fracture line", format!("{} mm, {}", signed(m.gap.value, 2), along_line(m.gap.at)));
    page.value(
        "inferior shift",
        format!(
            "middle {} mm, superior end {} mm, inferior end {} mm",
            signed(m.inferior_middle, 2),
            signed(m.inferior_superior_end, 2),
            signed(m.inferior_inferior_end, 2)
        ),
    );
    page.value("medial shift", format!("{} mm", signed(m.medial, 2)));
    page.value(
        "tilt, spin, yaw",
        format!(
            "{}, {}, {} deg (tilt: + sits up; spin: + superior end lateral; yaw: + superior end opens)",
            signed(m.tilt, 1),
            signed(m.spin, 1),
            signed(m.yaw, 1)
        ),
    );
}

fn anchors(page: &mut Page, tied: &TiedState) {
    page.heading("Anchors");
    let rows: Vec<Vec<String>> = tied
        .anchors
        .iter()
        .map(|a| {
            vec![
                a.name.clone(),
                num(a.force, 1),
                num(a.give, 2),
                a.holding.map_or_else(|| "-".to_owned(), |h| num(h, 0)),
                match a.holding {
                    Some(h) => percent(a.force / h),
                    None => "-".to_owned(),
                },
            ]
        })
        .collect();
    page.grid(
        &[
            ("anchor", Set::Left),
            ("pull N", Set::Right),
            ("gives mm", Set::Right),
            ("holding load N", Set::Right),
            ("used", Set::Right),
        ],
        &rows,
    );
}
