//! Holes: distances of straight tunnels, bone left to a sphere, a cone, a plane and an arc, and a direction beside a cone.

use crate::anatomy::distance::{between, seen_from, within_cone};
use crate::anatomy::{Fragment, FragmentShape, Socket, Surface, Tunnel, Vault, clock_angle};
use crate::math::{Vec3, angle_between};
use crate::verify::check::{Found, Sheet};

/// A 26 mm circle, a quarter wide, at 3 o'clock, so that outward is anterior; its fracture runs straight medially.
fn fragment(face_radius: Option<f64>) -> Found<Fragment> {
    Fragment::new(
        Socket { radius: 13.0, face_radius },
        FragmentShape { width: 6.5, direction: clock_angle(3.0), depth: 10.0, tilt: 0.0, length: None },
    )
    .map_err(|e| e.to_string())
}

/// A tunnel from a point along a direction, entering by no surface: all of it counts.
fn tunnel(entry: [f64; 3], axis: [f64; 3], depth: f64, diameter: f64) -> Tunnel {
    Tunnel { entry: Vec3::from(entry), axis: Vec3::from(axis).normalize(), depth, diameter, through: None }
}

/// Bone between two tunnels.
pub fn tunnels(s: &mut Sheet) -> Found<()> {
    s.law(
        "bone between two straight holes with round ends",
        "analytic geometry: distance of two segments (common perpendicular, parallels, ends), less both radii",
    );
    let v = |x: f64, y: f64, z: f64| Vec3::new(x, y, z);
    let worked = [
        // Skew lines that pass at right angles: the common perpendicular.
        ([v(-5.0, 0.0, 0.0), v(5.0, 0.0, 0.0)], [v(0.0, -4.0, 3.0), v(0.0, 4.0, 3.0)], 3.0),
        // Parallels side by side.
        ([v(0.0, 0.0, 0.0), v(10.0, 0.0, 0.0)], [v(2.0, 5.0, 0.0), v(8.0, 5.0, 0.0)], 5.0),
        // One behind the other on a line.
        ([v(0.0, 0.0, 0.0), v(4.0, 0.0, 0.0)], [v(6.0, 0.0, 0.0), v(9.0, 0.0, 0.0)], 2.0),
        // An end before the middle of the other.
        ([v(0.0, 0.0, 0.0), v(10.0, 0.0, 0.0)], [v(5.0, 4.0, 0.0), v(5.0, 9.0, 0.0)], 4.0),
        // End to end over the diagonal of a box of 3 by 4 by 12.
        ([v(-2.0, 0.0, 0.0), v(0.0, 0.0, 0.0)], [v(3.0, 4.0, 12.0), v(4.0, 9.0, 14.0)], 13.0),
        // They cross.
        ([v(-1.0, -1.0, 0.0), v(1.0, 1.0, 0.0)], [v(-1.0, 1.0, 0.0), v(1.0, -1.0, 0.0)], 0.0),
        // A point and a segment.
        ([v(0.0, 3.0, 4.0), v(0.0, 3.0, 4.0)], [v(-7.0, 0.0, 0.0), v(7.0, 0.0, 0.0)], 5.0),
    ];
    s.within(1e-14, "roundings of lengths of 10 mm");
    let both = worked.iter().flat_map(|(a, b, d)| [(between(a, b), *d), (between(b, a), *d)]);
    s.worst("distance of two axes, either first", "mm", &both.collect::<Vec<_>>());
    let one = tunnel([0.0, 0.0, 0.0], [1.0, 0.0, 0.0], 12.0, 2.9);
    let other = tunnel([6.0, -4.0, 5.0], [0.0, 1.0, 0.0], 9.0, 1.8);
    s.equal("holes of 2.9 and 1.8 mm that pass at 5 mm", "mm", one.bridge(&other).0, 2.65);
    Ok(())
}

/// Bone between a tunnel and the surfaces of the vault.
pub fn cover(s: &mut Sheet) -> Found<()> {
    s.law(
        "bone that a hole leaves to face, rim, fracture bed and neck wall",
        "analytic geometry: distance of a line to a sphere, a plane and a circle, and of a point to a cone",
    );
    let (round, flat) = (fragment(Some(30.0))?, fragment(None)?);
    let (bone, on_flat) = (Vault::of(&round), Vault::of(&flat));
    // A hole along x, 10 mm below the bottom of a face of radius 30: 40 mm from the sphere's centre.
    let across = tunnel([-4.0, 0.0, -10.0], [1.0, 0.0, 0.0], 8.0, 2.0);
    s.within(1e-13, "roundings of lengths of 40 mm");
    s.equal("to a face of radius 30 mm, 10 mm below its bottom", "mm", bone.left(&across, Surface::Face).0, 9.0);
    let down = tunnel([-4.0, 0.0, -3.0], [3.0, 0.0, -4.0], 10.0, 2.0);
    s.equal("to a flat face, 3 mm below it", "mm", on_flat.left(&down, Surface::Face).0, 2.0);
    // The bed lies in the plane x = 6.5; one hole runs down beside it, another comes 1.5 mm out of it.
    let beside = tunnel([4.0, 0.0, -1.0], [0.0, 0.0, -1.0], 6.0, 1.0);
    s.equal("to the plane of the bed, 2.5 mm beside it", "mm", on_flat.left(&beside, Surface::Bed).0, 2.0);
    let out = tunnel([4.0, 0.0, -4.0], [1.0, 0.0, 0.0], 4.0, 1.0);
    s.equal("a hole that comes 1.5 mm out of the bed", "mm", on_flat.left(&out, Surface::Bed).0, -2.0);
    // The wall of a flat socket runs from (13, 0) to (6.5, -10): it narrows by 0.65 mm a millimetre.
    let slope = libm::hypot(1.0, 0.65);
    let deep = tunnel([0.0, 0.0, -2.0], [0.0, 0.0, -1.0], 6.0, 2.0);
    let expected = (13.0 - 0.65 * 8.0) / slope - 1.0;
    s.equal("to the wall's cone, down its axis", "mm", on_flat.left(&deep, Surface::Wall).0, expected);
    let through = tunnel([6.0, 0.0, -6.0], [-1.0, 0.0, 0.0], 18.0, 2.0);
    let expected = (13.0 - 0.65 * 6.0 - 12.0) / slope - 1.0;
    s.equal("a hole through the far side of the cone", "mm", on_flat.left(&through, Surface::Wall).0, expected);
    // From the axis of the circle every point of the rim is as far.
    let axis = tunnel([0.0, 0.0, -5.0], [0.0, 0.0, -1.0], 6.0, 2.0);
    let expected = libm::hypot(13.0, 5.0) - 1.0;
    s.within(2e-3, "the rim is cut into pieces; an arc of 13 mm sags by less than that");
    s.equal("to the rim from its axis, 5 mm below", "mm", on_flat.left(&axis, Surface::Rim).0, expected);
    Ok(())
}

/// A direction beside the cone of a portal.
pub fn portal(s: &mut Sheet) -> Found<()> {
    s.law(
        "a direction beside the cone of a portal",
        "spherical trigonometry: angles between directions of known clock position and elevation",
    );
    let short = |wanted: Vec3, hours: f64, up: f64, half: f64| {
        let guide = -seen_from(clock_angle(hours), up.to_radians());
        within_cone(&wanted, &guide, half.to_radians()).1.to_degrees()
    };
    let (medial, posterior, inferior) = (-Vec3::z(), -Vec3::x(), -Vec3::y());
    s.within(1e-12, "roundings of angles of 90 degrees");
    s.equal("medially, a portal 30 degrees up with 25", "deg", short(medial, 4.5, 30.0, 25.0), 35.0);
    s.equal("the same with a guide that turns by 10", "deg", short(medial, 4.5, 30.0, 35.0), 25.0);
    s.equal("posteriorly, a portal at 3:00, 30 up with 25", "deg", short(posterior, 3.0, 30.0, 25.0), 5.0);
    s.equal("inferiorly, a level portal at 1:30 with 20", "deg", short(inferior, 1.5, 0.0, 20.0), 25.0);
    s.equal("within the cone", "deg", short(posterior, 3.0, 20.0, 25.0), 0.0);
    let axis = seen_from(0.4, 0.2);
    let aside = axis.cross(&Vec3::z()).normalize();
    let on_edge = |half: f64| (angle_between(&within_cone(&aside, &axis, half).0, &axis), half);
    s.within(1e-15, "roundings of numbers near 1");
    s.worst("the nearest direction of a cone lies on its edge", "rad", &[0.1, 0.3, 1.0, 1.5].map(on_edge));
    Ok(())
}
