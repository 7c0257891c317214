//! Changes values in the text of a file and keeps its comments and layout.

use super::handle::word;
use super::path::RawKind;
use super::places::{along_of, numbers_of};
use super::tying::STOPS;
use super::{ConstructFile, Edge};
use crate::anatomy::Along;
use toml_edit::{Array, DocumentMut, InlineTable, Item, Table, Value};

/// A step on the way to a value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    /// A key of a table.
    Key(String),
    /// A place in a list, from 0.
    At(usize),
}

/// Steps along keys.
pub(crate) fn keys<'a>(keys: impl IntoIterator<Item = &'a str>) -> Vec<Step> {
    keys.into_iter().map(|key| Step::Key(key.to_owned())).collect()
}

/// The text with the value at `path` set; tables on the way are made. `None` where the text is no TOML, or where something
/// else than a table or a list stands on the way.
pub fn edited(text: &str, path: &[Step], value: impl Into<Value>) -> Option<String> {
    let mut document: DocumentMut = text.parse().ok()?;
    set(document.as_item_mut(), path, value.into()).then(|| document.to_string())
}

fn set(item: &mut Item, path: &[Step], value: Value) -> bool {
    match (item, path) {
        (Item::Value(old), path) => set_value(old, path, value),
        (Item::ArrayOfTables(list), [Step::At(k), path @ ..]) => {
            list.get_mut(*k).is_some_and(|table| set_in(table, path, value))
        }
        (item @ Item::None, [Step::Key(_), ..]) => {
            *item = Item::Table(Table::new());
            set(item, path, value)
        }
        (Item::Table(table), path) => set_in(table, path, value),
        _ => false,
    }
}

fn set_in(table: &mut Table, path: &[Step], value: Value) -> bool {
    match path {
        // A list that stands as tables with headers of their own becomes one in brackets.
        [Step::Key(key)] if !matches!(table.get(key), Some(Item::Value(_) | Item::Table(_))) => {
            table.remove(key);
            table.insert(key, Item::Value(value));
            true
        }
        [Step::Key(key), rest @ ..] => set(table.entry(key).or_insert(Item::None), rest, value),
        _ => false,
    }
}

fn set_value(old: &mut Value, path: &[Step], value: Value) -> bool {
    match (old, path) {
        (old, []) => {
            // What stands around it, a comment behind it too, stays.
            let around = old.decor().clone();
            *old = value;
            *old.decor_mut() = around;
            true
        }
        (Value::InlineTable(table), [Step::Key(key)]) if !table.contains_key(key) => {
            table.insert(key, value);
            true
        }
        (Value::InlineTable(table), [Step::Key(key), rest @ ..]) => {
            table.get_mut(key).is_some_and(|inner| set_value(inner, rest, value))
        }
        (Value::Array(list), [Step::At(k), rest @ ..]) => {
            list.get_mut(*k).is_some_and(|inner| set_value(inner, rest, value))
        }
        _ => false,
    }
}

impl ConstructFile {
    /// Its text under a name of its own, with the inputs of some paths set. Placement errors are none of its numbers.
    pub(super) fn text_with(&self, name: &str, inputs: &[(String, Along)]) -> String {
        let mut text = self.source.text.to_string();
        let mut set = |steps: &[Step], value: Value| text = edited(&text, steps, value).unwrap_or_else(|| text.clone());
        set(&keys(["name"]), name.into());
        for (path, to) in inputs {
            let value = match to {
                Along::Mm(value) => Value::from(*value),
                Along::Percent(share) => format!("{share} %").into(),
            };
            if let Some(steps) = self.steps(path) {
                set(&steps, value);
            }
        }
        text
    }

    /// Where the input of a path stands in the text.
    fn steps(&self, path: &str) -> Option<Vec<Step>> {
        let parts: Vec<&str> = path.split('.').collect();
        match parts.as_slice() {
            [.., "along_error" | "across_error"] => None,
            ["limb", name, "crossing", number, key] => {
                let limb = self.limbs.iter().find(|l| l.name == *name)?;
                let given = limb.path.iter().enumerate().filter_map(|(k, stop)| match stop.kind {
                    RawKind::Crossing(Edge::Rim, _) => Some((k, "rim")),
                    RawKind::Crossing(Edge::Margin, _) => Some((k, "margin")),
                    _ => None,
                });
                let (at, edge) = given.clone().nth(number.parse::<usize>().ok()?.checked_sub(1)?)?;
                Some([keys(["limb", name, "path"]), vec![Step::At(at)], keys([edge, key])].concat())
            }
            ["anchor", name, key] => {
                let mut place = self.anchors.iter().find(|a| a.name == *name)?.place.value;
                let kind = word(&place);
                let is_place = (*key == "along" && along_of(&mut place).is_some())
                    || numbers_of(&mut place).iter().any(|number| number.0 == *key);
                Some(if is_place { keys(["anchor", name, "at", kind, key]) } else { keys(["anchor", name, key]) })
            }
            parts => Some(keys(parts.iter().copied())),
        }
    }

    /// Its text with its ties in another order (indices of its ties), in some of which an instrument holds the fragment
    /// (one flag a tie, as they stand now). Comments inside the list go. `None` when the text cannot be changed.
    pub fn with_ties(&self, order: &[usize], held: &[bool]) -> Option<String> {
        let mut list = Array::new();
        for k in order {
            let tie = self.ties.get(*k)?;
            let limbs = tie.limbs.iter().map(|k| self.limbs[*k].name.as_str());
            let mut names: Vec<&str> = limbs.chain(tie.screws.iter().map(|k| self.screws[*k].name.as_str())).collect();
            let held = held.get(*k).copied().unwrap_or(false);
            let several = || Value::Array(names.iter().copied().collect());
            if held || tie.stop.is_some() {
                let mut table = InlineTable::new();
                table.insert("limbs", several());
                if let Some((word, _)) = tie.stop.and_then(|stop| STOPS.iter().find(|s| s.1 == stop)) {
                    table.insert("stop", Value::from(*word));
                }
                if held {
                    table.insert("held", Value::from(true));
                }
                list.push(table);
            } else if names.len() == 1 {
                list.push(names.remove(0));
            } else {
                list.push(several());
            }
        }
        edited(&self.source.text, &keys(["tying", "order"]), list)
    }

    /// Whether an instrument holds the fragment during each of its ties.
    pub fn held(&self) -> Vec<bool> {
        self.ties.iter().map(|tie| tie.held).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{CONSTRUCTS, Case};

    #[test]
    fn a_value_is_set_and_all_around_it_stays() {
        let text = "# of the case\n[fragment]\nwidth = \"25 %\"   # of the diameter\n\n[limb.a]\npath = [\"x\", { rim = { along = 3 } }]\n";
        let with = |path: &[Step], value: Value| edited(text, path, value).unwrap();
        assert_eq!(with(&keys(["fragment", "width"]), 6.5.into()), text.replace("\"25 %\"", "6.5"));
        let path = [keys(["limb", "a", "path"]), vec![Step::At(1)], keys(["rim", "along"])].concat();
        assert_eq!(with(&path, "5 %".into()), text.replace("along = 3", "along = \"5 %\""));
        assert!(with(&keys(["bed", "friction"]), 0.3.into()).ends_with("[bed]\nfriction = 0.3\n"));
        assert_eq!(edited(text, &keys(["fragment", "width", "deeper"]), 1.0), None);
        // A list of tables: one of them is changed, or all of it replaced.
        let list = "[[tying.order]]\nlimbs = \"a\"\n[[tying.order]]\nlimbs = \"b\"\n";
        let path = [keys(["tying", "order"]), vec![Step::At(1)], keys(["held"])].concat();
        assert_eq!(edited(list, &path, true).unwrap(), format!("{list}held = true\n"));
        let whole: Value = ["b", "a"].into_iter().collect::<Array>().into();
        let replaced = edited(list, &keys(["tying", "order"]), whole).unwrap();
        assert_eq!(replaced, "[tying]\norder = [\"b\", \"a\"]\n");
        assert_eq!(edited("no toml", &keys(["a"]), 1.0), None);
    }

    /// The order of every shipped construct turned round and back is the construct again.
    #[test]
    fn ties_are_put_into_another_order_and_back() {
        let case = Case::open("quarter").unwrap();
        for (name, text) in CONSTRUCTS {
            let file = ConstructFile::parse(name, text).unwrap();
            let back: Vec<usize> = (0..file.held().len()).rev().collect();
            let turned = file.with_ties(&back, &file.held()).unwrap();
            let other = ConstructFile::parse(name, &turned).unwrap();
            let again = ConstructFile::parse(name, &other.with_ties(&back, &other.held()).unwrap()).unwrap();
            let ties = |file: &ConstructFile| file.fit(&case).unwrap().ties;
            assert_eq!(ties(&again), ties(&file), "{name}");
            let mut reversed = ties(&other);
            reversed.reverse();
            assert_eq!(reversed, ties(&file), "{name}");
            // Whether a tie is held goes with it to its new place.
            let held: Vec<bool> = back.iter().map(|k| k % 2 == 0).collect();
            let own = ConstructFile::parse(name, &file.with_ties(&(0..back.len()).collect::<Vec<_>>(), &held).unwrap());
            let mut turned = held.clone();
            turned.reverse();
            let own = own.unwrap();
            let all = ConstructFile::parse(name, &own.with_ties(&back, &own.held()).unwrap()).unwrap();
            assert_eq!((own.held(), all.held()), (held, turned), "{name}");
        }
    }
}
