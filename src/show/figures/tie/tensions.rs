//! Figure "tie-tensions": what each tie gives to and takes from the limbs and screws tied before it.

use super::*;

/// Height of the highest tension, and room above it for its number, mm.
const TALL: f64 = 9.5;
const NUMBER: f64 = 4.2;
/// Height of a row, mm.
const ROW: f64 = NUMBER + TALL + 1.6;
/// Widest column, mm.
const WIDEST: f64 = 34.0;
/// Changes below this are not written, N.
const WRITTEN: f64 = 0.05;
/// Dashes of the outline of what was lost, mm.
const LOST: &[f64] = &[0.7, 0.5];

/// Draws one row a limb or screw and one column a tie of one order: bars of tension on one scale, with
/// what the tie changed.
pub(super) fn tensions(study: &Study<'_>, orders: &Orders, sequence: &Sequence<'_>) -> Figure {
    let theme = study.theme;
    let stages: Vec<&Stage> = sequence.stages.iter().skip(1).collect();
    let (set, bold) = (theme.words(), theme.words().bold());
    let room = if theme.is_wide() { 34.0 } else { 19.0 };
    let names: Vec<Vec<String>> = (0..study.count()).map(|k| wrap_at_spaces(study.name(k), bold, room)).collect();
    let left = bold.widest(names.iter().flatten()) + 3.0;
    let column = ((theme.width - left - 1.0) / stages.len().max(1) as f64).min(WIDEST);
    let heads: Vec<Vec<String>> = stages.iter().map(|s| wrap_at_spaces(&s.title, set, column - 5.4)).collect();
    let most = heads.iter().map(Vec::len).max().unwrap_or(1);
    let heading = match (sequence.run.own, orders.runs.len() > 1) {
        (true, _) => "Tensions (N) in the construct's own order",
        (false, true) => "Tensions (N) in the best order",
        (false, false) => "Tensions (N) in the order run",
    };
    let chain = wrap_at_spaces(&chain(sequence), set, theme.width - 1.6);
    let intro = 6.2 + chain.len() as f64 * set.leading();
    let head = intro + most as f64 * set.leading() + 0.6;
    let per_newton = TALL / stages.iter().flat_map(|s| &s.tensions).copied().fold(1e-9, f64::max);
    let key = key(theme);
    let low = head + names.len() as f64 * ROW + 1.0;
    let mut canvas = Canvas::new(theme.width, low + key.height() + 0.4);
    canvas.text(heading, [0.6, 3.4], theme.heading());
    canvas.lines(&chain, [0.6, 3.8 + set.leading()], Type { colour: theme.muted, ..set });
    let at = |k: usize| left + k as f64 * column;
    for (k, (stage, title)) in stages.iter().zip(&heads).enumerate() {
        let (mut x, base) = (at(k), intro + set.capital());
        if !stage.now.is_empty() {
            let number = stage.number.to_string();
            canvas.text(&number, [x, base], bold);
            x += bold.width(&number) + 1.3;
        }
        canvas.lines(title, [x, base], set);
    }
    for (k, name) in names.iter().enumerate() {
        let floor = head + k as f64 * ROW + NUMBER + TALL;
        let base = floor - 0.5 * TALL - 0.5 * (name.len() - 1) as f64 * bold.leading() + 0.5 * bold.capital();
        canvas.lines(name, [0.6, base], bold.in_colour(study.colour(k)));
        canvas.line([left, floor], [at(stages.len()) - 2.0, floor], theme.axis());
        for (j, stage) in stages.iter().enumerate() {
            bar(&mut canvas, study, stage, k, ([at(j), floor], column, per_newton));
        }
    }
    key.draw(&mut canvas, [0.6, low]);
    let caption = caption(study, orders, sequence);
    Figure::new("tie-tensions", canvas, numbers(study, sequence), caption, alt(study, &stages))
}

/// The key: what the fills mean.
fn key(theme: &Theme) -> Key<'_> {
    let grey = theme.muted;
    let mut key = Key::new(theme.note(), theme.width - 1.2);
    key.add(3.6, "tied before", move |canvas, r| canvas.fill(r, grey.tint(0.55)));
    key.add(3.6, "just tied", move |canvas, r| canvas.fill(r, grey));
    key.add(3.6, "lost by this tie", move |canvas, r| canvas.frame(r, Stroke::dashed(grey, 0.6, LOST)));
    key.add(3.6, "gained by it", move |canvas, r| gained(canvas, theme, grey, r));
    key
}

fn numbers(study: &Study<'_>, sequence: &Sequence<'_>) -> String {
    let rows = sequence.stages.iter().flat_map(|stage| {
        (0..stage.tensions.len()).map(|k| {
            let (tied, tension, change) = (stage.now.contains(&k), stage.tensions[k], stage.changes[k]);
            json!([sequence.run.label, stage.number, stage.title, study.name(k), tied, tension, change])
        })
    });
    csv("order,state,after,limb_or_screw,just_tied,tension_N,change_N".split(','), rows)
}

fn caption(study: &Study<'_>, orders: &Orders, sequence: &Sequence<'_>) -> String {
    let members = study.members();
    let (construct, case, chain) = (&orders.construct, &study.case.name, chain(sequence));
    let order = if sequence.run.own { "its own order" } else { "the order run" };
    let pulls = if study.construct.screws.is_empty() { "" } else { " (of a screw: the pull of its head)" };
    format!(
        "What each tie gives to and takes from the {members} tied before it: construct {construct} on the case {case}, {order} ({chain}). A row for each, a column a tie; bars are tensions at the tie end after the tie{pulls}, all on one scale from zero. Full colour: the {members} just tied. Pale: {members} tied before, with what this tie took from them as a dashed outline and what it gave as a hatched cap, and the change beside it; changes under {WRITTEN} N are not written."
    )
}

fn alt(study: &Study<'_>, stages: &[&Stage]) -> String {
    let part = |stage: &&Stage| {
        let there = (0..study.count()).filter(|k| !stage.paths[*k].is_empty());
        let said = |k: usize| {
            let change = signed(&format!("{:+.1} N", stage.changes[k]));
            let words = if stage.now.contains(&k) { "just tied" } else { &change };
            format!("{} {:.1} N ({words})", study.name(k), stage.tensions[k])
        };
        format!("After {}: {}", stage.title, there.map(said).collect::<Vec<_>>().join(", "))
    };
    format!(
        "Bars of tension of {}, a row for each and a column a tie. {}.",
        study.members(),
        joined(stages.iter().map(part), ". ")
    )
}

/// The bar of a limb or screw in a state, from the left end of its foot.
fn bar(
    canvas: &mut Canvas,
    study: &Study<'_>,
    stage: &Stage,
    member: usize,
    ([x, floor], column, per_newton): (Point, f64, f64),
) {
    let tied = stage.now.contains(&member);
    if stage.paths[member].is_empty() && !tied {
        return;
    }
    let (theme, colour) = (study.theme, study.colour(member));
    let (now, change) = (stage.tensions[member], stage.changes[member]);
    let before = now - change;
    let w = (0.4 * column).min(9.0);
    let level = |t: f64| floor - per_newton * t;
    let rect = |from: f64, to: f64| Rect::new(x, level(to), w, level(from) - level(to));
    if tied {
        canvas.fill(rect(0.0, now), colour);
    } else {
        canvas.fill(rect(0.0, now.min(before)), colour.tint(0.55));
        if change < -WRITTEN {
            canvas.frame(rect(now, before), Stroke::dashed(colour, 0.6, LOST));
        } else if change > WRITTEN {
            gained(canvas, theme, colour, rect(before, now));
        }
    }
    let set = theme.words();
    let top = if tied { now } else { now.max(before) };
    canvas.text(&format!("{now:.1}"), [x, level(top) - 0.9], if tied { set.bold() } else { set });
    if !tied && change.abs() > WRITTEN {
        canvas.text(&signed(&format!("{change:+.1}")), [x + w + 0.9, floor - 0.7], theme.fine());
    }
}

/// What a tie gave: a hatched cap.
fn gained(canvas: &mut Canvas, theme: &Theme, colour: Colour, r: Rect) {
    canvas.fill(r, colour.tint(0.2));
    canvas.textured(&r.corners(), Texture::Rising, 0.8, Stroke::solid(theme.paper, 0.5));
}
