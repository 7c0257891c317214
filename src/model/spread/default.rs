//! The spread that is taken when nobody gives one.

use super::super::Tag;
use super::super::problems::SourceText;
use super::table::{CorrelationLine, Law, SpreadLine, SpreadTable, Usage};
use crate::stats::Shape;

/// Inputs that take their spread from the table of parameters: triangular from its low to its high
/// end, most probable at the value of the file. Everything that moves the answers and that nobody
/// measures in a patient.
const FROM_TABLE: [&str; 16] = [
    "bed.friction",
    "bed.normal_stiffness",
    "bed.shear_stiffness",
    "envelope.shift_stiffness",
    "envelope.turn_stiffness",
    "tether.*.stiffness",
    "tether.*.slack",
    "friction.rim",
    "friction.labrum",
    "bite.stiffness",
    "limb.*.knot_slack",
    "strand.*.rigidity",
    "anchor-class.*.stiffness",
    "bed.crush_strength",
    "screw.*.preload",
    "screw.*.foundation",
];

/// The built-in spread. Lines that stand for nothing in a case and its constructs are left out of a
/// run without a word.
pub fn default_spread() -> SpreadTable {
    let line = |path: &str, law: Law, usage: Usage, source: &str| SpreadLine {
        path: path.to_owned(),
        span: 0..0,
        law,
        usage,
        shared: false,
        source: (!source.is_empty()).then(|| source.to_owned()),
    };
    let given = |shape: Shape, range: [f64; 2]| Law::Given(shape, Some(range));
    let normal = |deviation: f64, widest: f64| given(Shape::Normal { mean: 0.0, deviation }, [-widest, widest]);
    let mut lines = vec![
        // A user measures these; how far two readers differ is not known.
        line("fragment.width", normal(0.5, 1.5), Usage::Added, "reading of CT, assumed"),
        line("fragment.depth", normal(1.0, 2.5), Usage::Added, "reading of CT, assumed"),
        line("fragment.tilt", normal(3.0, 8.0), Usage::Added, "reading of CT, assumed"),
        line(
            "limb.*.tension",
            given(Shape::Lognormal { median: 1.0, sigma: libm::log1p(0.35f64 * 0.35).sqrt() }, [0.4, 2.0]),
            Usage::Factor,
            "operators tying one task vary by CV 25–56 %, JAVMA 2002;220:334 (seen); 35 % chosen",
        ),
        line("anchor.*.along_error", Law::Default, Usage::Value, ""),
        line("anchor.*.across_error", Law::Default, Usage::Value, ""),
    ];
    lines.extend(FROM_TABLE.map(|path| line(path, Law::Default, Usage::Value, "")));
    // Strand on cartilage and on labrum is the same strand: one doubt.
    let correlation = CorrelationLine {
        between: ["friction.rim".into(), "friction.labrum".into()],
        rank: 0.8,
        tag: Tag::Assumed,
        source: "one strand on both: strong, not whole; the number is our choice",
        span: 0..0,
    };
    SpreadTable { source: SourceText::new("built-in spread", ""), lines, correlations: vec![correlation] }
}
