//! The report as a folder: a page, a methods section, tables, figures, and what it takes to run it
//! again.
//!
//! Everything is made from one [`Record`], which is also written as `results.json`: the templates of
//! page and methods print its facts as they were rounded there, so that text, table and file cannot
//! disagree. Everything here returns strings and bytes; nothing is written.

mod answer;
mod assumptions;
mod case_facts;
mod checks;
mod fact;
mod further;
mod limits;
mod manifest;
mod one_construct;
mod parameters;
mod placing;
mod plates;
mod points;
mod published;
mod question;
mod record;
mod sources;
mod sweeping;
mod template;
mod tolerances;
mod tying;
mod uncertainty;
mod verified;

pub use crate::show::table::{Cell, Table};
pub use assumptions::{ASSUMPTIONS, Assumption};
pub use fact::{Fact, Facts, Told};
pub use further::Further;
pub use limits::Limit;
pub use manifest::{Hashed, Manifest, Output, sha256};
pub use plates::{Plate, further_plates, plates};
pub use points::{POINTS, Point, missing};
pub use record::{Found, Record, Run, Source as InputFile};
pub use sources::{SOURCES, Source, bibliography};
pub use sweeping::ReportedSweep;
pub use template::{
    METHODS, METHODS_SUPPLEMENT, PAGE, SUPPLEMENT, TemplateError, check_syntax, methods, page, supplement,
};
pub use tying::Tying;
pub use verified::Verified;
