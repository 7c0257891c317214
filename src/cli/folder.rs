//! A folder written whole or not at all, and never over what is not ours.

use super::failure::Failure;
use crate::report::paper::{Output, sha256};
use std::collections::BTreeMap;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// The file by which a folder of ours is known.
pub(super) const MANIFEST: &str = "manifest.json";
/// The schema that it then names.
const MARK: &str = "rimhold-manifest/";
/// Folder inside another one's, when asked to write beside what is there.
const BESIDE: &str = "rimhold-report";

/// Where a report goes: looked at before the work, so that a refusal costs nothing.
pub(super) fn place(out: &Path, beside: bool) -> Result<PathBuf, Failure> {
    match foreign(out)? {
        None => Ok(out.to_owned()),
        Some(why) if beside && out.is_dir() => {
            let inside = out.join(BESIDE);
            match foreign(&inside)? {
                None => Ok(inside),
                Some(_) => Err(refusal(&inside, &why)),
            }
        }
        Some(why) => Err(refusal(out, &why)),
    }
}

fn refusal(folder: &Path, why: &str) -> Failure {
    let advice = if folder.is_dir() {
        format!(
            "choose another --out, or give --beside to write into {} and leave the rest as it is",
            folder.join(BESIDE).display()
        )
    } else {
        "choose another --out".to_owned()
    };
    Failure::Input(format!(
        "{}: {why}, so it is left alone: {advice}",
        folder.display()
    ))
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
    let mut entries: Vec<fs::DirEntry> =
        fs::read_dir(root.join(below))?.collect::<io::Result<_>>()?;
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
        .map(|o| {
            Some((
                o["name"].as_str()?.to_owned(),
                o["sha256"].as_str()?.to_owned(),
            ))
        })
        .collect()
}

/// Writes files as a folder: into a new one beside it, which then takes its place in one step.
pub(super) fn write(folder: &Path, outputs: &[Output]) -> Result<(), Failure> {
    // It may have changed while the work was done.
    if let Some(why) = foreign(folder)? {
        return Err(refusal(folder, &why));
    }
    fill_and_swap(folder, outputs).map_err(|e| {
        let what = match e.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
                "the disk is full".to_owned()
            }
            _ => e.to_string(),
        };
        Failure::Other(format!(
            "{}: {what}; no report was written, and what was there is as it was",
            folder.display()
        ))
    })
}

fn fill_and_swap(folder: &Path, outputs: &[Output]) -> io::Result<()> {
    let parent = match folder.parent() {
        Some(parent) if parent != Path::new("") => parent,
        _ => Path::new("."),
    };
    fs::create_dir_all(parent)?;
    let mut builder = tempfile::Builder::new();
    builder.prefix(".rimhold-report-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o777));
    }
    // Dropped on the way out: with it goes whatever it then holds, half a report or the old one.
    let room = builder.tempdir_in(parent)?;
    for output in outputs {
        let path = room.path().join(&output.path);
        if let Some(parent) = path.parent() {
            fs::create_dir_all(parent)?;
        }
        let mut file = fs::File::create(&path)?;
        file.write_all(&output.bytes)?;
        file.sync_all()?;
    }
    if fs::symlink_metadata(folder).is_ok() {
        exchange(room.path(), folder)
    } else {
        fs::rename(room.path(), folder)
    }
}

/// Puts one folder in the place of another, in one step where the system can.
fn exchange(new: &Path, old: &Path) -> io::Result<()> {
    #[cfg(any(target_os = "linux", target_vendor = "apple"))]
    {
        use rustix::fs::{CWD, RenameFlags, renameat_with};
        if renameat_with(CWD, new, CWD, old, RenameFlags::EXCHANGE).is_ok() {
            return Ok(());
        }
    }
    let aside = new.with_extension("old");
    fs::rename(old, &aside)?;
    if let Err(e) = fs::rename(new, old) {
        fs::rename(&aside, old)?;
        return Err(e);
    }
    fs::remove_dir_all(&aside)
}
