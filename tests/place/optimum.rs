//! The search on small cases with a second opinion.

use crate::place::{EFFORT, question, subject};
use crate::room::Room;
use rimhold::math::Vec3;
use rimhold::optimise::Plan as Search;
use rimhold::study::place::{Effort, FAN, Objective, Plan, Question, Rule, run as place};
use rimhold::study::result::{Place, Start, Tally};

pub fn ask(objective: Objective) -> Plan {
    Plan {
        objective,
        against: None,
        robust: None,
        from: Start::Reduced,
        effort: EFFORT,
        search: Search { starts: 2, particles: 12, rounds: 8, evaluations: 400, ..Search::default() },
        wander: false,
    }
}

fn found(room: &Room, more: &str, objective: Objective) -> Place {
    let construct = room.with("one-by-one", more);
    place(&subject("quarter", &construct), &ask(objective), &()).unwrap()
}

/// All points of a dense grid over two variables: none is better than the answer, and the best of
/// them is its neighbour.
#[test]
fn a_dense_grid_finds_nothing_better() {
    let room = Room::new();
    let more = r#"[place]
free = [
    { path = "anchor.medial.along", low = -6.0, high = 6.0 },
    { path = "anchor.lateral.along", low = -6.0, high = 6.0 },
]"#;
    let answer = found(&room, more, Objective::Evenness);
    let question =
        question(&subject("quarter", &room.0.path().join("construct.toml").display().to_string()), Objective::Evenness);
    let step = 0.5;
    let mut best = (f64::NEG_INFINITY, [0.0; 2]);
    let mut feasible = 0;
    for i in 0..=24 {
        for j in 0..=24 {
            let at = [-6.0 + step * f64::from(i), -6.0 + step * f64::from(j)];
            let look = question.look(Some(&at));
            if look.violation() > 0.0 {
                continue;
            }
            feasible += 1;
            if let Some(value) = look.values[0]
                && value > best.0
            {
                best = (value, at);
            }
        }
    }
    assert!(feasible > 100, "{feasible}");
    let reached = answer.on_search_bed[1].unwrap();
    println!("grid {best:?}, answer {reached} at {:?}", answer.found.at);
    assert!(reached >= best.0, "{reached} {best:?}");
    for (x, g) in answer.found.at.iter().zip(best.1) {
        assert!((x - g).abs() <= step, "{:?} {best:?}", answer.found.at);
    }
}

/// A mirrored pair on a mirrored case: the middle of the fragment at 3 o'clock, two bridges that are
/// mirror images. What is best for one is best for the other.
#[test]
fn a_symmetric_pair_has_a_symmetric_optimum() {
    let room = Room::new();
    let case = rimhold::model::builtin("quarter").unwrap().replace("middle = \"4:00\"", "middle = \"3:00\"");
    assert!(case.contains("3:00"));
    let case = room.write("case.toml", &case);
    let construct = room.write(
        "construct.toml",
        r#"
[anchor.lower]
at = { neck = { along = -4.0, beyond = 1.0 } }
[anchor.upper]
at = { neck = { along = 6.0, beyond = 1.0 } }
[anchor.face-lower]
at = { face = { along = -5.0, inset = 2.5 } }
[anchor.face-upper]
at = { face = { along = 5.0, inset = 2.5 } }
[limb.low]
path = ["lower", { rim = { along = -5.0 } }, "face-lower"]
[limb.high]
path = ["upper", { rim = { along = 5.0 } }, "face-upper"]
[tying]
order = [["low", "high"]]
[place]
free = [
    { path = "anchor.lower.along", low = -9.0, high = -3.1 },
    { path = "anchor.upper.along", low = 3.1, high = 9.0 },
]
"#,
    );
    let answer = place(&subject(&case, &construct), &ask(Objective::Evenness), &()).unwrap();
    let [lower, upper] = [0, 1].map(|k| answer.found.at[k]);
    println!("{lower} {upper} {:?}", answer.found.values);
    // Places are tried to a thousandth of a millimetre; the objective is flat at its best, and pulls are divided so
    // that finer steps change it by about 0.2 %.
    assert!((lower + upper).abs() < 0.05, "{lower} {upper}");
    // The mirror image is worth the same: the bed's cells are mirrored too.
    let question = question(&subject(&case, &construct), Objective::Evenness);
    let of = |at: [f64; 2]| question.look(Some(&at)).values[0].unwrap();
    let (here, there) = (of([lower, upper]), of([-upper, -lower]));
    assert!((here - there).abs() < 1e-7 * here, "{here} {there}");
}

/// An anchor that wants to stand where another one is, or would: it stops at the least spacing, to the
/// thousandth of a millimetre that places are tried to, and keeps it exactly.
#[test]
fn an_optimum_on_the_spacing_bound() {
    let room = Room::new();
    let free = r#"[place]
limits = { spacing = LIMIT }
free = [{ path = "anchor.lateral.along", low = -8.0, high = 8.0 }]
"#;
    let alone = found(&room, &free.replace("LIMIT", "0.0"), Objective::Evenness);
    let wanted = alone.found.at[0];
    // A post a little beyond its optimum; no limb leads there.
    let post = wanted + 1.0;
    let more = format!(
        "{}\n[anchor.post]\nat = {{ face = {{ along = {post}, inset = 2.5 }} }}\n",
        free.replace("LIMIT", "4.0")
    );
    let answer = found(&room, &more, Objective::Evenness);
    let kept = &answer.found.kept[Rule::Spacing as usize];
    println!("wanted {wanted}, post {post}, found {:?}, {kept:?}", answer.found.at);
    assert_eq!(answer.found.violation, 0.0);
    assert!(kept.active && kept.subject.contains("post"));
    let distance = kept.value.unwrap();
    assert!((4.0..4.0 + 2e-3).contains(&distance), "{distance}");
    assert!(answer.found.values[0] < alone.found.values[0]);
}

/// A cone of reach that excludes where the anchor wants to be: it stops on the cone's edge and keeps it
/// exactly. The lean is that between the line from the portal and the radius of the face's sphere, square
/// to it (ρ = 30 mm about (0, 0, 30): geometry of the sphere), worked out here anew.
#[test]
fn an_optimum_on_the_edge_of_a_cone() {
    const RHO: f64 = 30.0;
    const HALF: f64 = 15.0;
    let room = Room::new();
    let free = r#"[place]
limits = { spacing = 0.0 }
free = [{ path = "anchor.lateral.along", low = -8.0, high = 8.0 }]
"#;
    let lateral = |answer: &Place| {
        let mut all = answer.found.anchors.iter();
        Vec3::from(all.find(|a| a.anchor == "lateral").unwrap().point)
    };
    let alone = found(&room, free, Objective::Evenness);
    let wanted = lateral(&alone);
    let centre = Vec3::new(0.0, 0.0, RHO);
    assert!(((wanted - centre).norm() - RHO).abs() < 1e-9, "{wanted}");
    // A portal 6 mm square off the face, 4 mm further along the fracture line.
    let along = subject("quarter", "one-by-one").case().fragment.along;
    let side = if alone.found.at[0] > 0.0 { -4.0 } else { 4.0 };
    let mut foot = wanted + along * side;
    foot.z = RHO - (RHO * RHO - foot.x * foot.x - foot.y * foot.y).sqrt();
    let portal = foot + (centre - foot) * (6.0 / RHO);
    let lean = |p: Vec3| (p - portal).angle(&(p - centre)).to_degrees();
    assert!(lean(wanted) > 1.5 * HALF, "{}", lean(wanted));
    let more = format!(
        "{free}[place.reach.low]\nportal = [{}, {}, {}]\nhalf_angle = {HALF:.1}\n",
        portal.x, portal.y, portal.z
    );
    let answer = found(&room, &more, Objective::Evenness);
    let kept = &answer.found.kept[Rule::Reach as usize];
    let at = lean(lateral(&answer));
    println!("wanted {wanted}, found {:?}, lean {at}, {kept:?}", answer.found.at);
    assert_eq!(answer.found.violation, 0.0);
    assert!(kept.active && kept.subject == "lateral through low");
    // Slopes of the face are taken over 1e-4 mm: the normal is good to 1e-8.
    assert!((kept.value.unwrap() - at).abs() < 1e-6);
    // Places are tried to a thousandth of a millimetre, on which the lean changes by under 0.01 degrees
    // (one over 6 mm is 9.5 degrees a millimetre); two of them.
    assert!((HALF - 0.02..=HALF).contains(&at), "{at}");
    // On the side that is nearer to where it wanted to be.
    assert!((lateral(&answer) - wanted).norm() < 4.0);
    assert!(answer.found.values[0] < alone.found.values[0]);
}

/// Whatever the objective: an answer that keeps its constraints with the full bed, no worse than the
/// given construct, written as a file that is worth what it says.
#[test]
fn every_objective_is_gained_and_keeps_its_constraints() {
    for objective in Objective::ALL {
        let room = Room::new();
        let construct = room.with("one-by-one", "");
        let mut asked = ask(objective);
        asked.search.evaluations = 80;
        let answer = place(&subject("quarter", &construct), &asked, &()).unwrap();
        println!("{objective:?}: {:?} {:?}", answer.given.values, answer.found.values);
        assert!(answer.found.violation <= 1e-6);
        assert_eq!(answer.found.tally.states, answer.found.tally.certified);
        // The states of the ties and of the objective's own pushes, 20 steps from where it lies tied.
        let tied = Tally::of_hold(answer.found.hold.as_ref().unwrap()).states;
        let pushes = match objective {
            Objective::Inferior => 1,
            Objective::Worst => FAN.len(),
            _ => 0,
        };
        assert_eq!(answer.found.tally.states, tied + 21 * pushes, "{objective:?}");
        let [given, reached] = [&answer.given, &answer.found].map(|p| p.values[0].unwrap());
        assert!(objective.cost(reached) < objective.cost(given), "{objective:?}");
        let path = room.write("placed.toml", &answer.found.file);
        let placed = subject("quarter", &path);
        let mut effort = EFFORT;
        (effort.cells, effort.steps) = (None, 20);
        let again = Question::new(&placed, &[], &[objective], Start::Reduced, effort);
        assert_eq!(again.look(None).values[0], Some(reached), "{objective:?}");
    }
}

/// Two objectives: no design of the front beats another in both, both ends and the knee are told, and
/// the given construct does not stand beyond it.
#[test]
fn a_front_is_one() {
    let room = Room::new();
    let construct = room.with("one-by-one", "");
    let mut asked = ask(Objective::Inferior);
    asked.against = Some(Objective::Evenness);
    asked.search.evaluations = 150;
    let answer = place(&subject("quarter", &construct), &asked, &()).unwrap();
    let front = answer.front.unwrap();
    assert!(front.points.len() > 3, "{}", front.points.len());
    for pair in front.points.windows(2) {
        let ([a, b], [c, d]) = (pair[0].values, pair[1].values);
        assert!(a > c && b < d, "{pair:?}");
    }
    let given = front.given.unwrap();
    assert!(!front.points.iter().all(|p| p.values[0] < given[0]));
    assert_eq!(front.designs.len(), 3);
    let values = |k: usize| [0, 1].map(|i| front.designs[k].values[i].unwrap());
    let (first, knee, second) = (values(0), values(1), values(2));
    assert!(first[0] >= knee[0] && second[1] >= knee[1]);
}

/// Load and step are of one repair: a design of a front against reduction, tied from displaced as its file
/// says and nothing else, has both values that are told.
#[test]
fn a_front_against_reduction_is_of_one_repair() {
    let room = Room::new();
    let construct = room.with("one-by-one", "");
    let mut asked = ask(Objective::Inferior);
    asked.against = Some(Objective::Reduction);
    asked.search.evaluations = 60;
    let answer = place(&subject("quarter", &construct), &asked, &()).unwrap();
    assert_eq!(answer.from, Start::Displaced);
    let front = answer.front.as_ref().unwrap();
    let full = Effort { cells: None, steps: 20 };
    let mut checked = 0;
    for design in front.designs.iter().chain([&answer.found, &answer.given]) {
        let path = room.write("design.toml", &design.file);
        let placed = subject("quarter", &path);
        let both = [Objective::Inferior, Objective::Reduction];
        for (objective, told) in both.into_iter().zip(&design.values) {
            let alone = Question::new(&placed, &[], &[objective], Start::Displaced, full);
            assert_eq!(alone.look(None).values[0], *told, "{objective:?}");
            checked += usize::from(told.is_some());
        }
    }
    assert!(checked >= 8, "{checked}");
}
