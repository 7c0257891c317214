//! How far do the answers move when the uncertain inputs do, and which input moves them?
//!
//! Every construct is tied and pushed on the same draws, so that pairs can be compared sample by sample.
//!
//! ```
//! use rimhold::model::spread::Subject;
//! use rimhold::study::scatter::{self, Plan};
//!
//! let names = ["one-by-one".to_owned(), "mattress".to_owned()];
//! let subject = Subject::open("small", &names).unwrap();
//! let plan = Plan { samples: 8, cells: 100, ..Plan::default() };
//! let found = scatter::run(subject, plan, &())?;
//! let load = found.constructs[0].quantities.iter().find(|q| q.quantity.key == "load-1mm").unwrap();
//! if let Some(q) = &load.quantiles {
//!     println!("load at 1 mm: {:.0} to {:.0} N", q.low.value, q.high.value);
//! }
//! assert_eq!(found.done, 8);
//! # Ok::<(), rimhold::study::Refused>(())
//! ```

mod gather;
mod pair;
mod plan;
mod row;
mod sampling;

pub use pair::histogram;
pub use plan::{Plan, Study, run};
pub use row::Fate;
pub use row::{Layout, Probe, Row, run as probe};
pub(crate) use sampling::{Points, Rows};
