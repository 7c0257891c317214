//! Ctrl-C and the like (SIGINT, SIGTERM, SIGHUP): the program ends at once, or, where something would
//! be lost or left behind, as soon as that is in order. A second one ends it at once in any case.

use super::say::note;
use std::io;
use std::process::exit;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};

static ASKED: AtomicBool = AtomicBool::new(false);
static GENTLY: Mutex<()> = Mutex::new(());

/// Exit code of a run that was interrupted, as shells have it for Ctrl-C.
pub(super) const INTERRUPTED: u8 = 130;

/// Catches such signals from now on; before anything else, so that there is no moment in which one ends
/// the program in the midst of its work. Where that is impossible, they end it as they always do.
pub fn catch() {
    let _ = ctrlc::set_handler(|| {
        if ASKED.swap(true, Ordering::SeqCst) {
            exit(i32::from(INTERRUPTED));
        }
        // Held to the end, so that nothing more is begun.
        if let Ok(_held) = GENTLY.try_lock() {
            note("rimhold: interrupted");
            exit(i32::from(INTERRUPTED));
        }
    });
}

/// As long as the answer is held, whoever works asks whether to end, by [`asked`] or [`go_on`].
pub(super) fn gently() -> MutexGuard<'static, ()> {
    GENTLY.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Whether an end was asked for.
pub(super) fn asked() -> bool {
    ASKED.load(Ordering::SeqCst)
}

/// Refuses when an end was asked for.
pub(super) fn go_on() -> io::Result<()> {
    if asked() { Err(io::Error::new(io::ErrorKind::Interrupted, "interrupted")) } else { Ok(()) }
}
