//! What drilling asks as constraints of a search, and the distance from the fracture edge, which always is one.

use crate::place::{question, subject};
use crate::room::Room;
use rimhold::study::place::{Objective, Rule};
use rimhold::study::{DrillPlan, drill};

#[test]
fn a_search_keeps_what_drilling_asks_where_it_is_to() {
    let room = Room::new();
    let free = "free = [{ path = \"anchor.lateral.*\" }, { path = \"anchor.medial.along\" }]";
    for asked in [false, true] {
        let construct = room.with("one-by-one", &format!("[place]\ndrill = {asked}\n{free}\n"));
        let subject = subject("quarter", &construct);
        let look = question(&subject, Objective::Evenness).look(None);
        let value = |rule: Rule| look.rules[rule as usize].as_ref();
        // Off the fracture edge by nearly its inset of 2.5 mm, asked for or not: the edge runs up with the face.
        let edge = value(Rule::FractureDistance).expect("always kept");
        assert!((edge.value - 2.5).abs() < 0.2 && edge.limit == 0.5 && edge.subject == "lateral", "{edge:?}");
        let bone = value(Rule::Bone);
        assert_eq!(bone.is_some(), asked);
        assert_eq!(value(Rule::Reach).is_some(), asked);
        // The same as `drill` has, of what concerns a free anchor.
        if let Some(bone) = bone {
            let (case, construct) = (subject.case(), subject.constructs().next().unwrap());
            let plan = DrillPlan { remedies: false, ..DrillPlan::default() };
            let found = drill(case, construct, &plan);
            let free = |k: &usize| ["lateral", "medial"].contains(&found.holes[*k].name.as_str());
            let of_bone = |key: &str| key == "bridge" || key.starts_with("to-");
            let worst = found.violations.iter().find(|v| of_bone(&v.key) && v.holes.iter().any(free));
            let worst = worst.expect("a default construct breaks something");
            assert_eq!((bone.value, bone.limit, &bone.subject), (worst.value, worst.limit, &worst.subject));
        }
    }
}
