//! Samples on disk: rows are written chunk by chunk as they are done, so that memory does not grow
//! with their number and a run that was interrupted, or killed, goes on from its last whole chunk.
//!
//! A file is one line of JSON (what was asked, so that a run goes on only with the same question) and
//! then chunks: kind, number of the first sample, number of samples, length, checksum of these and the
//! payload, payload. A chunk that is not whole, whose checksum is wrong or that holds another number of
//! samples ends the file; what stands behind it is done again. One run at a time holds a file.

use super::checksum::checksum_of;
use super::head::{Head, NoHead};
use super::held::{StoreError, hold, put_head, taken};
use super::row_bytes::{decoded, number, put_row, split_row};
use crate::files::room;
use crate::study::result::End;
use crate::study::scatter::{Ended, Layout, MOST_LISTED, RANKED, Row, Rows};
use std::fs::File;
use std::io::{self, BufReader, ErrorKind, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use tempfile::TempPath;

/// Length of what stands before a payload, bytes.
const HEAD: usize = 33;
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

/// Runs of base samples: for each construct and run the numbers of [`RANKED`].
pub(super) type IndexRuns = Vec<[f64; RANKED.len()]>;

/// The file.
#[derive(Debug)]
pub(super) struct Store {
    /// Where it is; a file without a name is nowhere.
    path: Option<PathBuf>,
    file: File,
    chunks: Vec<Chunk>,
    end: u64,
    widths: Vec<usize>,
    /// Columns last read: construct, first column, columns.
    cache: (usize, usize, Vec<Vec<f64>>),
}

impl Store {
    /// A new file, which must not be there yet. It appears with its first line complete and held, or
    /// not at all.
    pub fn create(path: &Path, head: &Head, layouts: &[Layout]) -> Result<Self, StoreError> {
        let folder = match path.parent() {
            Some(parent) if parent != Path::new("") => parent,
            _ => Path::new("."),
        };
        let room = room(folder)?;
        let ready = room.path().join("samples");
        let mut file = File::options().read(true).write(true).create_new(true).open(&ready)?;
        hold(&file, path)?;
        let start = put_head(&mut file, head)?;
        match TempPath::try_from_path(&ready)?.persist_noclobber(path) {
            Ok(()) => Ok(Self::over(Some(path), file, start, layouts)),
            Err(e) if e.error.kind() == ErrorKind::AlreadyExists => Err(taken(path)),
            Err(e) => Err(e.error.into()),
        }
    }

    /// A file without a name, gone with the run.
    pub fn unnamed(head: &Head, layouts: &[Layout]) -> io::Result<Self> {
        let mut file = tempfile::tempfile()?;
        let start = put_head(&mut file, head)?;
        Ok(Self::over(None, file, start, layouts))
    }

    /// The file of a run that was interrupted, cut back to its whole chunks.
    pub fn resume(path: &Path, head: &Head, layouts: &[Layout]) -> Result<Self, StoreError> {
        let shown = path.display();
        let missing = || {
            StoreError::Refused(format!(
                "there is no `{shown}` to go on with\n  leave out --resume, or name the file by --store"
            ))
        };
        let file = match File::options().read(true).write(true).open(path) {
            Ok(file) => file,
            Err(e) if e.kind() == ErrorKind::NotFound => return Err(missing()),
            Err(e) => return Err(e.into()),
        };
        hold(&file, path)?;
        // Another run may have finished, and removed it, before it could be held.
        if !path.exists() {
            return Err(missing());
        }
        let (own, start) = match Head::read(&file) {
            Ok(found) => found,
            Err(NoHead::Io(e)) => return Err(e.into()),
            Err(NoHead::Foreign) => {
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
        let mut store = Self::over(Some(path), file, start, layouts);
        store.find_chunks()?;
        store.file.set_len(store.end)?;
        Ok(store)
    }

    fn over(path: Option<&Path>, file: File, start: u64, layouts: &[Layout]) -> Self {
        Self {
            path: path.map(Path::to_owned),
            file,
            chunks: Vec::new(),
            end: start,
            widths: layouts.iter().map(Layout::width).collect(),
            cache: (0, 0, Vec::new()),
        }
    }

    fn find_chunks(&mut self) -> io::Result<()> {
        self.file.seek(SeekFrom::Start(self.end))?;
        let mut reader = BufReader::new(&self.file);
        let mut payload = Vec::new();
        loop {
            let mut head = [0u8; HEAD];
            match reader.read_exact(&mut head) {
                Ok(()) => {}
                Err(e) if e.kind() == ErrorKind::UnexpectedEof => return Ok(()),
                Err(e) => return Err(e),
            }
            let word = |k: usize| u64::from_le_bytes(head[1 + 8 * k..9 + 8 * k].try_into().unwrap_or_default());
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
            if read as u64 != length
                || checksum_of(&[&head[..HEAD - 8], &payload]) != sum
                || !self.has(kind, count, &payload)
            {
                return Ok(());
            }
            self.chunks.push(Chunk { kind, count, at: self.end + head.len() as u64, length });
            self.end += head.len() as u64 + length;
        }
    }

    /// Whether a payload holds exactly so many samples, or base samples.
    fn has(&self, kind: Kind, count: u64, payload: &[u8]) -> bool {
        match kind {
            Kind::Rows => {
                let (mut rest, mut found) = (payload, 0);
                while !rest.is_empty() {
                    for width in &self.widths {
                        match split_row(rest, *width) {
                            Some((.., after)) => rest = after,
                            None => return false,
                        }
                    }
                    found += 1;
                }
                found > 0 && found == count
            }
            Kind::Index => {
                let per = |length: u64, count: u64| (count > 0 && length.is_multiple_of(count)).then(|| length / count);
                let own = per(payload.len() as u64, count);
                let before = self.chunks.iter().find(|c| c.kind == Kind::Index);
                // Each base sample takes as many runs as the others.
                own.is_some_and(|own| {
                    own > 0
                        && own.is_multiple_of(8 * RANKED.len() as u64)
                        && before.is_none_or(|b| per(b.length, b.count) == Some(own))
                })
            }
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
            put_row(row, &mut payload);
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
        for word in [self.done_of(kind), count, payload.len() as u64] {
            bytes.extend_from_slice(&word.to_le_bytes());
        }
        let sum = checksum_of(&[&bytes, payload]);
        bytes.extend_from_slice(&sum.to_le_bytes());
        let at = self.end + bytes.len() as u64;
        bytes.extend_from_slice(payload);
        self.file.seek(SeekFrom::Start(self.end))?;
        self.file.write_all(&bytes)?;
        self.chunks.push(Chunk { kind, count, at, length: payload.len() as u64 });
        self.end += bytes.len() as u64;
        self.cache.2.clear();
        Ok(())
    }

    /// The runs of one construct, base sample by base sample; each holds `per` runs of every
    /// construct.
    pub fn index_runs(&mut self, construct: usize, per: usize) -> io::Result<IndexRuns> {
        let (run, constructs) = (8 * RANKED.len(), self.widths.len());
        let mut list = Vec::with_capacity(self.index_done() as usize * per);
        for k in 0..self.chunks.len() {
            if self.chunks[k].kind != Kind::Index {
                continue;
            }
            let bytes = self.payload(k)?;
            for base in bytes.chunks_exact(run * per * constructs) {
                let own = &base[run * per * construct..][..run * per];
                for run in own.chunks_exact(run) {
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
    fn each(&mut self, construct: usize, mut f: impl FnMut(u64, u8, &[u8], &[u8])) -> io::Result<()> {
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
                    let (row, why, after) = split_row(rest, *width).ok_or_else(torn)?;
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
        if let Some(path) = &self.path {
            // Where that fails an old file stays, which the next run will tell of.
            let _ = std::fs::remove_file(path);
        }
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
                ended.why.push((sample, String::from_utf8_lossy(why).into_owned()));
            }
            ended.ends.push(end);
        })?;
        Ok(ended)
    }
}

#[cfg(test)]
mod tests;
