//! The socket, the fragment and the places on them: pure geometry in closed form.
//!
//! Frame of a right shoulder seen en face, from lateral: **x anterior, y superior, z lateral**.
//! The origin is the centre of the best-fit circle of the inferior glenoid, on the articular
//! surface. A left shoulder is computed in the same axes and only drawn mirrored. Millimetres and
//! radians throughout.

mod direction;
pub mod distance;
mod face;
mod fragment;
mod place;
mod socket;
mod vault;

pub use direction::bed_direction;
pub use face::{Face, HalfSpace};
pub use fragment::{Fragment, FragmentShape, GeometryError, clock_angle};
pub use place::{Along, Place, PlaceError};
pub use socket::Socket;
pub use vault::{Surface, Tunnel, Vault};
