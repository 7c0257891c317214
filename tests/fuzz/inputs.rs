//! What the fuzzer and the replay of its corpus do with an input. Whatever the bytes are, reading
//! ends in a value or in a report that can be shown; and what can be read can be tied.

use rimhold::model::spread::Subject;
use rimhold::model::{Case, Construct, ConstructFile, Problems, place::variables};
use rimhold::optimise::Plan as Search;
use rimhold::show::report::{CaseSummary, ConstructSummary, Page, case_csv, case_defaults, case_short};
use rimhold::study::Refused;
use rimhold::study::place::{Effort, Objective, Plan, run as seek};
use rimhold::study::{self, result::Start};

/// Between the case and the construct of an input of [`hold`].
pub const SEAM: &str = "\n#### construct\n";

/// Cells of the bed beyond which [`hold`] leaves an input alone: many cells only take long, and
/// what they take is measured elsewhere.
const MOST_CELLS: usize = 400;

/// Bytes → case → what `check` prints of it.
pub fn case(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    match Case::parse("fuzz.toml", text) {
        Ok(case) => look(&case, &[]),
        Err(problems) => refused(&problems),
    }
}

/// Bytes → construct → on the default case → what `check` prints of it.
pub fn construct(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    let case = Case::open("quarter").expect("the default case");
    match ConstructFile::parse("fuzz.toml", text).and_then(|file| file.fit(&case)) {
        Ok(construct) => look(&case, &[construct]),
        Err(problems) => refused(&problems),
    }
}

/// Bytes → case and construct → tied, from both poses. Each state that is accepted is certified.
/// Whether there was something to tie.
pub fn hold(bytes: &[u8]) -> bool {
    let Some((case, construct)) = pair(bytes) else {
        return false;
    };
    for start in [Start::Reduced, Start::Displaced] {
        let rig = study::rig(&case, &construct, start);
        let (hold, tied) = study::tie(&case, &construct, &rig, start);
        assert_eq!(hold.outcome.is_held(), tied.is_some());
        for tie in &hold.ties {
            assert!(tie.certificate.holds(), "{:?}", tie.certificate);
        }
        if let Some(state) = &hold.tied {
            assert!(state.certificate.holds(), "{:?}", state.certificate);
        }
    }
    true
}

/// Bytes → construct with a `[place]` table → on the default case → a search of a few looks. Whether
/// there was something to search.
pub fn place(bytes: &[u8]) -> bool {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return false;
    };
    // Only files can be opened as something to search.
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("fuzz.toml");
    std::fs::write(&path, text).expect("a file in it");
    let subject = match Subject::open("quarter", &[path.display().to_string()]) {
        Ok(subject) => subject,
        Err(wrong) => {
            wrong.iter().for_each(refused);
            return false;
        }
    };
    let free = variables(&subject);
    if let Err(problems) = &free {
        refused(problems);
    }
    let ask = Plan {
        objective: Objective::Inferior,
        against: None,
        robust: None,
        from: Start::Reduced,
        effort: Effort { cells: Some(60), steps: 2 },
        search: Search { starts: 1, particles: 2, rounds: 1, evaluations: 6, ..Search::default() },
        wander: false,
    };
    match seek(&subject, &ask, &()) {
        Ok(found) => {
            let free = free.expect("searched without anything free");
            assert_eq!(found.variables.len(), free.len());
            for variable in &found.variables {
                assert!(variable.low <= variable.found && variable.found <= variable.high);
            }
            assert!(!found.found.violation.is_nan());
            true
        }
        Err(Refused::Files(problems)) => {
            problems.iter().for_each(refused);
            false
        }
        Err(Refused::Asked(message)) => {
            assert!(!message.is_empty());
            false
        }
        Err(Refused::Ended) => panic!("nobody asked it to end"),
    }
}

fn pair(bytes: &[u8]) -> Option<(Case, Construct)> {
    let (case, construct) = std::str::from_utf8(bytes).ok()?.split_once(SEAM)?;
    let case = Case::parse("fuzz.toml", case).ok()?;
    if case.bed.cells > MOST_CELLS {
        return None;
    }
    let construct = ConstructFile::parse("fuzz.toml", construct).and_then(|file| file.fit(&case)).ok()?;
    Some((case, construct))
}

fn look(case: &Case, constructs: &[Construct]) {
    let summary = CaseSummary::new(case);
    let described: Vec<_> = constructs.iter().map(|c| ConstructSummary::new(case, c)).collect();
    let mut page = Page::new(false);
    case_short(&mut page, &summary, &described);
    case_defaults(&mut page, &summary, &described);
    assert!(!page.finish().is_empty());
    assert!(!case_csv(&summary, &described).is_empty());
}

fn refused(problems: &Problems) {
    assert!(!problems.problems.is_empty());
    for (line, column) in problems.positions().into_iter().flatten() {
        assert!(line >= 1 && column >= 1);
    }
    assert!(!problems.render(false).is_empty());
}
