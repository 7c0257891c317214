//! A number as it is said.

use crate::show::words;
use serde::{Serialize, Serializer};

/// A number with the words in which it is printed, so that a reader of `results.json` finds what a
/// text says beside what was computed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Fact {
    /// As printed, without its unit.
    pub text: String,
    /// As computed, in the unit given.
    pub value: f64,
    /// Its unit; empty for a pure number.
    pub unit: String,
}

impl Fact {
    /// With a fixed number of decimals.
    pub fn new(value: f64, decimals: usize, unit: &str) -> Self {
        Self { text: words::num(value, decimals), value, unit: unit.to_owned() }
    }

    /// The same with its sign, where a sign means a direction.
    pub fn signed(value: f64, decimals: usize, unit: &str) -> Self {
        Self { text: words::signed(value, decimals), ..Self::new(value, decimals, unit) }
    }

    /// A share (0 to 1), in whole percent.
    pub fn percent(share: f64) -> Self {
        Self::new(100.0 * share, 0, "%")
    }

    /// A small number in powers of ten with `digits` significant digits: `3e-11`; none is `0`.
    pub fn power(value: f64, digits: usize, unit: &str) -> Self {
        Self { text: words::power(value, digits), value, unit: unit.to_owned() }
    }

    /// A count.
    pub fn count(value: usize, unit: &str) -> Self {
        Self::new(value as f64, 0, unit)
    }

    /// A number as it was typed or set, with all its digits.
    pub fn exact(value: f64, unit: &str) -> Self {
        Self { text: words::exact(value), value, unit: unit.to_owned() }
    }

    /// With its unit.
    pub fn with_unit(&self) -> String {
        format!("{} {}", self.text, self.unit).trim_end().to_owned()
    }
}

impl From<Fact> for crate::show::table::Cell {
    fn from(fact: Fact) -> Self {
        Self { text: fact.text, value: Some(fact.value) }
    }
}

/// What a result tells by names, in their order: a template prints it, and `results.json` holds it.
#[derive(Debug, Clone, PartialEq)]
pub struct Facts(pub(super) Vec<(&'static str, Told)>);

impl Serialize for Facts {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(name, told)| (name, told)))
    }
}

/// One of them.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Told {
    /// A number.
    Fact(Fact),
    /// Words.
    Words(String),
    /// Whether something is so.
    Flag(bool),
    /// Several.
    List(Vec<Told>),
    /// A group.
    Facts(Facts),
    /// What there is not.
    Nothing,
}

impl From<Fact> for Told {
    fn from(fact: Fact) -> Self {
        Self::Fact(fact)
    }
}

impl From<String> for Told {
    fn from(words: String) -> Self {
        Self::Words(words)
    }
}

impl From<&str> for Told {
    fn from(words: &str) -> Self {
        Self::Words(words.to_owned())
    }
}

impl From<&String> for Told {
    fn from(words: &String) -> Self {
        Self::Words(words.clone())
    }
}

impl From<bool> for Told {
    fn from(is: bool) -> Self {
        Self::Flag(is)
    }
}

impl From<Facts> for Told {
    fn from(facts: Facts) -> Self {
        Self::Facts(facts)
    }
}

impl<T: Into<Told>> From<Vec<T>> for Told {
    fn from(list: Vec<T>) -> Self {
        Self::List(list.into_iter().map(Into::into).collect())
    }
}

impl<T: Into<Told>> From<Option<T>> for Told {
    fn from(told: Option<T>) -> Self {
        told.map_or(Self::Nothing, Into::into)
    }
}

#[cfg(test)]
mod tests {
    use super::Fact;

    #[test]
    fn numbers_are_said_as_they_are_meant() {
        assert_eq!(Fact::new(102.649, 0, "N").with_unit(), "103 N");
        assert_eq!(Fact::signed(0.21, 1, "mm").with_unit(), "+0.2 mm");
        assert_eq!(Fact::percent(0.716).with_unit(), "72 %");
        assert_eq!(Fact::power(3.14e-11, 1, "N").with_unit(), "3e-11 N");
        assert_eq!(Fact::power(0.0, 1, "N").with_unit(), "0 N");
        assert_eq!(Fact::exact(1e-11, "").with_unit(), "1e-11");
        assert_eq!(Fact::exact(0.0, "").with_unit(), "0");
    }
}
