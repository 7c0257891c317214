//! Answers over draws of placement error and tension.

use crate::place::optimum::ask;
use crate::place::{question, subject};
use crate::room::Room;
use rimhold::study::place::{Common, Fate, Look, Objective, run as place};

/// A tenth percentile over draws counted anew: nine in ten reach it, one of them just so. Draws in which an
/// anchor misses its bone are among those that do not.
#[test]
fn a_robust_value_is_one_that_nine_of_ten_draws_reach() {
    /// The tenth of 0 to 30 is the third order statistic itself, with no interpolation.
    const COUNT: u64 = 31;
    let room = Room::new();
    let construct = room.with("one-by-one", "");
    let subject = subject("quarter", &construct);
    let plain = question(&subject, Objective::Inferior);
    let mut all: Vec<(u64, f64, f64)> = Vec::new();
    let common = Common::new(&subject, COUNT, 1).unwrap();
    let robust = question(&subject, Objective::Inferior).over(Some(common.clone()));
    // Each variable alone, from one end of its range to the other.
    let ways = (0..plain.variables.len()).flat_map(|axis| (0..=6).map(move |k| (axis, k)));
    for (axis, k) in ways {
        let mut at = plain.given();
        let (low, high) = (plain.variables[axis].low, plain.variables[axis].high);
        at[axis] = low + (high - low) * f64::from(k) / 6.0;
        let here = plain.tried(&at);
        let look = robust.look(Some(&here));
        let (Some(ends), Some(value)) = (look.draws, look.values[0]) else {
            continue;
        };
        let draws: Vec<Look> = (0..COUNT as usize).map(|k| plain.drawn(Some(&here), &common, k)).collect();
        let reached = |draw: &&Look| draw.values[0].is_some_and(|v| v >= value);
        let reach = draws.iter().filter(reached).count();
        let missed = |draw: &&Look| matches!(draw.fate, Fate::Impossible(_));
        let off = draws.iter().filter(missed).count() as u64;
        let counts = (ends.all(), ends.impossible, ends.uncertified);
        assert_eq!(counts, (COUNT, off, 0));
        if ends.lost + off <= 3 {
            assert_eq!(reach, 28, "{value} {ends:?}");
            assert!(draws.iter().any(|d| d.values[0] == Some(value)));
        } else {
            assert_eq!(value, 0.0, "{ends:?}");
        }
        all.push((off, here[axis], value));
    }
    println!("{all:?}");
    assert!(all.iter().any(|a| (1..=3).contains(&a.0)), "{all:?}");
    assert!(all.iter().any(|a| a.0 > 3), "{all:?}");
}

/// The same answer for every run, another for other draws; the percentile is below what is reached where
/// nothing errs, and the interval of what it gains holds it.
#[test]
fn a_robust_search_is_the_same_twice() {
    let room = Room::new();
    let construct = room.with("one-by-one", "");
    let subject = subject("quarter", &construct);
    let mut asked = ask(Objective::Inferior);
    asked.robust = Some(16);
    asked.search.evaluations = 30;
    let answer = place(&subject, &asked, &()).unwrap();
    assert_eq!(answer, place(&subject, &asked, &()).unwrap());
    let gain = answer.gain.as_ref().unwrap();
    assert!(gain.low <= gain.median && gain.median <= gain.high);
    println!("{gain:?}");
    let [low, high] = gain.difference_interval.unwrap();
    let difference = gain.difference.unwrap();
    assert_eq!(difference, gain.found.unwrap() - gain.given.unwrap());
    assert!(low <= difference && difference <= high && low < high);
    let [low, high] = gain.better_interval.unwrap();
    assert!(low < gain.better.unwrap().value && low < high);
    assert_eq!((answer.cells, answer.steps), ([220, 600], [5, 20]));
    assert_eq!((gain.cells, gain.steps), (600, 20));
    // Two beds for the same draws: 220 cells and 600 differ by a few per cent (README, resolution).
    let coarse = gain.found_on_search_bed.unwrap();
    assert!((coarse / gain.found.unwrap() - 1.0).abs() < 0.05, "{coarse}");
    let nominal = question(&subject, Objective::Inferior);
    let plain = nominal.look(None).values[0].unwrap();
    assert!(answer.on_search_bed[0].unwrap() < plain);
    for p in [&answer.given, &answer.found] {
        assert!(p.over_draws[0].unwrap() < p.values[0].unwrap());
        assert_eq!(p.draws.unwrap().all(), 16);
    }
    // What was drawn is told with its law: a millimetre along, half of one across, cut at two deviations.
    let error = |key: &str| {
        let path = format!("anchor.*.{key}_error");
        let e = answer.errors.iter().find(|e| e.path == path).unwrap();
        (e.distribution.clone(), e.tag)
    };
    println!("{:?} {:?}", error("along"), error("across"));
    for (key, deviation, cut) in [("along", "1", "2"), ("across", "0.5", "1")] {
        let (law, tag) = error(key);
        let parts = ["normal".to_owned(), deviation.to_owned(), cut.to_owned()];
        assert!(parts.iter().all(|p| law.contains(p.as_str())), "{law}");
        assert_eq!(tag, rimhold::model::Tag::Assumed);
    }
    // Of the other draws, what the given construct is worth over them counts.
    asked.search.seed = 2;
    asked.search.evaluations = 12;
    asked.search.starts = 1;
    let other = place(&subject, &asked, &()).unwrap();
    assert_ne!(other.given.over_draws, answer.given.over_draws);
    assert_ne!(other.gain.unwrap().seed, gain.seed);
}
