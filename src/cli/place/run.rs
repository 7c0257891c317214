//! The work of `rimhold place`.

use super::super::arguments::{Common, Format};
use super::super::failure::Failure;
use super::super::figures::write_place;
use super::super::make::refused;
use super::super::output::{json, note, print};
use super::super::run::tell;
use super::super::shell::quoted;
use super::super::stop;
use super::arguments::Place as Arguments;
use super::watch::Looker;
use crate::files::{takes_files, write_all};
use crate::model::place::free_variables;
use crate::model::spread::Subject;
use crate::optimise::Plan;
use crate::show::report::{
    CAUTION, CaseSummary, ConstructSummary, Envelope, Known, Page, PlaceBody, known_answer, place_csv, place_reading,
    place_table, placed_file, variables_table,
};
use crate::study::place::{Ask, Effort, PLACED, Refused, place_telling as seek_places};
use crate::study::result::{Place, Start};
use std::path::{Path, PathBuf};

/// Bed cells aimed at during the search, from the reduced and from the displaced pose. On the default
/// case 220 leave the step after tying two-by-two-crossed from displaced off by 0.2 mm, 300 by less than
/// 0.01 mm.
const CELLS: [usize; 2] = [220, 300];

/// Evaluations of a start when none are given: plain, robust.
const EVALUATIONS: [usize; 2] = [1800, 360];
/// Particles and rounds of a swarm, of which a third of the evaluations is the most.
const SWARM: [(usize, usize); 2] = [(24, 20), (12, 8)];

/// Runs `rimhold place`.
pub(in super::super) fn place(typed: &Arguments, common: &Common) -> Result<(), Failure> {
    let names = std::slice::from_ref(&typed.construct);
    let subject = Subject::open(&typed.case, names).map_err(Failure::Files)?;
    if typed.variables {
        return list(&subject, common);
    }
    let ask = ask(typed, &subject)?;
    let path = out(typed, &subject);
    let replaces = writable(&path)?;
    stop::listen();
    let aim = ask.objective.aim();
    let again = command(typed);
    let mut early = false;
    let found = {
        let looker = Looker::new(aim.more_is_better, &aim.unit, common.quiet);
        // At once, so that nothing that comes after can lose it; what is refused now is told at the end.
        seek_places(&subject, &ask, &looker, &mut |answer| {
            early = write(&path, &again, answer).is_ok();
        })
    };
    let mut found = found.map_err(refusal)?;
    found.reading = place_reading(&found);
    let written = write(&path, &again, &found);
    present(&subject, &found, common)?;
    if let Err(Failure::Other(why)) = &written
        && early
    {
        return Err(Failure::Other(format!(
            "the answer stands in {}, without what was found of it since: {why}",
            path.display()
        )));
    }
    written?;
    if !common.quiet {
        note(&format!(
            "{3} {0}; compare it: rimhold compare {1} {2} {0}",
            quoted(&path.display().to_string()),
            quoted(&typed.case),
            quoted(&typed.construct),
            if replaces { "replaced an earlier answer in" } else { "wrote" }
        ));
    }
    if let Some(folder) = common.figures.as_deref()
        && let Some(construct) = subject.constructs().next()
    {
        let written = write_place(folder, subject.case(), construct, &found)?;
        tell(&written, folder, common.quiet);
    }
    if found.complete {
        Ok(())
    } else {
        Err(Failure::Interrupted(format!(
            "interrupted after {} evaluations of the search: the best so far stands above and in {}; not finished: {}",
            found.evaluations,
            path.display(),
            found.unfinished.join(", ")
        )))
    }
}

/// What is said when there is nothing to tell.
pub(super) fn refusal(refused: Refused) -> Failure {
    match refused {
        Refused::Files(problems) => Failure::Files(vec![*problems]),
        Refused::Asked(message) => Failure::Input(message),
        Refused::Ended => Failure::Interrupted(
            "interrupted before any design that keeps its constraints was found: nothing is written".to_owned(),
        ),
    }
}

pub(super) fn ask(typed: &Arguments, subject: &Subject) -> Result<Ask, Failure> {
    let objective = typed.objective.objective();
    let against = typed.against.map(super::arguments::Aim::objective);
    if against == Some(objective) {
        return Err(Failure::Input(
            "--against names the objective itself\n  give another one, or leave it out".to_owned(),
        ));
    }
    let kind = usize::from(typed.robust.is_some());
    let evaluations = typed.evaluations.unwrap_or(EVALUATIONS[kind]);
    let (particles, rounds) = SWARM[kind];
    // A small budget is shared out the same way.
    let rounds = rounds.min((evaluations / 3 / particles).max(1));
    let mut ask = Ask {
        objective,
        against,
        robust: typed.robust,
        from: typed.from.start(),
        effort: Effort { cells: typed.cells, steps: typed.steps },
        plan: Plan {
            starts: typed.starts,
            particles: particles.min(evaluations / 3).max(2),
            rounds,
            evaluations,
            seed: typed.seed,
            ..Plan::default()
        },
        wander: !typed.no_wander,
    };
    let displaced = ask.start() == Start::Displaced;
    ask.effort.cells = typed.cells.or(Some(CELLS[usize::from(displaced)]));
    if displaced {
        let checked = subject.case().check_displaced(&typed.case);
        checked.map_err(|p| Failure::Files(vec![p]))?;
    }
    Ok(ask)
}

/// The command as it could be typed again, without its file.
fn command(typed: &Arguments) -> String {
    let word = |aim: super::arguments::Aim| aim.objective().key();
    let mut text = format!(
        "rimhold place {} {} --objective {}",
        quoted(&typed.case),
        quoted(&typed.construct),
        word(typed.objective)
    );
    if let Some(against) = typed.against {
        text.push_str(&format!(" --against {}", word(against)));
    }
    if let Some(draws) = typed.robust {
        text.push_str(&format!(" --robust {draws}"));
    }
    text.push_str(&format!(" --seed {} --starts {}", typed.seed, typed.starts));
    if let Some(n) = typed.evaluations {
        text.push_str(&format!(" --evaluations {n}"));
    }
    if let Some(n) = typed.cells {
        text.push_str(&format!(" --cells {n}"));
    }
    text.push_str(&format!(" --steps {}", typed.steps));
    if typed.from.start() == Start::Displaced {
        text.push_str(" --from displaced");
    }
    text
}

fn out(typed: &Arguments, subject: &Subject) -> PathBuf {
    typed.out.clone().unwrap_or_else(|| {
        let name = subject.constructs().next().map(|c| c.name.clone());
        // A name may hold what a file name must not.
        let safe: String = name
            .unwrap_or_default()
            .chars()
            .map(|c| if c.is_alphanumeric() || "-_.".contains(c) { c } else { '-' })
            .collect();
        let by = PLACED[usize::from(typed.robust.is_some())];
        PathBuf::from(format!("{}-{by}.toml", safe.trim_start_matches('.')))
    })
}

/// Whether a file is one that this command made and nobody changed.
fn is_ours(path: &Path) -> bool {
    known(path) == Known::Ours
}

/// What stands in a place. A link is never followed.
fn known(path: &Path) -> Known {
    let is_file = std::fs::symlink_metadata(path).is_ok_and(|m| m.is_file());
    match std::fs::read_to_string(path) {
        Ok(text) if is_file => known_answer(&text),
        _ => Known::Foreign,
    }
}

fn folder(path: &Path) -> &Path {
    match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p,
        _ => Path::new("."),
    }
}

/// Refuses before the search what could not be written after it; whether an earlier file of ours is
/// there.
fn writable(path: &Path) -> Result<bool, Failure> {
    if path.file_name().is_none() {
        return Err(Failure::Input(format!("{} is no name of a file", path.display())));
    }
    let folder = folder(path);
    if !folder.is_dir() {
        return Err(Failure::Other(format!("there is no folder {}", folder.display())));
    }
    let told = |path: &Path, e: &std::io::Error| Failure::Other(format!("{}: {e}", path.display()));
    let present = match std::fs::symlink_metadata(path) {
        Ok(_) => true,
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => false,
        Err(e) => return Err(told(path, &e)),
    };
    let known = known(path);
    if present && known != Known::Ours {
        let why = if known == Known::Changed {
            "holds an answer of this command that was changed since, or was written by an earlier version"
        } else {
            "exists and was not made by this command"
        };
        return Err(Failure::Other(format!(
            "{} {why}, so it is left alone\n  choose another name by --out, or move it away",
            path.display()
        )));
    }
    takes_files(folder).map_err(|e| told(folder, &e))?;
    Ok(present)
}

fn write(path: &Path, command: &str, found: &Place) -> Result<(), Failure> {
    let Some(name) = path.file_name() else {
        return Ok(());
    };
    let text = placed_file(command, found);
    write_all(folder(path), &[(name.into(), text.into_bytes())], is_ours).map(|_| ()).map_err(|e| refused(&e))
}

fn list(subject: &Subject, common: &Common) -> Result<(), Failure> {
    let mut page = Page::new(common.colour.on_stdout());
    variables_table(&mut page, &free_variables(subject));
    page.caution(CAUTION);
    print(&page.finish())
}

fn present(subject: &Subject, found: &Place, common: &Common) -> Result<(), Failure> {
    match common.format {
        Format::Csv => print(&place_csv(found)),
        Format::Json => json(&Envelope::new(PlaceBody {
            case: CaseSummary::new(subject.case()),
            constructs: subject.constructs().map(|c| ConstructSummary::new(subject.case(), c)).collect(),
            place: found.clone(),
        })),
        Format::Table | Format::Markdown => {
            let mut page = Page::new(common.colour.on_stdout());
            place_table(&mut page, found);
            page.caution(CAUTION);
            print(&page.finish())
        }
    }
}
