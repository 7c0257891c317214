//! Files that appear whole or not at all, and never over one that is not ours; and the room in which
//! they, or a whole folder, are made ready.
//!
//! All files of a run are first written into a hidden room in the same folder, and moved to their
//! places only when every one of them is complete: a full disk, a refusal half way or an interrupted
//! run leaves what stood there before. A room whose run was killed is cleared by the next run that
//! writes into the folder.

use std::ffi::OsString;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};
use tempfile::{TempDir, TempPath};
use thiserror::Error;

/// How the name of a room starts and ends.
const ROOM: (&str, &str) = (".rimhold-", ".part");
/// The folder in a room that holds what stood in a place, by its name, until the place is taken anew.
pub(crate) const EARLIER: &str = "earlier";

/// Held while a folder is written.
static WRITING: Mutex<()> = Mutex::new(());
/// Whether whoever writes should give up.
static GIVEN_UP: AtomicBool = AtomicBool::new(false);

/// Held by whoever writes a folder.
pub(crate) fn writing() -> MutexGuard<'static, ()> {
    WRITING.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Refuses when whoever writes should give up.
pub(crate) fn go_on() -> io::Result<()> {
    if GIVEN_UP.load(Ordering::SeqCst) {
        return Err(io::Error::new(io::ErrorKind::Interrupted, "interrupted"));
    }
    Ok(())
}

/// Asks whoever writes to give up, and waits until what was written is taken back or in its place. As
/// long as the answer is held, nothing more is begun. Also whether nothing was being written.
pub(crate) fn give_up() -> (MutexGuard<'static, ()>, bool) {
    GIVEN_UP.store(true, Ordering::SeqCst);
    match WRITING.try_lock() {
        Ok(held) => (held, true),
        Err(_) => (writing(), false),
    }
}

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

/// Whether a folder takes a file: one is made there and goes again. Asked before long work, so that a
/// refusal costs nothing.
///
/// # Errors
/// The refusal of the file system.
pub fn takes_files(folder: &Path) -> io::Result<()> {
    room(folder).map(|_| ())
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

/// A file on its way.
struct Staged {
    /// Complete, in the room.
    path: PathBuf,
    /// Where it belongs.
    target: PathBuf,
    /// The earlier file of ours that it replaces, as a second name in the room.
    earlier: Option<PathBuf>,
}

fn stage(
    folder: &Path,
    files: &[(OsString, Vec<u8>)],
    may_replace: impl Fn(&Path) -> bool,
) -> Result<Vec<PathBuf>, Refusal> {
    // Also when nothing comes to be written: what is swept is no one's any more.
    sweep(folder);
    let mut replaced = Vec::with_capacity(files.len());
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
        replaced.push(present);
    }
    let (room, _lock) = room(folder).map_err(|e| refused(folder, e))?;
    let mut staged = Vec::with_capacity(files.len());
    for (k, ((name, bytes), replaced)) in files.iter().zip(replaced).enumerate() {
        let target = folder.join(name);
        let path = room.path().join(format!("{k}"));
        File::create_new(&path)
            .and_then(|mut file| {
                file.write_all(bytes)?;
                file.sync_all()
            })
            .map_err(|e| refused(&target, e))?;
        staged.push(Staged { path, earlier: replaced.then(|| room.path().join(format!("{k}-earlier"))), target });
    }
    for (k, file) in staged.iter().enumerate() {
        if let Err(refusal) = place(file) {
            staged[..k].iter().for_each(undo);
            return Err(refusal);
        }
    }
    Ok(staged.into_iter().map(|file| file.target).collect())
}

/// Moves a complete file to its place.
fn place(file: &Staged) -> Result<(), Refusal> {
    let Some(earlier) = &file.earlier else {
        // A file that appeared meanwhile is not ours.
        return TempPath::try_from_path(&file.path)
            .map_err(|e| refused(&file.target, e))?
            .persist_noclobber(&file.target)
            .map_err(|e| match e.error.kind() {
                io::ErrorKind::AlreadyExists => Refusal::Foreign(file.target.clone()),
                _ => refused(&file.target, e.error),
            });
    };
    // Where the file system knows no second names, an earlier figure cannot be brought back; it is
    // replaced all the same.
    let _ = fs::hard_link(&file.target, earlier);
    fs::rename(&file.path, &file.target).map_err(|e| refused(&file.target, e))
}

/// Takes a placed file away again. Nothing can be said when that is refused too.
fn undo(file: &Staged) {
    let _ = match &file.earlier {
        None => fs::remove_file(&file.target),
        Some(earlier) => fs::rename(earlier, &file.target),
    };
}

/// A room of this run. It is locked as long as the run lives, so that no other clears it.
pub(crate) fn room(folder: &Path) -> io::Result<(TempDir, Option<File>)> {
    let room = tempfile::Builder::new().prefix(ROOM.0).suffix(ROOM.1).tempdir_in(folder)?;
    let lock = File::open(room.path()).ok();
    if let Some(lock) = &lock {
        // Without locks nobody can tell a living run's room from a dead one's: see `sweep`.
        let _ = lock.try_lock();
    }
    Ok((room, lock))
}

/// Clears the rooms of runs that were killed: those that nobody holds.
pub(crate) fn sweep(folder: &Path) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let name = entry.file_name();
        let ours = name.to_str().is_some_and(|n| n.starts_with(ROOM.0) && n.ends_with(ROOM.1));
        // The kind of the entry itself: a link to a folder is none.
        if !ours || !entry.file_type().is_ok_and(|kind| kind.is_dir()) {
            continue;
        }
        if let Ok(lock) = File::open(entry.path())
            && lock.try_lock().is_ok()
            && give_back(&entry.path(), folder)
        {
            let _ = fs::remove_dir_all(entry.path());
        }
    }
}

/// Brings back what a killed run had taken from its place without putting anything there; whether
/// nothing that is still wanted is left in its room.
fn give_back(room: &Path, folder: &Path) -> bool {
    let taken = fs::read_dir(room.join(EARLIER)).into_iter().flatten();
    taken.flatten().all(|entry| {
        let place = folder.join(entry.file_name());
        fs::symlink_metadata(&place).is_ok() || fs::rename(entry.path(), place).is_ok()
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
    fn a_placed_file_is_taken_back_and_an_earlier_one_comes_back() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        fs::write(at("a"), "old").unwrap();
        for (name, text) in [("room-a", "new"), ("room-b", "new")] {
            fs::write(at(name), text).unwrap();
        }
        let replaced = Staged { path: at("room-a"), target: at("a"), earlier: Some(at("room-a-earlier")) };
        let fresh = Staged { path: at("room-b"), target: at("b"), earlier: None };
        for file in [&replaced, &fresh] {
            place(file).unwrap();
            assert_eq!(fs::read_to_string(&file.target).unwrap(), "new");
            undo(file);
        }
        assert_eq!(listed(folder.path()), ["a"]);
        assert_eq!(fs::read_to_string(at("a")).unwrap(), "old");
    }

    #[test]
    fn a_room_left_behind_is_cleared_and_a_held_one_is_not() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        let (held, _lock) = room(folder.path()).unwrap();
        fs::create_dir(at(".rimhold-dead.part")).unwrap();
        fs::write(at(".rimhold-dead.part/0"), "half").unwrap();
        fs::write(at(".rimhold-file.part"), "a file of that name is not ours").unwrap();
        write_all(folder.path(), &files(&["a"]), |_| false).unwrap();
        let held = held.path().file_name().unwrap().to_str().unwrap();
        let mut left = vec![held, ".rimhold-file.part", "a"];
        left.sort_unstable();
        assert_eq!(listed(folder.path()), left);
    }

    #[test]
    fn what_a_killed_run_took_from_its_place_comes_back() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        for (name, text) in [("gone", "old"), ("taken", "older")] {
            let room = format!(".rimhold-{name}.part/{EARLIER}");
            fs::create_dir_all(at(&room).join(name)).unwrap();
            fs::write(at(&room).join(name).join("a"), text).unwrap();
        }
        fs::create_dir(at("taken")).unwrap();
        fs::write(at("taken/a"), "new").unwrap();
        sweep(folder.path());
        assert_eq!(listed(folder.path()), ["gone", "taken"]);
        assert_eq!(fs::read_to_string(at("gone/a")).unwrap(), "old");
        assert_eq!(fs::read_to_string(at("taken/a")).unwrap(), "new");
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
