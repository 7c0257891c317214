//! Who carries the load at a displacement, by group.

use crate::study::result::{Carrier, Contributor, Measures, Push};

/// A carrier's part of the load.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Share {
    /// Its name in words: "limbs: bridge", "bed friction".
    pub name: String,
    /// What it is.
    pub carrier: Carrier,
    /// Its part, N.
    pub now: f64,
    /// Its part in the tied state, before any push, N.
    pub tied: f64,
}

/// A push at a displacement, linear between the two certified states around it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sample {
    /// Load, N.
    pub load: f64,
    /// Each contributor's part, N, in the order of the contributors.
    pub shares: Vec<f64>,
    /// How the fragment lies there (the nearer of the two states).
    pub measures: Measures,
}

/// The push at a displacement, mm; `None` beyond its curve.
pub(super) fn sample(push: &Push, mark: f64) -> Option<Sample> {
    push.curve.windows(2).find_map(|pair| {
        let (a, b) = (&pair[0], &pair[1]);
        // The solver meets the last displacement to its own tolerance, not to the last bit.
        if !(a.displacement <= mark && mark <= b.displacement + 1e-9) {
            return None;
        }
        let s = ((mark - a.displacement) / (b.displacement - a.displacement)).min(1.0);
        let between = |x: f64, y: f64| x + s * (y - x);
        Some(Sample {
            load: between(a.load, b.load),
            shares: a.shares.iter().zip(&b.shares).map(|(x, y)| between(*x, *y)).collect(),
            measures: if s < 0.5 { a.measures } else { b.measures },
        })
    })
}

/// The group of a contributor in words.
pub(super) fn group_of(contributor: &Contributor) -> String {
    match contributor.carrier {
        Carrier::Limb => format!("limbs: {}", contributor.group),
        Carrier::Screw if contributor.group == "screws" => "screws".to_owned(),
        Carrier::Screw => format!("screws: {}", contributor.group),
        Carrier::Friction => "bed friction".to_owned(),
        Carrier::Pressure => "bed pressure".to_owned(),
        Carrier::Tissue | Carrier::Tether => "soft tissue".to_owned(),
        Carrier::Load => "dead loads".to_owned(),
    }
}

/// The load of a push at a displacement, and the parts of it by group, N; `None` beyond its curve.
#[cfg(feature = "cli")]
pub(crate) fn sharing(push: &Push, mark: f64) -> Option<(f64, Vec<(String, f64)>)> {
    let parts = by_group(push, mark)?;
    Some((sample(push, mark)?.load, parts.into_iter().map(|part| (part.name, part.now)).collect()))
}

/// A group in a sentence: "the bridge limbs", "the bed friction".
pub(super) fn named(group: &str) -> String {
    match group.split_once(": ") {
        Some((what, of)) => format!("the {of} {what}"),
        None => format!("the {group}"),
    }
}

/// The parts by group: limb groups and screws in their order, then friction, pressure, tissue and loads.
pub(super) fn by_group(push: &Push, mark: f64) -> Option<Vec<Share>> {
    let at = sample(push, mark)?;
    let tied = &push.curve.first()?.shares;
    let mut groups: Vec<Share> = Vec::new();
    for (k, contributor) in push.contributors.iter().enumerate() {
        let name = group_of(contributor);
        match groups.iter_mut().find(|g| g.name == name) {
            Some(group) => {
                group.now += at.shares[k];
                group.tied += tied[k];
            }
            None => groups.push(Share { name, carrier: contributor.carrier, now: at.shares[k], tied: tied[k] }),
        }
    }
    Some(groups)
}
