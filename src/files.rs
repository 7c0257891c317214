//! Files and folders that appear whole or not at all, and never over what is not ours.
//!
//! Everything is first written into a hidden folder beside its place, made anew for this run under a
//! name that nobody can foretell and closed to others, and is renamed from there when it is complete.
//! What an earlier run may have left is never looked at.

use std::ffi::OsString;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use tempfile::{TempDir, TempPath};
use thiserror::Error;

/// Why nothing was written. What stood in the folder before is as it was.
#[derive(Debug, Error)]
pub enum Refusal {
    /// A file of that name exists and may not be replaced.
    #[error("{} exists", .0.display())]
    Foreign(PathBuf),
    /// The file system refused.
    #[error("{}: {source}", .path.display())]
    Io {
        /// The file or folder.
        path: PathBuf,
        /// Its answer.
        source: io::Error,
    },
}

fn refused(path: &Path, source: io::Error) -> Refusal {
    Refusal::Io { path: path.to_owned(), source }
}

/// The folder that a path lies in.
pub(crate) fn parent_of(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if parent != Path::new("") => parent,
        _ => Path::new("."),
    }
}

/// Writes files, each given by its name in `folder` and its bytes, all or none. The folder is
/// created when missing. Every target is looked at before anything is touched: one that exists must
/// be one that `may_replace` allows. A symbolic link is never followed; it counts as a file that
/// exists. Returns the paths in the order given.
///
/// # Errors
/// A target that may not be replaced, or a refusal of the file system.
pub fn write_all(
    folder: &Path,
    files: &[(OsString, Vec<u8>)],
    may_replace: impl Fn(&Path) -> bool,
) -> Result<Vec<PathBuf>, Refusal> {
    in_folder(folder, |e| refused(folder, e), || stage(folder, files, may_replace))
}

/// Whether a folder takes a file. Asked before long work, so that a refusal costs nothing.
///
/// # Errors
/// The refusal of the file system.
pub fn takes_files(folder: &Path) -> io::Result<()> {
    tempfile::tempfile_in(folder).map(|_| ())
}

/// Makes a folder, unless it is there, and does work in it. When the work fails, the folders that were
/// made for it go again.
pub(crate) fn in_folder<T, E>(
    folder: &Path,
    refused: impl FnOnce(io::Error) -> E,
    work: impl FnOnce() -> Result<T, E>,
) -> Result<T, E> {
    // Those that do not exist, the innermost first.
    let made: Vec<&Path> = folder
        .ancestors()
        .filter(|p| !p.as_os_str().is_empty())
        .take_while(|p| fs::symlink_metadata(p).is_err())
        .collect();
    let done = fs::create_dir_all(folder).map_err(refused).and_then(|()| work());
    if done.is_err() {
        // Only when they are empty.
        for folder in made {
            let _ = fs::remove_dir(folder);
        }
    }
    done
}

/// A hidden folder in another, this run's alone: it goes when it is dropped.
pub(crate) fn room(folder: &Path) -> io::Result<TempDir> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".rimhold-").suffix(".part");
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o700));
    builder.tempdir_in(folder)
}

/// Writes a new file to its last byte.
pub(crate) fn fill(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = File::create_new(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

fn stage(
    folder: &Path,
    files: &[(OsString, Vec<u8>)],
    may_replace: impl Fn(&Path) -> bool,
) -> Result<Vec<PathBuf>, Refusal> {
    let mut targets = Vec::with_capacity(files.len());
    for (name, _) in files {
        let target = folder.join(name);
        let present = match fs::symlink_metadata(&target) {
            Ok(_) => true,
            Err(e) if e.kind() == io::ErrorKind::NotFound => false,
            Err(e) => return Err(refused(&target, e)),
        };
        if present && !may_replace(&target) {
            return Err(Refusal::Foreign(target));
        }
        targets.push((target, present));
    }
    let room = room(folder).map_err(|e| refused(folder, e))?;
    let staged = |k: usize| room.path().join(k.to_string());
    for (k, ((_, bytes), (target, _))) in files.iter().zip(&targets).enumerate() {
        fill(&staged(k), bytes).map_err(|e| refused(target, e))?;
    }
    for (k, (target, replaces)) in targets.iter().enumerate() {
        if let Err(refusal) = place(&staged(k), target, *replaces) {
            // An earlier file of ours that was replaced already cannot come back; it is whole.
            for (new, _) in targets[..k].iter().filter(|t| !t.1) {
                let _ = fs::remove_file(new);
            }
            return Err(refusal);
        }
    }
    Ok(targets.into_iter().map(|t| t.0).collect())
}

/// Moves a complete file to its place.
fn place(staged: &Path, target: &Path, replaces: bool) -> Result<(), Refusal> {
    if replaces {
        return fs::rename(staged, target).map_err(|e| refused(target, e));
    }
    // A file that appeared meanwhile is not ours.
    let staged = TempPath::try_from_path(staged).map_err(|e| refused(target, e))?;
    staged.persist_noclobber(target).map_err(|e| match e.error.kind() {
        io::ErrorKind::AlreadyExists => Refusal::Foreign(target.to_owned()),
        _ => refused(target, e.error),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn files(names: &[&str]) -> Vec<(OsString, Vec<u8>)> {
        names.iter().map(|n| ((*n).into(), format!("new {n}").into_bytes())).collect()
    }

    fn listed(folder: &Path) -> Vec<String> {
        let mut names: Vec<String> =
            fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    #[test]
    fn nothing_is_touched_when_the_last_target_is_not_ours() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        fs::write(at("a"), "old a").unwrap();
        fs::write(at("c"), "precious").unwrap();
        let refusal = write_all(folder.path(), &files(&["a", "b", "c"]), |path| path.ends_with("a"));
        assert!(matches!(refusal, Err(Refusal::Foreign(path)) if path == at("c")));
        assert_eq!(listed(folder.path()), ["a", "c"]);
        assert_eq!(fs::read_to_string(at("a")).unwrap(), "old a");
        assert_eq!(fs::read_to_string(at("c")).unwrap(), "precious");
        let written = write_all(folder.path(), &files(&["a", "b"]), |_| true).unwrap();
        assert_eq!(written, [at("a"), at("b")]);
        assert_eq!(fs::read_to_string(at("a")).unwrap(), "new a");
        assert_eq!(listed(folder.path()), ["a", "b", "c"]);
    }

    #[test]
    fn new_files_go_again_when_a_later_one_cannot_be_placed() {
        let folder = tempfile::tempdir().unwrap();
        // The last appears between the look at it and its placing.
        let appears = folder.path().join("b");
        fs::write(folder.path().join("old"), "old").unwrap();
        let may = |_: &Path| fs::write(&appears, "precious").is_ok();
        let refusal = write_all(folder.path(), &files(&["a", "b", "old"]), may);
        assert!(matches!(refusal, Err(Refusal::Foreign(path)) if path == appears));
        assert_eq!(listed(folder.path()), ["b", "old"]);
        assert_eq!(fs::read_to_string(&appears).unwrap(), "precious");
        assert_eq!(fs::read_to_string(folder.path().join("old")).unwrap(), "old");
    }

    /// Whoever can write the folder may have put there what looks like a room of ours.
    #[cfg(unix)]
    #[test]
    fn a_room_is_closed_to_others_and_one_that_is_there_is_never_touched() {
        use std::os::unix::fs::{PermissionsExt, symlink};
        let (folder, home) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
        fs::write(home.path().join("letter"), "precious").unwrap();
        let planted = folder.path().join(".rimhold-abcdef.part");
        fs::create_dir(&planted).unwrap();
        symlink(home.path(), planted.join("earlier")).unwrap();
        write_all(folder.path(), &files(&["a"]), |_| false).unwrap();
        assert_eq!(listed(folder.path()), [".rimhold-abcdef.part", "a"]);
        assert_eq!(listed(&planted), ["earlier"]);
        assert_eq!(listed(home.path()), ["letter"]);
        let mode = fs::metadata(room(folder.path()).unwrap().path()).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o700);
    }

    #[test]
    fn a_folder_that_was_made_goes_again_when_nothing_was_written() {
        let folder = tempfile::tempdir().unwrap();
        let deep = folder.path().join("one/two");
        // No file can be written into a name that has a folder in it that is missing.
        let refusal = write_all(&deep, &files(&["a", "none/b"]), |_| false);
        assert!(matches!(refusal, Err(Refusal::Io { .. })));
        assert!(listed(folder.path()).is_empty());
    }
}
