//! The head on the socket: foundation, rim, energy.

use crate::anatomy::{Fragment, FragmentShape, Socket};
use crate::math::{Rotation, Vec3, rotation};
use crate::mechanics::Pose;
use crate::mechanics::joint::{Head, Joint, NODES, Part, Piece};
use crate::model::{Case, JointSpec};
use crate::study::{self, Direction};
use crate::verify::check::{Found, Sheet};
use std::f64::consts::PI;

const HEAD: Head = Head { radius: 24.0, stiffness: 9.5 };

fn fragment(face_radius: Option<f64>) -> Found<Fragment> {
    let shape = FragmentShape { width: 6.5, direction: -PI / 6.0, depth: 10.0, tilt: 10f64.to_radians(), length: None };
    Fragment::new(Socket { radius: 13.0, face_radius }, shape).map_err(|e| e.message)
}

/// A sphere on an elastic layer, flat and hollow: force, area, pressure.
pub fn foundation(s: &mut Sheet) -> Found<()> {
    s.law(
        "sphere on an elastic foundation (Winkler)",
        "integrals of k δ over the face in closed form: on a plane F = π k (R − δ) δ², A = π (2Rδ − δ²); in a hollow \
         sphere a polynomial in the distance of the centres",
    );
    let Head { radius: r, stiffness: k } = HEAD;
    // On a plane with s ds = c dc: F = 2πk z ∫ (R − s) ds from z to R, about π k R δ² where it is shallow.
    let flat = Joint::new(&fragment(None)?, HEAD, 2 * NODES);
    let (mut forces, mut areas, mut pressures, mut energies) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for depth in [0.01, 0.1, 0.5] {
        let found = flat.part(Part::Whole, &Vec3::new(1.0, -2.0, r - depth));
        forces.push((found.force.z, PI * k * (r - depth) * depth * depth));
        areas.push((found.area, PI * (2.0 * r * depth - depth * depth)));
        pressures.push((found.pressure, k * depth));
        // ∫ ½ k (R − s)² 2π s ds.
        let third = |s: f64| r * r * s * s / 2.0 - 2.0 * r * s * s * s / 3.0 + s.powi(4) / 4.0;
        energies.push((found.energy, PI * k * (third(r) - third(r - depth))));
    }
    s.within(1e-9, "roundings of a penetration, the difference of 24 mm, times some 1e3 N/mm; of the energy fourth powers of 24 mm");
    s.worst("on a plane: force", "N", &forces);
    s.worst("on a plane: area in contact", "mm²", &areas);
    s.worst("on a plane: largest pressure", "MPa", &pressures);
    s.worst("on a plane: energy", "N·mm", &energies);
    // In a hollow sphere of radius ρ, the centres d apart: s² = ρ² + d² − 2ρd cos ψ, s ds = ρd sin ψ dψ, so that
    // F = πρk/d² ∫ (R − s)(ρ² − d² − s²) ds from ρ − d to R; it points along the line of centres.
    let rho = 30.0;
    let hollow = Joint::new(&fragment(Some(rho))?, HEAD, 2 * NODES);
    let (mut forces, mut areas, mut aside) = (Vec::new(), Vec::new(), 0.0f64);
    for (d, angle) in [(6.1f64, 0.0f64), (6.1, 8.0), (6.02, 12.0)] {
        let (sin, cos) = libm::sincos(angle.to_radians());
        let line = Vec3::new(0.6 * sin, 0.8 * sin, -cos);
        let found = hollow.part(Part::Whole, &(Vec3::z() * rho + line * d));
        let a = rho * rho - d * d;
        let whole = |s: f64| r * a * s - a * s * s / 2.0 - r * s.powi(3) / 3.0 + s.powi(4) / 4.0;
        forces.push((-found.force.dot(&line), PI * rho * k / (d * d) * (whole(r) - whole(rho - d))));
        areas.push((found.area, 2.0 * PI * rho * rho * (1.0 - (rho * rho + d * d - r * r) / (2.0 * rho * d))));
        aside = aside.max((found.force - line * found.force.dot(&line)).norm());
    }
    s.within(1e-7, "fourth powers of 24 mm, whose differences are 1e-6 of them, times 100 N/mm⁴");
    s.worst("in a hollow sphere: force", "N", &forces);
    s.worst("in a hollow sphere: area in contact", "mm²", &areas);
    s.at_most("force off the line of centres", "N", aside, 0.0);
    Ok(())
}

/// A case with a foundation so stiff that the contact is a point.
fn stiff() -> Found<Case> {
    let mut case = Case::open("quarter").map_err(|p| p.to_string())?;
    case.joint = JointSpec { cartilage_modulus: 1e14, cartilage_thickness: 1.0, ..case.joint };
    Ok(case)
}

/// On a stiff foundation the ratio is the slope of the face where it ends, and beyond that of the line to the edge.
pub fn rim(s: &mut Sheet) -> Found<()> {
    s.law(
        "stability ratio without friction, stiff foundation",
        "statics of a body on an incline: the tangent of the slope where the face ends, R/√(ρ² − R²), reached at \
         R (ρ − R_h)/ρ; on the edge that of the line from there to the head's centre, (R − x)/√(R_h² − (R − x)²)",
    );
    let case = stiff()?;
    let fragment = &case.fragment;
    let socket = fragment.socket;
    let (radius, head) = (socket.radius, case.joint.head_radius);
    let rho = socket.face_radius.ok_or("a hollow face")?;
    let slope = |r: f64| r / (rho * rho - r * r).sqrt();
    let outward = Direction::of_shoulder("outward", fragment.outward);
    let whole = study::slid(&case, &Piece::Whole, &outward);
    let missing = study::slid(&case, &Piece::Missing, &outward);
    s.within(1e-4, "contact is some 3 µm wide: the slope changes by 1e-4 over that");
    s.equal("at the rim", "", whole.ratio, slope(radius));
    s.equal("at the fracture line, fragment gone", "", missing.ratio, slope(fragment.chord_distance));
    let edge = |x: f64| (radius - x) / (head * head - (radius - x) * (radius - x)).sqrt();
    let after = whole.curve.iter().filter(|p| p.displacement > whole.at + 0.5);
    let pairs: Vec<(f64, f64)> = after.map(|p| (p.force / case.joint.compression, edge(p.displacement))).collect();
    s.worst("riding on the edge of the rim", "", &pairs);
    s.within(
        2e-4,
        "a fifth of the contact's 3 µm, as the head moves against its contact, and 1e-5 of the section searched",
    );
    s.equal("displacement there", "mm", whole.at, radius * (rho - head) / rho);
    s.within(1e-5, "the penetration");
    s.equal("climb, the depth of the socket", "mm", whole.climb, socket.rim_height());
    let before = whole.curve.iter().filter(|p| p.displacement > 0.0 && p.displacement < whole.at - 0.2);
    let d = rho - head;
    let pairs: Vec<(f64, f64)> = before
        .map(|p| (p.force / case.joint.compression, p.displacement / (d * d - p.displacement * p.displacement).sqrt()))
        .collect();
    s.worst("inside the rim, the slope under the head", "", &pairs);
    Ok(())
}

/// The force against the slide is the slope of energy and work of the compression together.
pub fn potential(s: &mut Sheet) -> Found<()> {
    s.law(
        "force against the slide, from the energy",
        "conservation of energy without friction: F = d(U + N z)/du at constant compression N",
    );
    let case = Case::open("quarter").map_err(|p| p.to_string())?;
    let spec = case.joint;
    let head = Head { radius: spec.head_radius, stiffness: spec.foundation() };
    let joint = Joint::new(&case.fragment, head, 2 * NODES);
    let turn = rotation(&Vec3::new(0.02, -0.03, 0.05));
    let pieces = [
        Piece::Whole,
        Piece::Missing,
        Piece::At(Pose { shift: Vec3::new(0.2, -0.5, -0.3), turn }),
        Piece::At(Pose { shift: Vec3::new(0.1, 0.0, 0.4), turn: Rotation::identity() }),
    ];
    let way = [0.8, -0.6];
    let h = 1e-3;
    let mut pairs = Vec::new();
    for piece in &pieces {
        for u in [0.4, 1.3, 2.9, 5.1, 8.3] {
            let at = |u: f64| {
                let seated = joint.seat(piece, way.map(|w| w * u), spec.compression, None);
                seated.ok_or_else(|| format!("nothing bears the head {u} mm out"))
            };
            let (before, here, after) = (at(u - h)?, at(u)?, at(u + h)?);
            let potential = |s: &crate::mechanics::joint::Seated| s.contact.energy + spec.compression * s.height;
            let force = here.contact.force;
            pairs.push((-(force.x * way[0] + force.y * way[1]), (potential(&after) - potential(&before)) / (2.0 * h)));
        }
    }
    s.within(1e-5, "differences over 2 µm: their square times the third derivative, and roundings over them");
    s.worst("intact, missing, displaced, proud", "N", &pairs);
    Ok(())
}

/// Integrals over rings against ever more of them.
pub fn rings(s: &mut Sheet) -> Found<()> {
    s.calculation("rings of the joint", "the calculation itself: four times as many chords");
    let case = Case::open("quarter").map_err(|p| p.to_string())?;
    let spec = case.joint;
    let head = Head { radius: spec.head_radius, stiffness: spec.foundation() };
    let worst = |nodes: usize| {
        let [usual, fine] = [nodes, 4 * NODES].map(|n| Joint::new(&case.fragment, head, n));
        let mut off = 0.0f64;
        for u in 0..26 {
            let centre = Vec3::new(0.43 * f64::from(u), -0.22 * f64::from(u), 23.9 + 0.004 * f64::from(u * u));
            for part in [Part::Whole, Part::Fragment, Part::Rest] {
                let (a, b) = (usual.part(part, &centre).force, fine.part(part, &centre).force);
                off = off.max((a - b).norm());
            }
        }
        off
    };
    s.within(1e-4, "two millionths of the compression: where a ring all but touches a boundary convergence is slow");
    s.at_most("force off by, over the whole slide, usual chords", "N", worst(NODES), 0.0);
    s.within(1e-7, "the same, a thousandth of it with twice as many: they converge by powers");
    s.at_most("force off by, twice as many chords", "N", worst(2 * NODES), 0.0);
    Ok(())
}
