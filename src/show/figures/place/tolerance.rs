//! Figure "place-tolerance": how far each anchor may stand from where it was found, in its own plane, on the bone
//! to scale.

mod region;
mod words;

use super::words::{name, tied_of};
use crate::mechanics::Pose;
use crate::model::Case;
use crate::show::chart::*;
use crate::show::scene::{Body, Extent, Seen, Shown, View, is_hidden, sign};
use crate::study::result::{Place, Placed, Placement, WanderMap, WayEnd};
use region::Region;

/// Least width of a panel, mm.
const LEAST: f64 = 40.0;
/// Most page mm per mm of bone, and most height of a window, mm.
const SCALE: f64 = 2.2;
const TALL: f64 = 62.0;
/// Room about what a window must hold, mm of bone.
const MARGIN: f64 = 1.4;
/// Shortest way that is drawn, mm of the page.
const SHORT: f64 = 1.7;

/// How far each anchor may stand from the answer, the others held: one panel an anchor, on the bone to
/// scale, in the anchor's own plane. `None` when it was not mapped.
pub fn place_tolerance(case: &Case, found: &Place, theme: &Theme) -> Option<Figure> {
    let maps = (!found.wander.is_empty()).then_some(&found.wander)?;
    let names: Vec<&str> = maps.iter().map(|m| m.anchor.as_str()).collect();
    let panels = Panels::new(theme, &names, theme.width - 0.6, LEAST);
    let (set, body) = (theme.fine(), Body::new(case));
    let views: Vec<(Seen, Extent)> = maps
        .iter()
        .map(|map| {
            let seen = seen(case, found, map);
            (seen, extent(case, &body, found, map, seen))
        })
        .collect();
    let most = |k: usize| views.iter().map(|(_, e)| e.size()[k]).fold(1.0, f64::max);
    let scale = SCALE.min((panels.width - 1.0) / most(0)).min(TALL / most(1));
    let tall = scale * most(1);
    let lines: Vec<Vec<String>> = maps.iter().map(|m| words::under(m, set, panels.width - 1.0)).collect();
    let under = lines.iter().map(Vec::len).max().unwrap_or(0) as f64 * set.leading() + 1.4;
    let above = set.leading() + 1.4;
    let low = panels.height(above + tall + under) + 2.4;
    let bar = 5.0 * scale + 5.0;
    let key = key(theme, theme.width - bar - 2.0);
    let mut canvas = Canvas::new(theme.width, low + key.height().max(4.6) + 0.6);
    panels.draw(&mut canvas, theme, above + tall + under, "", |canvas, k, area| {
        let window = Rect::new(area.x + 0.5, area.y + above, area.w - 1.0, tall);
        let view = View::in_window(case, theme, views[k].0, &views[k].1, scale, window);
        from_where(canvas, &view, window, area.y + set.capital());
        draw(canvas, &view, &body, window, found, &maps[k]);
        canvas.lines(&lines[k], [window.x, window.bottom() + 1.4 + set.capital()], set);
        if k == 0 {
            view.scale_bar(canvas, [1.0, low + 3.6]);
        }
    });
    key.draw(&mut canvas, [bar, low]);
    let (csv, caption, alt) = (words::csv(found), words::caption(found), words::alt(found));
    Some(Figure::new(&name(found, "tolerance"), canvas, csv, caption, alt))
}

fn key(theme: &Theme, room: f64) -> Key<'_> {
    let mut key = Key::new(theme.fine(), room);
    key.add(3.0, "within 10 % of the best", |canvas, r| region::sample(canvas, theme, r, region::Kind::Tenth));
    key.add(3.0, "within 25 %", |canvas, r| region::sample(canvas, theme, r, region::Kind::Quarter));
    key.add(3.0, "a constraint excludes it", |canvas, r| region::sample(canvas, theme, r, region::Kind::Excluded));
    key.add(3.0, "found", |canvas, r| sign::found(canvas, theme, r.middle(), false));
    key.add(3.0, "given", |canvas, r| sign::given(canvas, theme, r.middle(), 0.85));
    for (end, words) in [
        (WayEnd::Lost, "a direction, to where a tenth is lost"),
        (WayEnd::Constraint { key: String::new(), label: String::new() }, "where a constraint ends it (c)"),
        (WayEnd::Range, "where its range ends (r)"),
    ] {
        key.add(3.0, words, move |canvas, r| {
            let (from, to) = ([r.x, r.middle()[1]], [r.right() - 0.6, r.middle()[1]]);
            canvas.line(from, to, theme.axis());
            mark(canvas, theme, &end, to, [1.0, 0.0]);
        });
    }
    key
}

/// The end of a direction that runs along `along`.
fn mark(canvas: &mut Canvas, theme: &Theme, end: &WayEnd, at: Point, along: Point) {
    match end {
        WayEnd::Constraint { .. } => {
            canvas.line(beside(at, along, 0.0, -0.8), beside(at, along, 0.0, 0.8), Stroke::solid(theme.ink, 1.0));
        }
        WayEnd::Range => ring(canvas, at, 0.5, theme.paper, Stroke::solid(theme.ink, 0.5)),
        WayEnd::Lost => canvas.disc(at, 0.5, theme.ink),
    }
}

/// From where an anchor's own plane is seen.
fn seen(case: &Case, found: &Place, map: &WanderMap) -> Seen {
    let has = |keys: [&str; 3]| map.coordinates.iter().any(|c| keys.contains(&c.as_str()));
    // On a line: by whether the bone hides it from lateral.
    let own = found.found.anchors.iter().find(|a| a.anchor == map.anchor);
    let hidden = own.is_some_and(|a| is_hidden(&case.fragment, a.point));
    if !has(["inset", "hours", "hours"]) && (has(["beyond", "deep", "below"]) || hidden) {
        Seen::Front
    } else {
        Seen::Face
    }
}

fn extent(case: &Case, body: &Body<'_>, found: &Place, map: &WanderMap, seen: Seen) -> Extent {
    let own = found.given.anchors.iter().chain(&found.found.anchors);
    let own = own.filter(|a| a.anchor == map.anchor).map(|a| a.point);
    let points = map.grid.iter().filter_map(|g| g.point).chain(own).map(|p| seen.flat(case, &p.into()));
    Extent::about(body.outline(seen, &Pose::default()).into_iter().chain(points), MARGIN)
}

/// Writes from where one looks, and where left or right leads, above a window.
fn from_where(canvas: &mut Canvas, view: &View<'_>, window: Rect, base: f64) {
    let (theme, s) = (view.theme, view.mirror);
    let set = theme.note();
    let (across, from) = match view.seen {
        Seen::Face => ("anterior", "from lateral"),
        _ => ("medial", "from in front"),
    };
    let w = set.italic().width(across);
    // Where up is, where there is room for it.
    let whole = format!("{from}, superior up");
    let fits = set.width(&whole) + w + 6.5 < window.w;
    canvas.text(if fits { &whole } else { from }, [window.x, base], set);
    let tip = if s > 0.0 { window.right() } else { window.right() - w - 4.6 };
    let word = if s > 0.0 { tip - 4.2 } else { window.right() };
    canvas.text(across, [word, base], set.italic().right());
    let y = base - 0.5 * set.capital();
    pointer(canvas, theme, [tip - s * 3.6, y], [tip, y]);
}

/// Draws bone, fragment and limbs, the regions, and the directions of tolerance.
fn draw(canvas: &mut Canvas, view: &View<'_>, body: &Body<'_>, window: Rect, found: &Place, map: &WanderMap) {
    let theme = view.theme;
    let region = Region::new(view, found, map);
    let tied = tied_of(&found.found);
    let shown = tied.map_or_else(Shown::default, |tied| Shown::tied(view.case, tied, theme));
    let holds = |p: Point, d: f64| window.contains(&Rect::about(p, d));
    let others = found.found.anchors.iter().filter(|a| a.anchor != map.anchor);
    let others: Vec<&Placed> = others.filter(|a| holds(view.page(a.point), 0.9)).collect();
    canvas.clipped(window, |canvas| {
        body.draw(canvas, view, &tied.map_or_else(Pose::default, |t| t.measures.pose()));
        region.fill(canvas, theme);
        shown.draw_thin(canvas, view, 0.45, 0.6);
    });
    for other in &others {
        canvas.circle(view.page(other.point), 0.8, Stroke::solid(theme.muted, 0.8));
    }
    region.edges(canvas, theme);
    let own = |of: &Placement| of.anchors.iter().find(|a| a.anchor == map.anchor).map(|a| view.page(a.point));
    let Some(centre) = own(&found.found) else { return };
    for way in &map.ways {
        let end = region.page(way.direction.map(|d| d * way.distance), centre);
        // Shorter ones would cover the signs, and stand under the map in numbers.
        if distance(centre, end) >= SHORT {
            canvas.line(centre, end, theme.axis());
            mark(canvas, theme, &way.end, end, toward(centre, end));
        }
    }
    sign::found(canvas, theme, centre, false);
    let given = own(&found.given);
    if let Some(given) = given.filter(|p| holds(*p, 0.0)) {
        sign::given(canvas, theme, given, 0.85);
    }
    canvas.frame(window, theme.reference());
    // Names of the other anchors, where there is room.
    let mut clear = Clearance { bounds: Some(window.grown(-0.3)), boxes: region.boxes(), ..Clearance::default() };
    [centre].into_iter().chain(given).for_each(|p| clear.take(p, 1.1));
    let outline = view.all(&body.outline(view.seen, &shown.pose));
    clear.keep_off(&[outline.as_slice(), &outline[..1]].concat());
    for strand in &shown.strands {
        clear.keep_off(&strand.path.iter().map(|p| view.page(*p)).collect::<Vec<_>>());
    }
    others.iter().for_each(|a| clear.take(view.page(a.point), 1.1));
    let set = theme.note().centred();
    for other in others {
        let size = [set.width(&other.anchor) + 0.3, set.capital() + 0.5];
        if let Some(r) = clear.place(size, view.page(other.point), [1.0, 0.0], 1.2, 5.0) {
            canvas.text(&other.anchor, [r.middle()[0], r.middle()[1] + 0.5 * set.capital()], set);
        }
    }
}
