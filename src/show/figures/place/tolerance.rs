//! Figure "place-tolerance": how far each anchor may stand from where it was found, in its own plane, on the bone
//! to scale.

mod map;
mod region;
mod words;

use super::words::name;
use crate::mechanics::Pose;
use crate::model::Case;
use crate::show::chart::*;
use crate::show::scene::{Body, Extent, Seen, View, is_hidden, sign};
use crate::study::result::{Place, WanderMap, WayEnd};

/// Least width of a panel, mm.
const LEAST: f64 = 40.0;
/// Most page mm per mm of bone, and most height of a window, mm.
const SCALE: f64 = 2.2;
const TALL: f64 = 62.0;
/// Room about what a window must hold, mm of bone.
const MARGIN: f64 = 1.4;

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
        map::from_where(canvas, &view, window, area.y + set.capital());
        map::draw(canvas, &view, &body, window, found, &maps[k]);
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
            map::mark(canvas, theme, &end, to, [1.0, 0.0]);
        });
    }
    key
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
