//! The first line of a file of samples: what was asked.

use serde::{Deserialize, Serialize};
use std::fs::File;
use std::io::{self, BufRead, BufReader, ErrorKind, Read};

/// What the first line says it is.
const MAGIC: &str = "rimhold samples, format 2";
/// Longest first line, bytes.
const LONGEST_HEAD: u64 = 1 << 20;

/// Why a first line says nothing.
#[derive(Debug)]
pub(super) enum NoHead {
    /// It is that of another kind of file.
    Foreign,
    /// The file system refuses.
    Io(io::Error),
}

/// The first line.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) struct Head {
    magic: String,
    /// What was asked, by name.
    asked: Vec<(String, String)>,
}

impl Head {
    pub fn new(asked: Vec<(String, String)>) -> Self {
        Self { magic: MAGIC.to_owned(), asked }
    }

    /// The first line of a file, and its length, bytes.
    pub fn read(file: &File) -> Result<(Self, u64), NoHead> {
        let mut line = String::new();
        let read = BufReader::new(file).take(LONGEST_HEAD).read_line(&mut line).map_err(|e| match e.kind() {
            // Bytes that are no text.
            ErrorKind::InvalidData => NoHead::Foreign,
            _ => NoHead::Io(e),
        })?;
        match serde_json::from_str::<Self>(&line) {
            Ok(head) if head.magic == MAGIC && line.ends_with('\n') => Ok((head, read as u64)),
            _ => Err(NoHead::Foreign),
        }
    }

    /// What differs from another question, in words.
    pub fn differences(&self, other: &Self) -> Vec<String> {
        let find = |head: &Self, name: &str| {
            let found = head.asked.iter().find(|a| a.0 == name);
            found.map_or_else(|| "none".to_owned(), |a| a.1.clone())
        };
        let mut names: Vec<&String> = self.asked.iter().chain(&other.asked).map(|a| &a.0).collect();
        names.dedup();
        let mut list: Vec<String> = Vec::new();
        for name in names {
            let (mine, theirs) = (find(self, name), find(other, name));
            let words = format!("{name}: the file has {mine}, asked for is {theirs}");
            if mine != theirs && !list.contains(&words) {
                list.push(words);
            }
        }
        list
    }
}
