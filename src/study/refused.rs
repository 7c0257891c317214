//! Why a study was not run.

use crate::model::Problems;
use thiserror::Error;

/// Why there is no result.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum Refused {
    /// Files that are wrong, or wrong for each other: every one with all its mistakes.
    #[error("{}", .0.iter().map(|p| p.render(false)).collect::<Vec<_>>().join("\n"))]
    Files(Vec<Problems>),
    /// What was asked cannot be done: why, and what to do about it.
    #[error("{0}")]
    Asked(String),
    /// It was asked to end before there was anything to report.
    #[error("ended before there was anything to report")]
    Ended,
}

impl From<Problems> for Refused {
    fn from(problems: Problems) -> Self {
        Self::Files(vec![problems])
    }
}
