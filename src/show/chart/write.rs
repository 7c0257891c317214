//! Figures on disk: whole or not at all, and never over a file that is not ours.

use super::figure::Figure;
#[cfg(feature = "cli")]
use super::png::MARK;
use super::png::PngError;
use crate::CAUTION;
#[cfg(feature = "cli")]
use crate::files::{self, Refusal};
use crate::par;
use crate::show::report::paper::sha256;
use std::io;
use std::path::PathBuf;
#[cfg(feature = "cli")]
use std::{ffi::OsString, fs, io::Read, path::Path};
use thiserror::Error;

/// First line of our own text files; an SVG carries it as a comment.
pub(crate) const FIRST_LINE: &str = "rimhold figure";

/// A form in which a figure is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// The source drawing.
    Svg,
    /// A picture of it, at so many dots per inch.
    Png {
        /// Dots per inch, 72 to 2400; journals ask for 300 or 600.
        dpi: u32,
    },
    /// The numbers behind it.
    Csv,
    /// Caption and alternative text.
    Txt,
}

impl Format {
    /// All of them, the picture at 300 dpi.
    pub const ALL: [Self; 4] = [Self::Svg, Self::Png { dpi: 300 }, Self::Csv, Self::Txt];

    fn extension(self) -> &'static str {
        match self {
            Self::Svg => "svg",
            Self::Png { .. } => "png",
            Self::Csv => "csv",
            Self::Txt => "txt",
        }
    }
}

/// Why no figure was written. What stood in the folder before is as it was.
#[derive(Debug, Error)]
pub enum WriteError {
    /// A file of that name exists and is not an earlier figure of ours.
    #[error("{} exists and is no figure written by this program: move it away, or choose another figure folder", .path.display())]
    Foreign {
        /// The file.
        path: PathBuf,
    },
    /// The file system refused.
    #[error("{}: {source}", .path.display())]
    Io {
        /// The file or folder.
        path: PathBuf,
        /// Its answer.
        source: io::Error,
    },
    /// The picture could not be made.
    #[error(transparent)]
    Png(#[from] PngError),
}

#[cfg(feature = "cli")]
impl From<Refusal> for WriteError {
    fn from(refusal: Refusal) -> Self {
        match refusal {
            Refusal::Foreign(path) => Self::Foreign { path },
            Refusal::Io { path, source } => Self::Io { path, source },
        }
    }
}

impl Figure {
    /// Writes `NAME.svg`, `NAME.png`, `NAME.csv` and `NAME.txt` (as asked for) into `folder`, which
    /// is created when missing. Everything is rendered and every target looked at before the first
    /// file is touched; then all appear whole or none does, and only earlier output of this program is
    /// replaced. Returns the paths written.
    ///
    /// # Errors
    /// A foreign file of the same name, a refusal of the file system, or a bad resolution.
    #[cfg(feature = "cli")]
    pub fn write(&self, folder: &Path, formats: &[Format]) -> Result<Vec<PathBuf>, WriteError> {
        Self::write_all(std::slice::from_ref(self), folder, formats)
    }

    /// As [`Figure::write`], for several figures: all are rendered, on all cores, and every target
    /// of every figure is looked at before the first file is touched.
    ///
    /// # Errors
    /// As [`Figure::write`].
    #[cfg(feature = "cli")]
    pub fn write_all(figures: &[Self], folder: &Path, formats: &[Format]) -> Result<Vec<PathBuf>, WriteError> {
        put(folder, Self::files(figures, formats)?)
    }

    /// Names and contents of the files of several figures, rendered on all cores.
    ///
    /// # Errors
    /// A bad resolution.
    pub fn files(figures: &[Self], formats: &[Format]) -> Result<Vec<(String, Vec<u8>)>, WriteError> {
        let jobs: Vec<(&Self, Format)> =
            figures.iter().flat_map(|figure| formats.iter().map(move |format| (figure, *format))).collect();
        let write = |(figure, format): &(&Self, Format)| {
            let name = format!("{}.{}", figure.name, format.extension());
            Ok((name, figure.bytes(*format)?))
        };
        par::map(&jobs, write).into_iter().collect()
    }

    /// The figure in a form, as it is written.
    ///
    /// # Errors
    /// A bad resolution.
    pub fn bytes(&self, format: Format) -> Result<Vec<u8>, PngError> {
        Ok(match format {
            Format::Svg => self.svg.clone().into_bytes(),
            Format::Png { dpi } => self.png(dpi)?,
            // Its first line is the heading, as spreadsheets expect; caption and caution stand beside it.
            Format::Csv => self.csv.clone().into_bytes(),
            Format::Txt => {
                let (Self { name, caption, alt, .. }, hash) = (self, sha256(self.csv.as_bytes()));
                let text = format!("Caption\n{caption}\n\nAlternative text\n{alt}\n\n{CAUTION}");
                format!("# {FIRST_LINE}: {name}\n\n{text}\n\nSHA-256 of {name}.csv: {hash}\n").into_bytes()
            }
        })
    }
}

/// Puts files of these names and contents into a folder, all or none; only earlier output of this
/// program is replaced. Returns the paths written.
#[cfg(feature = "cli")]
pub(crate) fn put(folder: &Path, files: Vec<(String, Vec<u8>)>) -> Result<Vec<PathBuf>, WriteError> {
    let files: Vec<(OsString, Vec<u8>)> = files.into_iter().map(|(name, bytes)| (name.into(), bytes)).collect();
    let same = |path: &Path| {
        let new = files.iter().find(|(name, _)| path.file_name() == Some(name));
        new.is_some_and(|(_, new)| {
            fs::symlink_metadata(path).is_ok_and(|m| m.is_file()) && fs::read(path).is_ok_and(|b| b == *new)
        })
    };
    // What stands there to the byte already cannot be lost.
    Ok(files::write_all(folder, &files, |path| is_ours(path) || same(path))?)
}

/// The beginning of a regular file.
#[cfg(feature = "cli")]
fn head_of(path: &Path) -> Vec<u8> {
    let mut head = Vec::new();
    if fs::symlink_metadata(path).is_ok_and(|m| m.is_file())
        && let Ok(file) = fs::File::open(path)
    {
        // What cannot be read has no mark.
        let _ = file.take(1024).read_to_end(&mut head);
    }
    head
}

/// Whether a file is an earlier figure. Most bear our mark; a table, which bears none, has its hash in the
/// caption beside it.
#[cfg(feature = "cli")]
fn is_ours(path: &Path) -> bool {
    let head = head_of(path);
    let has = |mark: &[u8]| head.windows(mark.len()).any(|w| w == mark);
    let mark = format!("# {FIRST_LINE}: ").into_bytes();
    match path.extension().and_then(|e| e.to_str()) {
        Some("svg") => has(format!("<!-- {FIRST_LINE}").as_bytes()),
        Some("png") => has(MARK),
        // In a comment behind the palette, of 768 bytes at most.
        Some("gif") => head.starts_with(b"GIF89a") && has(FIRST_LINE.as_bytes()),
        Some("csv") => {
            let regular = |path: &Path| fs::symlink_metadata(path).is_ok_and(|m| m.is_file());
            let beside = path.with_extension("txt");
            regular(path)
                && regular(&beside)
                && fs::read_to_string(&beside).is_ok_and(|caption| {
                    let stands = caption.trim_end().rsplit(' ').next();
                    caption.as_bytes().starts_with(&mark) && fs::read(path).is_ok_and(|b| stands == Some(&sha256(&b)))
                })
        }
        _ => head.starts_with(&mark),
    }
}
