//! The methods section: complete, by the user's template too, and guarded in its words.

use crate::report::{THREE, all, ends};
use rimhold::show::report::CAUTION;
use rimhold::show::report::paper::{POINTS, missing};

#[test]
fn every_point_is_spoken_of() {
    // The points of Erdemir et al. 2012 (J Biomech, PMC3278509) and ASME V&V 40-2018.
    for (name, made) in all() {
        let left: Vec<&str> = missing(&made.text("methods-supplement.md")).iter().map(|p| p.what).collect();
        assert!(left.is_empty(), "{name}: {left:?}");
    }
    // The check can fail: a section without its words is missed.
    let text = THREE.text("methods-supplement.md");
    for point in POINTS {
        let cut = text.replace(&format!("## {}\n", point.heading), "## Something else\n");
        let found = missing(&cut).iter().any(|p| p.what == point.what);
        assert!(found, "{}", point.what);
    }
}

#[test]
fn no_word_promises_more_than_was_shown() {
    for (name, made) in all() {
        for file in ["methods.md", "methods-supplement.md", "index.html", "supplement.html"] {
            // What the caution says is that nothing was.
            let whole = made.text(file).replace("&#x27;", "'");
            let text = whole.replace(CAUTION, "").to_lowercase();
            for word in ["validated", "accurate", "accuracy", "safe", "clinically", "p-value", "p <"] {
                let at = text.match_indices(word).find(|(at, _)| {
                    let before = text[..*at].chars().last();
                    before.is_none_or(|c| !c.is_alphanumeric())
                });
                assert!(at.is_none(), "{name} {file}: {word}");
            }
            assert!(text.contains("no experimental validation was performed"), "{name} {file}");
            assert!(text.contains("assumed"));
            assert!(whole.contains(CAUTION), "{name} {file}");
        }
    }
}

#[test]
fn a_push_to_failure_and_one_as_tied_are_told_as_such() {
    for file in ["methods.md", "methods-supplement.md", "index.html"] {
        // Numbers hold on to their units by a space that does not break.
        let [placed, three] = [&*crate::report::PLACED, &*THREE].map(|made| made.text(file).replace('\u{a0}', " "));
        assert!(placed.contains("to failure, by 10 mm at most") && !placed.contains("inf mm"), "{file}");
        assert!(three.contains("by 2 mm") && !three.contains("to failure, by"), "{file}");
    }
    for (file, settled, tied) in [
        ("methods.md", "The repair was settled (relaxation", "pushed as tied, neither relaxed nor cycled"),
        ("methods-supplement.md", "The tied repair was settled", "it was neither relaxed nor cycled"),
    ] {
        let (placed, three) = (crate::report::PLACED.text(file), THREE.text(file));
        assert!(three.contains(settled) && !three.contains(tied), "{file}");
        assert!(placed.contains(tied) && !placed.contains(settled), "{file}");
    }
    assert_eq!(crate::report::PLACED.json("results.json")["question"]["to"]["value"], 10.0);
}

#[test]
fn only_the_publications_used_are_listed_and_all_that_are_cited() {
    for (name, made) in all() {
        let (text, list) = (made.text("methods-supplement.md"), made.text("references.bib"));
        let mut entries = 0;
        for line in list.lines().filter(|l| l.starts_with('@')) {
            let key = line.split(['{', ',']).nth(1).unwrap();
            assert!(text.contains(&format!("[@{key}]")), "{name}: {key} is not cited");
            entries += 1;
        }
        assert_eq!(entries, text.matches("\n- [@").count(), "{name}");
        assert!(entries > 4, "{name}");
    }
    // A strand of polyester is in none of the three constructs: nor is its source.
    assert!(!THREE.text("references.bib").contains("polyester"));
}

/// A journal's methods section: at most six hundred words, citing only what is listed.
#[test]
fn the_methods_section_is_short() {
    for (name, made) in all() {
        let (text, list) = (made.text("methods.md"), made.text("references.bib"));
        let words = text.split_whitespace().count();
        assert!((200..=600).contains(&words), "{name}: {words} words");
        for cited in text.split("[@").skip(1).map(|t| t.split(']').next().unwrap()) {
            assert!(list.contains(&format!("{{{cited},")), "{name}: {cited}");
        }
    }
}

#[test]
fn a_template_of_ones_own_is_filled_or_told_its_mistake() {
    let room = tempfile::tempdir().unwrap();
    let write = |text: &str| std::fs::write(room.path().join("mine.md"), text).unwrap();
    let line = "report small single-row --samples 0 --no-suite --svg-only --template mine.md --out";
    let typed = |out| line.split(' ').chain([out]).collect::<Vec<_>>();
    write("# Mine\n\nFriction was {{ case.friction }}, width {{ case.width }}.\n");
    let said = ends(room.path(), &typed("r"), 0);
    assert!(said.contains("does not speak of: purpose and context of use"), "{said}");
    let text = std::fs::read_to_string(room.path().join("r/methods.md")).unwrap();
    assert_eq!(text, "# Mine\n\nFriction was 0.46, width 3.90 mm.\n");
    for (bad, says) in [
        ("one\n\nthe {{ case.frction }} was\n", ["mine.md, line 3", "case.frction"]),
        ("{{ case.friction.value }}\n", ["mine.md, line 1", "all its digits"]),
        ("x\n{% if %}\n", ["mine.md, line 2", "if"]),
    ] {
        write(bad);
        let said = ends(room.path(), &typed("never"), 2);
        for words in says {
            assert!(said.contains(words), "{words}: {said}");
        }
    }
    // A malformed template is told before the output folder is looked at, and so before any work.
    std::fs::create_dir(room.path().join("taken")).unwrap();
    std::fs::write(room.path().join("taken/own.txt"), "").unwrap();
    let said = ends(room.path(), &typed("taken"), 2);
    assert!(said.contains("mine.md, line 2") && !said.contains("taken"), "{said}");
    assert!(!room.path().join("never").exists());
}

#[test]
fn tables_are_written_in_both_forms() {
    let made = crate::report::files(&THREE.path());
    let stems: Vec<&str> = made.keys().filter_map(|n| n.strip_prefix("tables/")?.strip_suffix(".csv")).collect();
    for name in [
        "comparison",
        "sharing",
        "rose",
        "stiffness",
        "parameters",
        "assumptions",
        "tolerances",
        "checks",
        "refinement",
        "grid",
        "steps",
        "balance",
        "suite",
        "inputs",
        "scatter",
        "scatter-pairs",
        "construct-1-orders",
        "construct-1-anchors",
        "construct-3-ties",
    ] {
        assert!(stems.contains(&name), "{name}");
    }
    for stem in stems {
        let read = |ending: &str| String::from_utf8(made[&format!("tables/{stem}{ending}")].clone()).unwrap();
        let (csv, md) = (read(".csv"), read(".md"));
        assert!(md.contains(CAUTION));
        let rows = md.lines().filter(|l| l.starts_with('|')).count();
        assert_eq!(rows - 1, csv.lines().count(), "{stem}");
    }
}
