//! Losses and rescues against the same repairs tied by hand, and against what losing everything must be.

use rimhold::model::{Case, Construct, ConstructFile};
use rimhold::study::result::{Bearing, Losses, Lost, PartKind, Start};
use rimhold::study::{ComparePlan, LosePlan, compare, lose};

fn pair(case: &str, construct: &str) -> (Case, Construct) {
    let case = Case::open(case).unwrap();
    let construct = ConstructFile::open(construct).unwrap().fit(&case).unwrap();
    (case, construct)
}

fn found(case: &Case, construct: &Construct, rescues: &[Construct], together: &[&str]) -> Losses {
    let together = together.iter().map(|t| (*t).to_owned()).collect();
    lose(case, construct, rescues, &LosePlan { together, ..LosePlan::default() }, &()).unwrap()
}

fn of<'a>(losses: &'a Losses, name: &str) -> &'a Lost {
    losses.losses.iter().find(|l| l.parts.iter().any(|p| p.name == name)).unwrap()
}

/// The certificate's own 1e-6 N stands behind every load.
fn same(a: Option<f64>, b: Option<f64>) {
    match (a, b) {
        (Some(a), Some(b)) => assert!((a - b).abs() <= 1e-6, "{a} {b}"),
        _ => assert_eq!(a, b),
    }
}

#[test]
fn the_whole_repair_bears_what_compare_says() {
    let (case, construct) = pair("quarter", "two-by-two");
    let losses = found(&case, &construct, &[], &[]);
    let compared = compare(&case, &construct, &ComparePlan::default());
    same(losses.whole.load, compared.push.unwrap().load_at[1]);
    same(losses.whole.failure.map(|f| f.load), compared.ultimate.unwrap().failure.map(|f| f.load));
    // Every part once, whatever else goes with it.
    let named: usize = losses.losses.iter().map(|l| l.parts.len()).sum();
    assert_eq!(named, construct.anchors.len() + construct.limbs.len() + construct.screws.len());
    let order: Vec<f64> = losses.losses.iter().map(|l| l.after.bears()).collect();
    assert!(order.is_sorted(), "{order:?}");
}

/// A part that was never placed is a construct whose file has no such part.
#[test]
fn what_was_never_placed_is_a_construct_without_it() {
    let (case, construct) = pair("quarter", "one-by-one");
    let losses = found(&case, &construct, &[], &[]);
    for name in ["inferior-loop", "bridge-upper"] {
        let mut without = construct.clone();
        let gone = without.limbs.iter().position(|l| l.name == name).unwrap();
        for tie in &mut without.ties {
            tie.limbs.retain(|k| *k != gone);
        }
        without.ties.retain(|tie| !tie.limbs.is_empty());
        let compared = compare(&case, &without, &ComparePlan::default());
        same(of(&losses, name).before.load, compared.push.unwrap().load_at[1]);
    }
}

/// An anchor takes its limbs along; one that has a single limb is lost like that limb.
#[test]
fn an_anchor_takes_its_limbs_along() {
    let (case, construct) = pair("quarter", "one-by-one");
    let losses = found(&case, &construct, &[], &[]);
    let loop_alone = of(&losses, "inferior-loop");
    assert_eq!(loop_alone.parts.iter().map(|p| p.kind).collect::<Vec<_>>(), [PartKind::Anchor, PartKind::Limb]);
    let medial = of(&losses, "medial");
    assert_eq!(medial.limbs, ["bridge-lower", "bridge-upper"]);
    // Both limbs of the bridge cut are the anchor gone.
    let cut = found(&case, &construct, &[], &["bridge-lower", "bridge-upper"]);
    let both = cut.losses.iter().find(|l| l.together).unwrap();
    same(both.after.load, medial.after.load);
}

/// With all limbs gone nothing but soft tissue and the mated bed is left, as if nothing had been tied.
#[test]
fn a_repair_that_loses_everything_is_no_repair() {
    let (case, construct) = pair("quarter", "single-row");
    let names: Vec<&str> = construct.limbs.iter().map(|l| l.name.as_str()).collect();
    let losses = found(&case, &construct, &[], &names);
    let all = losses.losses.iter().find(|l| l.together).unwrap();
    let untied = Construct { ties: Vec::new(), ..construct.clone() };
    let bare = compare(&case, &untied, &ComparePlan::default());
    let nothing = |b: &Bearing| b.load.unwrap_or(0.0);
    let bare = bare.push.and_then(|p| p.load_at[1]).unwrap_or(0.0);
    same(Some(nothing(&all.before)), Some(bare));
    // What is lost after tying has moved the fragment before: a hundredth of the whole repair's load.
    assert!((nothing(&all.after) - bare).abs() < 0.01 * losses.whole.bears() + 0.5, "{} {bare}", nothing(&all.after));
}

/// A rescue by the construct itself ties what was lost, and that alone; where it was lost before any load came, the
/// repair bears about what it did (its other limbs were tied without it, not with it).
#[test]
fn the_same_construct_restores_what_was_lost() {
    let (case, construct) = pair("quarter", "one-by-one");
    let losses = found(&case, &construct, std::slice::from_ref(&construct), &["superior-loop"]);
    let [rescue] = &losses.rescues[..] else { panic!("{:?}", losses.rescues) };
    assert_eq!((&rescue.tied, &rescue.kept), (&vec!["superior-loop".to_owned()], &Vec::new()));
    assert_eq!(rescue.from_hole, None, "no new hole");
    let (whole, again) = (losses.whole.bears(), rescue.bearing.bears());
    assert!((again - whole).abs() < 0.05 * whole, "{whole} {again}");
    // An anchor that was pulled out is placed again where it was.
    let losses = found(&case, &construct, std::slice::from_ref(&construct), &["superior"]);
    assert_eq!(losses.rescues[0].from_hole, Some(0.0));
}

/// Of parts of which either takes the same along, the first was lost: the other is there to be used again. What a rescue
/// has otherwise than the repair is said.
#[test]
fn a_rescue_uses_what_still_holds_and_says_what_it_leaves() {
    let (case, construct) = pair("quarter", "linked-pair");
    let mut other = construct.clone();
    let lateral = other.anchors.iter().position(|a| a.name == "lateral").unwrap();
    other.anchors[lateral].point.x -= 2.0;
    let rescue = |together: &[&str]| found(&case, &construct, std::slice::from_ref(&other), together);
    let one = rescue(&["medial"]);
    assert_eq!(one.rescues[0].kept, ["lateral"]);
    assert_eq!(one.rescued.len(), 1);
    let both = rescue(&["medial", "lateral"]);
    assert!(both.rescues[0].kept.is_empty() && both.rescued.len() == 2);
    let automatic = rescue(&[]);
    assert_eq!(automatic.rescued.len(), 1, "{:?}", automatic.rescued);
}

/// Without friction, asperities and crushing nothing remembers the way: the fragment ends where it lies when nothing had
/// been tied.
#[test]
fn without_memory_a_loss_ends_where_it_was_never_placed() {
    let (mut case, construct) = pair("quarter", "single-row");
    case.bed.friction = 0.0;
    case.bed.asperity_angle = 0.0;
    case.bed.crush_strength = 300.0;
    let names: Vec<&str> = construct.limbs.iter().map(|l| l.name.as_str()).collect();
    let plan =
        LosePlan { settled: false, together: names.iter().map(|n| (*n).to_owned()).collect(), ..LosePlan::default() };
    let losses = lose(&case, &construct, &[], &plan, &()).unwrap();
    let all = losses.losses.iter().find(|l| l.together).unwrap();
    let (after, before) = (all.after.measures.unwrap(), all.before.measures.unwrap());
    // Soft tissue of 1 N/mm alone brings it back: a balance of 1e-6 N is a millionth of a millimetre.
    let off = (0..3).map(|k| (after.shift[k] - before.shift[k]).abs()).fold(0.0, f64::max);
    assert!(off < 1e-4, "{:?} {:?}", after.shift, before.shift);
}

#[test]
fn a_name_that_no_part_has_is_told_with_those_that_are() {
    let (case, construct) = pair("quarter", "one-by-one");
    let plan = LosePlan { together: vec!["medial".to_owned(), "fourth".to_owned()], ..LosePlan::default() };
    let said = lose(&case, &construct, &[], &plan, &()).unwrap_err().to_string();
    assert!(said.contains("no part `fourth`") && said.contains("superior-loop"), "{said}");
}

/// Every part of every shipped construct on three cases: each loss has a certified end.
#[test]
fn every_loss_of_every_shipped_construct_is_certified() {
    for case in ["quarter", "small", "hinge-weak"] {
        for (name, _) in rimhold::model::CONSTRUCTS {
            let (case, construct) = pair(case, name);
            let plan = LosePlan { from: Start::Reduced, settled: false, ..LosePlan::default() };
            let losses = lose(&case, &construct, &[], &plan, &()).unwrap();
            for lost in &losses.losses {
                for bearing in [&lost.after, &lost.before] {
                    assert!(!bearing.outcome.is_uncertified(), "{} {name} {:?}", case.name, lost.parts);
                }
            }
        }
    }
}
