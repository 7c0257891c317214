//! Figures "joint-slides" and "joint-map": a head slid over the socket, and what step and gap do.

use super::*;
use crate::show::words::word;

/// Height of the data area of a panel of slides, mm.
const TALL: f64 = 44.0;
/// Least width of a panel, mm.
const LEAST: f64 = 52.0;
/// Length of a curve's sample, mm.
const SAMPLE: f64 = 5.5;
/// Height of a cell of the map, mm.
const ROW: f64 = 5.6;

/// Draws the force against the slide over displacement, one panel a direction on one scale, one curve a state, with the
/// stability ratio of each.
pub fn joint_slid(found: &Joint, theme: &Theme) -> Figure {
    let set = theme.words();
    let directions: Vec<&str> =
        found.states.first().map_or(Vec::new(), |s| s.slides.iter().map(|d| d.direction.as_str()).collect());
    let points = || found.states.iter().flat_map(|s| &s.slides).flat_map(|d| &d.curve);
    let peaks = found.states.iter().flat_map(|s| &s.slides).map(|d| d.ratio * found.head.compression);
    let [lo, hi] = extremes(points().map(|p| p.force).chain(peaks));
    let (x, y) = (Scale::exact(found.to, 5), Scale::load(lo, hi, 6));
    let panels = Panels::new(theme, &directions, theme.width, LEAST);
    let left = y.room(&set);
    let line = set.leading() + 0.4;
    let foot = 1.0 + TALL + Plot::below(&set) + 3.2;
    let tall = foot + found.states.len() as f64 * line;
    let mut canvas = Canvas::new(theme.width, panels.height(tall) + 0.6);
    panels.draw(&mut canvas, theme, tall, "nothing was slid", |canvas, k, area| {
        let plot = Plot { area: Rect::new(area.x + left, area.y + 1.0, area.w - left - 1.5, TALL), x, y };
        plot.axes(canvas, theme, ["Displacement (mm)", "Force against the slide (N)"]);
        canvas.clipped(plot.area.grown(0.3), |canvas| {
            for (s, state) in found.states.iter().enumerate().rev() {
                let curve = plot.all(state.slides[k].curve.iter().map(|p| [p.displacement, p.force]));
                canvas.path(&curve, theme.line(s));
            }
        });
        for (s, state) in found.states.iter().enumerate() {
            let slide = &state.slides[k];
            let (colour, _) = theme.series(s);
            let at = plot.at(slide.at, slide.ratio * found.head.compression);
            canvas.disc(at, 0.85, theme.paper);
            canvas.disc(at, 0.65, colour);
            // Below the panel each curve's name with its ratio.
            let base = area.y + foot + set.capital() + s as f64 * line;
            let middle = base - 0.5 * set.capital();
            canvas.line([plot.area.x, middle], [plot.area.x + SAMPLE, middle], theme.line(s));
            let name = [plot.area.x + SAMPLE + 1.2, base];
            canvas.text(&word(&state.state), name, set.in_colour(colour));
            let words =
                if slide.is_borne() { format!("{} %", number(100.0 * slide.ratio, 0)) } else { "not borne".to_owned() };
            canvas.text(&words, [plot.area.x + SAMPLE + 22.0, base], set.in_colour(colour).right());
        }
    });
    Figure::new("joint-slides", canvas, slides_csv(found), slides_caption(found), slides_alt(found))
        .of(found.construct.as_deref().unwrap_or(&found.case))
}

fn slides_csv(found: &Joint) -> String {
    let rows = found.states.iter().flat_map(|state| {
        state.slides.iter().flat_map(move |slide| {
            let row = move |kind: &str, p: &SlidePoint| {
                json!([state.state, slide.direction, kind, p.displacement, p.force, p.height, p.area, p.pressure])
            };
            let peak = json!([
                state.state,
                slide.direction,
                "peak",
                slide.at,
                slide.ratio * found.head.compression,
                None::<f64>,
                slide.area,
                slide.pressure
            ]);
            slide.curve.iter().map(move |p| row("curve", p)).chain([peak])
        })
    });
    csv("state,direction,kind,displacement_mm,force_N,height_mm,area_mm2,pressure_MPa".split(','), rows)
}

/// What the head is and what is left out, for a caption.
fn made(found: &Joint) -> String {
    let head = &found.head;
    format!(
        "A rigid head of {} mm radius, pressed with {} N along the socket's axis, on cartilage of {} MPa/mm (assumed), \
         held on its straight way; no friction, no labrum, no give of the fragment under the head. Case {}.",
        number(head.head_radius, 1),
        number(head.compression, 0),
        number(found.foundation, 1),
        found.case
    )
}

fn slides_caption(found: &Joint) -> String {
    let by = found.construct.as_ref().map_or(String::new(), |name| format!(" Tied and settled: with {name}."));
    format!(
        "Force that holds the head against a slide from the middle of the socket over its rim, by direction, on one \
         scale. Dots: the largest force; beside the names the stability ratio, that force over the compression. Below \
         zero the head runs on by itself. {}{by}",
        made(found)
    )
}

fn slides_alt(found: &Joint) -> String {
    let state = |s: &JointState| {
        let each = s.slides.iter().map(|d| format!("{} {} %", d.direction, number(100.0 * d.ratio, 0)));
        format!("{}: {}", word(&s.state), joined(each, ", "))
    };
    format!(
        "Line plots of force against displacement of the head, one a direction. Stability ratios: {}.",
        joined(found.states.iter().map(state), "; ")
    )
}

/// Draws stability ratio and largest pressure over step and gap of the fragment; where the joint notices is framed.
pub fn joint_map(found: &Joint, theme: &Theme) -> Figure {
    let map = &found.map;
    let set = theme.words();
    let titles =
        [format!("Stability ratio (%), {}", map.direction), format!("Largest pressure (MPa), {}", map.direction)];
    let panels = Panels::new(theme, &titles, theme.width, 80.0);
    let tall_map = ROW * map.gaps.len() as f64;
    let tall = tall_map + Plot::below(&set) + 1.6;
    let left = 1.0 + set.leading() + set.widest(map.gaps.iter().map(|g| number(*g, 1))) + 2.6;
    let under = panels.height(tall) + 1.4;
    let mut key = Key::new(theme.fine(), theme.width - 2.0);
    let words = format!(
        "parts what is noticed (bold): ratio fallen by more than {} %, or pressure risen by more than {} %, against the reduced fragment",
        number(100.0 * map.fallen, 0),
        number(100.0 * map.risen, 0)
    );
    let heavy = Stroke::solid(theme.ink, 1.6);
    key.add(4.0, words, move |canvas, r| canvas.line([r.x, r.middle()[1]], [r.right(), r.middle()[1]], heavy));
    let mut canvas = Canvas::new(theme.width, under + key.height() + 0.6);
    panels.draw(&mut canvas, theme, tall, "", |canvas, k, area| {
        let area = Rect::new(area.x + left, area.y, area.w - left - 1.0, tall_map);
        let of = |c: &MapCell| if k == 0 { 100.0 * c.ratio } else { c.pressure };
        let noticed = |c: &MapCell| match k {
            0 => c.ratio < (1.0 - map.fallen) * map.reduced.ratio,
            _ => c.pressure > (1.0 + map.risen) * map.reduced.pressure,
        };
        let scale = {
            let [lo, hi] = extremes(map.cells.iter().map(of));
            Scale::around(lo, hi, 7)
        };
        let (columns, rows) = (map.steps.len(), map.gaps.len());
        let (w, h) = (area.w / columns as f64, area.h / rows as f64);
        let at = |i: usize, j: usize| Rect::new(area.x + i as f64 * w, area.bottom() - (j + 1) as f64 * h, w, h);
        let cell = |i: usize, j: usize| &map.cells[i * rows + j];
        for (i, j) in (0..columns).flat_map(|i| (0..rows).map(move |j| (i, j))) {
            let (r, share) = (at(i, j), scale.share(of(cell(i, j))));
            // Light enough for dark numbers.
            canvas.fill(r, theme.depth(0.45 * share));
            let text = number(of(cell(i, j)), usize::from(k > 0));
            let [x, y] = r.middle();
            let set = if noticed(cell(i, j)) { set.bold() } else { set };
            canvas.text(&text, [x, y + 0.5 * set.capital()], set.centred());
        }
        // The border between what is noticed and what is not.
        for (i, j) in (0..columns).flat_map(|i| (0..rows).map(move |j| (i, j))) {
            let r = at(i, j);
            if i + 1 < columns && noticed(cell(i, j)) != noticed(cell(i + 1, j)) {
                canvas.line([r.right(), r.y], [r.right(), r.bottom()], heavy);
            }
            if j + 1 < rows && noticed(cell(i, j)) != noticed(cell(i, j + 1)) {
                canvas.line([r.x, r.y], [r.right(), r.y], heavy);
            }
        }
        canvas.frame(area, theme.axis());
        for (i, step) in map.steps.iter().enumerate() {
            let r = at(i, 0);
            let x = r.middle()[0];
            canvas.line([x, area.bottom()], [x, area.bottom() + 0.8], theme.axis());
            canvas.text(&with_plus(*step, 1), [x, area.bottom() + 1.4 + set.capital()], set.centred());
        }
        for (j, gap) in map.gaps.iter().enumerate() {
            let y = at(0, j).middle()[1];
            canvas.line([area.x - 0.8, y], [area.x, y], theme.axis());
            canvas.text(&number(*gap, 1), [area.x - 1.3, y + 0.5 * set.capital()], set.right());
        }
        let [x, y] = area.middle();
        canvas.text("Step-off (mm, + proud)", [x, area.bottom() + Plot::below(&set) + 0.7], set.centred());
        canvas.text_upward("Gap (mm)", [area.x - left + 1.0 + set.capital(), y], set);
    });
    key.draw(&mut canvas, [1.0, under]);
    let rows = map.cells.iter().map(|c| json!([map.direction, c.step, c.gap, c.ratio, c.pressure]));
    let table = csv("direction,step_mm,gap_mm,stability_ratio,pressure_MPa".split(','), rows);
    Figure::new("joint-map", canvas, table, map_caption(found), map_alt(found)).of(&found.case)
}

fn map_caption(found: &Joint) -> String {
    format!(
        "Stability ratio, and the largest pressure within {} mm, of a head slid {} over a fragment that \
         lies with a step-off and a gap along its whole line, without a turn. Behind the heavy line, in bold, what the \
         joint notices (ratio fallen by more than {} %, or pressure risen by more than {} %, against the reduced fragment: our \
         choice, assumed). {}",
        number(found.range, 1),
        found.map.direction,
        number(100.0 * found.map.fallen, 0),
        number(100.0 * found.map.risen, 0),
        made(found)
    )
}

fn map_alt(found: &Joint) -> String {
    let map = &found.map;
    let range = |of: &dyn Fn(&MapCell) -> f64, d: usize| {
        let [lo, hi] = extremes(map.cells.iter().map(of));
        format!("{} to {}", number(lo, d), number(hi, d))
    };
    let from = |step: Option<f64>| step.map_or("none".to_owned(), |s| format!("{} mm", with_plus(s, 1)));
    format!(
        "Two maps over step-off and gap: stability ratio {} %, largest pressure {} MPa. Without a gap the joint notices \
         recessed steps from {} on and proud ones from {} on.",
        range(&|c| 100.0 * c.ratio, 0),
        range(&|c| c.pressure, 1),
        from(map.recessed.first()),
        from(map.proud.first())
    )
}
