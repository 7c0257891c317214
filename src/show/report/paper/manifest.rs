//! The manifest: what was run, from what, and what came out, with hashes.

use super::parameters::{self, Value};
use super::record::{Record, Source};
use crate::model::Taken;
use serde::Serialize;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;

/// Version of the manifest's shape.
const SCHEMA: &str = "rimhold-manifest/2";

/// The lock file of the program's dependencies, as it was built.
const LOCK: &[u8] = include_bytes!("../../../../Cargo.lock");

/// SHA-256 (FIPS 180-4) in hexadecimal.
pub fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// A file by its name and hash.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Hashed {
    /// Name, for an output its path in the report.
    pub name: String,
    /// SHA-256, hexadecimal.
    pub sha256: String,
}

/// A file of the report.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Output {
    /// Path in the report, with `/`.
    pub path: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// The manifest.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Manifest {
    /// `rimhold-manifest/2`.
    pub schema: String,
    /// What this is and is not.
    pub caution: String,
    /// Version of the program.
    pub version: String,
    /// Commit that it was built from, or `unknown`.
    pub commit: String,
    /// Hash of the lock file of its dependencies.
    pub lock_sha256: String,
    /// As it was called.
    pub command_line: Vec<String>,
    /// The line that runs it again, from inside the report.
    pub again: String,
    /// Hash of the case's file.
    pub case: Hashed,
    /// Hash of each construct's file.
    pub constructs: Vec<Hashed>,
    /// Every value used, by case and construct.
    parameters: BTreeMap<String, Vec<Value>>,
    /// Seeds of every random draw by what was drawn; none without a study that samples.
    pub seeds: BTreeMap<String, u64>,
    /// Samples of the study of scatter, each with every construct; none when it was left out.
    pub samples: u64,
    /// Base samples of the Sobol' indices; none when they were left out.
    pub index_base: u64,
    /// The ready-made sweeps.
    pub sweeps: Vec<String>,
    /// Further questions: each command with its construct.
    pub further: Vec<String>,
    /// Tolerances and limits, as in the table of that name.
    pub tolerances: BTreeMap<String, f64>,
    /// Warnings, as in `results.json`.
    pub warnings: Vec<String>,
    /// Every other file of the report with its hash.
    pub outputs: Vec<Hashed>,
}

impl Manifest {
    /// The manifest of a report.
    pub fn new(
        record: &Record,
        case_file: &Source,
        construct_files: &[Source],
        command_line: Vec<String>,
        outputs: Vec<Hashed>,
    ) -> Self {
        let hashed = |file: &Source| Hashed { name: file.name.clone(), sha256: sha256(file.text.as_bytes()) };
        let document = &record.results;
        let constructs = document.constructs.iter().map(|d| d.construct.defaults.as_slice());
        let mut parameters = BTreeMap::new();
        let files = std::iter::once(case_file).chain(construct_files);
        let taken: Vec<&[Taken]> = std::iter::once(document.case.defaults.as_slice()).chain(constructs).collect();
        for (k, (file, taken)) in files.zip(taken).enumerate() {
            let of = if k == 0 { "case" } else { "construct" };
            parameters.insert(format!("{of} {}", file.name), parameters::values(file, taken));
        }
        let tolerances = record
            .tables
            .iter()
            .filter(|t| t.name == "tolerances")
            .flat_map(|t| &t.rows)
            .filter_map(|row| Some((row[0].text.clone(), row[1].value?)))
            .collect();
        Self {
            schema: SCHEMA.to_owned(),
            caution: record.caution.clone(),
            version: record.program.version.clone(),
            commit: record.program.commit.clone(),
            lock_sha256: sha256(LOCK),
            command_line,
            again: record.program.again.clone(),
            case: hashed(case_file),
            constructs: construct_files.iter().map(hashed).collect(),
            parameters,
            seeds: seeds(record),
            samples: record.scatter.as_ref().map_or(0, |s| s.samples),
            index_base: record.scatter.as_ref().map_or(0, |s| s.index_base),
            sweeps: record.swept.iter().filter_map(|s| s.sweep.name.clone()).collect(),
            further: record.further.iter().map(|f| format!("{} {}", f.command, f.construct)).collect(),
            tolerances,
            warnings: record.warnings.iter().map(|w| format!("{}: {}", w.of, w.warning.message)).collect(),
            outputs,
        }
    }
}

fn seeds(record: &Record) -> BTreeMap<String, u64> {
    let orders = record.tying.iter().filter_map(|t| {
        let seed = t.sampled.as_ref()?.seed.value as u64;
        Some((format!("tying orders of {}", t.construct), seed))
    });
    let scatter = record.scatter.iter();
    let places = record.place.iter();
    orders
        .chain(scatter.clone().map(|s| ("scatter".to_owned(), s.seed)))
        .chain(scatter.filter(|s| s.index_base > 0).map(|s| ("indices".to_owned(), s.seed.wrapping_add(1))))
        .chain(places.map(|p| ("places".to_owned(), p.seed)))
        .chain(record.further.iter().filter_map(|f| Some((f.command.clone(), f.found.get("seed")?.as_u64()?))))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::sha256;

    #[test]
    fn the_hash_is_that_of_the_standard() {
        // FIPS 180-4, example "abc".
        assert_eq!(sha256(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }
}
