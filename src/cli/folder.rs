//! A folder written whole or not at all, and never over what is not ours.

use super::say::Failure;
use super::stop;
use crate::files::{fill, in_folder, parent_of, room, takes_files};
use crate::show::report::paper::{Output, sha256};
use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// The file by which a folder of ours is known.
pub(super) const MANIFEST: &str = "manifest.json";
/// The schema that it then names.
const MARK: &str = "rimhold-manifest/";
/// Folder inside another one's, when asked to write beside what is there.
const BESIDE: &str = "rimhold-report";

/// Where a report goes: looked at before the work, so that a refusal costs nothing.
pub(super) fn place(out: &Path, beside: bool) -> Result<PathBuf, Failure> {
    let folder = chosen(out, beside)?;
    // Where it is to stand may have to be made too.
    let mut above = parent_of(&folder).ancestors();
    let here = above.find(|p| p.is_dir()).unwrap_or(Path::new("."));
    takes_files(here).map_err(|e| Failure::Other(format!("{}: {e}", here.display())))?;
    Ok(folder)
}

fn chosen(out: &Path, beside: bool) -> Result<PathBuf, Failure> {
    let Some(why) = foreign(out)? else {
        return Ok(out.to_owned());
    };
    if !out.is_dir() {
        return Err(refusal(out, &why, "choose another --out"));
    }
    let inside = out.join(BESIDE);
    if !beside {
        let advice = format!(
            "choose another --out, or give --beside to write into {} and leave the rest as it is",
            inside.display()
        );
        return Err(refusal(out, &why, &advice));
    }
    match foreign(&inside)? {
        None => Ok(inside),
        Some(why) => Err(refusal(&inside, &why, "choose another --out")),
    }
}

fn refusal(folder: &Path, why: &str, advice: &str) -> Failure {
    Failure::Input(format!("{}: {why}, so it is left alone: {advice}", folder.display()))
}

/// Why a path is not for us to replace; `None` when nothing is there, an empty folder, or an earlier
/// report of which every file is as it was written.
fn foreign(path: &Path) -> Result<Option<String>, Failure> {
    let look = |e: io::Error| Failure::Other(format!("{}: {e}", path.display()));
    match fs::symlink_metadata(path) {
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(e) => return Err(look(e)),
        Ok(m) if m.is_symlink() => return Ok(Some("this is a link".to_owned())),
        Ok(m) if !m.is_dir() => return Ok(Some("this is a file, not a folder".to_owned())),
        Ok(_) => {}
    }
    let mut files = Vec::new();
    walk(path, Path::new(""), &mut files).map_err(look)?;
    if files.is_empty() {
        return Ok(None);
    }
    let Some(known) = written(path) else {
        return Ok(Some("this folder is no report of this program".to_owned()));
    };
    let strange: Vec<&String> = files
        .iter()
        .filter(|name| *name != MANIFEST)
        .filter(|name| {
            let now = fs::read(path.join(name)).ok().map(|bytes| sha256(&bytes));
            now.is_none() || now.as_ref() != known.get(*name)
        })
        .collect();
    Ok(strange.first().map(|first| {
        let more = match strange.len() - 1 {
            0 => String::new(),
            n => format!(" and {n} more"),
        };
        format!("this report holds what this program did not write or what was changed since ({first}{more})")
    }))
}

/// Paths of all files below a folder, with `/`, in order. A link counts as a file; an empty folder
/// below, as one too: it is somebody's.
fn walk(root: &Path, below: &Path, files: &mut Vec<String>) -> io::Result<()> {
    let mut entries: Vec<fs::DirEntry> = fs::read_dir(root.join(below))?.collect::<io::Result<_>>()?;
    entries.sort_by_key(fs::DirEntry::file_name);
    for entry in entries {
        let name = below.join(entry.file_name());
        let before = files.len();
        if entry.file_type()?.is_dir() {
            walk(root, &name, files)?;
        }
        if files.len() == before {
            files.push(name.to_string_lossy().replace('\\', "/"));
        }
    }
    Ok(())
}

/// Hashes of the files that a manifest says were written; `None` without a manifest of ours.
fn written(folder: &Path) -> Option<BTreeMap<String, String>> {
    let text = fs::read_to_string(folder.join(MANIFEST)).ok()?;
    let manifest: serde_json::Value = serde_json::from_str(&text).ok()?;
    if !manifest["schema"].as_str()?.starts_with(MARK) {
        return None;
    }
    manifest["outputs"]
        .as_array()?
        .iter()
        .map(|o| Some((o["name"].as_str()?.to_owned(), o["sha256"].as_str()?.to_owned())))
        .collect()
}

/// Why no report was written.
struct Stopped {
    why: io::Error,
    /// Where the earlier report lies, when it could not be put back.
    earlier: Option<PathBuf>,
}

impl From<io::Error> for Stopped {
    fn from(why: io::Error) -> Self {
        Self { why, earlier: None }
    }
}

/// Writes files as a folder: into a hidden room beside it, from which it then takes its place in one
/// step.
pub(super) fn write(folder: &Path, outputs: &[Output]) -> Result<(), Failure> {
    let parent = parent_of(folder);
    let _gently = stop::gently();
    // It may have changed while the work was done.
    if let Some(why) = foreign(folder)? {
        return Err(refusal(folder, &why, "choose another --out"));
    }
    in_folder(parent, Stopped::from, || fill_and_swap(parent, folder, outputs)).map_err(|stopped| {
        let why = match stopped.why.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => "the disk is full".to_owned(),
            _ => stopped.why.to_string(),
        };
        let left = match stopped.earlier {
            None => "what was there is as it was".to_owned(),
            Some(path) => format!("the earlier one lies in {}", path.display()),
        };
        let message = format!("{}: {why}; no report was written, and {left}", folder.display());
        if stopped.why.kind() == io::ErrorKind::Interrupted {
            Failure::Interrupted(message)
        } else {
            Failure::Other(message)
        }
    })
}

fn fill_and_swap(parent: &Path, folder: &Path, outputs: &[Output]) -> Result<(), Stopped> {
    // Dropped on the way out: with it goes whatever it then holds, half a report or the old one.
    let room = room(parent)?;
    let new = room.path().join("new");
    fs::create_dir(&new)?;
    for output in outputs {
        stop::go_on()?;
        let path = new.join(&output.path);
        fs::create_dir_all(parent_of(&path))?;
        fill(&path, &output.bytes)?;
    }
    stop::go_on()?;
    if fs::symlink_metadata(folder).is_err() {
        return Ok(fs::rename(&new, folder)?);
    }
    if exchange(&new, folder) {
        return Ok(());
    }
    in_two_steps(room, &new, folder, |from, to| fs::rename(from, to))
}

/// Puts one folder in the place of another in one step, and the other in its; whether the system can.
fn exchange(new: &Path, old: &Path) -> bool {
    #[cfg(any(target_os = "linux", target_vendor = "apple"))]
    {
        use rustix::fs::{CWD, RenameFlags, renameat_with};
        renameat_with(CWD, new, CWD, old, RenameFlags::EXCHANGE).is_ok()
    }
    #[cfg(not(any(target_os = "linux", target_vendor = "apple")))]
    {
        let _ = (new, old);
        false
    }
}

/// The same by way of the room, for a system that cannot.
fn in_two_steps(
    room: TempDir,
    new: &Path,
    old: &Path,
    rename: impl Fn(&Path, &Path) -> io::Result<()>,
) -> Result<(), Stopped> {
    let aside = room.path().join("earlier");
    rename(old, &aside)?;
    rename(new, old).map_err(|why| match rename(&aside, old) {
        Ok(()) => why.into(),
        Err(_) => {
            // Not dropped: what it holds is wanted.
            let _ = room.keep();
            Stopped { why, earlier: Some(aside) }
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A parent with an earlier report, and a room with a new one.
    fn ready() -> (TempDir, TempDir) {
        let parent = tempfile::tempdir().unwrap();
        let room = room(parent.path()).unwrap();
        for (folder, text) in [(parent.path().join("r"), "old"), (room.path().join("new"), "new")] {
            fs::create_dir(&folder).unwrap();
            fs::write(folder.join("a"), text).unwrap();
        }
        (parent, room)
    }

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<String> =
            fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    /// Renames, except from what `refused` says.
    fn renaming<'a>(refused: &'a [PathBuf]) -> impl Fn(&Path, &Path) -> io::Result<()> + use<'a> {
        |from, to| {
            if refused.iter().any(|r| r == from) {
                return Err(io::ErrorKind::PermissionDenied.into());
            }
            fs::rename(from, to)
        }
    }

    #[test]
    fn in_two_steps_the_new_report_stands_or_the_earlier_one() {
        for (refused, text) in [(vec![], "new"), (vec!["new"], "old"), (vec!["../r"], "old")] {
            let (parent, room) = ready();
            let (new, old) = (room.path().join("new"), parent.path().join("r"));
            let refused: Vec<PathBuf> = refused
                .iter()
                .map(|r| match *r {
                    "new" => new.clone(),
                    _ => old.clone(),
                })
                .collect();
            let done = in_two_steps(room, &new, &old, renaming(&refused));
            assert_eq!(done.is_ok(), refused.is_empty());
            assert!(done.err().is_none_or(|stopped| stopped.earlier.is_none()));
            assert_eq!(names(parent.path()), ["r"]);
            assert_eq!(fs::read_to_string(old.join("a")).unwrap(), text);
        }
    }

    #[test]
    fn an_earlier_report_that_cannot_be_put_back_is_kept() {
        let (parent, room) = ready();
        let (new, old) = (room.path().join("new"), parent.path().join("r"));
        let aside = room.path().join("earlier");
        let refused = [new.clone(), aside.clone()];
        let stopped = in_two_steps(room, &new, &old, renaming(&refused)).err().unwrap();
        assert_eq!(stopped.earlier, Some(aside.clone()));
        assert_eq!(fs::read_to_string(aside.join("a")).unwrap(), "old");
        assert!(!old.exists());
    }
}
