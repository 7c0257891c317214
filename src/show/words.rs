//! Words for numbers, directions, events and outcomes.

use crate::anatomy::Surface;
pub(crate) use crate::anatomy::bed_direction;
use crate::math::Vec3;
use crate::model::{Case, Tag};
use crate::quantities::{Better, Quantity, quantity};
use crate::study::result::{Certificate, Event, EventKind, Measures, Outcome, PullEnd, Way};
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// A number with a fixed number of decimals; never "-0.0".
pub(crate) fn num(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| c == '0' || c == '.') => rest.to_owned(),
        _ => text,
    }
}

/// The same with its sign, for values whose sign means a direction; zero has none.
pub(crate) fn signed(value: f64, decimals: usize) -> String {
    let text = num(value, decimals);
    let zero = text.chars().all(|c| c == '0' || c == '.');
    if zero || text.starts_with('-') { text } else { format!("+{text}") }
}

/// A number as it was typed or set, with the digits that it needs.
pub(crate) fn exact(value: f64) -> String {
    if value != 0.0 && (value.abs() < 1e-3 || value.abs() >= 1e6) { format!("{value:e}") } else { value.to_string() }
}

/// A small number in powers of ten with so many digits: `3e-11`; none is `0`.
pub(crate) fn power(value: f64, digits: usize) -> String {
    if value == 0.0 { "0".to_owned() } else { format!("{value:.*e}", digits.saturating_sub(1)) }
}

/// A number with up to `digits` significant digits, as a power of ten where it is very small or large.
pub(crate) fn significant(value: f64, digits: usize) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let size = value.abs();
    if !(1e-3..1e6).contains(&size) {
        return format!("{value:.1e}");
    }
    let decimals = (digits as i64 - 1 - libm::log10(size).floor() as i64).max(0) as usize;
    let text = format!("{value:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// A value of a quantity, rounded as it is everywhere: with its sign where that means a side.
pub(crate) fn rounded(q: &Quantity, value: f64) -> String {
    if q.better == Better::NearZero { signed(value, q.decimals) } else { num(value, q.decimals) }
}

/// The same with its unit, by the quantity's key.
pub(crate) fn of(value: f64, key: &str) -> String {
    let q = quantity(key);
    format!("{} {}", rounded(q, value), q.unit).trim_end().replace(" °", "°")
}

/// A step-off with its side.
pub(crate) fn lying(step: f64) -> String {
    let q = quantity("step");
    let size = num(step.abs(), q.decimals);
    let side = if size.bytes().all(|c| c == b'0' || c == b'.') {
        ""
    } else if step > 0.0 {
        " proud"
    } else {
        " recessed"
    };
    format!("{size} {}{side}", q.unit)
}

/// A name, as much of it as a line has room for.
pub(crate) fn short(name: &str, room: usize) -> String {
    let mut text = String::new();
    for c in name.chars() {
        if text.width() + c.width().unwrap_or(0) >= room && name.width() > room {
            return text + "…";
        }
        text.push(c);
    }
    text
}

/// A share (0 to 1) in percent, whole.
pub(crate) fn percent(share: f64) -> String {
    format!("{} %", num(100.0 * share, 0))
}

/// Words joined by commas and a last "and".
pub(crate) fn joined(words: &[String]) -> String {
    match words {
        [] => "nothing".to_owned(),
        [one] => one.clone(),
        [first, second] => format!("{first} and {second}"),
        [rest @ .., last] => format!("{}, and {last}", rest.join(", ")),
    }
}

/// The direction of a named push as an adverb: "inferiorly", "along 1,0,0".
pub(crate) fn pushed(direction: &str) -> String {
    if direction.contains(',') { format!("along ({direction})") } else { format!("{direction}ly") }
}

/// Clock position (hours and minutes) of a point en face; 3 is anterior on either side.
pub(crate) fn clock(x: f64, y: f64) -> String {
    let minutes = ((90.0 - libm::atan2(y, x).to_degrees()) * 2.0).round() as i64;
    let minutes = minutes.rem_euclid(720);
    let hours = if minutes < 60 { 12 } else { minutes / 60 };
    format!("{hours}:{:02}", minutes % 60)
}

/// Where along the fracture line: "4.2 mm superior of its middle".
pub(crate) fn along_line(at: f64) -> String {
    if at.abs() < 0.05 {
        "at its middle".to_owned()
    } else {
        let side = if at > 0.0 { "superior" } else { "inferior" };
        format!("{} mm {side} of its middle", num(at.abs(), 1))
    }
}

/// A clock position of so many hours, as files write it.
#[cfg(feature = "cli")]
pub(crate) fn hours(value: f64) -> String {
    let minutes = (60.0 * value).round() as i64;
    format!("{}:{:02}", minutes / 60, minutes % 60)
}

/// A word for a POSIX shell.
#[cfg(feature = "cli")]
pub(crate) fn quoted(word: &str) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || "/._-,+=".contains(c);
    if !word.is_empty() && word.chars().all(plain) {
        word.to_owned()
    } else {
        format!("'{}'", word.replace('\'', "'\\''"))
    }
}

/// A place on the bone.
#[cfg(feature = "cli")]
pub(crate) fn place(place: &crate::anatomy::Place) -> String {
    use crate::anatomy::{Along, Place};
    let along = |along: &Along| format!("along {along}");
    match place {
        Place::Face { along: t, inset } => format!("{}, {} mm from the fracture line", along(t), num(*inset, 1)),
        Place::Rim { along: t } => format!("{}, on the rim", along(t)),
        Place::Wall { along: t, below } => format!("{}, {} mm below the rim", along(t), num(*below, 1)),
        Place::Margin { along: t } => format!("{}, on the medial margin", along(t)),
        Place::Neck { along: t, beyond } => {
            format!("{}, {} mm medial to the fracture's exit", along(t), num(*beyond, 1))
        }
        Place::Crater { along: t, deep } => format!("{}, {} mm deep in the fracture bed", along(t), num(*deep, 1)),
        Place::Clock { hours: at, inset } => format!("{}, {} mm from the rim", hours(*at), num(*inset, 1)),
        Place::Point([x, y, z]) => format!("({}, {}, {}) mm", num(*x, 1), num(*y, 1), num(*z, 1)),
    }
}

/// A surface where bone ends.
pub(crate) fn surface(surface: Surface) -> &'static str {
    match surface {
        Surface::Face => "face",
        Surface::Rim => "rim",
        Surface::Bed => "fracture bed",
        Surface::Wall => "neck wall",
    }
}

/// The key under which bone left to a surface is asked.
pub(crate) fn surface_key(surface: Surface) -> &'static str {
    match surface {
        Surface::Face => "to-face",
        Surface::Rim => "to-rim",
        Surface::Bed => "to-bed",
        Surface::Wall => "to-wall",
    }
}

/// A value that is one of a few, in the words by which files and JSON call it.
pub(crate) fn word(value: &impl serde::Serialize) -> String {
    // What is one of a few has the form of a text.
    serde_json::to_value(value).ok().as_ref().and_then(|v| v.as_str()).map_or_else(String::new, |w| w.replace('_', " "))
}

/// How a number is backed, in one word.
pub(crate) fn tag(tag: Tag) -> &'static str {
    match tag {
        Tag::Seen => "seen",
        Tag::Memory => "memory",
        Tag::Derived => "derived",
        Tag::Assumed => "assumed",
        Tag::Practice => "practice",
        Tag::Given => "given",
    }
}

/// What an event is.
pub(crate) fn event(kind: EventKind) -> &'static str {
    match kind {
        EventKind::LimbSlack => "limb slack",
        EventKind::AboveKnot => "knot or clamp slides",
        EventKind::AboveStrand => "strand breaks",
        EventKind::AboveAnchor => "anchor pulls out",
        EventKind::BiteTears => "bite cuts out",
        EventKind::ScrewLoose => "screw preload lost",
        EventKind::AboveBearing => "bone beside screw crushes",
        EventKind::BiteSeated => "bite seated on bone",
        EventKind::BedSliding => "whole bed slides",
        EventKind::HalfContact => "under half of the bed in contact",
        EventKind::AboveCrush => "bed crushes",
        EventKind::Step => "step-off above 2 mm",
        EventKind::Jump => "jump to another position",
    }
}

/// An event with whom it concerns.
pub(crate) fn event_of(e: &Event) -> String {
    if e.subject.is_empty() { event(e.kind).to_owned() } else { format!("{}: {}", e.subject, event(e.kind)) }
}

/// An event as a clause with a verb: "superior-loop goes slack".
pub(crate) fn event_clause(e: &Event) -> String {
    let s = &e.subject;
    match e.kind {
        EventKind::LimbSlack => format!("{s} goes slack"),
        EventKind::AboveKnot => format!("{s} slides through its knot or clamp"),
        EventKind::AboveStrand => format!("the strand of {s} breaks"),
        EventKind::AboveAnchor => format!("the anchor {s} pulls out"),
        EventKind::ScrewLoose => format!("the head of {s} loses its preload"),
        EventKind::AboveBearing => {
            format!("bone beside the shank of {s} crushes")
        }
        EventKind::BiteSeated => format!("{s} is drawn short and sits on bone"),
        EventKind::BedSliding => "the whole contact of the bed slides".to_owned(),
        EventKind::HalfContact => "the contact falls below half of the bed".to_owned(),
        EventKind::BiteTears => format!("the labral bite of {s} cuts out"),
        EventKind::AboveCrush => "bone of the bed begins to crush".to_owned(),
        EventKind::Step => "the articular step-off passes 2 mm".to_owned(),
        EventKind::Jump => "the fragment jumps to another position".to_owned(),
    }
}

/// An outcome that is not "held", in words.
pub(crate) fn not_held(outcome: &Outcome) -> Option<String> {
    match outcome {
        Outcome::Held => None,
        Outcome::NotHeld { mode: how, during, shift, turn } => Some(format!(
            "fixation fails: the fragment {} during the {during}, given up after {} mm and {} deg",
            how.words(),
            num(Vec3::from(*shift).norm(), 1),
            num(Vec3::from(*turn).norm(), 0)
        )),
        Outcome::Uncertified { during, .. } => Some(format!(
            "no answer: the balance of the state during the {during} could not be checked, so nothing is reported"
        )),
    }
}

/// The same, as short as it goes.
pub(crate) fn not_held_short(outcome: &Outcome) -> Option<String> {
    let during = match outcome {
        Outcome::Held => "",
        Outcome::NotHeld { during, .. } | Outcome::Uncertified { during, .. } => during,
    };
    fails(outcome).map(|why| format!("{why} during the {during}"))
}

/// The same without when.
pub(crate) fn fails(outcome: &Outcome) -> Option<String> {
    match outcome {
        Outcome::Held => None,
        Outcome::NotHeld { mode, .. } => Some(format!("fixation fails: it {}", mode.words())),
        Outcome::Uncertified { .. } => Some("no answer: balance not checked".to_owned()),
    }
}

/// Why a pull ended.
pub(crate) fn pull_end(end: PullEnd) -> &'static str {
    match end {
        PullEnd::Tension => "at its tension",
        PullEnd::Reduced => "when reduced",
        PullEnd::Cap => "at its cap, not yet reduced",
        PullEnd::NotReducing => "at its tension; nothing to reduce",
    }
}

/// A softest motion in words: its largest part, and the second when it is more than half of it.
pub(crate) fn way(case: &Case, way: &Way) -> String {
    let words = [
        "sliding superiorly or inferiorly along its bed",
        "sliding down or up the plane of its bed",
        "lifting from its bed",
        "tilting (rim up or down)",
        "spinning on its bed",
        "opening at one end",
    ];
    motion(case, way, words, ", with ")
}

/// The same in the given words: of the shifts along the fracture line, down the bed and off it, and of the turns about
/// the line, about the normal and about the way down.
pub(crate) fn motion(case: &Case, way: &Way, words: [&str; 6], with: &str) -> String {
    let f = &case.fragment;
    let (shift, turn) = (Vec3::from(way.shift), Vec3::from(way.turn));
    let [slide, drop, lift] = [f.along, f.down, f.normal].map(|axis| shift.dot(&axis).abs());
    let [tilt, spin, yaw] = [f.along, f.normal, f.down].map(|axis| turn.dot(&axis).abs());
    let mut parts: Vec<(f64, &str)> = [slide, drop, lift, tilt, spin, yaw].into_iter().zip(words).collect();
    parts.sort_by(|a, b| b.0.total_cmp(&a.0));
    let [(first, words), (second, others), ..] = parts[..] else { return String::new() };
    if second > 0.5 * first { format!("{words}{with}{others}") } else { words.to_owned() }
}

/// The turns and shifts of a fragment that are worth a word, as clauses with a verb. `was` is what
/// they are counted from. Below a tenth of a millimetre and half a degree nothing is said: nobody
/// measures less.
pub(crate) fn motions(now: &Measures, was: &Measures) -> Vec<String> {
    let mut words = Vec::new();
    let mm = |value: f64| num(value.abs(), 1);
    let tilt = now.tilt - was.tilt;
    if tilt.abs() >= 0.5 {
        let how = if tilt > 0.0 { "tilts laterally (its rim up)" } else { "tilts medially (its rim down)" };
        words.push(format!("{how} by {} deg", mm(tilt)));
    }
    let spin = now.spin - was.spin;
    if spin.abs() >= 0.5 {
        let end = if spin > 0.0 { "superior" } else { "inferior" };
        words.push(format!("spins by {} deg on its bed ({end} end laterally)", mm(spin)));
    }
    let yaw = now.yaw - was.yaw;
    if yaw.abs() >= 0.5 {
        let end = if yaw > 0.0 { "superior" } else { "inferior" };
        words.push(format!("opens at its {end} end by {} deg", mm(yaw)));
    }
    let down = now.down_plane - was.down_plane;
    if down.abs() >= 0.1 {
        let to = if down > 0.0 { "down" } else { "up" };
        words.push(format!("is drawn {to} the plane by {} mm", mm(down)));
    }
    words
}

/// The evidence of a state in one line.
pub(crate) fn certificate(c: &Certificate) -> String {
    format!(
        "net force {:.0e} N and net moment {:.0e} N mm, beside a largest force of {} N; no tension in \
         the bed, no strand in compression, friction of bed and strands within its bounds",
        c.net_force.max(c.net_node_force),
        c.net_moment,
        num(c.largest_force, 1)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clock_positions_are_those_of_a_dial() {
        // A clock's dial: 12 up, 3 on the right, 6 down, 9 on the left.
        for (x, y, words) in
            [(0.0, 1.0, "12:00"), (1.0, 0.0, "3:00"), (0.0, -1.0, "6:00"), (-1.0, 0.0, "9:00"), (-0.001, 1.0, "12:00")]
        {
            assert_eq!(clock(x, y), words);
        }
        assert_eq!(clock(libm::cos((-30f64).to_radians()), libm::sin((-30f64).to_radians())), "4:00");
    }

    #[test]
    fn no_number_is_minus_zero() {
        assert_eq!(num(-0.001, 1), "0.0");
        assert_eq!(signed(-0.04, 1), "0.0");
        assert_eq!(signed(0.06, 1), "+0.1");
        assert_eq!(signed(-0.06, 1), "-0.1");
    }
}
