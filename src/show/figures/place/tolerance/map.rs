//! The map of one anchor: bone, fragment and limbs, the regions, and the directions of tolerance.

use super::super::words::tied_of;
use super::region::Region;
use crate::mechanics::Pose;
use crate::show::chart::*;
use crate::show::scene::{Body, Seen, Shown, View, sign};
use crate::study::result::{Place, Placed, Placement, WanderMap, WayEnd};

/// Shortest direction that is drawn, mm of the page.
const SHORT: f64 = 1.7;

/// The end of a direction that runs along `along`.
pub(super) fn mark(canvas: &mut Canvas, theme: &Theme, end: &WayEnd, at: Point, along: Point) {
    match end {
        WayEnd::Constraint { .. } => {
            canvas.line(beside(at, along, 0.0, -0.8), beside(at, along, 0.0, 0.8), Stroke::solid(theme.ink, 1.0));
        }
        WayEnd::Range => ring(canvas, at, 0.5, theme.paper, Stroke::solid(theme.ink, 0.5)),
        WayEnd::Lost => canvas.disc(at, 0.5, theme.ink),
    }
}

/// Writes from where one looks, and where left or right leads, above a window.
pub(super) fn from_where(canvas: &mut Canvas, view: &View<'_>, window: Rect, base: f64) {
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
pub(super) fn draw(
    canvas: &mut Canvas,
    view: &View<'_>,
    body: &Body<'_>,
    window: Rect,
    found: &Place,
    map: &WanderMap,
) {
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
