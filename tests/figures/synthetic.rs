//! Invented results that look like the model's: for drawing alone, evidence of nothing.

use rimhold::anatomy::{Along, Fragment, FragmentShape, Place, Socket, clock_angle};
use rimhold::math::Vec3;
use rimhold::model::*;
use rimhold::study::result::*;

pub fn case(side: Side, width: f64, hours: f64) -> Case {
    let fragment = Fragment::new(
        Socket { radius: 13.0, face_radius: Some(30.0) },
        FragmentShape { width, direction: clock_angle(hours), depth: 10.0, tilt: 10f64.to_radians(), length: None },
    )
    .unwrap();
    Case {
        name: "quarter".into(),
        settings: Default::default(),
        description: String::new(),
        side,
        fragment,
        socket_height: 36.5,
        bed: BedSpec {
            friction: 0.5,
            normal_stiffness: 10.0,
            shear_stiffness: 3.0,
            crush_strength: 10.0,
            edge_width: 0.5,
            asperity_angle: 15.0,
            asperity_height: 0.7,
            asperity_rounding: 0.1,
            cells: 400,
        },
        envelope: None,
        tethers: Vec::new(),
        loads: Vec::new(),
        displaced: Displacement::default(),
        seat: SeatSpec { length: 1.0, stiffness: 200.0 },
        anchors: AnchorLimits {
            least_spacing: 6.0,
            least_rim_distance: 3.0,
            least_fracture_distance: 0.5,
            pull_out: 5.0,
        },
        settling: SettlingSpec::default(),
        cycled: None,
        phases: Vec::new(),
        joint: JointSpec::default(),
        defaults: Vec::new(),
        warnings: Vec::new(),
    }
}

fn point(case: &Case, place: Place) -> [f64; 3] {
    case.fragment.locate(&place).unwrap().into()
}

fn face(along: f64, inset: f64) -> Place {
    Place::Face { along: Along::Percent(along), inset }
}

fn neck(along: f64) -> Place {
    Place::Neck { along: Along::Mm(0.06 * along), beyond: 1.0 }
}

fn wall(along: f64) -> Place {
    Place::Wall { along: Along::Percent(along), below: 3.0 }
}

fn rim(along: f64) -> Place {
    Place::Rim { along: Along::Percent(along) }
}

fn limb(case: &Case, name: &str, group: &str, tensions: &[f64], stops: &[(PointKind, Place)]) -> LimbState {
    LimbState {
        name: name.into(),
        group: group.into(),
        tensions: tensions.to_vec(),
        path: stops.iter().map(|(_, p)| point(case, *p)).collect(),
        kinds: stops.iter().map(|(k, _)| *k).collect(),
        force: [0.0; 3],
        compression: 0.0,
        shear: 0.0,
        shear_along: [0.0; 2],
        seated: false,
        cartilage: 0.0,
    }
}

fn looped(case: &Case, name: &str, along: f64, tension: f64) -> LimbState {
    let anchor = (PointKind::Anchor, face(along, 1.5));
    limb(case, name, "loop", &[tension; 2], &[anchor, (PointKind::Bite, wall(along)), anchor])
}

fn bridge(case: &Case, name: &str, from: f64, over: f64, to: f64, t: [f64; 2]) -> LimbState {
    limb(
        case,
        name,
        "bridge",
        &t,
        &[(PointKind::Anchor, neck(from)), (PointKind::Rim, rim(over)), (PointKind::Anchor, face(to, 2.5))],
    )
}

/// Pressure by cells of 0.8 mm: high in the middle, open toward the inferior end.
fn bed(f: &Fragment) -> BedState {
    let mut cells = Vec::new();
    for i in -14..14 {
        for j in -3..18 {
            let (t, m) = (0.8 * (f64::from(i) + 0.5), 0.8 * (f64::from(j) + 0.5));
            let (q, _) = f.outline(t, m);
            if q > -0.5 {
                let hill = 0.95 - 0.006 * (t - 1.5).powi(2) - 0.02 * (m - 3.0).powi(2) + 0.02 * t;
                cells.push(CellState {
                    t,
                    m,
                    area: 0.64,
                    pressure: 1.3 * hill.max(0.0) * (1.0 + q / 0.5).clamp(0.0, 1.0),
                    shear: [0.0; 2],
                });
            }
        }
    }
    let peak = cells.iter().map(|c| c.pressure).fold(0.0, f64::max);
    let force: f64 = cells.iter().map(|c| c.pressure * c.area).sum();
    let mean = |of: fn(&CellState) -> f64| cells.iter().map(|c| of(c) * c.pressure * c.area).sum::<f64>() / force;
    BedState {
        compression: force,
        friction: 12.0,
        reserve: Some(0.6),
        peak_pressure: peak,
        mean_pressure: 0.5,
        contact: 0.86,
        sliding: 0.0,
        crushed: 0.0,
        centre: Some([mean(|c| c.t), mean(|c| c.m)]),
        cells,
    }
}

pub fn construct(name: &str) -> Construct {
    Construct {
        name: name.into(),
        description: String::new(),
        anchors: Vec::new(),
        limbs: Vec::new(),
        screws: Vec::new(),
        ties: Vec::new(),
        portals: Vec::new(),
        drill: Default::default(),
        defaults: Vec::new(),
        warnings: Vec::new(),
    }
}

fn tied(case: &Case, anchors: &[(&str, Place, f64)], limbs: Vec<LimbState>) -> TiedState {
    TiedState {
        anchors: anchors
            .iter()
            .map(|(name, place, force)| AnchorState {
                name: (*name).into(),
                place: point(case, *place),
                force: *force,
                give: 0.3,
                holding: Some(185.0),
            })
            .collect(),
        limbs,
        screws: Vec::new(),
        bed: bed(&case.fragment),
        resultant_angle: Some(18.0),
        friction_angle: 26.6,
        resultant: Vec3::zeros().into(),
        measures: Measures::default(),
        cartilage: 0.0,
        weakest: Vec::new(),
        stiffness: None,
        certificate: Certificate::default(),
    }
}

pub fn one_by_one(case: &Case) -> TiedState {
    tied(
        case,
        &[
            ("inferior", face(-65.0, 1.5), 46.0),
            ("medial", neck(-10.0), 88.0),
            ("lateral", face(-10.0, 2.5), 84.0),
            ("superior", face(60.0, 1.5), 38.0),
        ],
        vec![
            looped(case, "reduction", -65.0, 23.0),
            bridge(case, "bridge-lower", -10.0, -28.0, -10.0, [46.0, 50.0]),
            bridge(case, "bridge-upper", -10.0, 12.0, -10.0, [45.0, 50.0]),
            looped(case, "superior", 60.0, 19.0),
        ],
    )
}

/// Two loops and two screws square to the bed.
pub fn two_screws(case: &Case) -> TiedState {
    let mut tied = tied(
        case,
        &[("inferior", face(-76.0, 1.5), 46.0), ("superior", face(76.0, 1.5), 38.0)],
        vec![looped(case, "inferior-loop", -76.0, 23.0), looped(case, "superior-loop", 76.0, 19.0)],
    );
    for (name, percent) in [("lower", -30.0), ("upper", 30.0)] {
        let along = Along::Percent(percent);
        let head = Vec3::from(point(case, Place::Wall { along, below: 4.5 }));
        let axis = -case.fragment.normal;
        tied.screws.push(ScrewState {
            name: name.into(),
            group: "screws".into(),
            axial: 96.0,
            bearing: 4.0,
            force: (axis * 96.0).into(),
            compression: 96.0,
            shear: 4.0,
            shear_along: [4.0, 0.0],
            pressure: 1.5,
            places: [0.0, 5.0, 21.0].map(|l| (head + axis * l).into()),
        });
    }
    tied
}

/// A push whose load screws carry, and what happens to them.
pub fn push_of_screws() -> Push {
    let names = [("lower", "screws"), ("upper", "screws")];
    let mut push = push("two screws", 2.5, &names, 2.0);
    for contributor in &mut push.contributors[..2] {
        contributor.carrier = Carrier::Screw;
    }
    for point in &mut push.curve {
        point.tensions.clear();
        point.heads = vec![90.0; 2];
    }
    push.events[0].kind = EventKind::AboveBearing;
    push.events[2].kind = EventKind::ScrewLoose;
    push
}

pub fn two_by_two(case: &Case) -> TiedState {
    tied(
        case,
        &[
            ("inferior", face(-75.0, 1.5), 46.0),
            ("medial-lower", neck(-45.0), 68.0),
            ("medial-upper", neck(30.0), 61.0),
            ("lateral-lower", face(-40.0, 2.5), 64.0),
            ("lateral-upper", face(30.0, 2.5), 67.0),
            ("superior", face(72.0, 1.5), 38.0),
        ],
        vec![
            looped(case, "reduction", -75.0, 23.0),
            bridge(case, "lower", -45.0, -42.0, -40.0, [46.0, 50.0]),
            bridge(case, "rising", -45.0, -12.0, 30.0, [44.0, 50.0]),
            bridge(case, "falling", 30.0, -2.0, -40.0, [43.0, 50.0]),
            bridge(case, "upper", 30.0, 32.0, 30.0, [47.0, 50.0]),
            looped(case, "superior", 72.0, 19.0),
        ],
    )
}

/// A push that stiffens, slides and gives: `strength` scales it.
pub fn push(name: &str, strength: f64, limbs: &[(&str, &str)], to: f64) -> Push {
    let mut contributors: Vec<Contributor> = limbs
        .iter()
        .map(|(name, group)| Contributor { name: (*name).into(), group: (*group).into(), carrier: Carrier::Limb })
        .collect();
    for (name, carrier) in
        [("bed friction", Carrier::Friction), ("bed pressure", Carrier::Pressure), ("envelope", Carrier::Tissue)]
    {
        contributors.push(Contributor { name: name.into(), group: String::new(), carrier });
    }
    let n = limbs.len() as f64;
    let curve: Vec<PushPoint> = (0..=40)
        .map(|k| to * f64::from(k) / 40.0)
        .map(|x| {
            let friction = strength * 22.0 * (x / 0.25).tanh() - strength * 4.0 * (1.0 - x / 2.0);
            let pressure = -strength * (2.0 + 3.0 * x);
            let tissue = 1.0 * x;
            let each = strength * (6.0 + 26.0 * x) / n;
            let mut shares: Vec<f64> =
                (0..limbs.len()).map(|i| each * (1.0 + 0.3 * (i as f64 - 0.5 * (n - 1.0)) / n)).collect();
            shares.extend([friction, pressure, tissue]);
            PushPoint {
                displacement: x,
                load: shares.iter().sum(),
                shares,
                tensions: vec![50.0; limbs.len()],
                heads: Vec::new(),
                compression: 90.0,
                contact: 0.8,
                sliding: 0.2,
                peak_pressure: 1.2,
                measures: Measures::default(),
                certificate: Certificate::default(),
            }
        })
        .collect();
    let at = |x: f64| curve.iter().find(|p| p.displacement >= x - 1e-9).map(|p| p.load);
    let event = |kind, subject: &str, x: f64| Event {
        kind,
        subject: subject.into(),
        displacement: x,
        load: at(x).unwrap_or(0.0),
    };
    let events = vec![
        event(EventKind::BiteSeated, "superior", 0.0),
        event(EventKind::BedSliding, "", 0.35 / strength.max(0.4)),
        event(EventKind::LimbSlack, limbs[0].0, 0.75 * to),
        event(EventKind::HalfContact, "", 0.9 * to),
    ];
    Push {
        construct: name.into(),
        direction: "inferior".into(),
        vector: [0.0, -1.0, 0.0],
        guided: false,
        outcome: Outcome::Held,
        contributors,
        load_at: [at(0.5), at(1.0), at(2.0)],
        stiffness: Some(60.0),
        peak: curve.last().map(|p| [p.load, p.displacement]),
        curve,
        events,
        failure: None,
        settling: None,
        jumps: Vec::new(),
    }
}

const FOUR: [(&str, &str); 4] =
    [("reduction", "loop"), ("bridge-lower", "bridge"), ("bridge-upper", "bridge"), ("superior", "loop")];
const SIX: [(&str, &str); 6] = [
    ("reduction", "loop"),
    ("lower", "bridge"),
    ("rising", "bridge"),
    ("falling", "bridge"),
    ("upper", "bridge"),
    ("superior", "loop"),
];

pub fn two_pushes() -> Vec<Push> {
    vec![push("one-by-one", 1.0, &FOUR, 2.0), push("two-by-two crossed", 1.55, &SIX, 2.0)]
}

pub fn eight_pushes() -> Vec<Push> {
    let mut pushes = vec![
        push("single row", 0.55, &[FOUR[0], FOUR[3]], 2.0),
        push("one-by-one", 1.0, &FOUR, 2.0),
        push("bridge alone", 0.8, &FOUR[1..3], 1.3),
        push("two-by-two parallel", 1.5, &SIX, 2.0),
        push("two-by-two crossed", 1.55, &SIX, 2.0),
        push("mattress through a sliding medial eyelet", 1.05, &FOUR[..2], 2.0),
        push("linked pair", 1.1, &[("strand", "linked")], 2.0),
        push("crater fan", 0.97, &[("low", "fan"), ("high", "fan")], 2.0),
    ];
    pushes[2].outcome =
        Outcome::NotHeld { mode: Mode::Slides, during: "push".into(), shift: [0.0, -1.4, -0.3], turn: [0.0; 3] };
    pushes
}
