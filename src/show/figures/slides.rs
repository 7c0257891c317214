//! Five pages of 16 to 9 for a talk, each under the finding that it shows, with what to say.

use super::fragment::size;
use super::tie::order_words;
use super::*;
use crate::model::Tag;
use crate::show::words::{signed, word};

/// Sheet, and where the drawing stands on it, mm: laid out at half its size and then enlarged, strokes and signs with it.
const SHEET: [f64; 2] = [127.0, 71.4375];
const BODY: Rect = Rect { x: 1.0, y: 14.5, w: 125.0, h: 51.0 };
const FOOT: &str = "Research and teaching estimate, not a medical device";
/// Most orders and inputs on a page.
const MOST: usize = 5;
/// Step above which a page speaks of it rather than of tilt, mm (assumed): some tenths are what eye and CT tell.
const SEEN: f64 = 0.5;

/// A page of a talk with its notes.
#[derive(Debug, Clone, PartialEq)]
pub struct TalkPage {
    /// The finding.
    pub title: String,
    /// The page.
    pub figure: Figure,
    /// What to say, in Markdown.
    pub notes: String,
}

/// A bar of a page: its words, its value (none: fixation fails).
type Bar = (String, Option<f64>);

/// The question, the constructs, the order of tying (of one of them), load against displacement, and what it depends
/// on.
pub fn talk(
    case: &Case,
    subjects: &[Subject<'_>],
    (construct, orders): (&Construct, &Orders),
    scatter: Option<&Scatter>,
) -> Vec<TalkPage> {
    let theme = &Theme { text: 9.8, small: 9.8, title: 12.5, width: SHEET[0], ..Theme::double() };
    let entered = super::fragment(case, &Theme::double());
    let names = joined(subjects.iter().map(|s| s.construct.name.as_str()), ", ");
    let mut pages =
        vec![page("question", format!("A {}: which construct holds it?", size(case)), entered.alt, theme, |canvas| {
            question(canvas, case, theme)
        })];
    let [_, most] = extremes(subjects.iter().map(|s| s.tied.measures.step.value.abs()));
    let tilt = |s: &&Subject<'_>| s.tied.measures.tilt.abs();
    let title = match subjects.iter().max_by(|a, b| tilt(a).total_cmp(&tilt(b))) {
        None => "No construct is stable as tied".to_owned(),
        Some(_) if most > SEEN => format!("As tied a step of up to {} mm is left", number(most, 1)),
        Some(s) => format!(
            "As tied no step is over {} mm; {} tilts most, by {}°",
            number(most, 1),
            s.construct.name,
            number(s.tied.measures.tilt, 1)
        ),
    };
    let notes = format!(
        "Drawn as tied, dashed where reduced: {names}. Step: + proud, - recessed. Tilt: + the rim rises. Ring: anchor on the \
         face; broken ring: hidden medially; diamond: labral bite."
    );
    pages.push(page("constructs", title, notes, theme, |canvas| {
        constructs(canvas, case, subjects, theme);
    }));
    let bars: Vec<Bar> =
        shown(orders).into_iter().map(|run| (order_words(construct, run), run.residual_step)).collect();
    let found: Vec<f64> = orders.runs.iter().filter_map(|r| r.residual_step).collect();
    let [least, most] = extremes(found.iter().copied());
    let failed = orders.runs.len() - found.len();
    let title = match found.as_slice() {
        [] => format!("{}: fixation fails in every order of tying", orders.construct),
        _ if most - least <= orders.band && failed == 0 => {
            "The order of tying makes no difference to the step".to_owned()
        }
        _ => format!(
            "{} tied from {}: the order decides the step, {} to {} mm",
            orders.construct,
            word(&orders.from),
            number(least, 1),
            number(most, 1)
        ),
    };
    let notes = format!(
        "Construct {}: best, own and worst of {} orders, {failed} of which fail. Clinical rule of thumb: reduce from inferior to superior.",
        orders.construct,
        orders.runs.len()
    );
    pages.push(page("order", title, notes, theme, |canvas| bars_on(canvas, theme, &bars, "largest step left (mm)", 1)));
    let pushes: Vec<&Push> = subjects.iter().filter_map(|s| s.push).collect();
    let from = capital(super::sharing::start(&pushes));
    let mut loads: Vec<(f64, &str)> =
        subjects.iter().filter_map(|s| Some((s.push?.load_at[1]?, s.construct.name.as_str()))).collect();
    loads.sort_by(|a, b| b.0.total_cmp(&a.0));
    let title = match loads.as_slice() {
        [] => "No construct reaches 1 mm".to_owned(),
        [(load, name)] => format!("{name} bears {} at 1 mm", newtons(*load)),
        [(a, name), .., (b, last)] if a - b > 0.1 * a => {
            format!("{from}, {name} bears {} at 1 mm, {last} {}", newtons(*a), newtons(*b))
        }
        [(a, _), .., (b, _)] => format!("{from}, all bear about the same at 1 mm: {} to {}", newtons(*b), newtons(*a)),
    };
    let said = joined(loads.iter().map(|(load, name)| format!("{name} {}", newtons(*load))), ", ");
    // From 5 to 95 % of the samples that bear it so far.
    let range = |(k, s): (usize, &Subject<'_>)| {
        let scattered = scatter?.constructs.iter().find(|c| c.construct == s.construct.name)?;
        let load = scattered.quantities.iter().find(|q| q.quantity.key == "load-1mm")?.quantiles.as_ref()?;
        Some((k, 1.0, [load.low.value, load.high.value]))
    };
    let ranges: Vec<_> = subjects.iter().enumerate().filter_map(range).collect();
    let bars = match scatter {
        Some(s) if !ranges.is_empty() => {
            format!(" Bars: 5 to 95 % of {} samples, of those that bear it to 1 mm.", s.done)
        }
        _ => String::new(),
    };
    pages.push(page("load", title, format!("Load at 1 mm: {said}.{bars}"), theme, |canvas| {
        // Words above the plot have a line of their own.
        let under = if bars.is_empty() { 0.0 } else { 3.5 };
        let (area, room) = (Rect { y: BODY.y + under, h: BODY.h - 10.0 - under, ..BODY }, 36.0);
        canvas.text(bars.trim(), [BODY.x, BODY.y], theme.note());
        let axis = |way: &str| format!("{} displacement (mm)", capital(way));
        curves(canvas, theme, subjects, (area, room, 4), &ranges, axis, |_, push, set| {
            wrap(&push.construct, set, room - 6.0).into_iter().map(|l| (l, set)).collect()
        });
    }));
    pages.push(depends(case, subjects, scatter, theme));
    pages
}

fn page(name: &str, title: String, notes: String, theme: &Theme, draw: impl FnOnce(&mut Canvas)) -> TalkPage {
    let mut canvas = Canvas::new(SHEET[0], SHEET[1]);
    canvas.lines(&wrap_at_spaces(&title, theme.heading(), BODY.w), [BODY.x, 5.0], theme.heading());
    draw(&mut canvas);
    canvas.text(FOOT, [BODY.x, SHEET[1] - 1.2], theme.note());
    let table = csv(["title", "notes"], [json!([title, notes])]);
    let figure = Figure::new(&format!("slide-{name}"), canvas, table, title.clone(), format!("{title}. {notes}"));
    TalkPage { title, figure: Style::Slide.finish(figure), notes }
}

fn question(canvas: &mut Canvas, case: &Case, theme: &Theme) {
    let (body, pose) = (Body::new(case), crate::study::displaced_pose(case));
    let points = body.outline(Seen::Face, &pose).into_iter().chain(body.outline(Seen::Face, &Pose::default()));
    let r = case.fragment.socket.radius;
    let extent = Extent::about(points.chain([[-r, -r], [r, case.socket_height - r]]), 0.5);
    let window = Rect { w: 0.45 * BODY.w, ..BODY };
    let [w, h] = extent.size();
    let view = View::in_window(case, theme, Seen::Face, &extent, (window.w / w).min(window.h / h), window);
    body.draw(canvas, &view, &pose);
    let mut y = BODY.y + 4.0;
    for [what, value, _] in super::fragment::rows(case).iter().take(8) {
        canvas.text(what, [0.5 * SHEET[0], y], theme.words());
        canvas.text(value, [BODY.right(), y], theme.words().bold().right());
        y += 5.7;
    }
}

fn constructs(canvas: &mut Canvas, case: &Case, subjects: &[Subject<'_>], theme: &Theme) {
    let shown = &subjects[..subjects.len().min(4)];
    let wide = BODY.w / shown.len().max(1) as f64;
    let scenes: Vec<Scene<'_>> = shown.iter().map(|s| Scene::new(case, s.construct, s.tied, theme)).collect();
    let r = case.fragment.socket.radius;
    let points = scenes.iter().flat_map(|s| s.body.whole(&s.shown.pose));
    let extent = Extent::about(points.chain([[-0.6 * r, -r], [r, 0.8 * r]]), 1.0);
    let ([w, h], tall) = (extent.size(), BODY.h - 13.0);
    for (k, scene) in scenes.iter().enumerate() {
        let window = Rect::new(BODY.x + k as f64 * wide, BODY.y, wide - 2.0, tall);
        let view = View::in_window(case, theme, Seen::Face, &extent, (window.w / w).min(tall / h), window);
        canvas.clipped(window, |canvas| {
            scene.body.draw(canvas, &view, &scene.shown.pose);
            scene.shown.draw(canvas, &view, &scene.body);
        });
        let lies = subjects[k].tied.measures;
        let mut words = wrap(&scene.construct.name, theme.words(), window.w);
        words.push(format!("step {} mm, tilt {}°", signed(lies.step.value, 1), signed(lies.tilt, 1)));
        canvas.lines(&words, [window.middle()[0], window.bottom() + 4.0], theme.words().centred());
    }
}

/// Best order, the construct's own, and the worst that is stable and that fails.
fn shown(orders: &Orders) -> Vec<&OrderRun> {
    let fails = orders.runs.iter().find(|r| r.residual_step.is_none());
    let mut list: Vec<&OrderRun> = Vec::new();
    for run in [orders.best(), orders.own(), orders.worst(), fails].into_iter().flatten() {
        if list.iter().all(|r| r.order != run.order) {
            list.push(run);
        }
    }
    list
}

/// Bars with their words above, on one scale from zero.
fn bars_on(canvas: &mut Canvas, theme: &Theme, bars: &[Bar], axis: &str, decimals: usize) {
    let set = theme.words();
    let most = bars.iter().filter_map(|b| b.1).map(f64::abs).fold(1e-6, f64::max);
    let tall = (BODY.h - 4.0) / bars.len().max(1) as f64;
    let thick = (tall - 5.8).clamp(1.0, 4.5);
    canvas.text(axis, [BODY.x, BODY.y + 2.0], theme.note());
    for (k, (words, value)) in bars.iter().take(MOST).enumerate() {
        let y = BODY.y + 4.0 + k as f64 * tall;
        let line = wrap_at_spaces(words, set, BODY.w).swap_remove(0);
        canvas.text(&line, [BODY.x, y + 3.2], set);
        let end = BODY.x + value.map_or(0.0, f64::abs) / most * (BODY.w - 30.0);
        canvas.fill(Rect::new(BODY.x, y + 4.4, end - BODY.x, thick), theme.muted);
        let said = value.map_or_else(|| "fixation fails".to_owned(), |v| number(v, decimals));
        canvas.text(&said, [end + 1.0, y + 4.4 + 0.5 * (thick + set.capital())], set.bold());
    }
}

/// The inputs that move the load at 1 mm of the first construct most; without samples those that have no source.
fn depends(case: &Case, subjects: &[Subject<'_>], scatter: Option<&Scatter>, theme: &Theme) -> TalkPage {
    let of = scatter.and_then(|s| s.constructs.first());
    let ranking = of.and_then(|c| c.rankings.iter().find(|r| r.quantity.key == "load-1mm"));
    let mut ranks: Vec<Bar> =
        ranking.into_iter().flat_map(|r| &r.ranks).map(|r| (input::words(&r.path), Some(r.coefficient))).collect();
    ranks.sort_by(|a, b| b.1.unwrap_or(0.0).abs().total_cmp(&a.1.unwrap_or(0.0).abs()));
    ranks.truncate(MOST);
    if let (Some(c), [(first, _), (second, _), ..]) = (of, ranks.as_slice()) {
        let title = format!("The load of {} depends most on {first} and {second}", c.construct);
        let notes = "Partial rank correlation with the load at 1 mm, all other inputs held: minus means more of the input, less load. Published tests stand beside the model in the report, agreeing or not.";
        return page("depends", title, notes.to_owned(), theme, |canvas| {
            bars_on(canvas, theme, &ranks, "partial rank correlation with the load at 1 mm", 2);
        });
    }
    let taken = case.defaults.iter().chain(subjects.iter().flat_map(|s| &s.construct.defaults));
    let assumed = distinct(taken.filter(|t| t.tag == Tag::Assumed).map(|t| input::words(&t.path)));
    let title = format!("It depends on {} that no publication backs", counted(assumed.len() as u64, "value"));
    let notes = match scatter {
        None => "Nothing was varied in this run: run the report with samples to see which inputs move the answer.",
        Some(_) => "Too few samples to tell which inputs move the answer.",
    };
    page("depends", title, notes.to_owned(), theme, |canvas| {
        for (k, words) in assumed.iter().take(8).enumerate() {
            canvas.text(words, [BODY.x, BODY.y + 4.0 + 5.7 * k as f64], theme.words());
        }
    })
}
