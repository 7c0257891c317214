//! Seating of short segments. The law is the model's own; the answer is that of springs in parallel
//! and in series (any handbook of mechanics).

use crate::closed_form::rigging::all_pass;
use rimhold::verify::closed_form;

#[test]
fn short_segment_bears_compression_and_a_soft_bite_does_not_pass_its_anchor() {
    all_pass(closed_form::seat);
}
