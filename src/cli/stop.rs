//! Ctrl-C: the first asks for an end after the chunk under way, a second ends at once.

use std::sync::atomic::{AtomicBool, Ordering};

static ASKED: AtomicBool = AtomicBool::new(false);

/// Exit code of a run that was interrupted, as shells have it for Ctrl-C.
pub(super) const INTERRUPTED: u8 = 130;

/// Listens from now on. Where that is impossible, Ctrl-C ends the program as it always does, and
/// what was written can still be gone on with.
pub(super) fn listen() {
    let _ = ctrlc::set_handler(|| {
        if ASKED.swap(true, Ordering::SeqCst) {
            std::process::exit(i32::from(INTERRUPTED));
        }
    });
}

/// Whether an end was asked for.
pub(super) fn asked() -> bool {
    ASKED.load(Ordering::SeqCst)
}
