//! Places on the socket and the fragment, in the words of a case file.

use super::{Fragment, clock_angle};
use crate::math::Vec3;
use serde::Serialize;
use std::fmt;
use thiserror::Error;

/// A position along the chord from its middle, positive toward superior.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Along {
    /// Millimetres.
    Mm(f64),
    /// Percent of the half chord.
    Percent(f64),
}

impl Along {
    /// The position in mm on this fragment.
    pub fn on(self, fragment: &Fragment) -> f64 {
        match self {
            Self::Mm(t) => t,
            Self::Percent(p) => 0.01 * p * fragment.half_chord,
        }
    }
}

impl fmt::Display for Along {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Mm(t) => write!(f, "{t} mm"),
            Self::Percent(p) => write!(f, "{p} %"),
        }
    }
}

/// Where something sits, on the reduced anatomy.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Place {
    /// Intact cartilage beside the fracture line, `inset` mm toward the socket's centre.
    Face {
        /// Along the chord.
        along: Along,
        /// Distance from the fracture line, mm.
        inset: f64,
    },
    /// The rim of the socket.
    Rim {
        /// Along the chord.
        along: Along,
    },
    /// The neck wall `below` mm medial to the rim, where a labral bite sits.
    Wall {
        /// Along the chord.
        along: Along,
        /// Distance medial to the rim's height, mm.
        below: f64,
    },
    /// The medial edge of the fragment, where fracture plane and neck wall meet.
    Margin {
        /// Along the chord.
        along: Along,
    },
    /// The neck cortex medial to the fragment, on the wall continued.
    Neck {
        /// Along the chord.
        along: Along,
        /// Distance medial to the fragment's exit at mid-chord, mm.
        beyond: f64,
    },
    /// The fracture bed, `deep` mm medial to the face.
    Crater {
        /// Along the chord.
        along: Along,
        /// Distance medial to the face at mid-chord, mm.
        deep: f64,
    },
    /// The face at a clock position, `inset` mm from the rim.
    Clock {
        /// Clock position in hours.
        hours: f64,
        /// Distance from the rim, mm.
        inset: f64,
    },
    /// Socket coordinates, mm.
    Point([f64; 3]),
}

impl Place {
    /// Whether it is on the face.
    pub fn is_on_face(&self) -> bool {
        matches!(self, Self::Face { .. } | Self::Clock { .. })
    }
}

/// A place that is not on the bone.
#[derive(Debug, Clone, PartialEq, Error)]
#[error("{0}")]
pub struct PlaceError(pub String);

impl Fragment {
    /// The point of a place on the reduced anatomy, mm in the socket frame.
    ///
    /// # Errors
    /// When the place is off the bone it names, with the range that is on it.
    pub fn locate(&self, place: &Place) -> Result<Vec3, PlaceError> {
        let radius = self.socket.radius;
        let spread = |r: f64, t: f64, z: f64, what: &str| {
            let square = r * r - t * t;
            if r > 0.0 && square > 0.0 {
                Ok(self.outward * square.sqrt() + self.along * t + Vec3::z() * z)
            } else {
                Err(PlaceError(format!("along {t:.2} mm is off the {what}, which ends at ±{:.2} mm there", r.max(0.0))))
            }
        };
        match *place {
            Place::Face { along, inset } => {
                let (e, t) = (self.chord_distance - inset, along.on(self));
                if libm::hypot(e, t) > radius {
                    return Err(PlaceError(format!(
                        "along {t:.2} mm, inset {inset:.2} mm is off the face: its distance from the centre is {:.2} mm on a circle of radius {radius:.2} mm",
                        libm::hypot(e, t)
                    )));
                }
                let flat = self.outward * e + self.along * t;
                Ok(self.socket.on_face(flat.x, flat.y))
            }
            Place::Rim { along } => spread(radius, along.on(self), self.socket.rim_height(), "rim"),
            Place::Wall { along, below } => {
                let z = self.socket.rim_height() - below;
                spread(self.wall_radius(z), along.on(self), z, "neck wall")
            }
            Place::Margin { along } => {
                let t = along.on(self);
                self.within_ends(t, "medial margin")?;
                Ok(self.bed_point(t, self.bed_column(t).1))
            }
            Place::Neck { along, beyond } => {
                let z = self.chord_height - self.shape.depth - beyond;
                spread(self.wall_radius(z), along.on(self), z, "neck")
            }
            Place::Crater { along, deep } => {
                let t = along.on(self);
                self.within_ends(t, "fracture bed")?;
                let m = deep / libm::cos(self.shape.tilt);
                let (top, bottom) = self.bed_column(t);
                if m < top || m > bottom {
                    return Err(PlaceError(format!(
                        "{deep:.2} mm deep is off the fracture bed, which runs from {:.2} to {:.2} mm deep at along {t:.2} mm",
                        top * libm::cos(self.shape.tilt),
                        bottom * libm::cos(self.shape.tilt)
                    )));
                }
                Ok(self.bed_point(t, m))
            }
            Place::Clock { hours, inset } => {
                let r = radius - inset;
                if r < 0.0 {
                    return Err(PlaceError(format!(
                        "an inset of {inset:.2} mm passes the centre of a circle of radius {radius:.2} mm"
                    )));
                }
                let phi = clock_angle(hours);
                Ok(self.socket.on_face(r * libm::cos(phi), r * libm::sin(phi)))
            }
            Place::Point(p) => Ok(Vec3::from(p)),
        }
    }

    fn within_ends(&self, t: f64, what: &str) -> Result<(), PlaceError> {
        if t.abs() > self.half_chord {
            return Err(PlaceError(format!(
                "along {t:.2} mm is off the {what}, which ends at ±{:.2} mm",
                self.half_chord
            )));
        }
        Ok(())
    }
}
