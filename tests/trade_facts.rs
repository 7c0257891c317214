//! Facts of the trade (common practice, no source), looked at and not forced: the tables say what the
//! model finds. Asserted is only that every state is certified and every number is one.

use rimhold::case::{Case, ConstructFile};
use rimhold::mechanics::Rig;
use rimhold::study::{
    self, PushPlan, Tied,
    result::{Hold, Outcome, Start, TiedState},
};

/// A construct tied on a case from the reduced pose, after the case and the tensions are changed.
fn tied(case: &Case, name: &str, tension: Option<f64>) -> (Rig, Hold, Option<Tied>, Option<f64>) {
    let mut construct = ConstructFile::open(name)
        .and_then(|file| file.fit(case))
        .expect("a built-in construct");
    if let Some(tension) = tension {
        for limb in &mut construct.limbs {
            limb.tension = tension;
        }
    }
    let rig = study::rig(case, &construct, Start::Reduced);
    let (hold, tied) = study::tie(case, &construct, &rig, Start::Reduced);
    assert!(
        !matches!(hold.outcome, Outcome::Uncertified { .. }),
        "{name}: {:?}",
        hold.outcome
    );
    let load = tied.as_ref().and_then(|tied| {
        let plan = PushPlan {
            to: 1.0,
            steps: 20,
            ..PushPlan::default()
        };
        let push = study::push(case, &construct, &rig, tied, &plan);
        assert!(
            !matches!(push.outcome, Outcome::Uncertified { .. }),
            "{name}: {:?}",
            push.outcome
        );
        assert!(push.curve.iter().all(|point| point.certificate.holds()));
        push.load_at[1]
    });
    (rig, hold, tied, load)
}

fn state(hold: &Hold) -> Option<&TiedState> {
    let state = hold.tied.as_ref()?;
    assert!(state.certificate.holds(), "{:?}", state.certificate);
    Some(state)
}

fn quarter() -> Case {
    Case::open("quarter").expect("a built-in case")
}

fn or_dash(value: Option<f64>) -> String {
    value.map_or_else(
        || "-".into(),
        |v| {
            assert!(v.is_finite());
            format!("{v:.2}")
        },
    )
}

#[test]
fn the_single_row_sits_up_more_than_the_bridge() {
    println!("construct             tilt °   step mm  gap mm  (positive: sits up, proud, open)");
    for case_name in ["quarter", "small", "large"] {
        let case = Case::open(case_name).expect("a built-in case");
        for name in [
            "single-row",
            "one-by-one-bare",
            "one-by-one",
            "two-by-two",
            "two-by-two-crossed",
        ] {
            let (_, hold, ..) = tied(&case, name, None);
            match state(&hold).map(|s| &s.measures) {
                Some(m) => println!(
                    "{case_name:8} {name:20} {:7.2} {:7.2} {:7.2}",
                    m.tilt, m.step.value, m.gap.value
                ),
                None => println!("{case_name:8} {name:20} {:?}", hold.outcome),
            }
        }
    }
}

#[test]
fn the_bare_bridge_is_drawn_medially_when_its_resultant_leaves_the_friction_cone() {
    println!("friction  angle of friction  of the resultant °  medial mm  inferior mm  reserve");
    for friction in [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9] {
        let mut case = quarter();
        case.bed.friction = friction;
        let (_, hold, ..) = tied(&case, "one-by-one-bare", None);
        match state(&hold) {
            Some(s) => println!(
                "{friction:8.1} {:12.1} {:>17} {:16.3} {:9.3} {:>11}",
                s.friction_angle,
                or_dash(s.resultant_angle),
                s.measures.medial,
                s.measures.inferior_middle,
                or_dash(s.bed.reserve)
            ),
            None => println!("{friction:8.1} {:?}", hold.outcome),
        }
    }
}

#[test]
fn more_tension_more_load_at_one_millimetre_until_something_gives() {
    println!("load at 1 mm (N) | compression (N) | tilt ° by tension in every limb");
    let tensions = [5.0, 10.0, 15.0, 25.0, 35.0, 50.0, 70.0, 100.0];
    for name in [
        "single-row",
        "one-by-one-bare",
        "one-by-one",
        "two-by-two",
        "two-by-two-crossed",
        "crater-fan",
    ] {
        println!("{name}");
        for tension in tensions {
            let (_, hold, _, load) = tied(&quarter(), name, Some(tension));
            let s = state(&hold);
            println!(
                "  {tension:5.0} N {:>9} {:>9} {:>9}  {}",
                or_dash(load),
                or_dash(s.map(|s| s.bed.compression)),
                or_dash(s.map(|s| s.measures.tilt)),
                match &hold.outcome {
                    Outcome::NotHeld { during, .. } => format!("not held: {during}"),
                    _ => String::new(),
                }
            );
        }
    }
}
