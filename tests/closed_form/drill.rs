//! Holes: closed forms of the suite, a brute-force reference by points of the surfaces, and a left shoulder.

use crate::closed_form::rigging::all_pass;
use rimhold::anatomy::{Fragment, FragmentShape, Socket, Surface, Tunnel, Vault, clock_angle};
use rimhold::math::Vec3;
use rimhold::model::{CONSTRUCTS, Case, ConstructFile, Side};
use rimhold::study::{DrillPlan, drill};
use rimhold::verify::closed_form;
use std::f64::consts::TAU;

#[test]
fn distances_of_holes_are_those_of_analytic_geometry() {
    all_pass(closed_form::tunnels);
    all_pass(closed_form::cover);
    all_pass(closed_form::portal);
}

fn quarter() -> Fragment {
    Fragment::new(
        Socket { radius: 13.0, face_radius: Some(30.0) },
        FragmentShape { width: 6.5, direction: clock_angle(4.0), depth: 10.0, tilt: 10f64.to_radians(), length: None },
    )
    .unwrap()
}

/// Distance (mm) of neighbouring points of a surface; none of it is farther than that from one.
const PITCH: f64 = 0.12;

fn points(f: &Fragment, surface: Surface) -> Vec<Vec3> {
    let steps = |length: f64| (length / PITCH).ceil().max(1.0) as i32;
    let mut all = Vec::new();
    match surface {
        Surface::Face => {
            for (i, j) in (-110..=110).flat_map(|i| (-110..=110).map(move |j| (i, j))) {
                let (x, y) = (PITCH * f64::from(i), PITCH * f64::from(j));
                if x.hypot(y) <= f.socket.radius {
                    all.push(f.socket.on_face(x, y));
                }
            }
        }
        Surface::Rim => {
            for k in 0..4000 {
                let (y, x) = (f64::from(k) * TAU / 4000.0).sin_cos();
                let p = Vec3::new(f.socket.radius * x, f.socket.radius * y, f.socket.rim_height());
                if p.dot(&f.outward) < f.chord_distance {
                    all.push(p);
                }
            }
        }
        Surface::Bed => {
            let n = steps(f.half_chord);
            for t in (-n..=n).map(|i| f.half_chord * f64::from(i) / f64::from(n)) {
                let (top, bottom) = f.bed_column(t);
                let m = steps(bottom - top);
                all.extend((0..=m).map(|j| f.bed_point(t, top + (bottom - top) * f64::from(j) / f64::from(m))));
            }
        }
        Surface::Wall => {
            for z in (0..260).map(|i| f.socket.rim_height() - 0.1 * f64::from(i)) {
                let r = f.wall_radius(z);
                let n = steps(TAU * r);
                all.extend((0..n).map(|k| {
                    let (y, x) = (TAU * f64::from(k) / f64::from(n)).sin_cos();
                    Vec3::new(r * x, r * y, z)
                }));
            }
        }
    }
    all
}

/// The closed forms against distances to points of each surface: a reference that knows no formula.
#[test]
fn bone_left_is_what_points_of_each_surface_say() {
    let f = quarter();
    let bone = Vault::of(&f);
    let mut checked = 0;
    for (entry, axis, depth) in [
        ([-3.0, -2.0, -4.0], [0.3, 0.2, -1.0], 7.0),
        ([1.0, 3.0, -5.0], [-1.0, -0.3, -0.2], 6.0),
        ([2.0, -4.0, -3.0], [-0.2, 0.8, -0.4], 8.0),
        ([-5.0, 1.0, -3.0], [1.0, 0.1, -0.1], 5.0),
    ] {
        let axis = Vec3::from(axis).normalize();
        let tunnel = Tunnel { entry: Vec3::from(entry), axis, depth, diameter: 1.8, through: None };
        for surface in Surface::ALL {
            let (left, _) = bone.left(&tunnel, surface);
            let cloud = points(&f, surface);
            let walked = (0..=100).map(|k| tunnel.entry + axis * (depth * f64::from(k) / 100.0));
            let nearest = |p: Vec3| cloud.iter().map(|q| (q - p).norm()).fold(f64::INFINITY, f64::min);
            let least = walked.map(nearest).fold(f64::INFINITY, f64::min) - 0.9;
            // Beside the nearest point of the surface, `d` off, lies one of the cloud within a pitch: it is at most
            // √(d² + pitch²) − d farther; half a step of the walk, and pieces of rim and bed that sag by 0.002 mm.
            let d = left + 0.9;
            let miss = d.hypot(PITCH) - d + 0.5 * depth / 100.0 + 0.002;
            assert!(left > 0.0, "{surface:?} {entry:?}: {left}");
            assert!(left <= least + 0.002 && least - left <= miss, "{surface:?} {entry:?}: {left} {least} {miss}");
            checked += 1;
        }
    }
    assert_eq!(checked, 16);
}

/// A left shoulder is the mirror image of a right one, computed in the same axes: the same numbers to the last digit.
#[test]
fn a_left_shoulder_has_the_same_holes() {
    for (name, _) in CONSTRUCTS {
        let right = Case::open("quarter").unwrap();
        let left = Case { side: Side::Left, ..right.clone() };
        let plan = DrillPlan { remedies: false, ..DrillPlan::default() };
        let of = |case: &Case| drill(case, &ConstructFile::open(name).unwrap().fit(case).unwrap(), &plan);
        assert_eq!(of(&right), of(&left), "{name}");
    }
}

/// Every built-in construct is judged: each hole has a portal and bone to every surface.
#[test]
fn every_built_in_construct_is_judged() {
    for of in ["quarter", "large"] {
        let case = Case::open(of).unwrap();
        for (name, _) in CONSTRUCTS {
            let construct = ConstructFile::open(name).unwrap().fit(&case).unwrap_or_else(|e| panic!("{e}"));
            let found = drill(&case, &construct, &DrillPlan { pitch: 1.0, turn: 15.0, ..DrillPlan::default() });
            assert_eq!(found.holes.len(), construct.anchors.len() + construct.screws.len(), "{name}");
            for hole in &found.holes {
                assert!(hole.portal.is_some() && hole.short >= 0.0, "{name} {}", hole.name);
                assert_eq!(hole.left.len(), if hole.screw { 3 } else { 4 }, "{name} {}", hole.name);
                assert!((Vec3::from(hole.axis).norm() - 1.0).abs() < 1e-14, "{name} {}", hole.name);
            }
            for broken in &found.violations {
                assert!(!broken.holes.is_empty() && broken.value.is_finite(), "{name} {broken:?}");
            }
        }
    }
}

const TWO: &str = r#"
[anchor.a]
at = { face = { along = 0, inset = 4.0 } }
diameter = 1.8
depth = 12.0
axis = [0.0, 0.0, -1.0]
[anchor.b]
at = { face = { along = 8.0, inset = 4.0 } }
portal = "mine"
[portal.mine]
clock = "4:00"
elevation = 60
half_angle = 20
turn = 10
[limb.l]
path = ["a", { bite = { along = 0, below = 3 } }, "a"]
[limb.m]
path = ["b", { bite = { along = 8, below = 3 } }, "b"]
"#;

/// A hole along a given direction, and one along the guide of a portal of one's own, each as worked by hand; and what
/// would do instead does.
#[test]
fn a_hole_is_where_its_file_has_it() {
    let case = Case::open("quarter").unwrap();
    let judged = |text: &str| {
        let construct =
            ConstructFile::parse("c.toml", text).and_then(|f| f.fit(&case)).unwrap_or_else(|e| panic!("{e}"));
        drill(&case, &construct, &DrillPlan::default())
    };
    let found = judged(TWO);
    let (a, b, f) = (&found.holes[0], &found.holes[1], &case.fragment);
    // Straight medial: its tip 12 mm below its mouth. Of the built-in portals the anterosuperior one, 45° up with 25°,
    // comes nearest without one's own at 60° and 30°, which reaches: straight medial is on its edge.
    assert!((a.tip[2] - (a.entry[2] - 12.0)).abs() < 1e-12 && a.given);
    assert_eq!((a.portal.as_deref(), a.short, a.reached), (Some("mine"), 0.0, true), "{a:?}");
    let without = judged(&TWO.replace("portal = \"mine\"\n", "").replace("elevation = 60", "elevation = 0"));
    assert!((without.holes[0].short - 20.0).abs() < 1e-9 && !without.holes[0].reached, "{:?}", without.holes[0]);
    assert!(without.violations.iter().any(|v| v.key == "reach" && v.holes == [0]));
    // Square to the face leans outward of straight medial, so that the guide at 4:00 can come to the cone's edge only.
    assert_eq!(b.portal.as_deref(), Some("mine"));
    let guide = -(f.outward * 60f64.to_radians().cos() + Vec3::z() * 60f64.to_radians().sin());
    let off = Vec3::from(b.axis).dot(&guide).acos().to_degrees();
    assert!((off - 30.0).abs() < 1e-9 && b.short > 0.0, "{off}");
    let text = TWO.replace("depth = 12.0\naxis = [0.0, 0.0, -1.0]", "depth = 22.0");
    let deep = judged(&text);
    let remedy = deep.holes[0].remedy.as_ref().expect("it leaves the bone");
    let own =
        |found: &rimhold::study::result::Drilling| found.violations.iter().filter(|v| v.holes.contains(&0)).count();
    assert!(own(&deep) > 0);
    if let Some(turned) = &remedy.turned {
        let there = text.replace("depth = 22.0", &format!("depth = {:?}\naxis = {:?}", turned.depth, turned.axis));
        assert_eq!(own(&judged(&there)), 0, "{turned:?}");
    }
    if let Some(moved) = &remedy.moved {
        let [along, inset] = [0, 1].map(|k| moved.coordinates[k].value);
        let there = text.replace("along = 0, inset = 4.0", &format!("along = {along:?}, inset = {inset:?}"));
        let there = there.replace("depth = 22.0", &format!("depth = {:?}", moved.depth));
        assert_eq!(own(&judged(&there)), 0, "{moved:?}");
    }
    assert!(remedy.turned.is_some() || remedy.moved.is_some());
}
