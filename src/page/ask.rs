//! What the page sends.

use crate::model::Plane;
use crate::study::result::Start;
use serde::{Deserialize, Serialize};

/// A file: a name and its text.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct File {
    pub name: String,
    pub text: String,
}

/// All that the page shows comes from this; a link holds it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct State {
    pub case: File,
    pub constructs: Vec<File>,
    /// Which of the constructs is drawn.
    pub shown: usize,
    pub from: Start,
    /// Whether repairs are settled before they are pushed.
    pub settled: bool,
    /// How many ties are made in the drawing; all, and what follows, where it is absent.
    pub tied: Option<usize>,
    /// Parts of the shown construct that are lost after tying.
    #[serde(default)]
    pub lost: Vec<String>,
}

/// A change of the texts.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub(super) enum Change {
    /// A handle moved on the page by so many mm of bone, to the right and up.
    Move { handle: String, view: Plane, by: [f64; 2] },
    /// A number or a word of a file.
    Set { path: String, value: Value },
    /// The ties of the shown construct in another order.
    Order { order: Vec<usize> },
    /// Whether an instrument holds the fragment during a tie.
    Hold { tie: usize, held: bool },
    /// Another name of the case, or of the shown construct.
    Rename { construct: bool, name: String },
}

/// A value that is set.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged)]
pub(super) enum Value {
    Number(f64),
    Word(String),
}

/// The fragment moved by hand on the page, mm of bone to the right and up.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
pub(super) struct Pushed {
    pub view: Plane,
    pub by: [f64; 2],
}

/// A question.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub(super) struct Ask {
    /// Which page asks: a newer question of a page ends an older one.
    #[serde(default)]
    pub page: String,
    #[serde(default)]
    pub number: u64,
    pub state: State,
    #[serde(default)]
    pub change: Option<Change>,
    #[serde(default)]
    pub push: Option<Pushed>,
    /// The state before the last change, whose curve is drawn under that of now.
    #[serde(default)]
    pub before: Option<State>,
    #[serde(default)]
    pub dark: bool,
    /// While something is dragged: without the way to failure.
    #[serde(default)]
    pub quick: bool,
}
