//! Inputs of a case and of constructs in plain words, short enough for a figure.

use crate::model::parameter;

/// Keys that belong to the whole case or to every construct.
const WHOLE: [(&str, &str); 31] = [
    ("fragment.width", "fragment width"),
    ("fragment.depth", "fragment depth"),
    ("fragment.tilt", "slope of the fracture"),
    ("fragment.middle", "clock position of the fragment"),
    ("fragment.length", "fragment length"),
    ("bed.friction", "friction of the bed"),
    ("bed.normal_stiffness", "bed stiffness, normal"),
    ("bed.shear_stiffness", "bed stiffness, shear"),
    ("bed.crush_strength", "crush strength"),
    ("bed.asperity_angle", "asperity angle"),
    ("bed.asperity_height", "asperity height"),
    ("bed.edge_width", "broken edge of the bed"),
    ("envelope.shift_stiffness", "soft tissue, shift"),
    ("envelope.turn_stiffness", "soft tissue, turn"),
    ("friction.rim", "strand friction, rim"),
    ("friction.labrum", "strand friction, labrum"),
    ("friction.bone", "strand friction, bone edge"),
    ("friction.eyelet", "strand friction, eyelet"),
    ("bite.stiffness", "bite stiffness"),
    ("bite.stiffening", "bite stiffening"),
    ("bite.strength", "bite strength"),
    ("settling.bite_kept", "force kept by bites"),
    ("settling.bite_set", "set of bites"),
    ("settling.set_growth", "growth of sets"),
    ("settling.knot_growth", "growth of knots"),
    ("settling.clamp_growth", "slip of clamps"),
    ("bite.below", "bite below the rim"),
    ("seat.stiffness", "stiffness of a seat"),
    ("tether.hinge", "inferior hinge"),
    ("socket.diameter", "socket diameter"),
    ("socket.face_radius", "radius of the face"),
];

/// Keys of something that has a name: kind, key, words for one, words for all.
const NAMED: [(&str, &str, &str, &str); 18] = [
    ("limb", "tension", "tension", "tension of limbs"),
    ("limb", "knot_slack", "knot slack", "knot slack of limbs"),
    ("limb", "knot_limit", "knot limit", "knot limit of limbs"),
    ("anchor", "along_error", "along rim", "anchors, along rim"),
    ("anchor", "across_error", "across rim", "anchors, across rim"),
    ("anchor", "along", "along the chord", "anchors, along the chord"),
    ("anchor", "inset", "inset", "anchors, inset"),
    ("anchor", "beyond", "beyond the exit", "anchors, beyond the exit"),
    ("anchor-class", "stiffness", "stiffness", "stiffness of anchors"),
    ("anchor-class", "set", "set", "set of anchors"),
    ("strand", "rigidity", "strand rigidity", "rigidity of strands"),
    ("tether", "stiffness", "stiffness", "stiffness of tethers"),
    ("tether", "slack", "slack", "slack of tethers"),
    ("load", "force", "force", "forces"),
    ("screw", "preload", "preload", "preload of screws"),
    ("screw", "foundation", "foundation", "bone about screws"),
    ("screw", "working_length", "working length", "working length of screws"),
    ("screw", "diameter", "diameter", "diameter of screws"),
];

/// An input in plain words. Several, joined by ` + ` because they are correlated, stay joined; a path
/// without words of its own is given by the meaning of its key, else as it is typed.
pub(crate) fn words(path: &str) -> String {
    if path.contains(" + ") {
        let parts: Vec<String> = path.split(" + ").map(words).collect();
        // What they begin with alike is said once.
        let alike = parts[0].find(", ").map_or("", |at| &parts[0][..at + 2]);
        let rest = parts[1..].iter().map(|p| p.strip_prefix(alike).unwrap_or(p).to_owned());
        let all: Vec<String> = std::iter::once(parts[0].clone()).chain(rest).collect();
        return all.join(" + ");
    }
    if let Some(whole) = WHOLE.iter().find(|w| w.0 == path) {
        return whole.1.to_owned();
    }
    let parts: Vec<&str> = path.split('.').collect();
    if let [kind, name, key] = parts.as_slice()
        && let Some(named) = NAMED.iter().find(|n| n.0 == *kind && n.1 == *key)
    {
        let anchor = match *kind {
            "anchor" => " anchor",
            "anchor-class" => " anchors",
            _ => "",
        };
        return if *name == "*" { named.3.to_owned() } else { format!("{name}{anchor}, {}", named.2) };
    }
    parameter(path).map_or_else(|| path.to_owned(), |row| format!("{} ({path})", row.meaning))
}

#[cfg(test)]
mod tests {
    use super::words;

    #[test]
    fn paths_become_words_and_keep_their_names() {
        assert_eq!(words("limb.bridge-lower.tension"), "bridge-lower, tension");
        assert_eq!(words("limb.*.tension"), "tension of limbs");
        assert_eq!(words("friction.rim + friction.labrum"), "strand friction, rim + labrum");
        assert_eq!(words("anchor.medial.along_error"), "medial anchor, along rim");
        assert_eq!(words("no.such"), "no.such");
    }
}
