//! Phases of rehabilitation: against each other, against settling, and against the superposition of sets.

use rimhold::model::spread::Subject;
use rimhold::model::{Case, ConstructFile};
use rimhold::study::result::{Budget, Start};
use rimhold::study::{self, BudgetPlan, Direction, SettlePlan, budget};

/// A case with these phases: highest load and cycles of each.
fn with(phases: &[(f64, u32)], draws: u64) -> Budget {
    let mut text = rimhold::model::CASES.iter().find(|c| c.0 == "quarter").unwrap().1.to_owned();
    for (k, (high, cycles)) in phases.iter().enumerate() {
        text += &format!("\n[[phase]]\nname = \"p{k}\"\nhigh = {high}\ncycles = {cycles}\n");
    }
    of_text(&text, draws)
}

fn of_text(text: &str, draws: u64) -> Budget {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("case.toml");
    std::fs::write(&file, text).unwrap();
    let subject = Subject::open(file.to_str().unwrap(), &["one-by-one".to_owned()]).unwrap();
    budget(subject, &BudgetPlan { draws, cells: 100, ..BudgetPlan::default() }, &()).unwrap()
}

/// Phases of one load are one long phase, but for parts whose peak rises from cycle to cycle as others give: by some
/// hundred-thousandths of their force, which the second phase takes for new. A hundredth of a thousandth of a millimetre
/// stands a thousand times below what a rule tells.
#[test]
fn phases_of_one_load_are_one_long_phase() {
    let (parted, whole) = (with(&[(25.0, 3), (25.0, 7)], 0), with(&[(25.0, 10)], 0));
    let last = |b: &Budget| b.phases.last().unwrap().points.last().unwrap().clone();
    let (a, b) = (last(&parted), last(&whole));
    assert!((a.peak - b.peak).abs() < 1e-5 && (a.rest - b.rest).abs() < 1e-5, "{a:?}\n{b:?}");
    assert!((a.compression - b.compression).abs() < 1e-3, "{} {}", a.compression, b.compression);
}

/// One phase of the bench test's cycles is what `settle` finds.
#[test]
fn a_phase_is_what_settling_is() {
    let found = with(&[(25.0, 10)], 0);
    let case = Case::open("quarter").unwrap();
    let construct = ConstructFile::open("one-by-one").unwrap().fit(&case).unwrap();
    let rig = study::rig(&case, &construct, Start::Reduced);
    let tied = study::tie(&case, &construct, &rig, Start::Reduced).1.unwrap();
    let settled = study::settle(&case, &construct, &rig, &tied, &SettlePlan::of(&case)).0;
    let (ours, theirs) = (&found.phases[0].points, &settled.points[1..]);
    assert_eq!(ours.len(), theirs.len());
    for (a, b) in ours.iter().zip(theirs) {
        let off = (0..3).map(|k| (a.measures.shift[k] - b.measures.shift[k]).abs()).fold(0.0, f64::max);
        assert!(off < 1e-6 && (a.compression - b.compression).abs() < 1e-4, "{a:?} {b:?}");
        // Along the load it has gone no farther than in all.
        assert!(b.rest.abs() <= a.rest + 1e-6 && b.peak.abs() <= a.peak + 1e-6, "{a:?} {b:?}");
    }
    // Its failure load is that of a push of the settled repair along the same way.
    let plan = study::PushPlan { direction: Direction::default(), ..study::PushPlan::to_failure() };
    let push = study::push(&case, &construct, &rig, &tied, &plan);
    let (ours, theirs) = (found.phases[0].fails.as_ref().unwrap().load, push.failure.unwrap().load);
    assert!((ours - theirs).abs() < 1e-4, "{ours} {theirs}");
}

/// More load, and more cycles, never leave less motion; draws are counted, and never more within in a later phase.
#[test]
fn loads_that_grow_leave_more_and_fewer_draws_within() {
    let found = with(&[(15.0, 100), (25.0, 100), (38.0, 1000), (50.0, 1000)], 12);
    let left: Vec<f64> = found.phases.iter().filter_map(|p| p.left).collect();
    assert!(left.len() == 4 && left.is_sorted(), "{left:?}");
    let within: Vec<_> = found.phases.iter().map(|p| p.within.unwrap()).collect();
    assert!(found.complete && within.iter().all(|w| w.of == 12 && w.both <= w.left.min(w.peak)), "{within:?}");
    // The first phase keeps within in every draw, the last in hardly any: the count follows the draws.
    assert!(within[0].both == 12 && within[3].both < 6, "{within:?}");
}

/// A first cycle of next to nothing sets what the knots' preload sets, and no more comes of it later: the same cycles of
/// 25 N after it leave what they leave alone, but for the set of the first newton (superposition).
#[test]
fn a_first_cycle_of_one_newton_begins_no_set_anew() {
    let (after, alone) = (with(&[(5.0, 1), (25.0, 99)], 0), with(&[(25.0, 100)], 0));
    let left = |b: &Budget| b.phases.last().unwrap().left.unwrap();
    let (after, alone) = (left(&after), left(&alone));
    // Peaks differ in one cycle of a hundred; blocks of cycles are cut elsewhere.
    assert!((after - alone).abs() < 0.1 * alone, "{after} {alone}");
}

/// What one direction has left over is not undone by the next: it counts whatever way it went.
#[test]
fn a_displacement_counts_whatever_way_it_went() {
    let inferior = with(&[(25.0, 300)], 0);
    let mut text = rimhold::model::CASES.iter().find(|c| c.0 == "quarter").unwrap().1.to_owned();
    for (name, direction, high) in [("down", "inferior", 25.0), ("back", "superior", 6.0)] {
        text += &format!("\n[[phase]]\nname = \"{name}\"\nhigh = {high}\ncycles = 300\ndirection = \"{direction}\"\n");
    }
    let found = of_text(&text, 0);
    let (there, back) = (inferior.phases[0].left.unwrap(), found.phases[1].left.unwrap());
    assert!(there > 0.1 && back > 0.5 * there, "{there} {back}");
}

/// The usual phases are taken where the case gives none, and say that they are assumed.
#[test]
fn a_case_without_phases_takes_the_usual_ones() {
    let found = with(&[], 0);
    let names: Vec<&str> = found.phases.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(names, ["sling", "passive motion", "active motion", "light use"]);
    assert!(found.phases.iter().all(|p| p.tag == rimhold::model::Tag::Assumed && p.source.contains("assumed")));
    // 5 N is where bench tests return to, 25 N where they go (sources of the parameters), an arm weighs 26 to 50 N.
    assert!(found.phases.iter().all(|p| p.low == 5.0 && p.high <= 50.0));
}
