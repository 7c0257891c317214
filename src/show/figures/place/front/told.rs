//! What a front says in words and numbers.

use super::super::words;
use super::pair;
use crate::show::figures::csv::{Csv, field};
use crate::show::figures::scatter::words::number;
use crate::study::result::{Front, Place, Placement, Start};

pub(super) fn csv(found: &Place, front: &Front) -> String {
    let mut header = vec!["design".to_owned()];
    for aim in &found.aims {
        header.push(match aim.unit.as_str() {
            "" => aim.key.clone(),
            unit => format!("{}_{unit}", aim.key),
        });
    }
    header.push("bed".to_owned());
    header.push("kind".to_owned());
    header.extend(found.variables.iter().filter(|v| !v.idle).map(|v| field(&v.path)));
    let header: Vec<&str> = header.iter().map(String::as_str).collect();
    let mut csv = Csv::new(&header);
    let kind = if found.robust { "percentile over draws" } else { "value" };
    let row = |name: &str, values: [Option<f64>; 2], bed: &str, kind: &str, at: &[f64]| {
        let mut row = vec![field(name)];
        row.extend(values.map(|v| v.map_or_else(String::new, |v| v.to_string())));
        row.push(bed.to_owned());
        row.push(kind.to_owned());
        row.extend(at.iter().map(f64::to_string));
        row
    };
    for point in &front.points {
        csv.row(row("front", point.values.map(Some), "search", kind, &point.at));
    }
    if let Some(given) = front.given {
        let at = &found.given.at;
        csv.row(row("given", given.map(Some), "search", kind, at));
    }
    for p in std::iter::once(&found.given).chain(&front.designs) {
        csv.row(row(&p.name, pair(found, p), "full", kind, &p.at));
        if found.robust {
            let plain = [0, 1].map(|k| p.values.get(k).copied().flatten());
            csv.row(row(&p.name, plain, "full", "value", &p.at));
        }
    }
    csv.finish()
}

pub(super) fn caption(found: &Place) -> String {
    format!(
        "What can be had of two objectives at once: {} and {}{}, both of one repair, tied from the {} position. Case {}, construct {}. Dots: designs that keep every constraint and of which none is better in both, on the bed of the search (about {} cells); square: the given construct on the same bed; diamonds: the best of each objective, and the knee, farthest from the straight line between them. Beside: these four on the face from lateral, with both values on the full bed (about {} cells); dots are anchors on the face, rings those behind the bone; full lines are bridges, dashed ones loops, drawn through the bone where they lie behind it.",
        found.aims[0].label,
        found.aims[1].label,
        if found.robust {
            format!(
                ", every value the {} and {} percentile over {} common draws of placement error and tension",
                found.aims[0].percentile(),
                found.aims[1].percentile(),
                found.draws
            )
        } else {
            String::new()
        },
        match found.from {
            Start::Reduced => "reduced",
            Start::Displaced => "displaced",
        },
        found.case,
        found.construct,
        found.cells[0],
        found.cells[1]
    )
}

pub(super) fn alt(found: &Place, front: &Front) -> String {
    let of = |p: &Placement| -> String {
        let values = found.aims.iter().zip(pair(found, p));
        let values: Vec<String> = values.map(|(aim, v)| words::told(aim, v)).collect();
        values.join(" and ")
    };
    let designs: Vec<String> = front.designs.iter().map(|d| format!("{}: {}", d.name, of(d))).collect();
    format!(
        "A front of {} designs between two objectives, with the given construct ({}), which is {}. {}.",
        number(front.points.len() as f64, 0),
        of(&found.given),
        if front.given_is_beaten { "beaten in both by some of them" } else { "not beaten in both by any of them" },
        designs.join("; ")
    )
}
