//! What a study sets on the model is what a person would have typed into the file: each input of every
//! shipped pair, set by the study and typed into the text with a writer of TOML that knows nothing of
//! this program.

use rimhold::model::spread::{Known, Owner, Subject};
use rimhold::model::{CASES, CONSTRUCTS, Case, Construct, ConstructFile, builtin};
use toml::{Table, Value};

/// The table under a key, made when it is not there.
fn table<'a>(of: &'a mut Table, key: &str) -> &'a mut Table {
    of.entry(key.to_owned()).or_insert_with(|| Table::new().into()).as_table_mut().expect("a table")
}

/// Types a value into a file; whether the file has a place for it.
fn typed(file: &mut Table, path: &str, value: Value) -> bool {
    let parts: Vec<&str> = path.split('.').collect();
    match parts.as_slice() {
        [.., "along_error" | "across_error"] | ["tether", "hinge"] => return false,
        ["tether", name, _] if !table(file, "tether").contains_key(*name) => return false,
        ["limb", limb, "crossing", number, key] => {
            let stops = table(table(file, "limb"), limb)["path"].as_array_mut().expect("a path");
            let number: usize = number.parse().unwrap();
            let given = stops.iter_mut().filter_map(|stop| {
                let stop = stop.as_table_mut()?;
                let kind = ["rim", "margin"].into_iter().find(|k| stop.contains_key(*k))?;
                stop[kind].as_table_mut()
            });
            given.into_iter().nth(number - 1).expect("a crossing").insert((*key).to_owned(), value);
        }
        ["anchor", anchor, key] if !["stiffness", "holding"].contains(key) => {
            let at = table(table(table(file, "anchor"), anchor), "at");
            let kind = at.keys().next().unwrap().clone();
            table(at, &kind).insert((*key).to_owned(), value);
        }
        [before @ .., last] => {
            let inner = before.iter().fold(file, |file, key| table(file, key));
            inner.insert((*last).to_owned(), value);
        }
        [] => return false,
    }
    true
}

/// Another value near the present one, inside the range.
fn other(known: &Known, now: f64) -> f64 {
    let (low, high) = known.allowed;
    let now = if now.is_finite() { now } else { 0.5 * (low + high) };
    let step = 0.02 * (now.abs() + 1.0).min(high - low);
    if now + step <= high { now + step } else { now - step }
}

fn bare_case(case: Result<Case, String>) -> Result<Case, String> {
    case.map(|case| Case { defaults: Vec::new(), warnings: Vec::new(), name: String::new(), ..case })
}

fn bare(construct: Result<Construct, String>) -> Result<Construct, String> {
    construct.map(|c| Construct { defaults: Vec::new(), warnings: Vec::new(), name: String::new(), ..c })
}

fn first(problems: &rimhold::model::Problems) -> String {
    problems.problems[0].message.clone()
}

#[test]
fn what_a_study_sets_is_what_a_file_would_say() {
    let room = tempfile::tempdir().unwrap();
    let write = |name: &str, table: &Table| {
        let path = room.path().join(name);
        std::fs::write(&path, toml::to_string(table).unwrap()).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let load = "\n[load.capsule]\nat = { rim = { along = 0.0 } }\nforce = 5.0\ndirection = \"medial\"\n";
    let (mut checked, mut refused) = (0, 0);
    for (case_name, _) in CASES {
        for (name, _) in CONSTRUCTS {
            let case_table: Table = (builtin(case_name).unwrap().to_owned() + load).parse().unwrap();
            let construct_table: Table = builtin(name).unwrap().parse().unwrap();
            let (case, construct) = (write("case.toml", &case_table), write("construct.toml", &construct_table));
            // Not every construct fits on every fragment.
            let Ok(subject) = Subject::open(&case, &[construct]) else {
                continue;
            };
            for known in subject.known() {
                for (owner, now) in known.places.clone() {
                    let value = other(&known, now);
                    let (mut of_case, mut of_construct) = (case_table.clone(), construct_table.clone());
                    let file = if owner == Owner::Case { &mut of_case } else { &mut of_construct };
                    if !typed(file, &known.path, value.into()) {
                        continue;
                    }
                    let as_typed = Case::parse("case.toml", &toml::to_string(&of_case).unwrap());
                    let mut set = subject.clone();
                    set.set(&known, owner, value, false);
                    let mut reading = set.read();
                    let what = format!("{case_name} {name} {} = {value}", known.path);
                    if let Ok(case) = &as_typed {
                        let text = toml::to_string(&of_construct).unwrap();
                        let construct = ConstructFile::parse("c.toml", &text).and_then(|file| file.fit(case));
                        refused += usize::from(construct.is_err());
                        let construct = bare(construct.map_err(|p| first(&p)));
                        assert_eq!(bare(reading.constructs.swap_remove(0)), construct, "{what}");
                    }
                    let as_typed = bare_case(as_typed.map_err(|p| first(&p)));
                    refused += usize::from(as_typed.is_err());
                    assert_eq!(bare_case(reading.case), as_typed, "{what}");
                    checked += 1;
                }
            }
        }
    }
    println!("{checked} inputs, {refused} of them refused in the same words");
    assert!(checked > 2000, "{checked}");
}

/// A hinge that a study takes away and gives back is the one of the file.
#[test]
fn a_hinge_comes_back_as_it_was() {
    let subject = Subject::open("hinge-intact", &["one-by-one".to_owned()]).unwrap();
    let hinge = subject.known().into_iter().find(|k| k.path == "tether.hinge").unwrap();
    let mut set = subject.clone();
    let tethers = |set: &Subject| set.read().case.unwrap().tethers;
    let own = tethers(&set);
    set.set(&hinge, Owner::Case, 0.0, false);
    assert!(tethers(&set).is_empty());
    set.set(&hinge, Owner::Case, 2.0, false);
    assert_eq!(tethers(&set)[0].fragment, own[0].fragment);
    assert_eq!((tethers(&set)[0].stiffness, tethers(&set)[0].slack), (20.0, 0.5));
    set.set(&hinge, Owner::Case, 1.0, false);
    assert_eq!((tethers(&set)[0].stiffness, tethers(&set)[0].slack), (5.0, 2.0));
    // Where the file has none, it has the ends of the built-in cases.
    let mut bare = Subject::open("quarter", &["one-by-one".to_owned()]).unwrap();
    let slack = bare.known().into_iter().find(|k| k.path == "tether.hinge.slack").unwrap();
    bare.set(&slack, Owner::Case, 1.5, false);
    let made = tethers(&bare);
    assert_eq!((made[0].stiffness, made[0].slack), (20.0, 1.5));
}
