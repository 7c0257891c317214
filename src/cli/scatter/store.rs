//! Samples on disk: rows are written chunk by chunk as they are done, so that memory does not grow
//! with their number and a run that was interrupted, or killed, goes on from its last whole chunk.
//!
//! A file is one line of JSON (what was asked, so that a run goes on only with the same question) and
//! then chunks: kind, number of the first sample, number of samples, length, checksum, payload. A chunk
//! that is not whole or whose checksum is wrong ends the file; what stands behind it is done again.

use super::checksum::checksum;
use super::head::Head;
use crate::study::result::End;
use crate::study::scatter::{Ended, Layout, MOST_LISTED, RANKED, Row, Rows};
use std::fs::{File, OpenOptions};
use std::io::{self, BufReader, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

/// Longest reason kept of a sample, bytes.
const LONGEST_WHY: usize = 300;
/// Numbers held in memory at once when columns are read.
const HELD: usize = 4_000_000;

/// What kind of chunk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    /// Rows of samples.
    Rows = 1,
    /// Runs of base samples for Sobol' indices.
    Index = 2,
}

/// A place of a chunk in the file.
#[derive(Debug, Clone, Copy)]
struct Chunk {
    kind: Kind,
    count: u64,
    /// Where the payload starts, and its length.
    at: u64,
    length: u64,
}

/// Runs of one base sample: for each construct and run the numbers of [`RANKED`].
pub(super) type IndexRuns = Vec<[f64; RANKED.len()]>;

/// Why a store cannot be used.
#[derive(Debug)]
pub(super) enum StoreError {
    /// A message for the user, who can do something about it.
    Refused(String),
    /// The file system refuses.
    Io(io::Error),
}

impl From<io::Error> for StoreError {
    fn from(e: io::Error) -> Self {
        Self::Io(e)
    }
}

/// The file.
#[derive(Debug)]
pub(super) struct Store {
    path: PathBuf,
    file: File,
    chunks: Vec<Chunk>,
    end: u64,
    widths: Vec<usize>,
    /// Columns last read: construct, first column, columns.
    cache: (usize, usize, Vec<Vec<f64>>),
}

impl Store {
    /// A new file, which must not be there yet.
    pub fn create(path: &Path, head: &Head, layouts: &[Layout]) -> Result<Self, StoreError> {
        let file = OpenOptions::new()
            .read(true)
            .write(true)
            .create_new(true)
            .open(path);
        let mut file = match file {
            Ok(file) => file,
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {
                let shown = path.display();
                return Err(StoreError::Refused(match Head::read(path) {
                    Ok(_) => format!(
                        "`{shown}` holds the samples of a run that was not finished\n  go on with it by --resume, remove it, or name another file by --store"
                    ),
                    Err(_) => format!(
                        "`{shown}` is there already and is no file of samples: it is left alone\n  name another file by --store"
                    ),
                }));
            }
            Err(e) => return Err(e.into()),
        };
        let mut line = serde_json::to_string(head).map_err(io::Error::other)?;
        line.push('\n');
        file.write_all(line.as_bytes())?;
        Ok(Self {
            path: path.to_owned(),
            file,
            chunks: Vec::new(),
            end: line.len() as u64,
            widths: layouts.iter().map(Layout::width).collect(),
            cache: (0, 0, Vec::new()),
        })
    }

    /// The file of a run that was interrupted, cut back to its whole chunks.
    pub fn resume(path: &Path, head: &Head, layouts: &[Layout]) -> Result<Self, StoreError> {
        let shown = path.display();
        let (own, start) = match Head::read(path) {
            Ok(found) => found,
            Err(e) if e.kind() == io::ErrorKind::NotFound => {
                return Err(StoreError::Refused(format!(
                    "there is no `{shown}` to go on with\n  leave out --resume, or name the file by --store"
                )));
            }
            Err(_) => {
                return Err(StoreError::Refused(format!(
                    "`{shown}` is no file of samples of this program: it is left alone\n  name the right file by --store"
                )));
            }
        };
        let differences = own.differences(head);
        if !differences.is_empty() {
            return Err(StoreError::Refused(format!(
                "`{shown}` belongs to another question, so it cannot be gone on with\n  {}\n  ask the same again, or name another file by --store",
                differences.join("\n  ")
            )));
        }
        let mut store = Self {
            path: path.to_owned(),
            file: OpenOptions::new().read(true).write(true).open(path)?,
            chunks: Vec::new(),
            end: start,
            widths: layouts.iter().map(Layout::width).collect(),
            cache: (0, 0, Vec::new()),
        };
        store.find_chunks()?;
        store.file.set_len(store.end)?;
        Ok(store)
    }

    fn find_chunks(&mut self) -> io::Result<()> {
        self.file.seek(SeekFrom::Start(self.end))?;
        let mut reader = BufReader::new(&self.file);
        let mut payload = Vec::new();
        loop {
            let mut head = [0u8; 33];
            if reader.read_exact(&mut head).is_err() {
                return Ok(());
            }
            let word = |k: usize| {
                u64::from_le_bytes(head[1 + 8 * k..9 + 8 * k].try_into().unwrap_or_default())
            };
            let kind = match head[0] {
                1 => Kind::Rows,
                2 => Kind::Index,
                _ => return Ok(()),
            };
            let (first, count, length, sum) = (word(0), word(1), word(2), word(3));
            if first != self.done_of(kind) || length > 1 << 32 {
                return Ok(());
            }
            payload.clear();
            let read = (&mut reader).take(length).read_to_end(&mut payload)?;
            if read as u64 != length || checksum(&payload) != sum {
                return Ok(());
            }
            self.chunks.push(Chunk {
                kind,
                count,
                at: self.end + head.len() as u64,
                length,
            });
            self.end += head.len() as u64 + length;
        }
    }

    fn done_of(&self, kind: Kind) -> u64 {
        let own = self.chunks.iter().filter(|c| c.kind == kind);
        own.map(|c| c.count).sum()
    }

    /// Base samples of the indices done.
    pub fn index_done(&self) -> u64 {
        self.done_of(Kind::Index)
    }

    /// Adds the rows of samples, which follow those done: for each sample one row a construct.
    pub fn add_rows(&mut self, samples: &[Vec<Row>]) -> io::Result<()> {
        let mut payload = Vec::new();
        for row in samples.iter().flatten() {
            payload.push(code(row.end));
            for value in &row.values {
                payload.extend_from_slice(&value.to_le_bytes());
            }
            let mut why = row.why.as_str();
            while why.len() > LONGEST_WHY {
                let cut = why.char_indices().nth_back(0).map_or(0, |c| c.0);
                why = &why[..cut];
            }
            payload.extend_from_slice(&(why.len() as u16).to_le_bytes());
            payload.extend_from_slice(why.as_bytes());
        }
        self.add(Kind::Rows, samples.len() as u64, &payload)
    }

    /// Adds the runs of base samples, which follow those done.
    pub fn add_index(&mut self, runs: &[IndexRuns]) -> io::Result<()> {
        let mut payload = Vec::new();
        for value in runs.iter().flatten().flatten() {
            payload.extend_from_slice(&value.to_le_bytes());
        }
        self.add(Kind::Index, runs.len() as u64, &payload)
    }

    fn add(&mut self, kind: Kind, count: u64, payload: &[u8]) -> io::Result<()> {
        let mut bytes = vec![kind as u8];
        for word in [
            self.done_of(kind),
            count,
            payload.len() as u64,
            checksum(payload),
        ] {
            bytes.extend_from_slice(&word.to_le_bytes());
        }
        let at = self.end + bytes.len() as u64;
        bytes.extend_from_slice(payload);
        self.file.seek(SeekFrom::Start(self.end))?;
        self.file.write_all(&bytes)?;
        self.chunks.push(Chunk {
            kind,
            count,
            at,
            length: payload.len() as u64,
        });
        self.end += bytes.len() as u64;
        self.cache.2.clear();
        Ok(())
    }

    /// The runs of all base samples.
    pub fn index_runs(&mut self) -> io::Result<Vec<[f64; RANKED.len()]>> {
        let mut list = Vec::new();
        for k in 0..self.chunks.len() {
            if self.chunks[k].kind == Kind::Index {
                let bytes = self.payload(k)?;
                for run in bytes.chunks_exact(8 * RANKED.len()) {
                    let mut values = [0.0; RANKED.len()];
                    for (value, bytes) in values.iter_mut().zip(run.chunks_exact(8)) {
                        *value = number(bytes);
                    }
                    list.push(values);
                }
            }
        }
        Ok(list)
    }

    fn payload(&mut self, chunk: usize) -> io::Result<Vec<u8>> {
        let Chunk { at, length, .. } = self.chunks[chunk];
        let mut bytes = vec![0; length as usize];
        self.file.seek(SeekFrom::Start(at))?;
        self.file.read_exact(&mut bytes)?;
        Ok(bytes)
    }

    /// Goes over the rows of one construct: number of the sample, end, numbers, reason.
    fn each(
        &mut self,
        construct: usize,
        mut f: impl FnMut(u64, u8, &[u8], &[u8]),
    ) -> io::Result<()> {
        let torn = || io::Error::new(io::ErrorKind::InvalidData, "the file of samples is torn");
        let mut sample = 0;
        for k in 0..self.chunks.len() {
            if self.chunks[k].kind != Kind::Rows {
                continue;
            }
            let bytes = self.payload(k)?;
            let mut rest = bytes.as_slice();
            for _ in 0..self.chunks[k].count {
                for (c, width) in self.widths.iter().enumerate() {
                    let size = 1 + 8 * width;
                    let (row, after) = rest.split_at_checked(size).ok_or_else(torn)?;
                    let (length, after) = after.split_at_checked(2).ok_or_else(torn)?;
                    let length = usize::from(u16::from_le_bytes([length[0], length[1]]));
                    let (why, after) = after.split_at_checked(length).ok_or_else(torn)?;
                    rest = after;
                    if c == construct {
                        f(sample, row[0], &row[1..], why);
                    }
                }
                sample += 1;
            }
        }
        Ok(())
    }

    /// Removes the file: the run is finished and everything in it has been said.
    pub fn remove(self) {
        // Where that fails an old file stays, which the next run will tell of.
        let _ = std::fs::remove_file(&self.path);
    }
}

impl Rows for Store {
    fn done(&self) -> u64 {
        self.done_of(Kind::Rows)
    }

    fn column(&mut self, construct: usize, column: usize) -> io::Result<Vec<f64>> {
        let (of, first, columns) = &self.cache;
        if !(*of == construct && (*first..first + columns.len()).contains(&column)) {
            let done = self.done() as usize;
            let many = (HELD / done.max(1)).clamp(1, self.widths[construct] - column);
            let mut columns = vec![Vec::with_capacity(done); many];
            self.each(construct, |_, _, row, _| {
                for (k, list) in columns.iter_mut().enumerate() {
                    list.push(number(&row[8 * (column + k)..][..8]));
                }
            })?;
            self.cache = (construct, column, columns);
        }
        Ok(self.cache.2[column - self.cache.1].clone())
    }

    fn ends(&mut self, construct: usize) -> io::Result<Ended> {
        let mut ended = Ended::default();
        self.each(construct, |sample, code, _, why| {
            let end = decoded(code);
            if end != End::Held && ended.why.len() < MOST_LISTED {
                ended
                    .why
                    .push((sample, String::from_utf8_lossy(why).into_owned()));
            }
            ended.ends.push(end);
        })?;
        Ok(ended)
    }
}

fn number(bytes: &[u8]) -> f64 {
    f64::from_le_bytes(bytes.try_into().unwrap_or_default())
}

fn code(end: End) -> u8 {
    match end {
        End::Held => 0,
        End::LostInPush => 1,
        End::NotHeld => 2,
        End::Uncertified => 3,
        End::Impossible => 4,
    }
}

fn decoded(code: u8) -> End {
    match code {
        0 => End::Held,
        1 => End::LostInPush,
        2 => End::NotHeld,
        4 => End::Impossible,
        _ => End::Uncertified,
    }
}
