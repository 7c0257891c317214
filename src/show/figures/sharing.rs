//! Figure "load-sharing": what carries the load, stacked, one panel a construct.

use super::event::early;
use super::*;

/// Room between columns, mm.
const GUTTER: f64 = 5.0;

/// Draws the shares of the load, stacked, against displacement: positive shares upward from zero,
/// negative ones (what acts with the load) downward, the total as a black line. All panels
/// share their scales. Limbs stand alone when there are few, otherwise by group.
pub fn load_sharing(pushes: &[&Push], theme: &Theme) -> Figure {
    let categories = categories(pushes, theme);
    let set = theme.words();
    let columns = if theme.is_wide() && pushes.len() > 1 { 2 } else { 1 };
    let rows = pushes.len().div_ceil(columns).max(1);
    let stacks: Vec<Stack> = pushes.iter().map(|p| stack(p, &categories)).collect();
    let [lo, hi] = extremes(stacks.iter().flat_map(|s| s.reach).chain([0.0]));
    let reach = pushes.iter().filter_map(|p| p.curve.last()).map(|p| p.displacement).fold(0.0, f64::max);
    let since = format!("Change since {} (N)", start(pushes));
    // Left of zero stands what was there before.
    let (x, y) = (Scale::exact(reach, 5), Scale::load(lo, hi, 5));
    let x = Scale { lo: -BASE * x.hi, ..x };
    let left = y.room(&set);
    let column = (theme.width - GUTTER * (columns - 1) as f64) / columns as f64;
    let words = set.widest(categories.iter().map(|c| format!("{} \u{2212}000 N", c.name)));
    let room = End::lead(categories.len() + 1) + 4.4;
    let right = (room + words).min(0.5 * column);
    let heads: Vec<Vec<(String, Face)>> = pushes.iter().map(|p| heading(p, theme, column - left - 1.0)).collect();
    let most = heads.iter().map(Vec::len).max().unwrap_or(1);
    let tall = 38.0_f64.max((categories.len() + 1) as f64 * (set.leading() + 0.7));
    let head = 5.2 + (most - 1) as f64 * set.leading();
    let row = head + tall + 5.0;
    let mut canvas = Canvas::new(theme.width, rows as f64 * row + 4.2);
    for (k, (push, stacked)) in pushes.iter().zip(&stacks).enumerate() {
        let origin = [(k % columns) as f64 * (column + GUTTER), (k / columns) as f64 * row];
        let plot = Plot { area: Rect::new(origin[0] + left, origin[1] + head, column - left - right, tall), x, y };
        for (category, [from, to]) in &stacked.base {
            let at = |share: f64, load: f64| plot.at(-share * BASE * x.hi, load);
            let bar = [at(0.8, *from), at(0.2, *from), at(0.2, *to), at(0.8, *to)];
            let colour = categories[*category].colour;
            canvas.area(&bar, colour.tint(0.85));
            canvas.textured(&bar, categories[*category].texture, 1.1, Stroke::solid(colour.tint(0.6), 0.45));
        }
        canvas.line(plot.at(0.0, y.lo), plot.at(0.0, y.hi), theme.reference());
        for (category, edges) in &stacked.bands {
            let outer = plot.all(edges.iter().map(|e| [e[0], e[2]]));
            let inner = plot.all(edges.iter().rev().map(|e| [e[0], e[1]]));
            categories[*category].fill(&mut canvas, &[outer.as_slice(), &inner].concat());
            canvas.path(&outer, Stroke::solid(WHITE, theme.outline));
        }
        let title = match k + columns >= pushes.len() {
            true => format!("{} displacement (mm)", capital(&push.direction)),
            false => String::new(),
        };
        plot.axes(&mut canvas, theme, [&title, if k % columns == 0 { &since } else { "" }]);
        let total = plot.all(push.curve.iter().map(|p| [p.displacement, p.load]));
        let stroke = Stroke::solid(theme.ink, 1.3 * theme.curve);
        canvas.path(&total, stroke.casing());
        canvas.path(&total, stroke);
        canvas.text(&letter(k), [origin[0] + 0.6, origin[1] + 3.4], theme.heading());
        for (line, (words, face)) in heads[k].iter().enumerate() {
            let y = origin[1] + 3.4 + line as f64 * set.leading();
            canvas.text(words, [plot.area.x, y], set.face(*face));
        }
        names(&mut canvas, theme, &plot, push, stacked, &categories, right - room);
    }
    Figure::new(
        "load-sharing",
        canvas,
        numbers(pushes, &categories),
        caption(pushes, &categories),
        alt(pushes, &categories),
    )
}

/// Part of the axis that the column of the tied state takes left of zero.
const BASE: f64 = 0.14;

/// The construct's name and, when the push ended early, where.
fn heading(push: &Push, theme: &Theme, room: f64) -> Vec<(String, Face)> {
    let name = wrap(&push.construct, theme.words().bold(), room);
    let end = push.curve.last().map_or(0.0, |p| p.displacement);
    let why = early(&push.outcome).map(|what| (format!("{what} beyond {end:.2} mm"), Face::Italic));
    name.into_iter().map(|l| (l, Face::Bold)).chain(why).collect()
}

fn numbers(pushes: &[&Push], categories: &[Category]) -> String {
    let rows = pushes.iter().flat_map(|push| {
        push.curve.iter().flat_map(move |p| {
            let shares = push.contributors.iter().zip(&p.shares).map(move |(of, share)| {
                let drawn = categories.iter().find(|c| c.holds(of)).map(|c| &c.name);
                json!([push.construct, p.displacement, of.name, drawn, share])
            });
            shares.chain([json!([push.construct, p.displacement, "load", "load", p.load])])
        })
    });
    csv("construct,displacement_mm,carrier,drawn_as,share_N".split(','), rows)
}

/// What the pushes start from.
pub(super) fn start(pushes: &[&Push]) -> &'static str {
    if pushes.iter().any(|p| p.settling.is_some()) { "settled" } else { "tied" }
}

fn caption(pushes: &[&Push], categories: &[Category]) -> String {
    let start = start(pushes);
    let names: Vec<&str> = categories.iter().map(|c| c.name.as_str()).collect();
    format!(
        "Load sharing while the fragment is pushed in the {} direction: change since the {start} state of the shares of {}, stacked; above zero they resist, below zero they act with the applied load. The black line is the total load, to which the changes sum. The pale column left of zero is what was there when {start}, in balance without a load. Numbers: change by the end of the push. All panels have the same scales.",
        pushes.first().map_or("push", |p| p.direction.as_str()),
        names.join(", ")
    )
}

fn alt(pushes: &[&Push], categories: &[Category]) -> String {
    let panel = |push: &&Push| {
        let end = push.curve.last()?;
        let present = categories.iter().filter(|c| c.is_present(push));
        let (name, load) = (&push.construct, newtons(end.load));
        Some(format!(
            "{name} at {:.1} mm: load {load}, of which {}",
            end.displacement,
            joined(present.map(|c| format!("{} {}", c.name, newtons(c.share(push, end)))), ", ")
        ))
    };
    let panels: Vec<String> = pushes.iter().filter_map(panel).collect();
    format!(
        "Stacked areas of the changes of the shares of the load since the tied state, against displacement. {}.",
        panels.join("; ")
    )
}

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
struct Category {
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

    /// Its share as tied, N: what the push starts from.
    fn preload(&self, push: &Push) -> f64 {
        push.curve.first().map_or(0.0, |tied| self.total(push, tied))
    }

    fn total(&self, push: &Push, point: &PushPoint) -> f64 {
        let all = push.contributors.iter().zip(&point.shares);
        all.filter(|(of, _)| self.holds(of)).map(|(_, share)| share).sum()
    }

    /// The change of its share since the tied state, N.
    pub fn share(&self, push: &Push, point: &PushPoint) -> f64 {
        self.total(push, point) - self.preload(push)
    }

    /// Whether a push has any of it.
    pub fn is_present(&self, push: &Push) -> bool {
        self.largest(&[push]).max(self.preload(push).abs()) > 1e-9
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
fn categories(pushes: &[&Push], theme: &Theme) -> Vec<Category> {
    let limbs = || pushes.iter().flat_map(|p| &p.contributors).filter(|c| c.carrier == Carrier::Limb);
    let names = distinct(limbs().map(|c| c.name.clone()));
    let mut bands = if names.len() <= LIMB_BANDS {
        by_limb(pushes, &names, theme)
    } else {
        by_group(pushes, &distinct(limbs().map(|c| c.group.clone())), theme)
    };
    for (name, colour, texture, carriers) in [
        ("screws", Colour(60, 60, 60), Texture::Crossed, &[Carrier::Screw][..]),
        ("bed friction", theme.series[2], Texture::Dots, &[Carrier::Friction][..]),
        ("bed pressure", theme.depth(0.7), Texture::Level, &[Carrier::Pressure][..]),
        ("soft tissue", theme.series[3], Texture::Upright, &[Carrier::Tissue, Carrier::Tether][..]),
        ("dead loads", Colour(120, 120, 120), Texture::Plain, &[Carrier::Load][..]),
    ] {
        bands.push(Category { name: name.to_owned(), colour, texture, members: Members::Carriers(carriers) });
    }
    let largest = pushes.iter().flat_map(|p| p.curve.iter().map(|s| s.load.abs())).fold(0.0, f64::max);
    bands.retain(|b| b.largest(pushes) > VISIBLE * largest);
    bands
}

fn by_limb(pushes: &[&Push], limbs: &[String], theme: &Theme) -> Vec<Category> {
    let all = || pushes.iter().flat_map(|p| &p.contributors).filter(|c| c.carrier == Carrier::Limb);
    let groups = distinct(all().map(|c| c.group.clone()));
    let looks = [Texture::Rising, Texture::Falling, Texture::Crossed, Texture::Plain];
    let category = |(name, texture): (&String, Texture)| Category {
        name: name.clone(),
        colour: theme.group(all().find(|c| c.name == *name).map_or("", |c| &c.group), &groups),
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

/// A run of one category on one side of zero: displacement, inner edge and outer edge, mm and N.
type Band = (usize, Vec<[f64; 3]>);

/// The stacked bands of a push.
struct Stack {
    /// The bands, from the zero line outward, each with the place of its category.
    pub bands: Vec<Band>,
    /// Lower and upper edge of the categories as tied, N.
    pub base: Vec<(usize, [f64; 2])>,
    /// Where the middle of each category stands at the end, N.
    pub middle_at_end: Vec<f64>,
    /// Lowest and highest edge, N.
    pub reach: [f64; 2],
}

/// Stacks the categories of a push. Samples are added where a share changes its sign, so that the
/// edges are exact between the states as well.
fn stack(push: &Push, categories: &[Category]) -> Stack {
    let shares = |p| categories.iter().map(|c| c.share(push, p)).collect();
    let states: Vec<(f64, Vec<f64>)> = push.curve.iter().map(|p| (p.displacement, shares(p))).collect();
    let samples = with_sign_changes(&states);
    let mut bands: Vec<Band> = Vec::new();
    let (mut base_bars, mut ends) = (Vec::new(), [0.0_f64; 2]);
    for (k, category) in categories.iter().enumerate() {
        let preload = category.preload(push);
        let end = &mut ends[usize::from(preload > 0.0)];
        base_bars.push((k, [*end, *end + preload]));
        *end += preload;
    }
    let mut middle_at_end = vec![0.0; categories.len()];
    for sign in [1.0, -1.0] {
        let mut base = vec![0.0; samples.len()];
        for (category, middle) in middle_at_end.iter_mut().enumerate() {
            let mut edges = Vec::new();
            for ((x, shares), base) in samples.iter().zip(&mut base) {
                let share = sign * (sign * shares[category]).max(0.0);
                edges.push([*x, *base, *base + share]);
                *base += share;
            }
            if let (Some(end), Some((_, shares))) = (edges.last(), samples.last())
                && (sign * shares[category] > 0.0 || (sign > 0.0 && shares[category] == 0.0))
            {
                *middle = 0.5 * (end[1] + end[2]);
            }
            if edges.iter().any(|e| e[1] != e[2]) {
                bands.push((category, edges));
            }
        }
    }
    let edges = bands.iter().flat_map(|(_, edges)| edges).map(|e| e[2]);
    let [lo, hi] = extremes(edges.chain(push.curve.iter().map(|p| p.load)).chain(ends));
    Stack { bands, base: base_bars, middle_at_end, reach: [lo.min(0.0), hi.max(0.0)] }
}

fn with_sign_changes(states: &[(f64, Vec<f64>)]) -> Vec<(f64, Vec<f64>)> {
    let mut samples: Vec<(f64, Vec<f64>)> = states.first().cloned().into_iter().collect();
    for pair in states.windows(2) {
        let (before, state) = (&pair[0], &pair[1]);
        let changed = before.1.iter().zip(&state.1).filter(|(a, b)| *a * *b < 0.0);
        let mut cuts: Vec<f64> = changed.map(|(a, b)| a / (a - b)).collect();
        cuts.sort_by(f64::total_cmp);
        for s in cuts {
            let blend = |a: f64, b: f64| a + s * (b - a);
            let shares = before.1.iter().zip(&state.1).map(|(a, b)| blend(*a, *b));
            samples.push((blend(before.0, state.0), shares.collect()));
        }
        samples.push(state.clone());
    }
    samples
}

/// Names at the right end of the bands, each with a swatch of its colour and texture.
fn names(
    canvas: &mut Canvas,
    theme: &Theme,
    plot: &Plot,
    push: &Push,
    stacked: &Stack,
    categories: &[Category],
    room: f64,
) {
    let Some(last) = push.curve.last() else { return };
    let set = theme.words();
    let total = |canvas: &mut Canvas, p: Point| {
        canvas.line(p, [p[0] + 3.0, p[1]], Stroke::solid(theme.ink, 1.3 * theme.curve));
    };
    let swatches: Vec<_> = categories
        .iter()
        .map(|category| {
            move |canvas: &mut Canvas, p: Point| {
                let swatch = Rect::new(p[0], p[1] - 0.9, 3.0, 1.8);
                category.fill(canvas, &swatch.corners());
                canvas.frame(swatch, Stroke::solid(category.colour, 0.4));
            }
        })
        .collect();
    let end = |y: f64, words: String, set: Type, draw| {
        let lines = wrap(&words, set, room).into_iter().map(|l| (l, set)).collect();
        End {
            at: Some(plot.at(last.displacement, y)),
            colour: theme.muted,
            lines,
            sign: Some((3.0, draw)),
            crossed: false,
        }
    };
    let mut ends = vec![end(last.load, format!("load {}", newtons(last.load)), set.bold(), &total as &_)];
    for (k, category) in categories.iter().enumerate().filter(|(_, c)| c.is_present(push)) {
        let words = format!("{} {}", category.name, newtons(category.share(push, last)));
        ends.push(end(stacked.middle_at_end[k], words, set, &swatches[k]));
    }
    plot.ends(canvas, theme, &ends);
}
