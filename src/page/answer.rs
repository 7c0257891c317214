//! What the page gets: drawings, numbers and words of a state.

use super::ask::{Pushed, State};
use super::change::{Read, mirror};
use super::draw::{Drawing, Picture, chart, drawing, seen};
use super::save::{Names, called, commands};
use crate::math::Vec3;
use crate::model::{CASES, Case, Construct, ConstructFile, HandleKind, Plane, StopRule, TieSpec, letter, parameter};
use crate::quantities::{QUANTITIES, View};
use crate::show::figures::{order_title, shifted, stepped};
use crate::show::report::{Verdict, sharing};
use crate::show::words::{self, num};
use crate::study::result::{Compared, Event, Failure, LostPart, Measures, Push, Tally, TiedState};
use crate::study::{BAND, HandMoved, Moment, PushPlan, Trial, TrialPlan, parts};
use serde::Serialize;
use std::sync::Arc;

/// Where something stands on the page.
#[derive(Debug, Clone, Serialize)]
struct Held {
    id: String,
    kind: HandleKind,
    name: String,
    view: Plane,
    at: [f64; 2],
    axes: [bool; 2],
    value: String,
}

/// A drawing in each plane.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Views<T> {
    pub face: T,
    pub section: T,
}

/// What moving the fragment by hand came to.
#[derive(Debug, Clone, Serialize)]
struct MovedByHand {
    /// The largest load on the way.
    newtons: String,
    words: String,
    back: String,
    face: [[f64; 2]; 2],
    section: [[f64; 2]; 2],
    views_back: Option<Views<Drawing>>,
}

/// A state of tying in words; a tie that was not reached has none.
#[derive(Debug, Clone, Default, Serialize)]
pub(super) struct Stage {
    pub title: String,
    step: String,
    shift: String,
    compression: String,
    worse: bool,
    fails: Option<String>,
    /// What the words say, unrounded; absent where fixation fails.
    values: Option<Lies>,
}

/// How the fragment lies after a tie.
#[derive(Debug, Clone, Copy, Serialize)]
struct Lies {
    /// Step-off, mm, and inferior shift, mm.
    step: f64,
    shift: f64,
    /// Compression of the bed, N; before the first tie it is not read.
    compression: Option<f64>,
}

#[derive(Debug, Clone, Serialize)]
struct Tie {
    title: String,
    letter: String,
    held: bool,
}

/// The largest step-off and shift along the fracture line, as those of the ties are, and the compression of the bed.
#[derive(Debug, Clone, Serialize)]
struct Largest {
    step: String,
    shift: String,
    compression: String,
}

#[derive(Debug, Clone, Serialize)]
struct Station {
    place: &'static str,
    step: String,
}

#[derive(Debug, Clone, Serialize)]
#[serde(untagged)]
enum Parameter {
    Number {
        path: String,
        group: &'static str,
        label: String,
        unit: &'static str,
        /// The value otherwise than as a number: a time on the clock.
        words: Option<String>,
        /// How the value is backed where the file does not give it.
        backing: Option<&'static str>,
        value: f64,
        low: f64,
        high: f64,
        least: f64,
        most: f64,
        step: f64,
    },
    Word {
        path: &'static str,
        group: &'static str,
        label: &'static str,
        value: String,
        choices: [&'static str; 2],
    },
}

#[derive(Debug, Clone, Serialize)]
struct Row {
    key: &'static str,
    label: &'static str,
    /// Whether it is among the few that are seen first.
    main: bool,
    cells: Vec<String>,
    /// What the cells say, unrounded.
    values: Vec<Option<f64>>,
}

#[derive(Debug, Clone, Serialize)]
struct Table {
    head: Vec<String>,
    rows: Vec<Row>,
}

#[derive(Debug, Clone, Serialize)]
struct Share {
    name: String,
    newtons: String,
    share: f64,
}

/// The answer to a question.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Answer {
    pub number: u64,
    pub state: State,
    pub stopped: Option<String>,
    views: Views<Drawing>,
    handles: Vec<Held>,
    fragment: Views<Vec<[f64; 2]>>,
    pushed: Option<MovedByHand>,
    ties: Vec<Tie>,
    timeline: Vec<Stage>,
    stations: Vec<Station>,
    /// How the fragment lies in what is drawn.
    lies: Largest,
    drawn: String,
    parameters: Vec<Parameter>,
    parts: Vec<LostPart>,
    table: Table,
    shares: Vec<Share>,
    failure: String,
    verdict: String,
    /// Whether curves of before the last change lie under those of now.
    before: bool,
    /// Whether the two orders of the lesson differ.
    lesson: bool,
    /// The case's name, and whether it is still what it is called.
    case_name: String,
    files: Names,
    chart: Picture,
    checked: String,
    command: Vec<String>,
    pub engine_ms: f64,
}

/// The plan of a construct of a state.
pub(super) fn plan(state: &State, construct: usize, whole: bool) -> TrialPlan {
    TrialPlan {
        from: state.from,
        whole,
        push: Some(PushPlan { settled: state.settled, ..PushPlan::default() }),
        lost: if construct == state.shown { state.lost.clone() } else { Vec::new() },
    }
}

/// The answer: `trials` are those of the constructs of the state, `before` those whose curves lie under them.
pub(super) fn answer(
    state: &State,
    read: &Read,
    trials: &[Arc<Trial>],
    before: &[Arc<Trial>],
    push: Option<Pushed>,
    dark: bool,
) -> Answer {
    let (file, construct) = &read.constructs[state.shown];
    let trial = &trials[state.shown];
    let (case, found) = (&read.case, &trial.found);
    let handles = read.handles(state.shown);
    let Shown { state: state_drawn, words: drawn, is_result } = shown(state, trial);
    let by_hand = push.and_then(|push| trial.moved(moment(state, trial), in_space(case, push)));
    let seen = by_hand.as_ref().map_or(&state_drawn, |moved| &moved.there);
    let draw = |state: &TiedState| Views {
        face: drawing((case, construct), state, &handles, Plane::Face, "face", dark),
        section: drawing((case, construct), state, &handles, Plane::Section, "section", dark),
    };
    let views = draw(seen);
    let held = |plane: Plane, drawing: &Drawing| -> Vec<Held> {
        let one = |(k, at): &(usize, [f64; 2])| {
            let handle = &handles[*k];
            Held {
                id: handle.id.clone(),
                kind: handle.kind,
                name: handle.name.clone(),
                view: plane,
                at: *at,
                axes: handle.place.moves(plane),
                value: words::place(&handle.place),
            }
        };
        drawing.handles.iter().map(one).collect()
    };
    let pushed = by_hand.as_ref().map(|moved| by_hand_words(case, &state_drawn, moved, &views, &draw));
    let (under, over) = (curves(before), curves(trials));
    let mut tally = Tally::of(found);
    trials.iter().filter(|t| !Arc::ptr_eq(t, trial)).for_each(|t| tally.join(&Tally::of(&t.found)));
    Answer {
        number: 0,
        state: state.clone(),
        stopped: None,
        handles: [held(Plane::Face, &views.face), held(Plane::Section, &views.section)].concat(),
        fragment: Views { face: views.face.outline.clone(), section: views.section.outline.clone() },
        pushed,
        ties: ties(file, construct),
        timeline: timeline(construct, trial),
        stations: if is_result { stations(&seen.measures) } else { Vec::new() },
        lies: if is_result { Largest::of(seen) } else { Largest::unknown() },
        drawn: if by_hand.is_some() { "moved by hand".to_owned() } else { drawn },
        parameters: parameters(read, construct),
        parts: parts(construct),
        table: table(read, trials),
        shares: shares(found),
        failure: failure(trial),
        verdict: verdict(case, construct, found),
        before: !before.is_empty(),
        lesson: {
            let [(_, rising), (_, bridge)] = orders(case, construct);
            rising != bridge
        },
        case_name: called(&state.case, CASES),
        files: Names::of(state),
        chart: chart(&under.iter().collect::<Vec<_>>(), &over.iter().collect::<Vec<_>>(), dark),
        checked: if trials.iter().all(|trial| trial.whole) {
            format!("Balance checked in {} of {} states", tally.certified, tally.states)
        } else {
            "While you drag: coarser steps; let go for the numbers".to_owned()
        },
        command: commands(state),
        engine_ms: 0.0,
        views,
    }
}

/// The pushes of all constructs, that of one whose fixation fails without a curve: each keeps its colour. None, where all
/// fail.
fn curves(trials: &[Arc<Trial>]) -> Vec<Push> {
    let pushes: Vec<Push> = trials.iter().filter_map(|trial| trial.push()).collect();
    if pushes.iter().all(|push| push.curve.is_empty()) { Vec::new() } else { pushes }
}

/// The moment that is drawn.
fn moment(state: &State, trial: &Trial) -> Moment {
    match state.tied {
        Some(ties) if ties < trial.construct.ties.len() => Moment::After(ties),
        _ => Moment::End,
    }
}

/// What is drawn.
struct Shown {
    state: TiedState,
    /// What it is.
    words: String,
    /// Whether it is a state of rest, so that its numbers are results.
    is_result: bool,
}

/// The state that is drawn; where fixation has failed, the fragment where it was given up.
fn shown(state: &State, trial: &Trial) -> Shown {
    let all = trial.construct.ties.len();
    let lost = lost_words(state).map_or(String::new(), |lost| format!(" after the loss of {lost}"));
    let (moment, words) = match moment(state, trial) {
        Moment::After(0) => (Moment::After(0), "before tying".to_owned()),
        Moment::After(ties) => {
            let title = order_title(&trial.construct, &trial.construct.ties[ties - 1]);
            (Moment::After(ties), format!("after tie {ties} of {all}, {title}"))
        }
        moment => (moment, format!("{}{lost}", if trial.is_settled() { "settled" } else { "as tied" })),
    };
    if let Some(state) = trial.state(moment) {
        return Shown { state, words, is_result: true };
    }
    if let Some(state) = trial.given_up() {
        return Shown { state, words: "where it was given up: fixation fails".to_owned(), is_result: false };
    }
    // A state whose balance could not be checked: the last that could.
    let reached = trial.found.hold.ties.len();
    let last = (0..=reached).rev().find_map(|k| trial.state(Moment::After(k)));
    Shown {
        state: last.expect("the state before the first tie is always there"),
        words: "before a state that could not be checked".to_owned(),
        is_result: true,
    }
}

/// What is lost, in a few words.
pub(super) fn lost_words(state: &State) -> Option<String> {
    match state.lost.as_slice() {
        [] => None,
        [one] => Some(one.clone()),
        [one, other] => Some(format!("{one} and {other}")),
        more => Some(format!("{} parts", more.len())),
    }
}

/// A move on the page in the socket frame, mm.
fn in_space(case: &Case, push: Pushed) -> Vec3 {
    let right = mirror(case, push.view) * push.by[0];
    match push.view {
        Plane::Face => Vec3::new(right, push.by[1], 0.0),
        Plane::Section => case.fragment.outward * right + Vec3::z() * push.by[1],
    }
}

fn by_hand_words(
    case: &Case,
    lay: &TiedState,
    moved: &HandMoved,
    views: &Views<Drawing>,
    draw: &dyn Fn(&TiedState) -> Views<Drawing>,
) -> MovedByHand {
    let flat = |plane: Plane, p: &Vec3| seen(plane).flat(case, p);
    let f = &case.fragment;
    // Along the pull it goes as far as the hand; across it, where it is let.
    let ends = [lay, &moved.there].map(|state| state.measures.pose().place(&f.centroid, &f.centroid));
    let arrow = |plane: Plane, view: &Drawing| ends.map(|p| view.page(flat(plane, &p)));
    let far = |state: &TiedState| (state.measures.pose().shift - lay.measures.pose().shift).norm();
    let is_loose = lay.limbs.iter().all(|limb| limb.path.is_empty()) && lay.screws.is_empty();
    let beyond = match words::not_held_short(&moved.outcome) {
        None => String::new(),
        Some(_) if is_loose => "; beyond it the loose fragment finds no rest".to_owned(),
        Some(why) => format!("; beyond it {why}"),
    };
    let [most, load, reached] = [num(moved.most, 0), num(moved.load, 0), num(moved.reached, 2)];
    MovedByHand {
        newtons: format!("{most} N"),
        words: if most == load {
            format!("{load} N move it {reached} mm along the pull{beyond}")
        } else {
            format!("{load} N hold it {reached} mm away; on the way it took {most} N{beyond}")
        },
        back: match &moved.back {
            Some(back) => format!("Let go, it comes to rest {} mm from where it lay", num(far(back), 2)),
            None if is_loose => "Let go, the loose fragment finds no rest".to_owned(),
            None => "Let go, it finds no rest: fixation fails".to_owned(),
        },
        face: arrow(Plane::Face, &views.face),
        section: arrow(Plane::Section, &views.section),
        views_back: moved.back.as_ref().map(draw),
    }
}

fn ties(file: &ConstructFile, construct: &Construct) -> Vec<Tie> {
    let held = file.held();
    let one =
        |(k, tie): (usize, &TieSpec)| Tie { title: order_title(construct, tie), letter: letter(k), held: held[k] };
    construct.ties.iter().enumerate().map(one).collect()
}

/// Before the first tie, after each, and where it ends early how.
pub(super) fn timeline(construct: &Construct, trial: &Trial) -> Vec<Stage> {
    let stage = |title: String, measures: &Measures, compression: Option<f64>, was: &Measures| Stage {
        title,
        step: stepped(measures),
        shift: shifted(measures),
        compression: compression.map_or_else(String::new, |n| format!("{} N", num(n, 0))),
        worse: measures.step.value.abs() > was.step.value.abs() + BAND,
        fails: None,
        values: Some(Lies { step: measures.step.value, shift: measures.largest_shift(), compression }),
    };
    let ties = &trial.found.hold.ties;
    let mut stages = vec![stage("before tying".to_owned(), &trial.before, None, &trial.before)];
    let mut was = &trial.before;
    for (k, tie) in ties.iter().enumerate() {
        let title = titled(construct, k);
        stages.push(stage(title, &tie.measures, Some(tie.compression), was));
        was = &tie.measures;
    }
    if let (Some(why), true) = (words::fails(&trial.found.hold.outcome), ties.len() < construct.ties.len()) {
        stages.push(Stage { title: titled(construct, ties.len()), worse: true, fails: Some(why), ..Stage::default() });
    }
    // Ties that were not reached stand there too, so that they can be put elsewhere.
    for k in stages.len() - 1..construct.ties.len() {
        stages.push(Stage { title: titled(construct, k), ..Stage::default() });
    }
    stages
}

/// A tie by its letter and what it ties.
fn titled(construct: &Construct, tie: usize) -> String {
    format!("{} {}", letter(tie), order_title(construct, &construct.ties[tie]))
}

fn stations(measures: &Measures) -> Vec<Station> {
    let places = ["inferior", "middle", "superior"].into_iter();
    places.zip(measures.stations).map(|(place, step)| Station { place, step: words::lying(step) }).collect()
}

impl Largest {
    fn of(state: &TiedState) -> Self {
        Self {
            step: stepped(&state.measures),
            shift: shifted(&state.measures),
            compression: format!("{} N", num(state.bed.compression, 0)),
        }
    }

    fn unknown() -> Self {
        let [step, shift, compression] = [(); 3].map(|()| "\u{2014}".to_owned());
        Self { step, shift, compression }
    }
}

/// What is set with sliders: group, path, and the step of the slider.
const SLIDERS: [(&str, &str, f64); 13] = [
    ("Fragment", "fragment.width", 0.1),
    ("Fragment", "fragment.middle", 1.0 / 12.0),
    ("Fragment", "fragment.depth", 0.1),
    ("Fragment", "fragment.tilt", 1.0),
    ("Fragment", "socket.diameter", 0.1),
    ("Displaced position", "displaced.inferior", 0.1),
    ("Displaced position", "displaced.medial", 0.1),
    ("Displaced position", "displaced.out_of_bed", 0.1),
    ("Displaced position", "displaced.tilt", 1.0),
    ("Displaced position", "displaced.spin", 1.0),
    ("Displaced position", "displaced.yaw", 1.0),
    ("Bed", "bed.friction", 0.01),
    ("Bed", "bed.asperity_angle", 0.5),
];

fn parameters(read: &Read, construct: &Construct) -> Vec<Parameter> {
    let mut all = vec![Parameter::Word {
        path: "side",
        group: "Fragment",
        label: "side",
        value: words::word(&read.case.side),
        choices: ["right", "left"],
    }];
    let taken = |path: &str| read.case.defaults.iter().find(|d| d.path == path).map(|d| d.tag);
    let slider = |path: String, of: &str, group, label: Option<String>, value: f64, step: f64| {
        let row = parameter(of)?;
        // Half as wide again as the spread of the publications, as far as a file may go.
        let wider = 0.5 * (row.high - row.low);
        let (least, most) = row.allowed;
        Some(Parameter::Number {
            path,
            group,
            label: label.unwrap_or_else(|| row.meaning.to_owned()),
            unit: row.unit,
            words: (of == "fragment.middle").then(|| words::hours(value)),
            backing: taken(of).map(words::tag),
            value: (value * 1e3).round() / 1e3 + 0.0,
            low: (row.low - wider).clamp(least, value.min(row.low).max(least)).min(value),
            high: (row.high + wider).min(most).max(value),
            least,
            most,
            step,
        })
    };
    for (group, path, step) in SLIDERS {
        let value = read.file.number(path);
        all.extend(value.and_then(|value| slider(path.to_owned(), path, group, None, value, step)));
    }
    for (k, limb) in construct.limbs.iter().enumerate() {
        let (path, of) = (format!("limb.{}.tension", limb.name), format!("{}.tension", limb.fixing.table()));
        let ends_early = |tie: &TieSpec| tie.limbs.contains(&k) && tie.stop == StopRule::Reduced;
        let most = if construct.ties.iter().any(ends_early) { ", at most" } else { "" };
        all.extend(slider(path, &of, "Tension", Some(format!("{}{most}", limb.name)), limb.tension, 1.0));
    }
    all
}

/// Numbers that are seen first.
const MAIN: [&str; 9] = [
    "load-0.5mm",
    "load-1mm",
    "load-2mm",
    "failure-load",
    "compression",
    "settled-compression",
    "step",
    "settled-step",
    "tilt",
];

/// The numbers by which constructs are compared.
fn table(read: &Read, trials: &[Arc<Trial>]) -> Table {
    let views: Vec<View<'_>> = (trials.iter().zip(&read.constructs))
        .map(|(trial, (_, construct))| View::of(&read.case, construct, &trial.found))
        .collect();
    let row = |q: &'static crate::quantities::Quantity| {
        let values: Vec<Option<f64>> = views.iter().map(|view| (q.of)(view)).collect();
        // What takes long is left for when the hand lets go.
        let open = |k: usize| {
            let settled = trials[k].found.push.as_ref().is_some_and(|push| push.settling.is_some());
            !trials[k].whole && (q.key == "failure-load" || (q.key == "tied-load-1mm" && settled))
        };
        let cell = |(k, value): (usize, &Option<f64>)| match value {
            _ if open(k) => LATER.to_owned(),
            Some(value) => words::of(*value, q.key),
            None => "\u{2014}".to_owned(),
        };
        let known = values.iter().enumerate().any(|(k, value)| value.is_some() || open(k));
        known.then(|| Row {
            key: q.key,
            label: q.short,
            main: MAIN.contains(&q.key),
            cells: values.iter().enumerate().map(cell).collect(),
            values: values.clone(),
        })
    };
    Table {
        head: read.constructs.iter().map(|(_, construct)| construct.name.clone()).collect(),
        rows: QUANTITIES.iter().filter(|q| q.headline).filter_map(row).collect(),
    }
}

/// Who bears the load at 1 mm.
fn shares(found: &Compared) -> Vec<Share> {
    let Some((load, parts)) = found.push.as_ref().and_then(|push| sharing(push, 1.0)) else {
        return Vec::new();
    };
    let one = |(name, now): (String, f64)| Share {
        name,
        newtons: format!("{} N", num(now, 0)),
        share: if load.abs() > 1e-9 { now / load } else { 0.0 },
    };
    parts.into_iter().map(one).collect()
}

/// Stands for what is not computed while something is dragged.
const LATER: &str = "\u{2026}";

fn failure(trial: &Trial) -> String {
    if !trial.whole {
        return format!("Failure load {LATER} (computed when you let go)");
    }
    match trial.found.ultimate.as_ref().map(|u| (u, u.failure.as_ref())) {
        None => "No push: fixation fails before".to_owned(),
        Some((ultimate, None)) if ultimate.outcome.is_uncertified() => {
            format!("No failure load: beyond {} mm of push the balance could not be checked", num(ultimate.reached, 1))
        }
        Some((_, None)) if trial.found.push.as_ref().is_none_or(|push| push.curve.len() < 2) => {
            "It bears no push at all".to_owned()
        }
        Some((ultimate, None)) => format!("No failure up to {} mm of push", num(ultimate.reached, 1)),
        Some((_, Some(Failure { load, displacement, gave }))) => {
            let how = match gave {
                Some((kind, subject)) => words::event_clause(&Event {
                    kind: *kind,
                    subject: subject.clone(),
                    displacement: *displacement,
                    load: *load,
                }),
                None => "the fragment slides or turns out although every part holds".to_owned(),
            };
            let load = words::of(*load, "failure-load");
            format!("Failure load {load}, the first peak after which the load falls by over 2 %: {how}")
        }
    }
}

/// One sentence.
fn verdict(case: &Case, construct: &Construct, found: &Compared) -> String {
    let name = &construct.name;
    if let Some(why) = words::fails(&found.hold.outcome) {
        let tie = found.hold.ties.len();
        let at = if tie < construct.ties.len() { format!(" at tie {}", titled(construct, tie)) } else { String::new() };
        return format!("{name}: {why}{at}.");
    }
    let unsettled = found.push.as_ref().filter(|push| push.curve.is_empty());
    if let Some(why) = unsettled.and_then(|push| words::fails(&push.outcome)) {
        return format!("{name}: tied it holds, but {why} while it settles.");
    }
    let verdict = Verdict::compared(case, std::slice::from_ref(construct), std::slice::from_ref(found), None);
    let answer = verdict.parts().into_iter().find(|[of, _]| of == "Answer").map(|[_, words]| words);
    let lies =
        found.hold.tied.as_ref().map_or_else(String::new, |t| format!("; step-off as tied {}", stepped(&t.measures)));
    let last = found.push.as_ref().and_then(|p| p.settling.as_ref()?.points.last());
    let settles = match last.map(|point| point.rest).filter(|rest| rest.abs() > GONE) {
        Some(rest) => format!("; it has moved {} mm while it settled, and loads count from there", num(rest, 1)),
        None => String::new(),
    };
    let pushed = found.push.as_ref().map_or_else(String::new, |p| {
        let how = if p.settling.is_some() { "settled" } else { "as tied" };
        format!(", {how}, pushed {}", words::pushed(&p.direction))
    });
    format!("{name}{pushed}: {}{lies}{settles}.", answer.unwrap_or_default())
}

/// Motion while a repair settles that is told, mm: what a step-off must pass to be an event of a push.
const GONE: f64 = crate::study::STEP_LIMIT;

/// Ties from inferior to superior, and the bridge first.
pub(super) fn orders(case: &Case, construct: &Construct) -> [(&'static str, Vec<usize>); 2] {
    let all = 0..construct.ties.len();
    let along = |k: usize| -> f64 {
        let limbs = construct.ties[k].limbs.iter().flat_map(|l| &construct.limbs[*l].path);
        let points = limbs.filter_map(|stop| stop.point(|a| Some(construct.anchors[a].point)));
        let heads = construct.ties[k].screws.iter().map(|s| construct.screws[*s].head);
        let along: Vec<f64> = points.chain(heads).map(|p| p.dot(&case.fragment.along)).collect();
        along.iter().sum::<f64>() / along.len().max(1) as f64
    };
    let mut rising: Vec<usize> = all.clone().collect();
    rising.sort_by(|a, b| along(*a).total_cmp(&along(*b)));
    [("From inferior to superior", rising), ("Bridge first", crate::study::bridge_first(construct))]
}
