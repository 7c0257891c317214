//! A case and a construct as they were understood, in plain numbers.

use crate::anatomy::Place;
use crate::mechanics::{Pose, Solver};
use crate::model::{Case, Construct, Edge, Fixing, Rest, Stop, Taken, Warning};
use crate::show::words::{clock, word};
use crate::study::{self, result::Start};
use schemars::JsonSchema;
use serde::Serialize;

/// A case as it was understood. Lengths mm, angles degrees, areas mm².
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CaseSummary {
    /// Name.
    pub name: String,
    /// Description from the file.
    pub description: String,
    /// `right` or `left`.
    pub side: String,
    /// Diameter of the best-fit circle, mm.
    pub diameter: f64,
    /// Radius of curvature of the face, mm; absent when flat.
    pub face_radius: Option<f64>,
    /// Width of the fragment, mm.
    pub width: f64,
    /// Width as a share of the diameter, 0 to 1.
    pub width_share: f64,
    /// Clock position of the fragment's middle.
    pub middle: String,
    /// Medial depth at mid-chord, mm.
    pub depth: f64,
    /// Tilt of the fracture plane, degrees.
    pub tilt: f64,
    /// Length of the fracture line on the face, mm.
    pub chord: f64,
    /// Area of the fracture bed, mm².
    pub bed_area: f64,
    /// Area of the circular segment, mm².
    pub segment_area: f64,
    /// The segment's share of the circle, 0 to 1.
    pub segment_share: f64,
    /// Angle of the neck wall under the rim, degrees; positive: the neck narrows medially.
    pub taper: f64,
    /// Volume of the fragment, mm³.
    pub volume: f64,
    /// Its centroid (x anterior, y superior, z lateral), mm.
    pub centroid: [f64; 3],
    /// Number of cells of the bed.
    pub bed_cells: usize,
    /// Friction coefficient of the bed.
    pub friction: f64,
    /// The friction angle, degrees.
    pub friction_angle: f64,
    /// Normal stiffness of the bed, MPa/mm.
    pub normal_stiffness: f64,
    /// Shear stiffness of the bed, MPa/mm.
    pub shear_stiffness: f64,
    /// Crush strength of the bed, MPa.
    pub crush_strength: f64,
    /// Soft tissue: shift stiffness (N/mm) and turn stiffness (N·mm/rad); absent when there is none.
    pub envelope: Option<[f64; 2]>,
    /// Where the soft tissue is at rest.
    pub envelope_rest: Option<String>,
    /// Direction of the load of the cycles that settle it; that of the push when absent.
    pub cycled: Option<String>,
    /// Names of the tethers.
    pub tethers: Vec<String>,
    /// Names of the dead loads.
    pub loads: Vec<String>,
    /// Displaced pose: inferior, medial, out of bed (mm), tilt, spin, yaw (degrees).
    pub displaced: [f64; 6],
    /// Defaults taken.
    pub defaults: Vec<Taken>,
    /// Warnings.
    pub warnings: Vec<Warning>,
}

impl CaseSummary {
    /// A case in plain numbers.
    pub fn new(case: &Case) -> Self {
        let f = &case.fragment;
        let bed = study::bed(case);
        let d = &case.displaced;
        let degrees = |v: f64| v.to_degrees();
        Self {
            name: case.name.clone(),
            description: case.description.clone(),
            side: word(&case.side),
            diameter: 2.0 * f.socket.radius,
            face_radius: f.socket.face_radius,
            width: f.shape.width,
            width_share: f.shape.width / (2.0 * f.socket.radius),
            middle: clock(f.outward.x, f.outward.y),
            depth: f.shape.depth,
            tilt: degrees(f.shape.tilt),
            chord: f.chord(),
            bed_area: bed.area,
            segment_area: f.segment_area(),
            segment_share: f.segment_share(),
            taper: degrees(libm::atan(f.taper)),
            volume: f.volume,
            centroid: f.centroid.into(),
            bed_cells: bed.cells.len(),
            friction: case.bed.friction,
            friction_angle: degrees(libm::atan(case.bed.friction)),
            normal_stiffness: case.bed.normal_stiffness,
            shear_stiffness: case.bed.shear_stiffness,
            crush_strength: case.bed.crush_strength,
            envelope: case.envelope.map(|e| [e.shift_stiffness, e.turn_stiffness]),
            cycled: case.cycled.as_ref().map(|direction| direction.name.clone()),
            envelope_rest: case.envelope.map(|e| {
                match e.rest {
                    Rest::Start => "where tying starts",
                    Rest::Reduced => "reduced",
                    Rest::Displaced => "displaced",
                }
                .to_owned()
            }),
            tethers: case.tethers.iter().map(|t| t.name.clone()).collect(),
            loads: case.loads.iter().map(|l| l.name.clone()).collect(),
            displaced: [d.inferior, d.medial, d.out_of_bed, degrees(d.tilt), degrees(d.spin), degrees(d.yaw)],
            defaults: case.defaults.clone(),
            warnings: case.warnings.clone(),
        }
    }
}

/// An anchor on its case.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct AnchorSummary {
    /// Name.
    pub name: String,
    /// Class.
    pub class: String,
    /// Where it was asked to sit.
    pub asked: String,
    /// Where that is (x anterior, y superior, z lateral), mm.
    pub place: [f64; 3],
    /// Its clock position en face.
    pub clock: String,
    /// Stiffness of its seat, N/mm; absent when rigid.
    pub stiffness: Option<f64>,
    /// Holding load, N, if one is known.
    pub holding: Option<f64>,
}

/// A limb on its case.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LimbSummary {
    /// Name.
    pub name: String,
    /// Group for tables of shares.
    pub group: String,
    /// Its stops in words, tie end last.
    pub path: Vec<String>,
    /// Whether it closes on itself.
    pub closed: bool,
    /// Strand class.
    pub strand: String,
    /// Axial rigidity EA, N.
    pub rigidity: f64,
    /// Length from end to end on the reduced fragment, mm.
    pub length: f64,
    /// Target tension, N.
    pub tension: f64,
    /// `knot` or `clamp`.
    pub fixing: String,
    /// Growth when it is locked, mm.
    pub knot_slack: f64,
    /// What its knot or clamp bears, N.
    pub knot_limit: f64,
}

/// A screw on its case.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ScrewSummary {
    /// Name.
    pub name: String,
    /// Group for tables of shares.
    pub group: String,
    /// Where its head was asked to sit.
    pub asked: String,
    /// Where that is (x anterior, y superior, z lateral), mm.
    pub head: [f64; 3],
    /// Its clock position en face.
    pub clock: String,
    /// Unit direction from head toward tip.
    pub axis: [f64; 3],
    /// Angle between it and the normal of the fracture plane, degrees.
    pub off_square: f64,
    /// Outer diameter, mm.
    pub diameter: f64,
    /// Length from head to fracture plane, mm.
    pub grip: f64,
    /// Length beyond the fracture plane, mm.
    pub working_length: f64,
    /// Stiffness along its axis, N/mm.
    pub axial_stiffness: f64,
    /// Force at the fracture plane by a unit shift across its axis without a slope, N/mm.
    pub shift_stiffness: f64,
    /// Moment by a unit slope there without a shift, N·mm/rad.
    pub turn_stiffness: f64,
    /// Pull of its head when it is locked, N.
    pub preload: f64,
}

/// One tie of the order.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TieSummary {
    /// Limbs pulled together.
    pub limbs: Vec<String>,
    /// Screws tightened with them.
    pub screws: Vec<String>,
    /// `tension` or `reduced`.
    pub stop: String,
    /// Whether an instrument holds the fragment meanwhile.
    pub held: bool,
}

/// A construct as it was understood on a case.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ConstructSummary {
    /// Name.
    pub name: String,
    /// Description from the file.
    pub description: String,
    /// Anchors.
    pub anchors: Vec<AnchorSummary>,
    /// Limbs.
    pub limbs: Vec<LimbSummary>,
    /// Screws.
    pub screws: Vec<ScrewSummary>,
    /// Ties in order.
    pub ties: Vec<TieSummary>,
    /// Defaults taken.
    pub defaults: Vec<Taken>,
    /// Warnings.
    pub warnings: Vec<Warning>,
}

impl ConstructSummary {
    /// A construct on a case in plain numbers.
    pub fn new(case: &Case, construct: &Construct) -> Self {
        let names =
            |limbs: &[usize]| -> Vec<String> { limbs.iter().map(|k| construct.limbs[*k].name.clone()).collect() };
        Self {
            name: construct.name.clone(),
            description: construct.description.clone(),
            anchors: construct
                .anchors
                .iter()
                .map(|a| AnchorSummary {
                    name: a.name.clone(),
                    class: a.class.clone(),
                    asked: place(&a.place),
                    place: a.point.into(),
                    clock: clock(a.point.x, a.point.y),
                    stiffness: a.stiffness,
                    holding: a.holding,
                })
                .collect(),
            limbs: limbs(case, construct),
            screws: screws(case, construct),
            ties: construct
                .ties
                .iter()
                .map(|tie| TieSummary {
                    limbs: names(&tie.limbs),
                    screws: tie.screws.iter().map(|k| construct.screws[*k].name.clone()).collect(),
                    stop: word(&tie.stop),
                    held: tie.held,
                })
                .collect(),
            defaults: construct.defaults.clone(),
            warnings: construct.warnings.clone(),
        }
    }
}

fn limbs(case: &Case, construct: &Construct) -> Vec<LimbSummary> {
    let rig = crate::study::rig(case, construct, Start::Reduced);
    let laid = rig.laid(Pose::default());
    let idle = rig.idle();
    let mut solver = Solver::new(&rig);
    construct
        .limbs
        .iter()
        .enumerate()
        .map(|(k, limb)| LimbSummary {
            name: limb.name.clone(),
            group: limb.group.clone(),
            path: limb.path.iter().map(|s| stop(s, construct)).collect(),
            closed: limb.closed,
            strand: limb.strand.class.clone(),
            rigidity: limb.strand.rigidity,
            length: solver.limb_report(&laid, &idle, k).lengths.iter().sum(),
            tension: limb.tension,
            fixing: match limb.fixing {
                Fixing::Knot => "knot",
                Fixing::Knotless => "clamp",
            }
            .to_owned(),
            knot_slack: limb.knot_slack,
            knot_limit: limb.knot_limit,
        })
        .collect()
}

fn screws(case: &Case, construct: &Construct) -> Vec<ScrewSummary> {
    let rig = crate::study::rig(case, construct, Start::Reduced);
    let list = construct.screws.iter().zip(&rig.screws);
    list.map(|(screw, built)| {
        let stiffness = built.stiffness();
        let square = -screw.axis.dot(&case.fragment.normal);
        ScrewSummary {
            name: screw.name.clone(),
            group: screw.group.clone(),
            asked: place(&screw.place),
            head: screw.head.into(),
            clock: clock(screw.head.x, screw.head.y),
            axis: screw.axis.into(),
            off_square: libm::acos(square.clamp(-1.0, 1.0)).to_degrees(),
            diameter: screw.diameter,
            grip: screw.grip,
            working_length: screw.working_length,
            axial_stiffness: stiffness.axial,
            shift_stiffness: stiffness.shift,
            turn_stiffness: stiffness.slope,
            preload: screw.preload,
        }
    })
    .collect()
}

fn stop(stop: &Stop, construct: &Construct) -> String {
    let (word, locked) = match stop {
        Stop::Anchor { index, locked, .. } => (construct.anchors[*index].name.clone(), *locked),
        Stop::Bite { locked, .. } => ("labral bite".to_owned(), *locked),
        Stop::Crossing { edge, locked, .. } => (
            match edge {
                Edge::Rim => "over the rim",
                Edge::Margin => "round the margin",
                Edge::Bone => "over bone",
            }
            .to_owned(),
            *locked,
        ),
    };
    if locked { format!("{word} (locked)") } else { word }
}

fn place(place: &Place) -> String {
    match place {
        Place::Face { along, inset } => format!("face, along {along}, inset {inset} mm"),
        Place::Rim { along } => format!("rim, along {along}"),
        Place::Wall { along, below } => format!("wall, along {along}, {below} mm below the rim"),
        Place::Margin { along } => format!("margin, along {along}"),
        Place::Neck { along, beyond } => format!("neck, along {along}, {beyond} mm beyond"),
        Place::Crater { along, deep } => format!("crater, along {along}, {deep} mm deep"),
        Place::Clock { hours, inset } => format!("clock {hours} h, inset {inset} mm"),
        Place::Point([x, y, z]) => format!("point {x}, {y}, {z}"),
    }
}
