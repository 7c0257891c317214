//! Figure "place-wander": how far each anchor may wander, in its own plane, on the bone to scale.

mod region;
mod told;

use super::ground::{Extent, Ground, Seen};
use super::{small, words};
use crate::model::Case;
use crate::show::figures::canvas::{Align, Canvas, Stroke, Type, corners};
use crate::show::figures::construct::view::arrow;
use crate::show::figures::figure::Figure;
use crate::show::figures::font::Face;
use crate::show::figures::hatch::Hatch;
use crate::show::figures::label::Clearance;
use crate::show::figures::rect::{Point, Rect};
use crate::show::figures::subject::Panels;
use crate::show::figures::sweep::mark::{ROW, places};
use crate::show::figures::theme::Theme;
use crate::study::result::{Place, Placed, Placement, WanderMap, WayEnd};
use region::{Kind, Region};

/// Least width of a panel, mm.
const LEAST: f64 = 40.0;
/// Most page mm per mm of bone, and most height of a window, mm.
const SCALE: f64 = 2.2;
const TALL: f64 = 62.0;
/// Room about what a window must hold, mm of bone.
const MARGIN: f64 = 1.4;
/// Shortest way that is drawn, mm of the page.
const SHORT: f64 = 1.7;
/// Distance of the lines of a hatch, mm.
const HATCH: f64 = 0.75;

/// Draws the figure.
pub(super) fn wander(case: &Case, found: &Place, theme: &Theme) -> Figure {
    let names: Vec<&str> = found.wander.iter().map(|m| m.anchor.as_str()).collect();
    let panels = Panels::titled(theme, &names, theme.width - 0.6, LEAST);
    let set = Type::new(theme.small, theme.ink);
    let seen: Vec<Seen> = found.wander.iter().map(|m| seen(case, found, m)).collect();
    let extents: Vec<Extent> =
        found.wander.iter().zip(&seen).map(|(map, seen)| extent(case, found, map, *seen)).collect();
    let most = |k: usize| extents.iter().map(|e| e.size()[k]).fold(1.0, f64::max);
    let scale = SCALE.min((panels.width - 1.0) / most(0)).min(TALL / most(1));
    let tall = scale * most(1);
    let lines: Vec<Vec<String>> = found.wander.iter().map(|m| told::under(m, set, panels.width - 1.0)).collect();
    let under = lines.iter().map(Vec::len).max().unwrap_or(0) as f64 * set.leading() + 1.4;
    let directions = set.leading() + 1.4;
    let panel = directions + tall + under;
    let body = panels.height(panel);
    let entries: Vec<String> = Sign::ALL.iter().map(|s| s.words().to_owned()).collect();
    let bar = 5.0 * scale + 5.0;
    let (spots, key) = places(&entries, set, theme.width - bar - 2.0);
    let mut canvas = Canvas::new(theme.width, body + 2.4 + key.max(4.6) + 0.6);
    for (k, map) in found.wander.iter().enumerate() {
        panels.title(&mut canvas, theme, k, panel);
        let area = panels.area(k, panel);
        let window = Rect::new(area.x + 0.5, area.y + directions, area.w - 1.0, tall);
        let ground = Ground::new(case, theme, seen[k], &extents[k], scale, window);
        from_where(&mut canvas, &ground, [area.x + 0.5, area.y + set.capital()]);
        draw(&mut canvas, &ground, found, map);
        for (line, text) in lines[k].iter().enumerate() {
            let y = window.bottom() + 1.4 + set.capital() + line as f64 * set.leading();
            canvas.text(text, [window.x, y], set);
        }
        if k == 0 {
            ground.scale_bar(&mut canvas, [1.0, body + 2.4 + 3.6]);
        }
    }
    for (sign, p) in Sign::ALL.iter().zip(spots) {
        let r = Rect::new(bar + p[0], body + 2.4 + p[1] + 0.5, 3.0, ROW - 1.0);
        sign.draw(&mut canvas, theme, r);
        let base = r.y + 0.5 * r.h + 0.5 * set.capital();
        canvas.text(sign.words(), [r.right() + 0.9, base], set);
    }
    Figure::new(&words::name(found, "wander"), canvas, told::csv(found), told::caption(found), told::alt(found))
}

/// What the key explains.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sign {
    Tenth,
    Quarter,
    Excluded,
    Found,
    Given,
    Lost,
    Constraint,
    Range,
}

impl Sign {
    const ALL: [Self; 8] = [
        Self::Tenth,
        Self::Quarter,
        Self::Excluded,
        Self::Found,
        Self::Given,
        Self::Lost,
        Self::Constraint,
        Self::Range,
    ];

    fn words(self) -> &'static str {
        match self {
            Self::Tenth => "within 10 % of the best",
            Self::Quarter => "within 25 %",
            Self::Excluded => "a constraint excludes it",
            Self::Found => "found",
            Self::Given => "given",
            Self::Lost => "a way out, to where a tenth is lost",
            Self::Constraint => "where a constraint ends it (c)",
            Self::Range => "where its range ends (r)",
        }
    }

    fn draw(self, canvas: &mut Canvas, theme: &Theme, r: Rect) {
        let middle = [r.x + 0.5 * r.w, r.y + 0.5 * r.h];
        let hair = Stroke::solid(theme.ink, theme.hair);
        match self {
            Self::Tenth | Self::Quarter => {
                let kind = if self == Self::Tenth { Kind::Tenth } else { Kind::Quarter };
                canvas.fill(r, kind.tone(theme));
                canvas.outline(&corners(r), kind.edge(theme));
            }
            Self::Excluded => {
                canvas.outline(&corners(r), Stroke::solid(theme.muted, 0.3));
                Hatch::Rising.draw(canvas, &corners(r), HATCH, Stroke::solid(theme.muted, 0.45));
            }
            Self::Found => small::found(canvas, theme, middle),
            Self::Given => small::given(canvas, theme, middle),
            Self::Lost | Self::Constraint | Self::Range => {
                let end = [r.right() - 0.6, middle[1]];
                canvas.line([r.x, middle[1]], end, hair);
                mark(canvas, theme, self, end, [1.0, 0.0]);
            }
        }
    }
}

/// The end of a way that runs along `along`.
fn mark(canvas: &mut Canvas, theme: &Theme, sign: Sign, at: Point, along: Point) {
    let [dx, dy] = along;
    let across = |s: f64| [at[0] - s * dy, at[1] + s * dx];
    match sign {
        Sign::Constraint => canvas.line(across(-0.8), across(0.8), Stroke::solid(theme.ink, 1.0)),
        Sign::Range => {
            canvas.disc(at, 0.5, theme.paper);
            canvas.circle(at, 0.5, Stroke::solid(theme.ink, 0.5));
        }
        _ => canvas.disc(at, 0.5, theme.ink),
    }
}

/// From where an anchor's own plane is seen.
fn seen(case: &Case, found: &Place, map: &WanderMap) -> Seen {
    if map.coordinates.iter().any(|c| ["inset", "hours"].contains(&c.as_str())) {
        return Seen::Face;
    }
    if map.coordinates.iter().any(|c| ["beyond", "deep", "below"].contains(&c.as_str())) {
        return Seen::Front;
    }
    // On a line: by whether the bone hides it from lateral.
    let place = found.found.anchors.iter().find(|a| a.anchor == map.anchor);
    let hidden = |p: [f64; 3]| crate::show::figures::construct::bone::is_hidden(&case.fragment, p);
    if place.is_some_and(|a| hidden(a.point)) { Seen::Front } else { Seen::Face }
}

fn extent(case: &Case, found: &Place, map: &WanderMap, seen: Seen) -> Extent {
    let own = found.given.anchors.iter().chain(&found.found.anchors);
    let own = own.filter(|a| a.anchor == map.anchor).map(|a| a.point);
    let points = map.grid.iter().filter_map(|g| g.point).chain(own);
    let points = points.map(|p| seen.flat(case, p));
    Extent::about(seen.fragment(case).into_iter().chain(points), MARGIN)
}

/// Writes from where one looks, and where left or right leads, above a window.
fn from_where(canvas: &mut Canvas, ground: &Ground<'_>, at: Point) {
    let theme = ground.theme;
    let set = Type::new(theme.small, theme.muted);
    let italic = set.face(Face::Italic);
    let across = ground.seen.across();
    let (w, half) = (italic.width(across), 0.5 * set.capital());
    let (window, s) = (ground.window, ground.mirror());
    let from = match ground.seen {
        Seen::Face => "from lateral",
        Seen::Front => "from in front",
    };
    // Where up is, where there is room for it.
    let whole = format!("{from}, superior up");
    let fits = set.width(&whole) + w + 6.5 < window.w;
    canvas.text(if fits { &whole } else { from }, at, set);
    let y = at[1];
    let tip = if s > 0.0 { window.right() } else { window.right() - w - 4.6 };
    let word = if s > 0.0 { tip - 4.2 } else { window.right() };
    canvas.text(across, [word, y], italic.align(Align::Right));
    let from = if s > 0.0 { tip - 3.6 } else { tip + 3.6 };
    arrow(canvas, theme, [from, y - half], [tip, y - half]);
}

fn draw(canvas: &mut Canvas, ground: &Ground<'_>, found: &Place, map: &WanderMap) {
    let theme = ground.theme;
    ground.draw(canvas);
    let region = Region::new(ground, found, map);
    region.fill(canvas, theme);
    if let Some(tied) = found.found.hold.as_ref().and_then(|h| h.tied.as_ref()) {
        ground.limbs(canvas, tied, 0.45, 0.6);
    }
    for other in rest(found, map) {
        let at = ground.page(other.point);
        if ground.holds(at, 0.9) {
            small::other(canvas, at, theme.muted);
        }
    }
    region.edges(canvas, theme);
    let place = |of: &Placement| {
        let own = of.anchors.iter().find(|a| a.anchor == map.anchor);
        own.map(|a| ground.page(a.point))
    };
    let Some(centre) = place(&found.found) else {
        return;
    };
    for way in &map.ways {
        let end = region.page(way.direction.map(|d| d * way.distance), centre);
        let length = libm::hypot(end[0] - centre[0], end[1] - centre[1]);
        // Shorter ones would cover the signs, and stand under the map in numbers.
        if length < SHORT {
            continue;
        }
        let along = [(end[0] - centre[0]) / length, (end[1] - centre[1]) / length];
        canvas.line(centre, end, Stroke::solid(theme.ink, theme.hair));
        let sign = match way.end {
            WayEnd::Lost => Sign::Lost,
            WayEnd::Constraint { .. } => Sign::Constraint,
            WayEnd::Range => Sign::Range,
        };
        mark(canvas, theme, sign, end, along);
    }
    small::found(canvas, theme, centre);
    if let Some(given) = place(&found.given)
        && ground.holds(given, 0.0)
    {
        small::given(canvas, theme, given);
    }
    ground.frame(canvas);
    others(canvas, ground, found, map, &region, centre);
}

/// The other anchors of the answer.
fn rest<'a>(found: &'a Place, map: &'a WanderMap) -> impl Iterator<Item = &'a Placed> {
    let all = found.found.anchors.iter();
    all.filter(|a| a.anchor != map.anchor)
}

/// Names of the other anchors, where there is room.
fn others(canvas: &mut Canvas, ground: &Ground<'_>, found: &Place, map: &WanderMap, region: &Region, centre: Point) {
    let theme = ground.theme;
    let set = Type::new(theme.small, theme.muted).align(Align::Centre);
    let mut clear =
        Clearance { bounds: Some(ground.window.grown(-0.3)), boxes: region.boxes(), ..Clearance::default() };
    let box_at = |p: Point| Rect::new(p[0], p[1], 0.0, 0.0).grown(1.1);
    clear.boxes.push(box_at(centre));
    for anchor in found.given.anchors.iter().filter(|a| a.anchor == map.anchor) {
        clear.boxes.push(box_at(ground.page(anchor.point)));
    }
    clear.keep_off(&ground.fragment());
    if let Some(tied) = found.found.hold.as_ref().and_then(|h| h.tied.as_ref()) {
        for limb in &tied.limbs {
            let line: Vec<Point> = limb.path.iter().map(|p| ground.page(*p)).collect();
            clear.keep_off(&line);
        }
    }
    let list: Vec<(&str, Point)> = rest(found, map)
        .map(|a| (a.anchor.as_str(), ground.page(a.point)))
        .filter(|(_, p)| ground.holds(*p, 0.9))
        .collect();
    clear.boxes.extend(list.iter().map(|(_, p)| box_at(*p)));
    for (name, at) in list {
        let size = [set.width(name) + 0.3, set.capital() + 0.5];
        if let Some(r) = clear.place(size, at, [1.0, 0.0], 1.2, 5.0) {
            let base = [r.x + 0.5 * r.w, r.y + 0.5 * r.h + 0.5 * set.capital()];
            canvas.text(name, base, set);
        }
    }
}
