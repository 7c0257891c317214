//! Holes, portals and what drilling must leave: what a file may say of them, and what is refused.

use rimhold::model::{Case, ConstructFile, Tag, builtin, parameters};

const HEAD: &str = "[anchor.a]\nat = { face = { along = 0, inset = 2 } }\n";
const TAIL: &str = "[limb.l]\npath = [\"a\", { bite = { along = 0, below = 3 } }, \"a\"]\n";

fn refused(text: &str) -> String {
    let case = Case::open("quarter").unwrap();
    let e = ConstructFile::parse("c.toml", text).and_then(|file| file.fit(&case)).unwrap_err();
    e.to_string()
}

/// Every number of a hole, a portal and a limit is refused just outside its range, with the range.
#[test]
fn numbers_of_drilling_are_refused_outside_their_ranges() {
    let mut tried = 0;
    for row in parameters() {
        let parts: Vec<&str> = row.path.split('.').collect();
        let table = match parts.as_slice() {
            ["drill", _] => "[drill]\n".to_owned(),
            ["portal", name, own] => {
                let others = ["clock = 4\n", "elevation = 20\n"].into_iter().filter(|line| !line.starts_with(own));
                format!("[portal.{}]\n{}", name.replace('*', "own"), others.collect::<String>())
            }
            ["anchor-class", name, "diameter" | "depth"] => format!("[anchor-class.{}]\n", name.replace('*', "own")),
            _ => continue,
        };
        for value in [row.allowed.0 - 1.0, row.allowed.1 + 1.0] {
            let e = refused(&format!("{HEAD}{TAIL}{table}{} = {value:?}\n", parts[parts.len() - 1]));
            assert!(e.contains("outside its range") && e.contains(&row.range()), "{}: {e}", row.path);
            tried += 1;
        }
    }
    // Six limits, two numbers of four built-in portals and four of any, two numbers of three classes.
    assert_eq!(tried, 2 * (6 + 4 * 2 + 4 + 6));
}

#[test]
fn what_is_wrong_with_holes_is_told_all_at_once() {
    let wrong = "diameter = 0\ndepth = \"deep\"\naxis = [0, 0]\nportal = 4\n";
    let tables = "[portal.own]\nclock = \"25:00\"\n[drill]\nbridge = -1\nto_fase = 2\n[place]\ndrill = \"yes\"\n";
    let e = refused(&format!("{HEAD}{wrong}{TAIL}{tables}"));
    for part in [
        "`anchor.a.diameter` is 0, outside its range",
        "`anchor.a.depth` is a text, not a number",
        "`anchor.a.axis` has 2 numbers, not three",
        "`anchor.a.portal` is a number, not a text",
        "`portal.own.clock` is 25, outside its range",
        "`portal.own.elevation` is missing",
        "`drill.bridge` is -1, outside its range",
        "unknown key `drill.to_fase`",
        "did you mean `to_face`?",
        "`place.drill` is a text, not true or false",
    ] {
        assert!(e.contains(part), "{part}\n{e}");
    }
}

#[test]
fn a_hole_that_cannot_be_is_refused_on_its_case() {
    let e = refused(&format!("{HEAD}axis = [0, 0, 1]\nportal = \"anterior-inferor\"\n{TAIL}"));
    assert!(e.contains("the hole of the anchor `a` does not go into the bone"), "{e}");
    assert!(e.contains("allowed: under 90°"), "{e}");
    assert!(e.contains("did you mean `anterior-inferior`?"), "{e}");
    let e = refused(&format!("{HEAD}axis = [0, 0, 0]\n{TAIL}"));
    assert!(e.contains("`anchor.a.axis` has no length"), "{e}");
}

/// What a construct says of portals and limits goes before what its case says.
#[test]
fn portals_and_limits_may_stand_in_either_file() {
    let quarter = builtin("quarter").unwrap();
    let both = "[portal.posterior]\nelevation = 10\n[drill]\nbridge = 1.5\nto_face = 3\n";
    let case = Case::parse("case.toml", &format!("{quarter}\n{both}")).unwrap();
    let construct = ConstructFile::parse("c.toml", &format!("{HEAD}{TAIL}[drill]\nbridge = 2.5\n")).unwrap();
    let construct = construct.fit(&case).unwrap();
    assert_eq!((construct.drill["drill.bridge"], construct.drill["drill.to_face"]), (2.5, 3.0));
    let posterior = construct.portals.iter().find(|p| p.name == "posterior").unwrap();
    assert_eq!((posterior.clock, posterior.elevation, posterior.tag), (9.0, 10.0, Tag::Given));
}
