//! Figure "place-tolerance": how far each anchor may stand from where it was found, in its own plane, on the bone
//! to scale.

use super::*;
use std::collections::BTreeMap;

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
    let lines: Vec<Vec<String>> = maps.iter().map(|m| under(m, set, panels.width - 1.0)).collect();
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
        draw_map(canvas, &view, &body, window, found, &maps[k]);
        canvas.lines(&lines[k], [window.x, window.bottom() + 1.4 + set.capital()], set);
        if k == 0 {
            view.scale_bar(canvas, [1.0, low + 3.6]);
        }
    });
    key.draw(&mut canvas, [bar, low]);
    let (table, caption, alt) = (numbers(found), caption(found), alt(found));
    Some(Figure::new(&name(found, "tolerance"), canvas, table, caption, alt))
}

fn key(theme: &Theme, room: f64) -> Key<'_> {
    let mut key = Key::new(theme.fine(), room);
    key.add(3.0, "within 10 % of the best", |canvas, r| sample(canvas, theme, r, Kind::Tenth));
    key.add(3.0, "within 25 %", |canvas, r| sample(canvas, theme, r, Kind::Quarter));
    key.add(3.0, "a constraint excludes it", |canvas, r| sample(canvas, theme, r, Kind::Excluded));
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

/// Shortest direction that is drawn, mm of the page.
const SHORT: f64 = 1.7;

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
fn draw_map(canvas: &mut Canvas, view: &View<'_>, body: &Body<'_>, window: Rect, found: &Place, map: &WanderMap) {
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

/// Distance of the lines of a hatch, mm.
const HATCH: f64 = 0.75;

/// What a point of a map is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    /// No more than a tenth is lost.
    Tenth,
    /// No more than a quarter is lost.
    Quarter,
    /// More is lost.
    Beyond,
    /// Excluded by a constraint.
    Excluded,
}

impl Kind {
    fn of(point: &Wandered) -> Self {
        match point.loss {
            None => Self::Excluded,
            Some(loss) if loss <= 0.10 => Self::Tenth,
            Some(loss) if loss <= 0.25 => Self::Quarter,
            Some(_) => Self::Beyond,
        }
    }

    /// Fills a square of the kind.
    fn fill(self, canvas: &mut Canvas, theme: &Theme, square: &[Point]) {
        match self {
            Self::Tenth | Self::Quarter => {
                // A little larger, so that no seam shows beside the next one.
                let tone = theme.depth(if self == Self::Tenth { 0.62 } else { 0.24 });
                canvas.area(square, tone);
                canvas.outline(square, Stroke::solid(tone, 0.4));
            }
            Self::Excluded => canvas.textured(square, Texture::Rising, HATCH, Stroke::solid(theme.muted, 0.45)),
            Self::Beyond => {}
        }
    }

    /// The line about it.
    fn edge(self, theme: &Theme) -> Stroke {
        let width = match self {
            Self::Tenth => 0.9,
            Self::Quarter => 0.4,
            _ => 0.3,
        };
        Stroke::solid(if self == Self::Excluded { theme.muted } else { theme.ink }, width)
    }
}

/// A kind in the key.
fn sample(canvas: &mut Canvas, theme: &Theme, r: Rect, kind: Kind) {
    kind.fill(canvas, theme, &r.corners());
    canvas.frame(r, kind.edge(theme));
}

/// The grid on the page.
struct Region {
    squares: BTreeMap<[i64; 2], (Kind, [Point; 4])>,
    /// Page mm per mm of each coordinate.
    axes: [Point; 2],
}

impl Region {
    /// Lays the squares out. A point stands where it was computed; how the page moves with each
    /// coordinate is taken from it and its neighbours. No square goes beyond a range.
    pub fn new(view: &View<'_>, found: &Place, map: &WanderMap) -> Self {
        let number = |g: &Wandered| g.offset.map(|o| (o / map.step).round() as i64);
        let at: BTreeMap<[i64; 2], Point> =
            map.grid.iter().filter_map(|g| Some((number(g), view.page(g.point?)))).collect();
        let slope = |cell: [i64; 2], axis: usize| -> Option<Point> {
            let mut ends = [cell; 2];
            ends[0][axis] -= 1;
            ends[1][axis] += 1;
            let known = ends.map(|c| at.get(&c).map(|p| (c, *p)));
            let own = at.get(&cell).map(|p| (cell, *p));
            let (a, b) = (known[0].or(own)?, known[1].or(own)?);
            let steps = (b.0[axis] - a.0[axis]) as f64 * map.step;
            (steps > 0.0).then(|| [0, 1].map(|k| (b.1[k] - a.1[k]) / steps))
        };
        let (o, p) = (view.page([0.0; 3]), view.page(view.case.fragment.along));
        // Where a range leaves no second point, or there is no second coordinate.
        let nearest = |axis: usize| map.grid.iter().find_map(|g| slope(number(g), axis));
        let first = slope([0, 0], 0).or_else(|| nearest(0)).unwrap_or([p[0] - o[0], p[1] - o[1]]);
        let second = slope([0, 0], 1).or_else(|| nearest(1)).unwrap_or([-first[1], first[0]]);
        let reach = [0, 1].map(|k| range(&found.variables, map, k));
        let square = |g: &Wandered| {
            let cell = number(g);
            let p = *at.get(&cell)?;
            let axes = [slope(cell, 0).unwrap_or(first), slope(cell, 1).unwrap_or(second)];
            let side = |k: usize, s: f64| {
                let [lo, hi] = reach[k];
                (g.offset[k] + 0.5 * s * map.step).clamp(lo, hi) - g.offset[k]
            };
            let corners = [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]].map(|s| {
                let by = [side(0, s[0]), side(1, s[1])];
                [0, 1].map(|k| p[k] + by[0] * axes[0][k] + by[1] * axes[1][k])
            });
            Some((cell, (Kind::of(g), corners)))
        };
        Self { squares: map.grid.iter().filter_map(square).collect(), axes: [first, second] }
    }

    /// An offset from the answer, which stands at `centre`, on the page.
    pub fn page(&self, offset: [f64; 2], centre: Point) -> Point {
        [0, 1].map(|k| centre[k] + offset[0] * self.axes[0][k] + offset[1] * self.axes[1][k])
    }

    /// Fills the regions and hatches what is excluded.
    pub fn fill(&self, canvas: &mut Canvas, theme: &Theme) {
        for (kind, corners) in self.squares.values() {
            kind.fill(canvas, theme, corners);
        }
    }

    /// Draws the borders of both regions.
    pub fn edges(&self, canvas: &mut Canvas, theme: &Theme) {
        for kind in [Kind::Quarter, Kind::Tenth] {
            let of = |square: &(Kind, _)| square.0 == Kind::Tenth || square.0 == kind;
            let inside = |cell: &[i64; 2]| self.squares.get(cell).is_some_and(of);
            for (cell, (_, c)) in self.squares.iter().filter(|(cell, _)| inside(cell)) {
                // Corners 0–1, 1–2, 2–3 and 3–0, and the square beyond each side.
                for (k, [i, j]) in [[0, -1], [1, 0], [0, 1], [-1, 0]].into_iter().enumerate() {
                    if !inside(&[cell[0] + i, cell[1] + j]) {
                        canvas.path(&[c[k], c[(k + 1) % 4]], kind.edge(theme));
                    }
                }
            }
        }
    }

    /// Boxes that the squares take, for labels to keep clear of.
    pub fn boxes(&self) -> Vec<Rect> {
        let taken = self.squares.values().filter(|(kind, _)| *kind != Kind::Beyond);
        taken.filter_map(|(_, corners)| Rect::round(corners)).collect()
    }
}

/// How far a coordinate may go from the answer, mm; a place on a line gets some width.
fn range(variables: &[FreeVariable], map: &WanderMap, k: usize) -> [f64; 2] {
    let key = &map.coordinates[k];
    if key.is_empty() {
        return [-0.25, 0.25];
    }
    let path = format!("anchor.{}.{key}", map.anchor);
    let Some(v) = variables.iter().find(|v| v.path == path) else {
        return [f64::NEG_INFINITY, f64::INFINITY];
    };
    let ends = [v.low, v.high].map(|end| (end - map.centre[k]) / map.units_per_mm[k]);
    [ends[0].min(ends[1]), ends[0].max(ends[1])]
}

/// What ends a direction, in a letter.
fn letter(way: &WayOut) -> &'static str {
    match way.end {
        WayEnd::Lost => "",
        WayEnd::Constraint { .. } => " c",
        WayEnd::Range => " r",
    }
}

/// The lines under a map: its areas, then its directions.
fn under(map: &WanderMap, set: Type, width: f64) -> Vec<String> {
    let area = |share: u32, mm: f64| format!("{share} %: {} {}", number(mm, 1), map.unit());
    let mut items = vec![area(10, map.area_10), area(25, map.area_25)];
    items.extend(map.straight().map(|w| {
        let by = letter(w);
        format!("{} {} mm{by}", w.name, number(w.distance, 1))
    }));
    // Two beside each other, where both fit.
    let mut lines = Vec::new();
    for pair in items.chunks(2) {
        let joined = pair.join(", ");
        if set.width(&joined) <= width {
            lines.push(joined);
        } else {
            lines.extend(pair.iter().flat_map(|item| wrap(item, set, width)));
        }
    }
    lines
}

fn numbers(found: &Place) -> String {
    let unit = &found.aims[0].unit;
    let rows = found.wander.iter().flat_map(|map| {
        let anchor = &map.anchor;
        let points = map.grid.iter().map(move |g| {
            let by = g.broken.as_deref().unwrap_or_default();
            json!([
                anchor,
                "point",
                "",
                g.offset,
                g.point.map_or([None; 3], |p| p.map(Some)),
                g.value,
                unit,
                g.loss,
                by
            ])
        });
        let ways = map.ways.iter().map(move |way| {
            let offset = way.direction.map(|d| d * way.distance);
            let by = match &way.end {
                WayEnd::Lost => "tenth lost",
                WayEnd::Constraint { key, .. } => key,
                WayEnd::Range => "range",
            };
            json!([anchor, "direction", way.name, offset, "", "", "", way.value, unit, "", by])
        });
        let areas = [("10 %", map.area_10), ("25 %", map.area_25)].map(|(share, area)| {
            let unit = map.unit().replace('\u{b2}', "2");
            json!([anchor, "area", share, "", "", "", "", "", area, unit, "", ""])
        });
        points.chain(ways).chain(areas)
    });
    let heading = "anchor,kind,name,first_mm,second_mm,x_mm,y_mm,z_mm,value,unit,loss,ended_or_excluded_by";
    csv(heading.split(','), rows)
}

fn caption(found: &Place) -> String {
    let step = found.wander.first().map_or(0.5, |m| m.step);
    let best = found.wander.first().map_or_else(String::new, |m| {
        format!(" (here {} on the bed of the search)", super::value(&found.aims[0], m.best))
    });
    format!(
        "Placement tolerance: how far each anchor may stand from where it was found, one at a time, the others held. {} Each panel shows the anchor's own plane to scale: the face from lateral, the neck or the bed square to the fracture line from in front of the fragment, where depths are true; superior is up. Squares are designs that were computed, {step} mm apart, from the answer outward as far as less than 25 % of the best{best} is lost: dark and boldly edged within 10 %, light within 25 %, hatched where a constraint excludes them. Lines are eight directions of tolerance, followed exactly to where a tenth is lost (dot), a constraint is met (bar; c) or the range of the variable ends (ring; r). Thin lines and rings: the limbs and the other anchors as found; limbs of loops are dashed, and a limb ends where its anchor gave to.",
        super::sought(found)
    )
}

fn alt(found: &Place) -> String {
    let maps: Vec<String> = found
        .wander
        .iter()
        .map(|map| {
            let ways: Vec<String> = map
                .straight()
                .map(|w| {
                    let by = match &w.end {
                        WayEnd::Lost => "until a tenth is lost".to_owned(),
                        WayEnd::Constraint { label, .. } => format!("until {label} ends it"),
                        WayEnd::Range => "to the end of its range".to_owned(),
                    };
                    format!("{} {} mm {by}", w.name, number(w.distance, 1))
                })
                .collect();
            format!(
                "{}: {} {} within 10 %, {} within 25 %; {}",
                map.anchor,
                number(map.area_10, 1),
                map.unit(),
                number(map.area_25, 1),
                ways.join(", ")
            )
        })
        .collect();
    format!("Maps of the placement tolerance of each anchor, on the bone to scale. {}.", maps.join(". "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::place::variables;
    use crate::model::spread::Subject;
    use crate::optimise::Plan as Search;
    use crate::study::place::{Effort, Objective, Plan, run as place};
    use crate::study::result::{Start, WayEnd};

    /// An anchor at a clock position, well inside the face: its hours are millimetres on its own arc,
    /// not on the rim. Where the study finds that a range ends a way, the drawing ends it too.
    #[test]
    fn a_range_of_hours_ends_where_the_study_ends_it() {
        let room = tempfile::tempdir().unwrap();
        let path = room.path().join("clock.toml");
        let text = crate::model::builtin("one-by-one").unwrap();
        let place_of = |name: &str| {
            let at = text.find(&format!("[anchor.{name}]")).unwrap();
            let line = text[at..].lines().find(|l| l.starts_with("at = ")).unwrap();
            line.to_owned()
        };
        let lateral = place_of("lateral");
        let text = text.replace(&lateral, "at = { clock = { hours = \"4:00\", inset = 9.0 } }");
        let free = "\n[place]\nlimits = { spacing = 0.0 }\nfree = [{ path = \"anchor.lateral.hours\", low = 3.95, high = 4.04 }]\n";
        std::fs::write(&path, text + free).unwrap();
        let subject = Subject::open("quarter", &[path.to_str().unwrap().to_owned()]).unwrap();
        assert_eq!(variables(&subject).unwrap().len(), 1);
        let ask = Plan {
            objective: Objective::Evenness,
            against: None,
            robust: None,
            from: Start::Reduced,
            effort: Effort { cells: Some(100), steps: 1 },
            search: Search { starts: 1, particles: 0, evaluations: 20, ..Search::default() },
            wander: true,
        };
        let found = place(&subject, &ask, &()).unwrap();
        let map = &found.wander[0];
        let [low, high] = range(&found.variables, map, 0);
        for way in &map.ways {
            assert_eq!(way.end, WayEnd::Range, "{way:?}");
            let end = if way.direction[0] > 0.0 { high } else { -low };
            // Roundings of a division.
            assert!((way.distance - end).abs() < 1e-9, "{way:?} {low} {high}");
        }
        // Arc of 0.09 h on a circle 9 mm inside the rim's of 13 mm: (13 - 9) 0.09 π/6.
        let arc = 4.0 * 0.09 * std::f64::consts::FRAC_PI_6;
        assert!((high - low - arc).abs() < 1e-9, "{low} {high} {arc}");
    }
}
