//! A limit on the size of files (`ulimit -f`): the system's signal would end the program without a
//! word. Once somebody listens to it, the write fails instead, and is told like a full disk.

/// Lets a write beyond the limit fail with a message. Where that is impossible, the system ends the
/// program, as it does by itself.
#[cfg(unix)]
pub(super) fn tell() {
    use signal_hook::consts::SIGXFSZ;
    use std::sync::Arc;
    use std::sync::atomic::AtomicBool;
    let _ = signal_hook::flag::register(SIGXFSZ, Arc::new(AtomicBool::new(false)));
}

/// No such limit there.
#[cfg(not(unix))]
pub(super) fn tell() {}
