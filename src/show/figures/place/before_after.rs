//! Figure "place-before-after": the construct as given and as found, en face on one scale.

use super::{small, words};
use crate::model::{Case, Construct};
use crate::show::figures::arrow::arrow;
use crate::show::figures::canvas::{Align, Canvas, Stroke, Type};
use crate::show::figures::construct::Scene;
use crate::show::figures::construct::en_face;
use crate::show::figures::csv::{Csv, field};
use crate::show::figures::figure::Figure;
use crate::show::figures::font::Face;
use crate::show::figures::label::wrap;
use crate::show::figures::rect::Rect;
use crate::show::figures::scatter::words::number;
use crate::show::figures::theme::Theme;
use crate::study::result::{Place, Placement, TiedState};

/// Diameter of the socket's circle on the page, mm, where nothing lies beyond it.
const CIRCLE: f64 = 40.0;
/// Distance between the panels, mm.
const GUTTER: f64 = 4.0;
/// Shortest way of an anchor that is drawn, mm of the page.
const SHORT: f64 = 3.4;

/// Draws the figure.
pub(super) fn before_after(case: &Case, construct: &Construct, found: &Place, theme: &Theme) -> Figure {
    let pair = [&found.given, &found.found];
    let tied = pair.map(tied);
    let scenes: Vec<Scene<'_>> =
        tied.into_iter().flatten().map(|tied| Scene { case, construct, tied, theme }).collect();
    let reach = scenes.iter().map(en_face::reach).fold(1.0, f64::max);
    let scale = CIRCLE / (2.0 * reach);
    let tall = scenes.iter().map(|s| en_face::height(s, scale)).fold(30.0, f64::max);
    let columns = if theme.is_wide() { 2.0 } else { 1.0 };
    let wide = (theme.width - GUTTER * (columns - 1.0)) / columns;
    let small = Type::new(theme.small, theme.muted);
    let notes = wrap(
        "In (b): squares, where the given construct has its anchors; arrows, the way to where they were found.",
        small,
        theme.width - 4.0,
    );
    let note = 1.6 + notes.len() as f64 * small.leading();
    let rows = 3.0 - columns;
    let height = rows * tall + (rows - 1.0) * GUTTER + note + 0.8;
    let mut canvas = Canvas::new(theme.width, height);
    let titles = titles(found);
    for (k, letter) in ["a", "b"].into_iter().enumerate() {
        let area = if theme.is_wide() {
            Rect::new(k as f64 * (wide + GUTTER), 0.0, wide, tall)
        } else {
            Rect::new(0.0, k as f64 * (tall + GUTTER), wide, tall)
        };
        match tied[k] {
            Some(tied) => {
                let scene = Scene { case, construct, tied, theme };
                en_face::draw(&mut canvas, &scene, area, scale, [letter, &titles[k]]);
                if k == 1 {
                    ways(&mut canvas, &scene, area, scale, found);
                }
            }
            None => {
                let set = Type::new(theme.title, theme.ink).face(Face::Bold);
                canvas.text(letter, [area.x + 0.6, area.y + 3.4], set);
                let set = Type::new(theme.text, theme.ink);
                canvas.text(&titles[k], [area.x + 4.0, area.y + 3.4], set);
                let lines = wrap(&pair[k].why, set, area.w - 8.0);
                for (line, text) in lines.iter().enumerate() {
                    let y = area.y + 0.5 * area.h + line as f64 * set.leading();
                    let at = [area.x + 0.5 * area.w, y];
                    canvas.text(text, at, set.align(Align::Centre));
                }
            }
        }
    }
    for (line, text) in notes.iter().enumerate() {
        let y = height - note - 0.8 + 1.6 + small.capital() + line as f64 * small.leading();
        canvas.text(text, [2.0, y], small);
    }
    Figure::new(&words::name(found, "before-after"), canvas, csv(found), caption(found), alt(found))
}

fn tied(placement: &Placement) -> Option<&TiedState> {
    placement.hold.as_ref()?.tied.as_ref()
}

fn titles(found: &Place) -> [String; 2] {
    let aim = &found.aims[0];
    let [given, answer] = [found.given.values[0], found.found.values[0]];
    let change = match (given, answer) {
        (Some(a), Some(b)) if a.abs() > 0.0 => {
            let percent = number(100.0 * (b - a) / a.abs(), 0);
            let plus = if b > a { "+" } else { "" };
            format!(" ({plus}{percent} %)")
        }
        _ => String::new(),
    };
    [format!("As given: {}", words::told(aim, given)), format!("As found: {}{change}", words::told(aim, answer))]
}

/// The way of each anchor from where it was given.
fn ways(canvas: &mut Canvas, scene: &Scene<'_>, area: Rect, scale: f64, found: &Place) {
    let (theme, view) = (scene.theme, en_face::view(scene, area, scale));
    for (from, to) in found.given.anchors.iter().zip(&found.found.anchors) {
        let [p, q] = [from, to].map(|a| view.page(a.point[0], a.point[1]));
        let length = (q[0] - p[0]).hypot(q[1] - p[1]);
        if length < SHORT {
            continue;
        }
        let along = [(q[0] - p[0]) / length, (q[1] - p[1]) / length];
        let at = |s: f64| [p[0] + s * along[0], p[1] + s * along[1]];
        arrow(canvas, at(1.5), at(length - 1.3), Stroke::solid(theme.ink, 0.7));
        small::box_about(canvas, theme, p);
    }
    // Again, above arrows and squares.
    en_face::anchors(canvas, scene, &view);
}

fn csv(found: &Place) -> String {
    let mut csv = Csv::new(&["design", "kind", "name", "x_mm", "y_mm", "z_mm", "value", "unit"]);
    let blank = String::new;
    for placement in [&found.given, &found.found] {
        for (aim, value) in found.aims.iter().zip(&placement.values) {
            csv.row([
                placement.name.clone(),
                "objective".to_owned(),
                aim.key.clone(),
                blank(),
                blank(),
                blank(),
                value.map_or_else(blank, |v| v.to_string()),
                aim.unit.clone(),
            ]);
        }
        for anchor in &placement.anchors {
            let [x, y, z] = anchor.point.map(|v| v.to_string());
            let of = |t: &TiedState| t.anchors.iter().find(|a| a.name == anchor.anchor).map(|a| a.force);
            let force = tied(placement).and_then(of);
            csv.row([
                placement.name.clone(),
                "anchor".to_owned(),
                field(&anchor.anchor),
                x,
                y,
                z,
                force.map_or_else(blank, |v| v.to_string()),
                force.map_or_else(blank, |_| "N".to_owned()),
            ]);
        }
        for limb in tied(placement).into_iter().flat_map(|t| &t.limbs) {
            for (k, p) in limb.path.iter().enumerate() {
                let [x, y, z] = p.map(|v| v.to_string());
                // The tension of the segment that starts at this point.
                let tension = limb.tensions.get(k);
                csv.row([
                    placement.name.clone(),
                    "limb".to_owned(),
                    field(&limb.name),
                    x,
                    y,
                    z,
                    tension.map_or_else(blank, f64::to_string),
                    tension.map_or_else(blank, |_| "N".to_owned()),
                ]);
            }
        }
    }
    csv.finish()
}

fn caption(found: &Place) -> String {
    let gain = found.gain.as_ref().map_or_else(String::new, |g| {
        let aim = &found.aims[0];
        let none = || "no known number".to_owned();
        let value = |v: Option<f64>| v.map_or_else(none, |v| words::value(aim, v));
        let [given, answer] = g.ends;
        let of = if g.pairs < g.draws {
            format!(" of the {} that count for both", g.pairs)
        } else {
            String::new()
        };
        let interval = |v: Option<[f64; 2]>, words: &dyn Fn(f64) -> String| {
            v.map_or_else(String::new, |[low, high]| {
                format!(" (95 % interval {} to {})", words(low), words(high))
            })
        };
        let left = if given.uncertified + answer.uncertified == 0 {
            String::new()
        } else {
            format!(
                " Left out are {} and {} without a certificate.",
                given.uncertified, answer.uncertified
            )
        };
        let share = |v: f64| number(100.0 * v, 0);
        let by = g.difference.map_or_else(String::new, |d| {
            let told = |v: f64| words::value(aim, v);
            format!(", a difference of {}{}", told(d), interval(g.difference_interval, &told))
        });
        format!(
            " On {} fresh draws of placement error and tension, both designs under each on the full bed, the answer is the better one in {} %{}{of} and differs by {} (median; 80 % of draws {} to {}); nine of ten draws reach {} as given and {} as found{by}; the fragment is lost in {} and {} of them, an anchor misses its bone in {} and {}, which counts as the worst, and a load passes a limit in {} and {} of those held.{left}",
            g.draws,
            g.better.map_or_else(none, |b| share(b.value)),
            interval(g.better_interval, &|v| format!("{} %", share(v))),
            value(g.median),
            value(g.low),
            value(g.high),
            value(g.given),
            value(g.found),
            given.lost,
            answer.lost,
            given.impossible,
            answer.impossible,
            given.beyond,
            answer.beyond
        )
    });
    format!(
        "{} (a) As given, (b) as found, en face from lateral on one scale, both tied, {} computed on the full bed. An eye is an anchor on the face, a broken ring one behind the bone, a diamond a bite, a bar square to the limb a crossing; width of a limb grows with its tension, and it is dashed behind bone. Newtons beside a limb: its tension; beside an anchor: the pull on it.{gain}",
        words::sought(found),
        found.aims[0].label
    )
}

fn alt(found: &Place) -> String {
    let ways: Vec<String> = found
        .given
        .anchors
        .iter()
        .zip(&found.found.anchors)
        .map(|(a, b)| {
            let square: f64 = (0..3).map(|k| (a.point[k] - b.point[k]).powi(2)).sum();
            format!("{} {} mm", a.anchor, number(square.sqrt(), 1))
        })
        .collect();
    let [given, answer] = titles(found);
    format!(
        "Two scale drawings of the construct on the fragment, en face. {given}. {answer}. Ways of the anchors: {}.",
        ways.join(", ")
    )
}
