//! A reading for a surgeon who reads nothing else: plain sentences made only of computed numbers.

use super::shares::{Share, by_group, sample};
use crate::math::Vec3;
use crate::model::Case;
use crate::show::terminal::Page;
use crate::show::words::{bed_direction, event_clause, joined, mode, motions, num, percent, pushed, start};
use crate::study::MARKS;
use crate::study::result::{Compared, Event, EventKind, Hold, Measures, Outcome, Push, TiedState};

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

    /// A reading, each sentence a line of its own: there are many.
    pub fn sentences(&mut self, said: &[String]) {
        if said.is_empty() {
            return;
        }
        self.heading("Reading");
        for sentence in said {
            self.item(sentence);
        }
    }

    /// The caution, at the end.
    pub fn caution(&mut self, words: &str) {
        self.gap();
        for line in crate::show::terminal::wrap(words, self.columns()) {
            self.line(&line);
        }
    }
}

/// The reading of one construct.
pub fn reading(case: &Case, hold: &Hold, push: Option<&Push>) -> Vec<String> {
    let mut said = Vec::new();
    let name = &hold.construct;
    match &hold.outcome {
        Outcome::Held => {}
        Outcome::NotHeld { mode: how, during, .. } => {
            said.push(format!(
                "In this model fixation by {name} fails: during the {during} the fragment {} and \
                 finds no place to rest.",
                mode(*how)
            ));
            return said;
        }
        Outcome::Uncertified { during, .. } => {
            said.push(format!(
                "For {name} the model has no answer: the balance of the state during the {during} could not be \
                 checked, so no number is given."
            ));
            return said;
        }
    }
    if let Some(tied) = &hold.tied {
        said.extend(tied_sentences(case, hold, tied));
    }
    if let Some(push) = push {
        said.extend(push_sentences(push));
    }
    said
}

fn tied_sentences(case: &Case, hold: &Hold, tied: &TiedState) -> Vec<String> {
    let bed = &tied.bed;
    let mut said = vec![format!(
        "In this model {}, tied from the {} position, presses the fragment on its bed with {} N; {} \
         of the bed touches, and the pressure peaks at {} MPa.",
        hold.construct,
        start(hold.from),
        num(bed.compression, 0),
        percent(bed.contact),
        num(bed.peak_pressure, 1)
    )];
    if let Some(most) =
        tied.limbs.iter().max_by(|a, b| a.compression.total_cmp(&b.compression)).filter(|_| tied.limbs.len() > 1)
    {
        said.push(format!(
            "The limb with the largest normal force is {}, with {} N.",
            most.name,
            num(most.compression, 0)
        ));
    }
    if let Some(angle) = tied.resultant_angle {
        let pull = Vec3::from(tied.resultant);
        let toward = bed_direction(pull.dot(&case.fragment.along), pull.dot(&case.fragment.down));
        let all =
            if tied.screws.is_empty() { "All limbs together pull" } else { "Limbs and screw heads together pull" };
        said.push(if angle > tied.friction_angle && !tied.screws.is_empty() {
            format!(
                "{all} {} deg off square to the bed, outside the friction cone of {} deg: without \
                 the shanks of the screws the fragment would tend to slide {toward}ly.",
                num(angle, 1),
                num(tied.friction_angle, 1)
            )
        } else if angle > tied.friction_angle {
            format!(
                "{all} {} deg off square to the bed, outside the friction cone of \
                 {} deg: the limbs themselves tend to slide the fragment {toward}ly.",
                num(angle, 1),
                num(tied.friction_angle, 1)
            )
        } else {
            format!(
                "{all} {} deg off square to the bed, inside the friction cone of \
                 {} deg: friction alone can keep them from sliding the fragment.",
                num(angle, 1),
                num(tied.friction_angle, 1)
            )
        });
    }
    let mut lies = motions(&tied.measures, &Measures::default());
    let step = tied.measures.step.value;
    // As in `motions`: less than a tenth of a millimetre is not worth a word.
    if step.abs() >= 0.1 {
        lies.push(format!(
            "leaves an articular step-off of {} mm ({})",
            num(step.abs(), 1),
            if step > 0.0 { "proud" } else { "recessed" }
        ));
    }
    said.push(if lies.is_empty() {
        "As tied, the fragment lies within 0.1 mm and 0.5 deg of its reduced place.".to_owned()
    } else {
        format!("As tied, the fragment {}.", joined(&lies))
    });
    said
}

fn push_sentences(push: &Push) -> Vec<String> {
    let mut said = Vec::new();
    let way = pushed(&push.direction);
    let loads: Vec<String> = MARKS
        .iter()
        .zip(push.load_at)
        .filter_map(|(mark, load)| load.map(|l| format!("{} N at {mark} mm", num(l, 0))))
        .collect();
    if !loads.is_empty() {
        said.push(format!("Pushed {way}, it resists with {}.", joined(&loads)));
    }
    if let Some(groups) = by_group(push, 1.0) {
        said.extend(carriers(&groups));
    }
    // A seated bite gives nothing: it stiffens.
    let giving = |kind: EventKind| kind != EventKind::BiteSeated;
    let seated = |name: &str| {
        let same = |e: &&Event| e.kind == EventKind::BiteSeated && e.subject == name;
        push.events.iter().find(same).is_some_and(|e| e.displacement == 0.0)
    };
    let already: Vec<String> = push
        .events
        .iter()
        .filter(|e| e.displacement == 0.0 && giving(e.kind))
        .map(|e| match e.kind {
            EventKind::LimbSlack if seated(&e.subject) => {
                format!("the strand of {} is slack with its bite on bone", e.subject)
            }
            EventKind::LimbSlack => format!("{} is slack", e.subject),
            EventKind::Step => "the articular step-off is above 2 mm".to_owned(),
            _ => event_clause(e),
        })
        .collect();
    if !already.is_empty() {
        said.push(format!("Already as tied, {}.", joined(&already)));
    }
    if let Some(e) = push.events.iter().find(|e| e.displacement > 0.0 && giving(e.kind)) {
        said.push(format!(
            "What gives first: {}, after {} mm under {} N.",
            event_clause(e),
            num(e.displacement, 2),
            num(e.load, 0)
        ));
    }
    if let Some(e) = push.events.iter().find(|e| e.kind == EventKind::AboveBearing) {
        said.push(format!(
            "From {} mm on bone beside a screw is pressed above its crush strength, and bone here does \
             not yield: the loads beyond are more than the screws would bear.",
            num(e.displacement, 2)
        ));
    }
    if let (Some(at), Some(tied)) = (sample(push, 1.0), push.curve.first()) {
        let moves = motions(&at.measures, &tied.measures);
        if !moves.is_empty() {
            said.push(format!("By 1 mm of push the fragment {}, counted from where it was tied.", joined(&moves)));
        }
    }
    match (&push.outcome, push.curve.last()) {
        (Outcome::NotHeld { mode: how, .. }, Some(last)) => said.push(format!(
            "Beyond {} mm fixation fails: the fragment {} and finds no place to rest.",
            num(last.displacement, 2),
            mode(*how)
        )),
        (Outcome::Uncertified { .. }, Some(last)) => said.push(format!(
            "Beyond {} mm no balance could be checked, so nothing is reported there.",
            num(last.displacement, 2)
        )),
        _ => {}
    }
    said
}

/// Who carries the load at 1 mm, the largest first; those that push along are said to do so.
fn carriers(groups: &[Share]) -> Option<String> {
    let load: f64 = groups.iter().map(|g| g.now).sum();
    if load <= 0.0 {
        return None;
    }
    let words = |g: &Share| match g.name.split_once(": ") {
        Some((what, group)) => format!("the {group} {what}"),
        None => format!("the {}", g.name),
    };
    let mut sorted: Vec<&Share> = groups.iter().collect();
    sorted.sort_by(|a, b| b.now.total_cmp(&a.now));
    // A hundredth of the load is below what the inputs can tell.
    let worth = |g: &&&Share| g.now.abs() >= 0.01 * load;
    let bear: Vec<String> = sorted
        .iter()
        .filter(|g| g.now > 0.0)
        .filter(worth)
        .map(|g| format!("{} ({} N, {})", words(g), num(g.now, 0), percent(g.now / load)))
        .collect();
    let against: Vec<String> = sorted
        .iter()
        .rev()
        .filter(|g| g.now < 0.0)
        .filter(worth)
        .map(|g| format!("-{} N of {}", num(-g.now, 0), words(g).trim_start_matches("the ")))
        .collect();
    let mut text = format!("At 1 mm the load is shared by {}", joined(&bear));
    if !against.is_empty() {
        text.push_str(&format!("; acting with the applied load: {}", joined(&against)));
    }
    text.push('.');
    Some(text)
}

/// The reading of a comparison, beside the readings of its constructs.
pub fn compared(results: &[Compared]) -> Vec<String> {
    let mut said = Vec::new();
    let Some((first, others)) = results.split_first() else {
        return said;
    };
    if others.is_empty() {
        return said;
    }
    for other in others {
        said.extend(against(first, other));
    }
    let mut ranked: Vec<(f64, &str)> =
        results.iter().filter_map(|r| Some((r.push.as_ref()?.load_at[1]?, r.hold.construct.as_str()))).collect();
    ranked.sort_by(|a, b| b.0.total_cmp(&a.0));
    if let [most, .., least] = ranked.as_slice()
        && results.len() > 2
    {
        said.push(format!(
            "Of {} constructs that reach 1 mm of push, {} resists most there ({} N) and {} least ({} N).",
            ranked.len(),
            most.1,
            num(most.0, 0),
            least.1,
            num(least.0, 0)
        ));
    }
    let lost: Vec<String> =
        results.iter().filter(|r| !r.hold.outcome.is_held()).map(|r| r.hold.construct.clone()).collect();
    if !lost.is_empty() {
        said.push(format!("Fixation fails already while tying: {}.", joined(&lost)));
    }
    let outside: Vec<String> = results
        .iter()
        .filter(|r| r.hold.tied.as_ref().is_some_and(|t| t.resultant_angle.is_some_and(|a| a > t.friction_angle)))
        .map(|r| r.hold.construct.clone())
        .collect();
    if !outside.is_empty() {
        said.push(format!(
            "The limbs pull outside the friction cone in {}: only other limbs, screws, tissue or an uneven bed \
             keep the fragment from following them.",
            joined(&outside)
        ));
    }
    said
}

/// One construct against the first.
fn against(first: &Compared, other: &Compared) -> Option<String> {
    let (a, b) = (first.hold.tied.as_ref()?, other.hold.tied.as_ref()?);
    let mut text = format!(
        "In this model {} presses the fragment on its bed with {} times the force of {}",
        other.hold.construct,
        num(b.bed.compression / a.bed.compression, 2),
        first.hold.construct
    );
    if a.bed.compression <= 0.0 {
        return None;
    }
    if let (Some(p), Some(q)) = (&first.push, &other.push) {
        let mut ratios = Vec::new();
        for (k, mark) in MARKS.iter().enumerate() {
            if let (Some(x), Some(y)) = (p.load_at[k], q.load_at[k])
                && x > 0.0
            {
                ratios.push(format!("{} times its load at {mark} mm", num(y / x, 2)));
            }
        }
        if !ratios.is_empty() {
            text.push_str(&format!(" and, pushed {}, resists with {}", pushed(&q.direction), joined(&ratios)));
        }
        match (p.outcome.is_held(), q.outcome.is_held()) {
            (false, true) => text.push_str(&format!(
                "; it is stable to {} mm, where {} fails after {} mm",
                num(reach(q), 1),
                first.hold.construct,
                num(reach(p), 2)
            )),
            (true, false) => text.push_str(&format!(
                "; it fails after {} mm, where {} is stable to {} mm",
                num(reach(q), 2),
                first.hold.construct,
                num(reach(p), 1)
            )),
            _ => {}
        }
    }
    text.push('.');
    Some(text)
}

fn reach(push: &Push) -> f64 {
    push.curve.last().map_or(0.0, |p| p.displacement)
}
