//! What a person types, checked into ready values. Units are converted at this border only.
//!
//! A **case** (socket, fragment, bed, soft tissue, loads, displaced pose) and a **construct**
//! (anchors, limbs, tying) are separate TOML files, so that any construct can be tried on any case:
//!
//! ```
//! use rimhold::model::{Case, ConstructFile};
//!
//! let case = Case::open("quarter")?;
//! let construct = ConstructFile::open("one-by-one")?.fit(&case)?;
//! assert_eq!(construct.ties.len(), 3);
//! # Ok::<(), rimhold::model::Problems>(())
//! ```
//!
//! Reading collects every mistake of a file before it gives up ([`Problems`]); every default that
//! it takes is kept ([`Taken`]) with how it is backed.

mod builtin;
mod case_file;
mod construct_file;
mod direction;
mod document;
mod edit;
mod fit;
mod forces;
mod handle;
mod look;
#[allow(clippy::module_inception)]
mod model;
mod new_case;
mod parameters;
mod path;
mod phases;
pub mod place;
mod places;
mod problems;
mod reader;
mod schema;
mod screw;
mod settings;
pub mod spread;
mod sunk;
mod terms;
mod tying;

pub use builtin::{CASES, CONSTRUCTS, builtin, case_source, construct_source, is_case, near};
pub use case_file::CaseFile;
pub use construct_file::ConstructFile;
pub use direction::Direction;
#[cfg(feature = "cli")]
pub(crate) use document::read as read_text;
#[cfg(feature = "cli")]
pub(crate) use edit::keys;
pub use edit::{Step, edited};
pub use handle::{Handle, HandleKind, Moved, Plane};
pub(crate) use look::{SAMPLES, THROUGH, depths, to_edges};
pub use model::*;
pub use new_case::{NewCase, Width, new_case};
pub use parameters::{Parameter, parameter, parameters};
pub use phases::usual_phases;
#[cfg(feature = "cli")]
pub(crate) use problems::steers;
pub use problems::{Problem, Problems, SourceText, Span};
pub use schema::{case_schema, construct_schema};
pub use settings::Settings;
pub(crate) use spread::shifted;
pub use sunk::Sunk;
pub use terms::{Equal, Terms};
pub use tying::Split;
pub(crate) use tying::letter;
