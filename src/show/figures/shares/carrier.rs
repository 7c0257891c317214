//! Who may be drawn as a band of its own.

use crate::show::figures::canvas::{Canvas, Stroke};
use crate::show::figures::colour::Colour;
use crate::show::figures::hatch::Hatch;
use crate::show::figures::rect::Point;
use crate::show::figures::theme::Theme;
use crate::study::result::{Carrier, Push, PushPoint};

/// Most bands of limbs; beyond, limbs are drawn by group, and small groups together.
const LIMB_BANDS: usize = 4;
/// A carrier whose share never exceeds this part of the largest load is left to the CSV.
const VISIBLE: f64 = 0.005;

/// Which contributors a band gathers.
#[derive(Debug, Clone, PartialEq)]
enum Members {
    Limb(String),
    Groups(Vec<String>),
    Carriers(&'static [Carrier]),
}

/// A band: contributors that are drawn together.
#[derive(Debug, Clone)]
pub(crate) struct Category {
    /// Its name in words.
    pub name: String,
    /// Its colour, as a line.
    pub colour: Colour,
    hatch: Hatch,
    members: Members,
}

impl Category {
    /// Whether the contributor `index` of a push belongs to it.
    pub fn holds(&self, push: &Push, index: usize) -> bool {
        let contributor = &push.contributors[index];
        match &self.members {
            Members::Limb(name) => contributor.carrier == Carrier::Limb && contributor.name == *name,
            Members::Groups(groups) => contributor.carrier == Carrier::Limb && groups.contains(&contributor.group),
            Members::Carriers(carriers) => carriers.contains(&contributor.carrier),
        }
    }

    /// Its share in a state, N.
    pub fn share(&self, push: &Push, point: &PushPoint) -> f64 {
        (0..push.contributors.len().min(point.shares.len()))
            .filter(|k| self.holds(push, *k))
            .map(|k| point.shares[k])
            .sum()
    }

    /// Whether a push has any of it.
    pub fn is_present(&self, push: &Push) -> bool {
        (0..push.contributors.len()).any(|k| self.holds(push, k))
            && push.curve.iter().any(|p| self.share(push, p).abs() > 1e-9)
    }

    /// Fills a polygon with its tint and texture.
    pub fn fill(&self, canvas: &mut Canvas, polygon: &[Point]) {
        canvas.area(polygon, self.colour.tint(0.62));
        self.hatch.draw(canvas, polygon, 1.1, Stroke::solid(self.colour, 0.45));
    }

    fn largest(&self, pushes: &[&Push]) -> f64 {
        pushes.iter().flat_map(|push| push.curve.iter().map(|p| self.share(push, p).abs())).fold(0.0, f64::max)
    }
}

/// The bands of a comparison, from the zero line outward: the same for every panel.
pub(crate) fn categories(pushes: &[&Push], theme: &Theme) -> Vec<Category> {
    let mut limbs: Vec<String> = Vec::new();
    let mut groups: Vec<String> = Vec::new();
    for contributor in pushes.iter().flat_map(|p| &p.contributors) {
        if contributor.carrier == Carrier::Limb {
            if !limbs.contains(&contributor.name) {
                limbs.push(contributor.name.clone());
            }
            if !groups.contains(&contributor.group) {
                groups.push(contributor.group.clone());
            }
        }
    }
    let mut bands = if limbs.len() <= LIMB_BANDS { by_limb(&limbs, theme) } else { by_group(pushes, &groups, theme) };
    for (name, colour, hatch, carriers) in [
        ("screws", Colour(60, 60, 60), Hatch::Crossed, &[Carrier::Screw][..]),
        ("bed friction", theme.series[2], Hatch::Dots, &[Carrier::Friction][..]),
        ("bed pressure", theme.series[5], Hatch::Level, &[Carrier::Pressure][..]),
        ("soft tissue", theme.series[3], Hatch::Upright, &[Carrier::Tissue, Carrier::Tether][..]),
        ("dead loads", Colour(120, 120, 120), Hatch::Plain, &[Carrier::Load][..]),
    ] {
        bands.push(Category { name: name.to_owned(), colour, hatch, members: Members::Carriers(carriers) });
    }
    let largest = pushes.iter().flat_map(|p| p.curve.iter().map(|s| s.load.abs())).fold(0.0, f64::max);
    bands.retain(|b| b.largest(pushes) > VISIBLE * largest);
    bands
}

fn by_limb(limbs: &[String], theme: &Theme) -> Vec<Category> {
    let looks = [
        (theme.series[0], Hatch::Rising),
        (theme.series[1], Hatch::Falling),
        (theme.series[4], Hatch::Crossed),
        (theme.series[6].tint(0.35), Hatch::Plain),
    ];
    limbs
        .iter()
        .zip(looks)
        .map(|(name, (colour, hatch))| Category {
            name: name.clone(),
            colour,
            hatch,
            members: Members::Limb(name.clone()),
        })
        .collect()
}

fn by_group(pushes: &[&Push], groups: &[String], theme: &Theme) -> Vec<Category> {
    let hatches = [Hatch::Rising, Hatch::Falling, Hatch::Crossed];
    let category = |name: &str, members: Vec<String>, index: usize| Category {
        name: match name {
            "loop" => "loops".to_owned(),
            "bridge" => "bridges".to_owned(),
            other => other.to_owned(),
        },
        colour: theme.group(name, groups),
        hatch: match name {
            "bridge" => Hatch::Rising,
            "loop" => Hatch::Falling,
            _ => hatches[(index + 2) % 3],
        },
        members: Members::Groups(members),
    };
    let mut bands: Vec<Category> = groups.iter().enumerate().map(|(k, g)| category(g, vec![g.clone()], k)).collect();
    if bands.len() > LIMB_BANDS {
        bands.sort_by(|a, b| b.largest(pushes).total_cmp(&a.largest(pushes)));
        let small = bands.split_off(LIMB_BANDS - 1);
        let members = small
            .into_iter()
            .filter_map(|b| match b.members {
                Members::Groups(g) => Some(g),
                _ => None,
            })
            .flatten()
            .collect();
        bands.push(Category {
            name: "other limbs".to_owned(),
            colour: theme.series[6].tint(0.35),
            hatch: Hatch::Plain,
            members: Members::Groups(members),
        });
    }
    bands
}
