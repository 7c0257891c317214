//! What is allowed but wants a look: crowded anchors, anchors at the rim's edge, limbs through bone.

use super::{Case, Construct, Fixing, LimbSpec, Stop, Warning};
use crate::anatomy::Place;
use crate::math::Vec3;

/// Depth (mm) by which a straight limb may cut the corner of a convex bone unremarked.
pub(crate) const THROUGH: f64 = 0.75;
/// Points looked at along a segment: one every tenth of a millimetre on the longest of them.
pub(crate) const SAMPLES: usize = 300;

/// The warnings of a construct on a case.
pub(super) fn warnings(construct: &Construct, case: &Case) -> Vec<Warning> {
    let mut warnings = Vec::new();
    spacing(construct, case, &mut warnings);
    edge_distances(construct, case, &mut warnings);
    for limb in &construct.limbs {
        through_bone(limb, construct, case, &mut warnings);
        too_weak(limb, construct, &mut warnings);
    }
    unused(construct, &mut warnings);
    super::screw::warnings(construct, case, &mut warnings);
    warnings
}

fn spacing(construct: &Construct, case: &Case, warnings: &mut Vec<Warning>) {
    for (k, a) in construct.anchors.iter().enumerate() {
        for b in &construct.anchors[k + 1..] {
            let distance = (a.point - b.point).norm();
            if distance < case.anchors.least_spacing {
                warnings.push(Warning {
                    message: format!(
                        "anchors {} and {} are {distance:.1} mm apart, closer than {} mm",
                        a.name, b.name, case.anchors.least_spacing
                    ),
                    advice: "move one of them, or join them in one anchor: bone between close anchors breaks out"
                        .into(),
                });
            }
        }
    }
}

/// Parts of a limb that give before it has the tension that it is to be tied with.
fn too_weak(limb: &LimbSpec, construct: &Construct, warnings: &mut Vec<Warning>) {
    let fixing = match limb.fixing {
        Fixing::Knot => "its knot slides".to_owned(),
        Fixing::Knotless => "its clamp slides".to_owned(),
    };
    let mut limits = vec![(fixing, limb.knot_limit)];
    limits.extend(limb.strand.strength.map(|strength| ("its strand breaks".to_owned(), strength)));
    for stop in &limb.path {
        match stop {
            Stop::Bite { bite, .. } => limits.push(("its bite tears".to_owned(), bite.strength)),
            Stop::Anchor { index, .. } => {
                let anchor = &construct.anchors[*index];
                limits.extend(anchor.holding.map(|holding| (format!("the anchor {} pulls out", anchor.name), holding)));
            }
            Stop::Crossing { .. } => {}
        }
    }
    // Each stands for one end of the strand; a loop on one anchor or bite pulls with two, which the run shows.
    for (what, limit) in limits {
        if limit < limb.tension {
            warnings.push(Warning {
                message: format!("limb {} is to be tied with {} N, but {what} at {limit} N", limb.name, limb.tension),
                advice: "lower its tension, or take a stronger part: as it stands it gives while it is tied".into(),
            });
        }
    }
}

/// How far an anchor on the face is from its two edges, the rim and the fracture, mm, with the least that is asked and the
/// edge in words; of one that sits elsewhere nothing.
pub(crate) fn to_edges(case: &Case, place: &Place, point: &Vec3) -> Vec<(f64, f64, &'static str)> {
    if !place.is_on_face() {
        return Vec::new();
    }
    let rim = case.fragment.socket.radius - libm::hypot(point.x, point.y);
    let fracture = (case.fragment.nearest_edge_point(point) - point).norm();
    let limits = &case.anchors;
    vec![(rim, limits.least_rim_distance, "rim's edge"), (fracture, limits.least_fracture_distance, "fracture edge")]
}

/// Anchors on the face that are nearer to its edges than is asked.
fn edge_distances(construct: &Construct, case: &Case, warnings: &mut Vec<Warning>) {
    const ADVICE: [&str; 2] = [
        "move it toward the middle of the chord or give it more inset: the rim may break out",
        "give it more inset: bone between it and the fracture may break out",
    ];
    for a in &construct.anchors {
        for ((distance, least, edge), advice) in to_edges(case, &a.place, &a.point).into_iter().zip(ADVICE) {
            if distance < least {
                warnings.push(Warning {
                    message: format!("anchor {} sits {distance:.1} mm from the {edge}, closer than {least} mm", a.name),
                    advice: advice.into(),
                });
            }
        }
    }
}

fn through_bone(limb: &LimbSpec, construct: &Construct, case: &Case, warnings: &mut Vec<Warning>) {
    for (stop, next, deepest) in depths(limb, construct, case, SAMPLES) {
        if deepest > THROUGH {
            warnings.push(Warning {
                message: format!(
                    "limb {} runs {deepest:.1} mm deep through the fragment's bone between its stops {} and {}",
                    limb.name,
                    stop + 1,
                    next + 1
                ),
                advice: "lead it over the rim or round the margin there".into(),
            });
        }
    }
}

/// How deep (mm) each stretch of a limb between given points runs through the fragment's bone, with
/// the indices of its stops; `samples` points are looked at along each.
pub(crate) fn depths(limb: &LimbSpec, construct: &Construct, case: &Case, samples: usize) -> Vec<(usize, usize, f64)> {
    let mut found = Vec::new();
    let point = |stop: &Stop| stop.point(|k| Some(construct.anchors[k].point));
    let n = limb.path.len();
    for k in 0..if limb.closed { n } else { n - 1 } {
        let ends = [&limb.path[k], &limb.path[(k + 1) % n]];
        // A stitch through labrum stands for a strand led through tissue round the thin end of the
        // fragment; its straight leg is a stated simplification, not a slip of the user's.
        if ends.iter().any(|stop| matches!(stop, Stop::Bite { .. })) {
            continue;
        }
        let (Some(a), Some(b)) = (point(ends[0]), point(ends[1])) else {
            continue;
        };
        let deepest = (0..=samples)
            .map(|i| case.fragment.depth_inside(&a.lerp(&b, i as f64 / samples as f64)))
            .fold(f64::NEG_INFINITY, f64::max);
        found.push((k, (k + 1) % n, deepest));
    }
    found
}

fn unused(construct: &Construct, warnings: &mut Vec<Warning>) {
    for (k, a) in construct.anchors.iter().enumerate() {
        let used = construct
            .limbs
            .iter()
            .flat_map(|l| &l.path)
            .any(|s| matches!(s, Stop::Anchor { index, .. } if *index == k));
        if !used {
            warnings.push(Warning {
                message: format!("no limb uses anchor {}", a.name),
                advice: "remove it, or lead a limb to it".into(),
            });
        }
    }
}
