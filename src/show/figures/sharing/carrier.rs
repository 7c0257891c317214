//! What may be drawn as a band of its own.

use crate::show::chart::*;
use crate::study::result::{Carrier, Contributor, Push, PushPoint};

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
pub(super) struct Category {
    /// Its name in words.
    pub name: String,
    /// Its colour, as a line.
    pub colour: Colour,
    texture: Texture,
    members: Members,
}

impl Category {
    /// Whether a contributor belongs to it.
    pub fn holds(&self, of: &Contributor) -> bool {
        let limb = of.carrier == Carrier::Limb;
        match &self.members {
            Members::Limb(name) => limb && of.name == *name,
            Members::Groups(groups) => limb && groups.contains(&of.group),
            Members::Carriers(carriers) => carriers.contains(&of.carrier),
        }
    }

    /// Its share in a state, N.
    pub fn share(&self, push: &Push, point: &PushPoint) -> f64 {
        let all = push.contributors.iter().zip(&point.shares);
        all.filter(|(of, _)| self.holds(of)).map(|(_, share)| share).sum()
    }

    /// Whether a push has any of it.
    pub fn is_present(&self, push: &Push) -> bool {
        self.largest(&[push]) > 1e-9
    }

    /// Fills a polygon with its tint and texture.
    pub fn fill(&self, canvas: &mut Canvas, polygon: &[Point]) {
        canvas.area(polygon, self.colour.tint(0.62));
        canvas.textured(polygon, self.texture, 1.1, Stroke::solid(self.colour, 0.45));
    }

    fn largest(&self, pushes: &[&Push]) -> f64 {
        let all = pushes.iter().flat_map(|push| push.curve.iter().map(|p| self.share(push, p).abs()));
        all.fold(0.0, f64::max)
    }
}

/// The bands of a comparison, from the zero line outward: the same for every panel.
pub(super) fn categories(pushes: &[&Push], theme: &Theme) -> Vec<Category> {
    let limbs = || pushes.iter().flat_map(|p| &p.contributors).filter(|c| c.carrier == Carrier::Limb);
    let names = distinct(limbs().map(|c| c.name.as_str()));
    let mut bands = if names.len() <= LIMB_BANDS {
        by_limb(&names, theme)
    } else {
        by_group(pushes, &distinct(limbs().map(|c| c.group.as_str())), theme)
    };
    for (name, colour, texture, carriers) in [
        ("screws", Colour(60, 60, 60), Texture::Crossed, &[Carrier::Screw][..]),
        ("bed friction", theme.series[2], Texture::Dots, &[Carrier::Friction][..]),
        ("bed pressure", theme.series[5], Texture::Level, &[Carrier::Pressure][..]),
        ("soft tissue", theme.series[3], Texture::Upright, &[Carrier::Tissue, Carrier::Tether][..]),
        ("dead loads", Colour(120, 120, 120), Texture::Plain, &[Carrier::Load][..]),
    ] {
        bands.push(Category { name: name.to_owned(), colour, texture, members: Members::Carriers(carriers) });
    }
    let largest = pushes.iter().flat_map(|p| p.curve.iter().map(|s| s.load.abs())).fold(0.0, f64::max);
    bands.retain(|b| b.largest(pushes) > VISIBLE * largest);
    bands
}

fn by_limb(limbs: &[String], theme: &Theme) -> Vec<Category> {
    let looks = [
        (theme.series[0], Texture::Rising),
        (theme.series[1], Texture::Falling),
        (theme.series[4], Texture::Crossed),
        (theme.series[6].tint(0.35), Texture::Plain),
    ];
    let category = |(name, (colour, texture)): (&String, _)| Category {
        name: name.clone(),
        colour,
        texture,
        members: Members::Limb(name.clone()),
    };
    limbs.iter().zip(looks).map(category).collect()
}

fn by_group(pushes: &[&Push], groups: &[String], theme: &Theme) -> Vec<Category> {
    let others = [Texture::Crossed, Texture::Rising, Texture::Falling];
    let category = |(k, group): (usize, &String)| Category {
        name: match group.as_str() {
            "loop" => "loops".to_owned(),
            "bridge" => "bridges".to_owned(),
            other => other.to_owned(),
        },
        colour: theme.group(group, groups),
        texture: match group.as_str() {
            "bridge" => Texture::Rising,
            "loop" => Texture::Falling,
            _ => others[k % 3],
        },
        members: Members::Groups(vec![group.clone()]),
    };
    let mut bands: Vec<Category> = groups.iter().enumerate().map(category).collect();
    if bands.len() > LIMB_BANDS {
        bands.sort_by(|a, b| b.largest(pushes).total_cmp(&a.largest(pushes)));
        let small = bands.split_off(LIMB_BANDS - 1).into_iter().filter_map(|b| match b.members {
            Members::Groups(groups) => Some(groups),
            _ => None,
        });
        bands.push(Category {
            name: "other limbs".to_owned(),
            colour: theme.series[6].tint(0.35),
            texture: Texture::Plain,
            members: Members::Groups(small.flatten().collect()),
        });
    }
    bands
}
