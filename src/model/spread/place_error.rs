//! Where an anchor lands when it misses its place.

use crate::anatomy::{Along, Fragment, Place};

/// The place an error away, in the anchor's own plane: `along` (mm) along the fracture line, positive
/// superior, and `across` (mm) in the second coordinate of the place, away from the fracture line or
/// medially. The anchor stays on the surface that its kind of place lies on.
pub(in super::super) fn shifted(place: &Place, [along, across]: [f64; 2], on: &Fragment) -> Place {
    if along == 0.0 && across == 0.0 {
        return *place;
    }
    let moved = |a: Along| Along::Mm(a.on(on) + along);
    match *place {
        Place::Face { along, inset } => Place::Face { along: moved(along), inset: inset + across },
        Place::Wall { along, below } => Place::Wall { along: moved(along), below: below + across },
        Place::Neck { along, beyond } => Place::Neck { along: moved(along), beyond: beyond + across },
        Place::Crater { along, deep } => Place::Crater { along: moved(along), deep: deep + across },
        Place::Rim { along } => Place::Rim { along: moved(along) },
        Place::Margin { along } => Place::Margin { along: moved(along) },
        Place::Clock { hours, inset } => {
            // An arc about the socket's centre; hours run from superior to anterior.
            let radius = (on.socket.radius - inset).max(1.0);
            Place::Clock {
                hours: (hours - (along / radius).to_degrees() / 30.0).clamp(0.0, 12.0),
                inset: inset + across,
            }
        }
        Place::Point(p) => {
            let moved = crate::math::Vec3::from(p) + on.along * along - on.outward * across;
            Place::Point(moved.into())
        }
    }
}
