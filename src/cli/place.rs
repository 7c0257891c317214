//! `rimhold place`: better places for the anchors.

use super::again::again;
use super::new::refused;
use super::open::{Opened, subject};
use super::present::{Summaries, page, present};
use super::progress::Progress;
use super::say::{Failure, note, print};
use super::values::{seed, whole};
use super::{Common, example, figures, stop};
use crate::files::{parent_of, takes_files, write_all};
use crate::model::place::free_variables;
use crate::model::spread::Subject;
use crate::show::figures::{Style, place_figures};
use crate::show::report::{
    Envelope, Known, PlaceBody, Verdict, known_answer, place_csv, place_short, place_table, placed_file,
    variables_table,
};
use crate::show::words::quoted;
use crate::study::Refused;
use crate::study::place::{Effort, Objective, PLACED, Plan, run_telling};
use crate::study::result::{Place as Found, Start};
use clap::{ArgMatches, Args};
use std::path::{Path, PathBuf};

#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold place quarter two-by-two-crossed --objective worst --against evenness",
    "With nothing given: two-by-two-crossed on the case quarter; free are both coordinates of every\n  \
     anchor that a bridge uses, in their usual ranges; crossings and loops stay where they are. A\n  \
     search of one's own is a [place] table in the construct:\n    \
     [place]\n    \
     free = [{ path = \"anchor.*.along\", low = \"-80 %\", high = \"80 %\" },\n            \
     { path = \"limb.*.tension\" }]\n    \
     limits = { spacing = 6.0, cartilage = 6.0 }\n    \
     [place.reach.anterior]\n    \
     portal = [45.0, -10.0, 30.0]\n    \
     half_angle = 40.0\n  \
     The answer is written as a construct, which `rimhold compare` takes. Ctrl-C keeps the best so far.\n  \
     Draws, front and maps come after it; of these it keeps what is whole."
))]
pub(super) struct Place {
    /// Case: a file, or a built-in name
    #[arg(value_name = "CASE", default_value = "quarter")]
    case: String,
    /// Construct: a file, or a built-in name
    #[arg(value_name = "CONSTRUCT", default_value = "two-by-two-crossed")]
    construct: String,
    /// What the places are sought for
    #[arg(long, value_name = "OBJECTIVE", default_value_t = Plan::default().objective, value_enum)]
    objective: Objective,
    /// Also trace what can be had of this objective at the same time
    #[arg(long, value_name = "OBJECTIVE", value_enum)]
    against: Option<Objective>,
    /// Seek the 10th percentile under placement errors of a millimetre and the spread of tension,
    /// over so many common draws (10 to 10000)
    #[arg(long, value_name = "DRAWS", num_args = 0..=1, default_missing_value = "32", value_parser = whole::<u64>(10, 10_000))]
    robust: Option<u64>,
    /// Independent starts
    #[arg(long, value_name = "N", default_value_t = Plan::default().search.starts, value_parser = whole::<usize>(1, 64), allow_hyphen_values = true)]
    starts: usize,
    /// Most evaluations of each start; 900 when not given, 240 with --robust
    #[arg(long, value_name = "N", value_parser = whole::<usize>(20, 1_000_000), allow_hyphen_values = true)]
    evaluations: Option<usize>,
    /// Seed: the same one gives the same answer
    #[arg(long, value_name = "SEED", default_value_t = Plan::default().search.seed, value_parser = seed, allow_hyphen_values = true)]
    seed: u64,
    /// Where tying starts; displaced whenever an objective is `reduction`, for both objectives
    #[arg(long, value_name = "POSE", default_value_t = Plan::default().from, value_enum)]
    from: Start,
    /// Bed cells aimed at during the search; 220 when not given, 300 from the displaced pose, whose
    /// way home needs more. The answer is looked at again with the case's own
    #[arg(long, value_name = "N", value_parser = whole::<usize>(100, 20_000), allow_hyphen_values = true)]
    cells: Option<usize>,
    /// Recorded steps of a push during the search
    #[arg(long, value_name = "N", default_value_t = Plan::default().effort.steps, value_parser = whole::<usize>(1, 100), allow_hyphen_values = true)]
    steps: usize,
    /// File for the answer; CONSTRUCT-placed.toml here when not given, CONSTRUCT-placed-robust.toml
    /// with --robust. Only a file that this command made, and nobody changed, is replaced
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Leave out how far each anchor may wander
    #[arg(long)]
    no_wander: bool,
    /// List every variable that can be free, with its usual range, and do nothing else
    #[arg(long)]
    variables: bool,
}

impl Place {
    pub fn run(&self, common: &Common, typed: &ArgMatches) -> Result<(), Failure> {
        let plan = self.plan();
        let subject = subject(&self.case, std::slice::from_ref(&self.construct), plan.start())?;
        if self.variables {
            return print(&page(common, |page| variables_table(page, &free_variables(&subject))));
        }
        let path = self.path(&subject);
        let replaces = writable(&path)?;
        let _gently = stop::gently();
        let line = again(
            "place",
            &[self.case.clone(), self.construct.clone()],
            typed,
            &["case", "construct", "out", "no_wander"],
        );
        let mut early = false;
        let aim = plan.objective.aim();
        let progress = Progress::seeking(aim.more_is_better, &aim.unit, common.quiet);
        // At once, so that nothing that comes after can lose it; what is refused now is told at the end.
        let mut settled = |answer: &Found| early = write(&path, &line, answer).is_ok();
        let found = run_telling(&subject, &plan, &progress, &mut settled).map_err(refusal)?;
        drop(progress);
        let written = write(&path, &line, &found);
        let Summaries { case, constructs } = Summaries::warned(&Opened::from(&subject), common);
        present(
            common,
            &Verdict::placed(&found),
            |page| place_short(page, &found),
            |page| place_table(page, &found),
            || place_csv(&found),
            || Envelope::new(PlaceBody::new(case, constructs, found.clone())),
        )?;
        let shown = quoted(&path.display().to_string());
        match written {
            Err(Failure::Other(why)) if early => {
                let message = format!("the answer stands in {shown}, without what was found of it since: {why}");
                return Err(Failure::Other(message));
            }
            written => written?,
        }
        if !common.quiet {
            note(&format!(
                "{} {shown}; compare it: rimhold compare {} {} {shown}",
                if replaces { "replaced an earlier answer in" } else { "wrote" },
                quoted(&self.case),
                quoted(&self.construct),
            ));
        }
        let drawn = |construct| place_figures(subject.case(), construct, &found, Style::Print);
        figures::asked(common, || subject.constructs().next().map(drawn).unwrap_or_default())?;
        if found.complete {
            return Ok(());
        }
        Err(Failure::Interrupted(format!(
            "interrupted after {} evaluations of the search: the best so far stands above and in {shown}; not finished: {}",
            found.evaluations,
            found.unfinished.join(", ")
        )))
    }

    fn plan(&self) -> Plan {
        let search = Plan::search(self.robust.is_some(), self.evaluations);
        Plan {
            objective: self.objective,
            against: self.against,
            robust: self.robust,
            from: self.from,
            effort: Effort { cells: self.cells, steps: self.steps },
            search: crate::optimise::Plan { starts: self.starts, seed: self.seed, ..search },
            wander: !self.no_wander,
        }
    }

    fn path(&self, subject: &Subject) -> PathBuf {
        self.out.clone().unwrap_or_else(|| {
            let name = subject.constructs().next().map_or("", |c| c.name.as_str());
            // A name may hold what a file name must not.
            let safe = |c: char| if c.is_alphanumeric() || "-_.".contains(c) { c } else { '-' };
            let safe: String = name.chars().map(safe).collect();
            let by = PLACED[usize::from(self.robust.is_some())];
            PathBuf::from(format!("{}-{by}.toml", safe.trim_start_matches('.')))
        })
    }
}

/// What is said when there is nothing to tell.
pub(super) fn refusal(refused: Refused) -> Failure {
    match refused {
        Refused::Ended => Failure::Interrupted(
            "interrupted before any design that keeps its constraints was found: nothing is written".to_owned(),
        ),
        other => other.into(),
    }
}

/// What stands in a place. A link is never followed.
fn known(path: &Path) -> Known {
    let is_file = std::fs::symlink_metadata(path).is_ok_and(|m| m.is_file());
    match std::fs::read_to_string(path) {
        Ok(text) if is_file => known_answer(&text),
        _ => Known::Foreign,
    }
}

/// Refuses before the search what could not be written after it; whether an earlier file of ours is
/// there.
fn writable(path: &Path) -> Result<bool, Failure> {
    if path.file_name().is_none() {
        return Err(Failure::Input(format!("{} is no name of a file", path.display())));
    }
    let folder = parent_of(path);
    if !folder.is_dir() {
        return Err(Failure::Other(format!("there is no folder {}", folder.display())));
    }
    let told = |path: &Path, e: &std::io::Error| Failure::Other(format!("{}: {e}", path.display()));
    let present = match std::fs::symlink_metadata(path) {
        Ok(_) => true,
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => false,
        Err(e) => return Err(told(path, &e)),
    };
    let why = match known(path) {
        _ if !present => None,
        Known::Ours => None,
        Known::Changed => {
            Some("holds an answer of this command that was changed since, or was written by an earlier version")
        }
        Known::Foreign => Some("exists and was not made by this command"),
    };
    if let Some(why) = why {
        return Err(Failure::Other(format!(
            "{} {why}, so it is left alone\n  choose another name by --out, or move it away",
            path.display()
        )));
    }
    takes_files(folder).map_err(|e| told(folder, &e))?;
    Ok(present)
}

/// Writes the answer, over nothing but a file that this command made and nobody changed.
fn write(path: &Path, command: &str, found: &Found) -> Result<(), Failure> {
    let Some(name) = path.file_name() else {
        return Ok(());
    };
    let text = placed_file(command, found);
    let ours = |path: &Path| known(path) == Known::Ours;
    write_all(parent_of(path), &[(name.into(), text.into_bytes())], ours).map(|_| ()).map_err(|e| refused(&e))
}
