//! A reading for a surgeon who reads nothing else: the computed numbers of its templates.

use super::shares::{Share, by_group, named, sample};
use crate::math::Vec3;
use crate::model::Case;
use crate::show::prose::sentences;
use crate::show::terminal::Page;
use crate::show::words::{bed_direction, event_clause, motions, num, percent};
use crate::study::MARKS;
use crate::study::result::{Compared, Event, EventKind, Hold, Measures, Outcome, Push, TiedState};
use minijinja::{Value, context};

impl Page {
    /// The readings of the constructs, then of the comparison.
    pub fn reading(&mut self, case: &Case, results: &[Compared], whole: &[String]) {
        self.heading("Reading");
        for result in results {
            self.paragraph(&reading(case, &result.hold, result.push.as_ref()).join(" "));
            self.paragraph("");
        }
        if !whole.is_empty() {
            self.paragraph(&whole.join(" "));
            self.paragraph("");
        }
    }
}

/// The reading of one construct.
pub fn reading(case: &Case, hold: &Hold, push: Option<&Push>) -> Vec<String> {
    let held = hold.outcome.is_held();
    let data = context! {
        hold => context! { construct => hold.construct, from => hold.from, outcome => hold.outcome },
        mode => escape(&hold.outcome),
        tied => hold.tied.as_ref().filter(|_| held).map(|tied| tied_data(case, tied)),
        push => push.filter(|_| held).map(push_data),
    };
    sentences(include_str!("said/hold.txt"), &data)
}

/// How the fragment escapes, where fixation fails.
fn escape(outcome: &Outcome) -> Option<&'static str> {
    match outcome {
        Outcome::NotHeld { mode: how, .. } => Some(how.words()),
        _ => None,
    }
}

/// Whether the pull itself tends to slide the fragment: it lies outside the friction cone.
pub(super) fn pulls_outside(tied: &TiedState) -> bool {
    tied.resultant_angle.is_some_and(|angle| angle > tied.friction_angle)
}

fn tied_data(case: &Case, tied: &TiedState) -> Value {
    let pull = Vec3::from(tied.resultant);
    let mut lies = motions(&tied.measures, &Measures::default());
    let step = tied.measures.step.value;
    // As in `motions`: less than a tenth of a millimetre is not worth a word.
    if step.abs() >= 0.1 {
        let side = if step > 0.0 { "proud" } else { "recessed" };
        lies.push(format!("leaves an articular step-off of {} mm ({side})", num(step.abs(), 1)));
    }
    let most = tied.limbs.iter().max_by(|a, b| a.compression.total_cmp(&b.compression));
    context! {
        compression => tied.bed.compression,
        contact => tied.bed.contact,
        peak => tied.bed.peak_pressure,
        most => most.filter(|_| tied.limbs.len() > 1),
        angle => tied.resultant_angle,
        friction_angle => tied.friction_angle,
        screws => !tied.screws.is_empty(),
        toward => bed_direction(pull.dot(&case.fragment.along), pull.dot(&case.fragment.down)),
        lies,
    }
}

fn push_data(push: &Push) -> Value {
    let loads = MARKS.iter().zip(push.load_at);
    let loads = loads.filter_map(|(mark, load)| Some(format!("{} N at {mark} mm", num(load?, 0))));
    // A seated bite gives nothing: it stiffens.
    let giving = |e: &&Event| e.kind != EventKind::BiteSeated;
    let seated = |name: &str| {
        let same = |e: &&Event| e.kind == EventKind::BiteSeated && e.subject == name;
        push.events.iter().find(same).is_some_and(|e| e.displacement == 0.0)
    };
    let already = push.events.iter().filter(giving).filter(|e| e.displacement == 0.0).map(|e| match e.kind {
        EventKind::LimbSlack if seated(&e.subject) => {
            format!("the strand of {} is slack with its bite on bone", e.subject)
        }
        EventKind::LimbSlack => format!("{} is slack", e.subject),
        EventKind::Step => "the articular step-off is above 2 mm".to_owned(),
        _ => event_clause(e),
    });
    let first = push.events.iter().filter(giving).find(|e| e.displacement > 0.0);
    let bearing = push.events.iter().find(|e| e.kind == EventKind::AboveBearing);
    let moves = sample(push, 1.0).zip(push.curve.first()).map(|(at, tied)| motions(&at.measures, &tied.measures));
    context! {
        direction => push.direction,
        loads => loads.collect::<Vec<_>>(),
        carriers => by_group(push, 1.0).and_then(|groups| carriers(&groups)),
        already => already.collect::<Vec<_>>(),
        first => first.map(|e| (event_clause(e), e.displacement, e.load)),
        bearing => bearing.map(|e| e.displacement),
        moves,
        outcome => push.outcome,
        mode => escape(&push.outcome),
        reach => push.curve.last().map(|p| p.displacement),
    }
}

/// Who carries the load at 1 mm, the largest first, and who pushes along.
fn carriers(groups: &[Share]) -> Option<[Vec<String>; 2]> {
    let load: f64 = groups.iter().map(|g| g.now).sum();
    // A hundredth of the load is below what the inputs can tell.
    let mut sorted: Vec<&Share> = groups.iter().filter(|g| g.now.abs() >= 0.01 * load).collect();
    sorted.sort_by(|a, b| b.now.total_cmp(&a.now));
    let bear = sorted.iter().filter(|g| g.now > 0.0);
    let bear = bear.map(|g| format!("{} ({} N, {})", named(&g.name), num(g.now, 0), percent(g.now / load)));
    let against = sorted.iter().rev().filter(|g| g.now < 0.0);
    let against = against.map(|g| format!("-{} N of {}", num(-g.now, 0), named(&g.name).trim_start_matches("the ")));
    (load > 0.0).then(|| [bear.collect(), against.collect()])
}

/// The reading of a comparison, beside the readings of its constructs.
pub fn compared(results: &[Compared]) -> Vec<String> {
    let [first, others @ ..] = results else {
        return Vec::new();
    };
    if others.is_empty() {
        return Vec::new();
    }
    let mut ranked: Vec<(f64, &str)> =
        results.iter().filter_map(|r| Some((r.push.as_ref()?.load_at[1]?, r.hold.construct.as_str()))).collect();
    ranked.sort_by(|a, b| b.0.total_cmp(&a.0));
    let names = |is: &dyn Fn(&Hold) -> bool| -> Vec<&str> {
        results.iter().filter(|r| is(&r.hold)).map(|r| r.hold.construct.as_str()).collect()
    };
    let data = context! {
        all => results.len(),
        first => first.hold.construct,
        others => others.iter().filter_map(|other| against(first, other)).collect::<Vec<_>>(),
        ranked,
        lost => names(&|hold| !hold.outcome.is_held()),
        outside => names(&|hold| hold.tied.as_ref().is_some_and(pulls_outside)),
    };
    sentences(include_str!("said/compared.txt"), &data)
}

/// One construct against the first.
fn against(first: &Compared, other: &Compared) -> Option<Value> {
    let (a, b) = (first.hold.tied.as_ref()?, other.hold.tied.as_ref()?);
    let pushes = first.push.as_ref().zip(other.push.as_ref());
    let ratios = pushes.iter().flat_map(|(p, q)| {
        let loads = MARKS.iter().zip(p.load_at.iter().zip(q.load_at));
        loads.filter_map(|(mark, (x, y))| {
            let (x, y) = ((*x).filter(|x| *x > 0.0)?, y?);
            Some(format!("{} times its load at {mark} mm", num(y / x, 2)))
        })
    });
    let reach = |push: &Push| push.curve.last().map_or(0.0, |p| p.displacement);
    (a.bed.compression > 0.0).then(|| {
        context! {
            construct => other.hold.construct,
            force => b.bed.compression / a.bed.compression,
            ratios => ratios.collect::<Vec<_>>(),
            direction => pushes.map(|(_, q)| &q.direction),
            stable => pushes.map(|(p, q)| [p.outcome.is_held(), q.outcome.is_held()]),
            reach => pushes.map(|(p, q)| [reach(p), reach(q)]),
        }
    })
}
