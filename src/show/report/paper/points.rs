//! What a methods section must hold, point by point, after Erdemir et al. 2012 (J Biomech,
//! PMC3278509) and ASME V&V 40-2018.

/// A point that a methods section must speak of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Point {
    /// What it is.
    pub what: &'static str,
    /// The heading under which it stands.
    pub heading: &'static str,
    /// Words that its section must hold, unless it says that the point is not applicable.
    pub words: &'static [&'static str],
}

/// Words that open a point which does not concern a run.
pub const NOT_APPLICABLE: &str = "Not applicable because";

/// Every point.
#[rustfmt::skip]
pub const POINTS: &[Point] = &[
    Point { what: "purpose and context of use", heading: "Purpose and context of use", words: &["compared", "context of use"] },
    Point { what: "what it must not be used for", heading: "Purpose and context of use", words: &["must not be used"] },
    Point { what: "quantities of interest and their definitions", heading: "Quantities of interest", words: &["compression", "articular step", "load at", "share"] },
    Point { what: "geometry and frame", heading: "Geometry and frame", words: &["anterior", "superior", "lateral", "diameter", "chord"] },
    Point { what: "rigid bodies", heading: "Geometry and frame", words: &["rigid"] },
    Point { what: "law of the bed", heading: "Law of the bed", words: &["```text", "max(0,", "Coulomb", "friction coefficient"] },
    Point { what: "law of the limbs", heading: "Law of the limbs", words: &["```text", "EA", "Euler–Eytelwein"] },
    Point { what: "law of anchors and bites", heading: "Law of anchors and bites", words: &["```text", "spring", "seated"] },
    Point { what: "law of the screws", heading: "Law of the screws", words: &["```text", "foundation", "preload"] },
    Point { what: "law of the soft tissue", heading: "Law of the soft tissue", words: &["```text", "envelope", "tether"] },
    Point { what: "loads and control", heading: "Loads and control", words: &["tied", "pushed", "urning was", "```text"] },
    Point { what: "what was varied of the order of tying, and how orders are ranked", heading: "Tying order", words: &["residual step", "orders", "band", "were stable"] },
    Point { what: "parameter table", heading: "Parameters", words: &["| value |", "| unit |", "| backing |"] },
    Point { what: "what is left out, and which way it errs", heading: "Assumptions, and which way they err", words: &["which way it errs"] },
    Point { what: "equations solved", heading: "Equations and algorithm", words: &["equilibrium", "Newton", "```text"] },
    Point { what: "tolerances and step control", heading: "Equations and algorithm", words: &["halved", "viscous", "certificate: net force"] },
    Point { what: "residual of this run", heading: "Residual of this run", words: &["net force", "net moment"] },
    Point { what: "verification", heading: "Verification", words: &["kept", "verification suite was"] },
    Point { what: "balance of this case", heading: "Balance of this case", words: &["moments and energy", "within their tolerances"] },
    Point { what: "refinement of the bed for this case", heading: "Refinement of the bed", words: &["finer cells"] },
    Point { what: "validation", heading: "Validation", words: &["No experimental validation was performed"] },
    Point { what: "uncertainty", heading: "Uncertainty", words: &["uncertainty", "samples", "seed", "drawn from", "| distribution |", "| backing |", "tandard error", "stable to the end", "could not be checked"] },
    Point { what: "which inputs move the answers", heading: "Sensitivity", words: &["Sobol'", "base samples", "seed", "bootstrap", "left out"] },
    Point { what: "sweeps", heading: "Sweeps", words: &["points", "aried were", "stable to the end", "could not be checked"] },
    Point { what: "search for better places", heading: "Places of the anchors", words: &["objective", "bounds", "constraint", "swarm", "simplex", "seed", "evaluations", "starts", "draws", "| backing |"] },
    Point { what: "further questions", heading: "Further questions", words: &["rimhold", "answer"] },
    Point { what: "software, version, availability", heading: "Software and availability", words: &["version", "commit"] },
    Point { what: "how to run it again", heading: "Software and availability", words: &["rimhold report"] },
];

/// The points of which a methods section says nothing.
pub fn missing(text: &str) -> Vec<&'static Point> {
    POINTS
        .iter()
        .filter(|point| {
            let section = section(text, point.heading);
            let said = |section: &str| {
                let words = section.to_lowercase();
                section.contains(NOT_APPLICABLE) || point.words.iter().all(|w| words.contains(&w.to_lowercase()))
            };
            !section.is_some_and(said)
        })
        .collect()
}

/// The text under a heading of second rank, up to the next.
fn section<'a>(text: &'a str, heading: &str) -> Option<&'a str> {
    let start = text.find(&format!("\n## {heading}\n"))?;
    let body = &text[start + 1..];
    Some(match body.find("\n## ") {
        Some(end) => &body[..end],
        None => body,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_point_is_met_by_its_words_or_by_a_reason() {
        let all = missing("nothing");
        assert_eq!(all.len(), POINTS.len());
        let text = "\n## Uncertainty\n\nNot applicable because there was none.\n## Validation\nx\n";
        let left: Vec<&str> = missing(text).iter().map(|p| p.what).collect();
        assert!(!left.contains(&"uncertainty") && left.contains(&"validation"));
    }
}
