//! Figure "budget": displacement and compression through the phases of rehabilitation.

use super::*;
use crate::show::chart::End;

/// Height of the data area of each panel, mm.
const TALL: [f64; 2] = [44.0, 30.0];
/// Room between two panels, mm.
const BETWEEN: f64 = 5.0;

/// What a curve shows of a cycle.
type Of = fn(&CyclePoint) -> f64;

/// Displacement at peak and left over with what is allowed, and compression, phase after phase: the computed cycles
/// stand evenly apart; each phase is a field with its load, and the share of draws that keep within.
pub fn budget(found: &Budget, theme: &Theme) -> Figure {
    let (set, small) = (theme.words(), theme.fine());
    // Where each phase begins on the axis, in computed cycles.
    let starts: Vec<usize> = found
        .phases
        .iter()
        .scan(0, |at, p| {
            let start = *at;
            *at += p.points.len();
            Some(start)
        })
        .collect();
    let points: Vec<&CyclePoint> = found.phases.iter().flat_map(|p| &p.points).collect();
    // The axis has ticks of its own, where tenfold cycles are.
    let x = Scale::exact((points.len().max(2) - 1) as f64 + 0.5, 1);
    let moved = points.iter().flat_map(|p| [p.peak, p.rest]).chain([found.allowed.left, found.allowed.peak]);
    let [lo, hi] = extremes(moved);
    let pressed = points.iter().map(|p| p.compression).chain(found.tied.iter().map(|t| t.compression));
    let [low, high] = extremes(pressed);
    let scales = [Scale::load(lo, hi, 5), Scale::load(low, high, 4)];
    let left = scales.iter().map(|y| y.room(&set)).fold(0.0, f64::max);
    let named = |name: &str, k: usize| {
        let (colour, _) = theme.series(k);
        End::named(colour, vec![(name.to_owned(), set.in_colour(colour))])
    };
    let mut ends = [vec![named("at peak", 0), named("residual", 1)], vec![named("compression", 2)]];
    let right = ends.iter().map(|e| End::room(e)).fold(0.0, f64::max);
    let lines = 2.0 + f64::from(u8::from(found.phases.iter().any(|p| p.within.is_some())));
    let head = lines * small.leading() + 3.0;
    let mut canvas = Canvas::new(theme.width, head + TALL[0] + BETWEEN + TALL[1] + Plot::below(&set) + 2.4);
    let mut top = head;
    let curves: [&[Of]; 2] = [&[|p| p.peak, |p| p.rest], &[|p| p.compression]];
    for (k, (y, curves)) in scales.into_iter().zip(curves).enumerate() {
        let area = Rect::new(left, top, theme.width - left - right - 0.6, TALL[k]);
        let plot = Plot { area, x, y };
        let last = k == 1;
        let titles = [["", "Displacement (mm)"], ["Cycle of the phase", "Compression (N)"]][k];
        plot.axes_with(&mut canvas, theme, titles, |_| String::new());
        if last {
            cycles(&mut canvas, theme, &plot, &points);
        }
        let edge = |start: f64| plot.at(start - 0.5, y.lo)[0].max(area.x);
        for (p, start) in found.phases.iter().zip(&starts) {
            let from = edge(*start as f64);
            let to = edge((start + p.points.len()) as f64).min(area.right());
            if *start > 0 {
                canvas.line(
                    [from, area.y],
                    [from, area.bottom()],
                    Stroke::dashed(theme.faint, theme.hair, &[0.6, 0.8]),
                );
            }
            if k == 0 {
                let middle = 0.5 * (from + to);
                let mut words = vec![p.name.clone(), format!("{} to {} N", number(p.low, 0), number(p.high, 0))];
                words.extend(
                    p.within
                        .filter(|w| w.of > 0)
                        .map(|w| format!("{} % within", number(100.0 * w.both as f64 / w.of as f64, 0))),
                );
                for (j, line) in words.iter().enumerate() {
                    let base = area.y - 1.6 - (words.len() - 1 - j) as f64 * small.leading();
                    canvas.text(line, [middle, base], small.centred());
                }
            }
        }
        if k == 0 {
            for (limit, words) in [(found.allowed.left, "limit, residual"), (found.allowed.peak, "limit, at peak")] {
                let at = plot.at(0.0, limit)[1];
                canvas.line([area.x, at], [area.right(), at], Stroke::dashed(theme.ink, theme.outline, &[0.9, 0.6]));
                canvas.text_on_patch(words, [area.x + 1.0, at - 0.8], theme.note(), theme.paper);
            }
        }
        for (j, of) in curves.iter().enumerate() {
            for (p, start) in found.phases.iter().zip(&starts) {
                let along = p.points.iter().enumerate().map(|(i, point)| [(start + i) as f64, of(point)]);
                let curve = plot.all(along);
                canvas.path(&curve, theme.line(if last { 2 } else { j }));
                if let Some(at) = curve.last() {
                    ends[k][j].at = Some(*at);
                }
            }
        }
        if let (true, Some(tied)) = (last, &found.tied) {
            let at = plot.at(0.0, tied.compression);
            ring(&mut canvas, at, 0.8, theme.paper, Stroke::solid(theme.series(2).0, theme.outline));
        }
        plot.ends(&mut canvas, theme, &ends[k]);
        top += TALL[k] + BETWEEN;
    }
    Figure::new("budget", canvas, rows(found), caption(found), alt(found)).of(&found.construct)
}

/// Marks tenfold cycles under the axis, as many as there is room for.
fn cycles(canvas: &mut Canvas, theme: &Theme, plot: &Plot, points: &[&CyclePoint]) {
    let (set, foot) = (theme.words().centred(), plot.area.bottom());
    let mut free = 0.0;
    for (k, point) in points.iter().enumerate() {
        let words = point.cycle.to_string();
        let (x, half) = (plot.at(k as f64, plot.y.lo)[0], 0.5 * set.width(&words) + 0.6);
        let last = points.get(k + 1).is_none_or(|next| next.cycle < point.cycle);
        if (last || words.trim_end_matches('0') == "1") && x - half > free {
            canvas.line([x, foot], [x, foot + 0.9], theme.reference());
            canvas.text(&words, [x, foot + 2.2 + set.capital()], set);
            free = x + half;
        }
    }
}

fn rows(found: &Budget) -> String {
    let rows = found.phases.iter().flat_map(|phase| {
        let share = phase.within.filter(|w| w.of > 0).map(|w| w.both as f64 / w.of as f64);
        phase.points.iter().map(move |p| {
            json!([
                phase.name,
                phase.low,
                phase.high,
                p.cycle,
                p.peak,
                p.rest,
                p.compression,
                p.measures.step.value,
                share
            ])
        })
    });
    let heads = "phase,low_N,high_N,cycle,peak_mm,residual_mm,compression_N,step_mm,share_of_draws_within";
    csv(heads.split(','), rows)
}

fn caption(found: &Budget) -> String {
    let draws = if found.done > 0 {
        format!(
            " \"Within\": share of {} draws of the uncertain inputs that, in this phase and all before, keep within both limits.",
            found.done
        )
    } else {
        String::new()
    };
    format!(
        "What phases of rehabilitation leave of {}: displacement of the fragment's centroid from as tied at the largest load of a cycle (at peak) and under the least (residual), beside its limits (dashed), and compression of the bed. Cycles stand evenly apart as they were computed, beyond ten of a phase in blocks; a phase is parted from the next by a thin dashed line; ring: as tied.{draws} Loads and cycles are assumed unless the case gives them. No healing is modelled.",
        found.construct
    )
}

fn alt(found: &Budget) -> String {
    let said = |p: &Phase| match (p.left, p.peak) {
        (Some(left), Some(peak)) => {
            format!("{}: {} mm residual, {} mm at peak", p.name, number(left, 2), number(peak, 2))
        }
        _ => format!("{}: fixation fails", p.name),
    };
    format!("Two line plots against cycles, phase after phase. {}.", joined(found.phases.iter().map(said), "; "))
}
