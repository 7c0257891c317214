//! The two kinds of file as JSON Schema (draft 07, which editors' TOML servers read), so that an
//! editor completes keys and marks mistakes while a person types.
//!
//! Numbers, their keys, ranges, defaults and backing come from the table of parameters; words, names and
//! limits are the reader's own. What else a table may hold is written here, and a test holds it against
//! what the reader asks for.
//!
//! A schema sees one file and no bone: whether a place lies on this fragment, whether an anchor that a
//! path names exists, and whether the order ties every limb once, only `rimhold check` tells.

use super::case_file::{FLAT, MOST, RESTS, SIDES};
use super::construct_file::{MOST as MOST_OF_A_CONSTRUCT, RESERVED};
use super::forces::{DIRECTIONS, SINCE};
use super::parameters::{Parameter, row, rows_of};
use super::path::{FIXINGS, KINDS as STOP_KINDS, MOST_STOPS, TAUT};
use super::phases::MOST as MOST_PHASES;
use super::place::{LONGEST_PATH, MOST_CONES, MOST_FREE};
use super::places::{KINDS as PLACE_KINDS, along_of, blank, numbers_of};
use super::reader::{LONGEST_NAME, LONGEST_TEXT, OF_PATHS};
use super::settings::{CLASSES, MOST_CLASSES, RIGID, TABLES, built_in};
use super::tying::STOPS;
use serde_json::{Map, Value, json};

/// Control characters, as a class of a regular expression holds them.
const CONTROL: &str = r"\u0000-\u001f\u007f-\u009f";

/// Keys with what they may hold.
type Keys = Vec<(&'static str, Value)>;

/// The schema of a case file.
pub fn case_schema() -> Value {
    let width = length(row("fragment.width"), row("fragment.width[percent]"));
    let rest = words("in which pose it is at rest; where tying starts when not given", &RESTS);
    let flat = number_or(row("socket.face_radius"), FLAT, "no curvature");
    let tether = keys(
        "tether.*",
        vec![("fragment", placed("its end on the fragment")), ("scapula", placed("its end on the scapula"))],
    );
    let tether = table("a tension-only spring from the fragment to the scapula", tether, &["fragment", "scapula"]);
    let displaced = rows_of("displaced").map(|row| (row.key(), bare(row))).collect();
    let socket = table("the socket, as measured on CT", keys("socket", vec![("face_radius", flat)]), &["diameter"]);
    let fragment = keys("fragment", vec![("width", width), ("middle", clock(row("fragment.middle")))]);
    let numbers = |about: &str, of: &str| table(about, keys(of, Vec::new()), &[]);
    let own = vec![
        ("side", words("which shoulder", &SIDES)),
        ("socket", socket),
        ("fragment", table("the fragment, as measured on CT", fragment, &["width", "middle"])),
        ("bed", numbers("the fracture bed", "bed")),
        (
            "envelope",
            table(
                "soft tissue still attached; both stiffnesses 0 for a bare fragment",
                keys("envelope", vec![("rest", rest)]),
                &[],
            ),
        ),
        ("tether", named("hinges and labral tethers, which only pull", tether, MOST, 0)),
        ("load", named("constant forces on the fragment", load(), MOST, 0)),
        (
            "displaced",
            table(
                "where the fragment lay before it was reduced, in axes of the fracture bed; what is not named is zero",
                displaced,
                &[],
            ),
        ),
        (
            "settling",
            table(
                "what a tied repair loses to relaxation and to cycles of load",
                keys(
                    "settling",
                    vec![(
                        "direction",
                        text(LONGEST_NAME, "direction of the cycles' load: that of the push when not given"),
                    )],
                ),
                &[],
            ),
        ),
        ("phase", phases()),
        ("joint", numbers("the head on the socket, for `rimhold joint`", "joint")),
        ("seat", numbers("limb segments so short that they seat on bone", "seat")),
        ("anchors", numbers("distances below which anchors are warned about", "anchors")),
        (
            "spread",
            // Its keys are those of cases and constructs with a distribution at each, and any name may
            // be `*`: more than a schema tells better than the reader does.
            json!({
                "type": "object",
                "description": "how far inputs are in doubt, for `rimhold scatter`: a distribution at the dotted path of each, e.g. bed.friction = { triangular = [0.3, 0.5, 0.9] }; `rimhold scatter --inputs` lists the paths",
                "minProperties": 1,
            }),
        ),
    ];
    root(
        "rimhold case",
        "A socket, its fragment, the bed, soft tissue, loads and the displaced pose. Lengths in mm, angles in degrees, forces in N.",
        own,
        &["side", "socket", "fragment"],
    )
}

/// The schema of a construct file.
pub fn construct_schema() -> Value {
    let mut anchors = named("anchors in the scapula", anchor(), MOST_OF_A_CONSTRUCT, 1);
    anchors["propertyNames"]["not"] = json!({ "enum": RESERVED });
    let own = vec![
        ("anchor", anchors),
        ("limb", named("strands from anchor to anchor over the fragment", limb(), MOST_OF_A_CONSTRUCT, 1)),
        ("screw", named("lag screws through the fragment", screw(), MOST_OF_A_CONSTRUCT, 1)),
        ("tying", tying()),
        ("place", searched()),
    ];
    let about = "Anchors, limbs, screws and the order in which they are tied. Lengths in mm, forces in N.";
    let mut schema = root("rimhold construct", about, own, &[]);
    // Limbs need anchors; screws stand alone.
    schema["anyOf"] = json!([{ "required": ["anchor", "limb"] }, { "required": ["screw"] }]);
    schema
}

/// The root of a file: its own keys, and what either kind may set for all limbs and anchors at once.
fn root(title: &str, about: &str, own: Keys, required: &[&str]) -> Value {
    let mut all = vec![
        ("name", text(LONGEST_NAME, "what it is called; the file's name when not given")),
        (
            "description",
            json!({
                "type": "string",
                "description": "what it is, in free words",
                "maxLength": LONGEST_TEXT,
                "pattern": r"^[^\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f]*$",
            }),
        ),
    ];
    all.extend(own);
    all.extend(TABLES.iter().map(|&(of, about)| (of, table(about, keys(of, Vec::new()), &[]))));
    all.extend(CLASSES.map(|(kind, about)| (kind, classes(kind, about))));
    let mut schema = table(&format!("{about} {}", crate::CAUTION), all, required);
    schema["$schema"] = "http://json-schema.org/draft-07/schema#".into();
    schema["title"] = title.into();
    schema["definitions"] = json!({ "place": place() });
    schema
}

/// Classes of one kind: the built-in ones with their defaults, and any others.
fn classes(kind: &str, about: &str) -> Value {
    let class = |name: &str| {
        let own = |key: &str| rows_of(&format!("{kind}.{name}")).find(|row| row.key() == key);
        let of_any = format!("{kind}.*");
        let keys = rows_of(&of_any).map(|any| {
            let row = own(any.key()).unwrap_or(any);
            let value = match row.key() {
                "stiffness" => number_or(row, RIGID, "no spring"),
                "clock" => clock(row),
                _ => number(row),
            };
            (row.key(), value)
        });
        let keys: Keys = keys.collect();
        let needed: &[&str] = if kind == "portal" && name == "*" { &["clock", "elevation"] } else { &[] };
        table("a class", keys, needed)
    };
    let mut classes = named(about, class("*"), MOST_CLASSES, 0);
    let built_in = built_in(kind).into_iter().map(|name| (name.to_owned(), class(name)));
    classes["properties"] = built_in.collect::<Map<String, Value>>().into();
    classes
}

/// Phases of rehabilitation, a list.
fn phases() -> Value {
    let others = vec![
        ("name", text(LONGEST_NAME, "its name")),
        ("direction", text(LONGEST_NAME, "direction of the load, as of a push: inferior when not given")),
    ];
    let phase = table("a phase", keys("phase.*", others), &["name", "high", "cycles"]);
    json!({ "type": "array", "description": "phases of rehabilitation in order, for `rimhold budget`", "items": phase, "maxItems": MOST_PHASES })
}

fn load() -> Value {
    let directions = DIRECTIONS.map(|d| d.0);
    let mut load = table(
        "a constant force on the fragment",
        vec![
            ("at", placed("where on the fragment it acts")),
            (
                "force",
                json!({
                    "description": "its magnitude, or its three components [x, y, z]",
                    "anyOf": [bare(row("load.*.force[magnitude]")), triple(row("load.*.force"))],
                }),
            ),
            (
                "direction",
                json!({
                    "description": "where a force given by its magnitude points: a word, or [x, y, z]",
                    "anyOf": [{ "enum": directions }, triple(row("point"))],
                }),
            ),
            ("when", words("since when it acts; after tying when not given", &SINCE)),
        ],
        &["at", "force"],
    );
    load["if"] = json!({ "properties": { "force": { "type": "array" } } });
    load["then"] = json!({ "not": { "required": ["direction"] } });
    load["else"] = json!({ "required": ["direction"] });
    load
}

fn anchor() -> Value {
    let class = text(40, &class_of("anchor-class", "all-suture"));
    let stiffness = number_or(row("anchor.*.stiffness"), RIGID, "no spring");
    let own = vec![
        ("at", placed("where it sits")),
        ("class", class),
        ("stiffness", stiffness),
        ("axis", triple(row("anchor.*.axis"))),
        ("portal", name("the portal through which its hole is drilled; the one that serves best when not given")),
    ];
    // Where it lands is no key of a file.
    let keys = keys("anchor.*", own).into_iter().filter(|k| !k.0.ends_with("_error"));
    table("an anchor in the scapula", keys.collect(), &["at"])
}

fn class_of(kind: &str, default: &str) -> String {
    format!("its class: {}, or one of your own; {default} when not given", built_in(kind).join(", "))
}

fn limb() -> Value {
    let path = json!({
        "type": "array",
        "description": "its stops from end to end, the tie end last",
        "items": stop(),
        "minItems": 2,
        "maxItems": MOST_STOPS,
    });
    let fixing = "how it is finished; a knot for a loop or a closed strand, knotless for a bridge when not given";
    let own = vec![
        ("path", path),
        ("closed", flag("whether the last stop leads back to the first")),
        ("friction", friction()),
        ("strand", text(40, &class_of("strand", "cord"))),
        ("fixing", words(fixing, &FIXINGS)),
        ("group", text(40, "name under which its forces are summed")),
    ];
    table("a strand", keys("limb.*", own), &["path"])
}

fn friction() -> Value {
    let mut friction = bare(row("friction.rim"));
    friction["description"] =
        "friction coefficient of the strand here; that of rim, labrum, bone or eyelet when not given".into();
    friction
}

/// A stop of a limb: an anchor's name, `"rim"`, or a table with exactly one kind.
fn stop() -> Value {
    let locked = || flag("whether a stitch is locked there, so that the strand does not run");
    let crossing = |about: &str, more: Keys| {
        let mut keys = vec![along(), ("friction", friction()), ("locked", locked())];
        keys.extend(more);
        table(about, keys, &["along"])
    };
    let kind = |kind: &'static str| {
        let value = match kind {
            "rim" => json!({
                "description": "over the rim: at a place along it, or where the limb is shortest",
                "anyOf": [crossing("at a place along the rim", Vec::new()), { "const": TAUT }],
            }),
            "margin" => crossing("round the medial margin of the fragment", Vec::new()),
            "bite" => crossing("through labrum", rows_of("bite").map(|row| (row.key(), bare(row))).collect()),
            "over" => placed("over a place on the fragment"),
            _ => name("through the eyelet of this anchor"),
        };
        (kind, value)
    };
    let mut keys: Keys = STOP_KINDS.iter().map(|k| kind(k)).collect();
    keys.extend([("friction", friction()), ("locked", locked())]);
    let mut one = table("a turning point", keys, &[]);
    one["oneOf"] = STOP_KINDS.iter().map(|kind| json!({ "required": [kind] })).collect();
    let mut word = name("an anchor's name, or \"rim\": over the rim where the limb is shortest");
    word["not"] = json!({ "const": "margin" });
    json!({ "anyOf": [word, one] })
}

fn screw() -> Value {
    let own = vec![
        ("at", placed("where its head sits on the fragment")),
        ("direction", triple(row("screw.*.direction"))),
        ("toward", placed("a place in the scapula that it is aimed at")),
        ("group", text(40, "name under which its forces are summed")),
    ];
    let mut one = table("a lag screw through the fragment into the scapula", keys("screw.*", own), &["at"]);
    // Aimed along a direction or at a place, or square to the fracture plane.
    one["not"] = json!({ "required": ["direction", "toward"] });
    one
}

fn tying() -> Value {
    let one = || name("the name of a limb or screw");
    let some = || filled("limbs and screws that are pulled together", one());
    let stop = words("when the pull ends: at its tension, or when the fragment is reduced", &STOPS);
    let tie = table(
        "a tie with what it needs said",
        vec![
            ("limbs", json!({ "anyOf": [one(), some()] })),
            ("stop", stop),
            ("held", flag("whether the fragment is held by an instrument meanwhile")),
        ],
        &["limbs"],
    );
    let about = "limbs and screws in the order in which they are tied, each once; as in the file when not given";
    let order = filled(about, json!({ "anyOf": [one(), some(), tie] }));
    table("the order of ties", keys("tying", vec![("order", order)]), &[])
}

/// What a construct says of a search for better places.
fn searched() -> Value {
    let end = || length(row("place.bound"), row("place.bound[percent]"));
    let path = "dotted path, * for any name: anchor.NAME.along, limb.NAME.crossing.1.along, limb.NAME.tension; `rimhold place --variables` lists them";
    let free = table(
        "free variables of one path and their range; the usual range when it is not given",
        vec![("path", text(LONGEST_PATH, path)), ("low", end()), ("high", end())],
        &["path"],
    );
    let mut free = filled("free variables; both coordinates of every anchor that a bridge uses when not given", free);
    free["maxItems"] = MOST_FREE.into();
    let anchors = filled("anchors set through it; all free ones when not given", name("an anchor"));
    let cone = table(
        "a portal through which anchors are set",
        keys("place.reach.*", vec![("portal", triple(row("point"))), ("anchors", anchors)]),
        &["portal", "half_angle"],
    );
    table(
        "what `rimhold place` may change, within which bounds, and what its answer must keep",
        vec![
            ("free", free),
            ("limits", table("what the answer must keep", keys("place.limits", Vec::new()), &[])),
            ("drill", flag("whether the answer must keep what `rimhold drill` asks of its free anchors")),
            ("reach", named("portals and how far instruments through them may lean", cone, MOST_CONES, 0)),
        ],
        &[],
    )
}

/// A place on bone: exactly one kind.
fn place() -> Value {
    let kinds = PLACE_KINDS.iter().map(|&kind| {
        let Some(mut blank) = blank(kind) else {
            return (kind, triple(row("point")));
        };
        let mut keys: Keys = along_of(&mut blank).map(|_| along()).into_iter().collect();
        keys.extend(
            numbers_of(&mut blank)
                .into_iter()
                .map(|(key, of, _)| (key, if key == "hours" { clock(row(of)) } else { bare(row(of)) })),
        );
        let required: Vec<&str> = keys.iter().map(|k| k.0).collect();
        let about = match kind {
            "face" => "on the face beyond the fracture line",
            "rim" => "on the rim",
            "wall" => "on the outer wall below the rim",
            "margin" => "on the medial margin of the fragment",
            "neck" => "in the neck beyond the fragment's exit",
            "crater" => "on the fracture bed",
            _ => "on the face by clock position",
        };
        (kind, table(about, keys, &required))
    });
    let mut place = table(&format!("a place on bone: one of {}", PLACE_KINDS.join(", ")), kinds.collect(), &[]);
    place["minProperties"] = 1.into();
    place["maxProperties"] = 1.into();
    place
}

fn placed(about: &str) -> Value {
    json!({ "description": about, "allOf": [{ "$ref": "#/definitions/place" }] })
}

fn along() -> (&'static str, Value) {
    ("along", length(row("along"), row("along[percent]")))
}

/// The keys of a table: its rows, but what `others` says otherwise, and these.
fn keys(of: &str, others: Keys) -> Keys {
    let rows = rows_of(of).filter(|row| others.iter().all(|o| o.0 != row.key()));
    rows.map(|row| (row.key(), number(row))).collect::<Keys>().into_iter().chain(others).collect()
}

/// A table with these keys and no others.
fn table(about: &str, keys: Keys, required: &[&str]) -> Value {
    let keys: Map<String, Value> = keys.into_iter().map(|(k, v)| (k.to_owned(), v)).collect();
    let mut table = json!({
        "type": "object",
        "description": about,
        "additionalProperties": false,
        "properties": keys,
    });
    if !required.is_empty() {
        table["required"] = required.into();
    }
    table
}

/// Tables with names of their own.
fn named(about: &str, inner: Value, most: usize, least: usize) -> Value {
    let name = format!("^(?=[^{OF_PATHS}]*$){}", plain(LONGEST_NAME).trim_start_matches('^'));
    let mut named = json!({
        "description": format!("{about}; at most {most}"),
        "type": "object",
        "propertyNames": { "pattern": name },
        "additionalProperties": inner,
        "maxProperties": most,
    });
    if least > 0 {
        named["minProperties"] = least.into();
    }
    named
}

/// A list with at least one of these.
fn filled(about: &str, one: Value) -> Value {
    json!({ "type": "array", "description": about, "items": one, "minItems": 1 })
}

/// A number that has no default, or whose default is another value's.
fn bare(row: &Parameter) -> Value {
    let source = if row.source.is_empty() { String::new() } else { format!(". {}", row.source) };
    json!({
        "type": if row.is_whole() { "integer" } else { "number" },
        "description": row.spread() + &source,
        "minimum": row.allowed.0,
        "maximum": row.allowed.1,
    })
}

/// A number with what is taken when it is not given, and how that is backed.
fn number(row: &Parameter) -> Value {
    let mut number = bare(row);
    if let Some(default) = row.default {
        number["default"] = default.into();
        number["description"] = format!("{} ({:?}: {})", row.about(), row.tag, row.source).into();
    }
    number
}

/// A number or one word for what no number can say.
fn number_or(row: &Parameter, word: &str, meaning: &str) -> Value {
    let mut number = number(row);
    let about = format!("{}; \"{word}\": {meaning}", number["description"].as_str().unwrap_or_default());
    let default = number.as_object_mut().and_then(|n| n.remove("default"));
    let mut either = json!({ "description": about, "anyOf": [number, { "const": word }] });
    if let Some(default) = default {
        either["default"] = default;
    }
    either
}

/// A length in mm, or a percentage in quotes.
fn length(mm: &Parameter, percent: &Parameter) -> Value {
    let form = r"^\s*[-+\u2212]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][-+\u2212]?[0-9]+)?\s*(%|mm)?\s*$";
    let (usual, meaning, range) = (mm.spread(), percent.meaning, percent.range());
    json!({
        "description": format!("{usual}: a number in mm, or a percentage in quotes ({meaning}; allowed: {range})"),
        "anyOf": [bare(mm), { "type": "string", "pattern": form }],
    })
}

/// A clock position in hours.
fn clock(row: &Parameter) -> Value {
    json!({
        "description": format!("{}; \"4:30\" or 4.5; {}", row.spread(), row.source),
        "anyOf": [bare(row), { "type": "string", "pattern": r"^\s*[0-9]{1,2}(:[0-5][0-9])?\s*$" }],
    })
}

/// Three numbers in the range of a row.
fn triple(row: &Parameter) -> Value {
    json!({
        "type": "array",
        "items": bare(row),
        "minItems": 3,
        "maxItems": 3,
        "description": format!("{}: x anterior, y superior, z lateral", row.meaning),
    })
}

/// One of a few words.
fn words<T>(about: &str, words: &[(&str, T)]) -> Value {
    let words: Vec<&str> = words.iter().map(|w| w.0).collect();
    json!({ "description": about, "enum": words })
}

fn flag(about: &str) -> Value {
    json!({ "type": "boolean", "description": about })
}

/// The pattern of a text on one line that is not empty, without spaces round it.
fn plain(longest: usize) -> String {
    let last = longest - 2;
    format!(r"^[^\s{CONTROL}]([^{CONTROL}]{{0,{last}}}[^\s{CONTROL}])?$")
}

/// A name that stands elsewhere.
fn name(about: &str) -> Value {
    json!({ "type": "string", "description": about, "pattern": plain(LONGEST_NAME) })
}

fn text(longest: usize, about: &str) -> Value {
    let pattern = plain(longest).replacen('^', r"^\s*", 1).replace('$', r"\s*$");
    json!({ "type": "string", "description": about, "pattern": pattern })
}

#[cfg(test)]
mod asked {
    //! Holds the schemas against what the reader asks for: the reader notes each table with its known
    //! keys and each number with its row, on two files that use everything.

    use super::super::document;
    use super::super::problems::SourceText;
    use super::super::reader::Log;
    use super::super::{case_file, construct_file};
    use super::*;
    use std::collections::BTreeSet;

    /// Every key of a case.
    const CASE: &str = include_str!("schema/every-key-of-a-case.toml");
    /// Every key of a construct.
    const CONSTRUCT: &str = include_str!("schema/every-key-of-a-construct.toml");

    /// The alternatives of a schema's node, references followed.
    fn alternatives<'a>(root: &'a Value, node: &'a Value) -> Vec<&'a Value> {
        let mut found = vec![node];
        if let Some(name) = node["$ref"].as_str().and_then(|r| r.strip_prefix("#/definitions/")) {
            found.extend(alternatives(root, &root["definitions"][name]));
        }
        for key in ["anyOf", "allOf"] {
            for one in node[key].as_array().into_iter().flatten() {
                found.extend(alternatives(root, one));
            }
        }
        found
    }

    /// The nodes that describe a dotted path.
    fn node_at<'a>(root: &'a Value, path: &str) -> Vec<&'a Value> {
        let mut nodes = alternatives(root, root);
        for step in path.split('.').filter(|step| !step.is_empty()) {
            let (key, items) = step.split_once('[').unwrap_or((step, ""));
            nodes = nodes
                .iter()
                .filter_map(|node| node["properties"].get(key).or_else(|| node.get("additionalProperties")))
                .flat_map(|node| alternatives(root, node))
                .collect();
            for _ in items.matches(']') {
                nodes = nodes
                    .iter()
                    .filter_map(|node| node.get("items"))
                    .flat_map(|node| alternatives(root, node))
                    .collect();
            }
        }
        nodes
    }

    /// All nodes below one that have `key`.
    fn all<'a>(node: &'a Value, key: &str, found: &mut Vec<&'a Value>) {
        if node.get(key).is_some_and(|v| !v.is_string()) {
            found.push(node);
        }
        match node {
            Value::Object(entries) => {
                entries.values().for_each(|inner| all(inner, key, found));
            }
            Value::Array(list) => list.iter().for_each(|inner| all(inner, key, found)),
            _ => {}
        }
    }

    fn address(node: &Value) -> usize {
        std::ptr::from_ref(node) as usize
    }

    fn compare(schema: &Value, log: &Log) {
        let mut seen = BTreeSet::new();
        for (path, known) in &log.tables {
            let known: BTreeSet<&str> = known.iter().copied().collect();
            let fits = |node: &Value| {
                node["properties"].as_object().is_some_and(|keys| {
                    let keys: BTreeSet<&str> = keys.keys().map(String::as_str).collect();
                    // A stop asks only for the kind that it has; it is one table of all kinds.
                    keys == known || node.get("oneOf").is_some() && known.is_subset(&keys)
                })
            };
            let nodes: Vec<&Value> = node_at(schema, path).into_iter().filter(|n| fits(n)).collect();
            assert!(!nodes.is_empty(), "the reader knows {known:?} in `{path}`, the schema does not");
            seen.extend(nodes.into_iter().map(address));
        }
        for (path, of) in &log.numbers {
            let (low, high) = row(of).allowed;
            let path = if path.matches('[').count() > 0 && node_at(schema, path).is_empty() {
                // One number of a list.
                path.rsplit_once('[').map_or(path.as_str(), |p| p.0)
            } else {
                path
            };
            let nodes = node_at(schema, path);
            let mut inside = Vec::new();
            for node in &nodes {
                inside.push(*node);
                inside.extend(node.get("items"));
            }
            let fits: Vec<&Value> =
                inside.iter().copied().filter(|n| n["minimum"] == low && n["maximum"] == high).collect();
            // A percentage is a text; its range cannot be said of a text.
            let text = of.ends_with("[percent]") && inside.iter().any(|n| n.get("pattern").is_some());
            assert!(text || !fits.is_empty(), "`{path}` is read by {of}, {low} to {high}, and not so in the schema");
            seen.extend(fits.into_iter().map(address));
        }
        for key in ["properties", "minimum"] {
            let mut nodes = Vec::new();
            all(schema, key, &mut nodes);
            for node in nodes {
                // The place itself is read without a section; the built-in classes are like any other.
                let place = node.get("maxProperties").is_some();
                let conditional = node["properties"]["force"] == serde_json::json!({ "type": "array" });
                assert!(place || conditional || seen.contains(&address(node)), "the reader never asks for {node}");
            }
        }
    }

    #[test]
    fn the_schema_of_a_case_has_the_keys_and_ranges_that_the_reader_asks_for() {
        let source = SourceText::new("case.toml", CASE);
        let (root, doubled) = document::parse(&source).expect("TOML");
        assert!(doubled.is_empty());
        let mut log = Log::default();
        case_file::read_case(&root, &source, "case", &mut log);
        assert!(log.problems.is_empty(), "{:#?}", log.problems);
        compare(&case_schema(), &log);
    }

    #[test]
    fn the_schema_of_a_construct_has_the_keys_and_ranges_that_the_reader_asks_for() {
        let source = SourceText::new("construct.toml", CONSTRUCT);
        let (root, doubled) = document::parse(&source).expect("TOML");
        assert!(doubled.is_empty());
        let mut log = Log::default();
        construct_file::read_construct(&root, &source, "construct", &mut log);
        assert!(log.problems.is_empty(), "{:#?}", log.problems);
        compare(&construct_schema(), &log);
    }

    #[test]
    fn knots_and_clamps_have_the_ranges_that_a_limb_is_given() {
        for key in ["tension", "slack", "limit"] {
            let of = |kind: &str| row(&format!("{kind}.{key}")).allowed;
            assert_eq!(of("knot"), of("clamp"), "{key}");
        }
    }
}
