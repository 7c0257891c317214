//! Ctrl-C and the like while a report is made: nothing half-made stays behind.

use super::super::output::note;
use super::super::stop::INTERRUPTED;
use crate::files::give_up;

/// Listens from now on: a run that is asked to end takes back what it is writing and then ends. Where
/// that is impossible the program ends as it always does, and the next run clears what it left.
pub(super) fn listen() {
    let _ = ctrlc::set_handler(|| {
        // Held to the end, so that nothing more is begun. Who was writing says so himself.
        let (_held, idle) = give_up();
        if idle {
            note("rimhold: interrupted; no report was written");
        }
        std::process::exit(i32::from(INTERRUPTED));
    });
}
