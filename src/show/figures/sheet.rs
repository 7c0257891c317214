//! Figure "sheet": the constructs compared on one page, for a slide.

use super::*;

/// A quantity that is compared: its name with unit, its decimals in print, its value.
type Quantity = (&'static str, usize, fn(&Subject<'_>) -> Option<f64>);

const QUANTITIES: [Quantity; 6] = [
    ("Compression on the bed (N)", 0, |s| Some(s.tied.bed.compression)),
    ("Bed in contact (%)", 0, |s| Some(100.0 * s.tied.bed.contact)),
    ("Load at 1 mm (N)", 0, |s| s.push?.load_at[1]),
    ("Load at 2 mm (N)", 0, |s| s.push?.load_at[2]),
    ("Step-off (mm, + proud)", 1, |s| Some(s.tied.measures.step.value)),
    ("Lateral tilt (°)", 1, |s| Some(s.tied.measures.tilt)),
];

/// Draws the curves of load against displacement beside bars of what a talk compares: compression,
/// contact, loads at 1 and 2 mm, step-off and lateral tilt. Sixteen to nine, or taller when there are
/// many constructs.
pub fn comparison_sheet(case: &Case, subjects: &[Subject<'_>], theme: &Theme) -> Figure {
    let theme = &Theme { width: theme.width.max(180.0), ..theme.clone() };
    let (set, small, title) = (theme.words(), theme.fine(), theme.heading());
    let left = 0.42 * theme.width;
    let bar = (0.52 * small.leading()).max(1.6);
    let row = small.leading().max(bar + 0.8);
    let block = small.leading() + 3.6 + subjects.len().max(1) as f64 * row;
    let top = title.leading() + 5.0;
    let names: Vec<Vec<String>> = subjects.iter().map(|s| wrap(&s.construct.name, set, left - 16.0)).collect();
    let list = names.iter().map(Vec::len).sum::<usize>() as f64 * (set.leading() + 0.5);
    let blocks = QUANTITIES.len().div_ceil(2) as f64;
    // Sixteen to nine, unless many constructs need more.
    let page = 9.0 / 16.0 * theme.width;
    let under = 8.0 + 2.0 * set.leading() + list;
    let plot_tall = 36.0_f64.max((top + blocks * block).max(page - 2.0) - top - under);
    let below = top + plot_tall + under - list;
    let tall = (below + list).max(top + blocks * block) + 2.0;
    let mut canvas = Canvas::new(theme.width, tall);
    let f = &case.fragment;
    let share = 100.0 * f.shape.width / (2.0 * f.socket.radius);
    let heading = format!("{}: glenoid {:.0} mm, fragment {share:.0} % of its width", case.name, 2.0 * f.socket.radius);
    canvas.text(&heading, [1.0, title.capital() + 1.0], title);
    if subjects.is_empty() {
        canvas.text(NONE, [1.0, top + 4.0], set);
    } else {
        let (area, axis) = (Rect::new(0.0, top, left, plot_tall), |way: &str| format!("Displacement, {way} (mm)"));
        curves(&mut canvas, theme, subjects, (area, 6.0, 5), &[], axis, |k, _, set| vec![(letter(k), set.bold())]);
        let mut y = below + set.leading();
        for (k, lines) in names.iter().enumerate() {
            let middle = y - 0.5 * set.capital();
            canvas.line([2.0, middle], [8.0, middle], theme.line(k));
            filled(&mut canvas, theme, k, Rect::new(8.8, middle - 1.0, 2.2, 2.0));
            canvas.text(&letter(k), [12.0, y], set.bold());
            canvas.lines(lines, [15.0, y], set);
            y += lines.len() as f64 * (set.leading() + 0.5);
        }
        let column = 0.5 * (theme.width - left - 8.0);
        // Where the left side is the taller one, the bars grow with it.
        let tall = block.max((tall - top - 2.0) / blocks);
        let grown = (1.0 + (tall - block) / (subjects.len() as f64 * row + 6.0)).min(2.2);
        for (k, quantity) in QUANTITIES.iter().enumerate() {
            let at = [left + 6.0 + (k % 2) as f64 * (column + 2.0), top + (k / 2) as f64 * tall];
            bars(&mut canvas, theme, subjects, quantity, (at, column - 1.0), [row, bar].map(|h| h * grown));
        }
    }
    let rows = subjects.iter().enumerate().flat_map(|(k, subject)| {
        QUANTITIES.iter().map(move |(name, _, of)| json!([letter(k), subject.construct.name, name, of(subject)]))
    });
    let table = csv(["letter", "construct", "quantity", "value"], rows);
    let names = subjects.iter().enumerate().map(|(k, s)| format!("{} {}", letter(k), s.construct.name));
    let caption = format!(
        "Constructs compared on the case {}: {}. Left: load against displacement of the fragment's control point. Right: as tied, compression and contact of the bed, step-off and lateral tilt; and the load at 1 and at 2 mm of push. Bars start at zero.",
        case.name,
        joined(names, ", ")
    );
    let alt = each(subjects, |s| {
        let said = |(name, d, of): &Quantity| Some(format!("{name} {}", number(of(s)?, *d)));
        QUANTITIES.iter().filter_map(said).collect::<Vec<_>>().join(", ")
    });
    let alt = format!("Comparison of constructs on the case {}: curves of load and bars. {alt}.", case.name);
    Figure::new("sheet", canvas, table, caption, alt)
}

/// Draws load against displacement of all that were pushed, with so many ticks of load, the words of the axis below by
/// the direction, and beside the end of each curve its name, for which there is room. `ranges` are loads from low to high
/// at a displacement, of a subject by its number.
pub(super) fn curves(
    canvas: &mut Canvas,
    theme: &Theme,
    subjects: &[Subject<'_>],
    (area, room, ticks): (Rect, f64, usize),
    ranges: &[(usize, f64, [f64; 2])],
    axis: fn(&str) -> String,
    name: impl Fn(usize, &Push, Type) -> Vec<(String, Type)>,
) {
    let set = theme.words();
    let pushes = || subjects.iter().enumerate().filter_map(|(k, s)| Some((k, s.push?)));
    let points = || pushes().flat_map(|(_, p)| &p.curve);
    let [lo, hi] = extremes(points().map(|p| p.load).chain(ranges.iter().flat_map(|r| r.2)).chain([0.0]));
    let (x, y) = (Scale::exact(points().map(|p| p.displacement).fold(0.0, f64::max), 4), Scale::load(lo, hi, ticks));
    let left = y.room(&set);
    let plot = Plot { area: Rect::new(area.x + left, area.y, area.w - left - room, area.h), x, y };
    let direction = pushes().next().map_or("push", |(_, p)| p.direction.as_str());
    plot.axes(canvas, theme, [&axis(direction), "Load (N)"]);
    let mut ends: Vec<End<'_>> = Vec::new();
    for (k, push) in pushes() {
        let curve = plot.all(push.curve.iter().map(|p| [p.displacement, p.load]));
        canvas.path(&curve, theme.line(k));
        let colour = theme.series(k).0;
        ends.push(End { at: curve.last().copied(), ..End::named(colour, name(k, push, set.in_colour(colour))) });
    }
    for (n, (k, at, range)) in ranges.iter().enumerate() {
        let aside = 1.6 * (n as f64 - 0.5 * (ranges.len() as f64 - 1.0));
        let [low, high] = range.map(|load| plot.at(*at, load)).map(|[x, y]| [x + aside, y]);
        let stroke = Stroke::solid(theme.series(*k).0, theme.curve);
        canvas.line(low, high, stroke);
        [low, high].iter().for_each(|[x, y]| canvas.line([x - 0.7, *y], [x + 0.7, *y], stroke));
    }
    plot.ends(canvas, theme, &ends);
}

/// Textures beside the colours, in the order of the constructs.
const TEXTURES: [Texture; 7] = [
    Texture::Plain,
    Texture::Rising,
    Texture::Dots,
    Texture::Falling,
    Texture::Level,
    Texture::Upright,
    Texture::Crossed,
];

/// Fills a bar in the look of a construct.
fn filled(canvas: &mut Canvas, theme: &Theme, k: usize, r: Rect) {
    let (colour, _) = theme.series(k);
    canvas.fill(r, colour.tint(0.45));
    canvas.textured(&r.corners(), TEXTURES[k % TEXTURES.len()], 1.0, Stroke::solid(colour, 0.45));
    canvas.frame(r, Stroke::solid(colour, 0.5));
}

/// The bars of one quantity, from an upper left corner and as wide as given.
fn bars(
    canvas: &mut Canvas,
    theme: &Theme,
    subjects: &[Subject<'_>],
    (name, digits, of): &Quantity,
    ([x, top], width): (Point, f64),
    [row, bar]: [f64; 2],
) {
    let set = theme.fine();
    canvas.text(name, [x, top + set.capital()], set.bold());
    let values: Vec<Option<f64>> = subjects.iter().map(of).collect();
    let [lo, hi] = extremes(values.iter().flatten().copied().chain([0.0]));
    let wide = set.widest(values.iter().flatten().map(|v| number(*v, *digits)));
    let before = 3.2 + if lo < 0.0 { wide + 1.0 } else { 0.0 };
    let per = (width - before - wide - 1.0) / (hi - lo).max(1e-9);
    let zero = x + before - lo * per;
    let first = top + set.leading() + 1.4;
    for (k, value) in values.iter().enumerate() {
        let y = first + k as f64 * row + 0.5 * bar;
        let base = y + 0.5 * set.capital();
        canvas.text(&letter(k), [x, base], set.bold());
        let Some(v) = value else {
            canvas.text("not reached", [zero + 0.7, base], set.italic());
            continue;
        };
        let [a, b] = extremes([zero, zero + v * per]);
        if b - a > 0.15 {
            filled(canvas, theme, k, Rect::new(a, y - 0.5 * bar, b - a, bar));
        }
        let (at, set) = if *v < 0.0 { (a - 0.7, set.right()) } else { (b + 0.7, set) };
        canvas.text(&number(*v, *digits), [at, base], set);
    }
    let last = first + (values.len() as f64 - 1.0) * row + bar + 0.6;
    canvas.line([zero, first - 0.6], [zero, last], theme.axis());
}
