//! What a report was made from, and the line that makes it again.

use super::super::arguments::{From, Look, Report};
use super::super::failure::Failure;
use super::super::open::Opened;
use super::super::shell::quoted;
use crate::model::{case_source, construct_source, read_text};
use crate::show::report::paper::InputFile;

/// Samples of the inputs when nothing is said, as the help has it.
const SAMPLES: u64 = 128;

/// What was read, to be kept beside what came of it.
pub(super) struct Inputs {
    pub case: InputFile,
    pub constructs: Vec<InputFile>,
    /// Where in the report each goes: the case, then the constructs.
    pub paths: Vec<String>,
    /// The user's own template and its name.
    pub template: Option<(String, String)>,
    /// The line that runs it again from inside the folder.
    pub again: String,
}

impl Inputs {
    pub fn read(wanted: &Report, names: &[String], opened: &Opened) -> Result<Self, Failure> {
        let files = |problems| Failure::Files(vec![problems]);
        let (text, stem) = case_source(&wanted.case).map_err(files)?;
        let case = InputFile { name: opened.case.name.clone(), stem, text: text.text.to_string() };
        let constructs: Vec<InputFile> = names
            .iter()
            .zip(&opened.constructs)
            .map(|(argument, construct)| {
                let (text, stem) = construct_source(argument).map_err(files)?;
                Ok(InputFile { name: construct.name.clone(), stem, text: text.text.to_string() })
            })
            .collect::<Result<_, Failure>>()?;
        let template = wanted
            .template
            .as_ref()
            .map(|path| {
                let text = read_text(path).map_err(files)?;
                Ok::<_, Failure>((path.display().to_string(), text.text.to_string()))
            })
            .transpose()?;
        let mut paths = vec![format!("inputs/case/{}.toml", case.stem)];
        for (k, file) in constructs.iter().enumerate() {
            let twin = constructs[..k].iter().any(|c| c.stem == file.stem);
            let room = if twin { format!("{}/", k + 1) } else { String::new() };
            paths.push(format!("inputs/constructs/{room}{}.toml", file.stem));
        }
        let again = again(wanted, &paths);
        Ok(Self { case, constructs, paths, template, again })
    }
}

/// The line that runs a report again from inside its folder.
fn again(wanted: &Report, paths: &[String]) -> String {
    let mut words = vec!["rimhold report".to_owned()];
    words.extend(paths.iter().map(|p| quoted(p)));
    if wanted.from == From::Displaced {
        words.push("--from displaced".to_owned());
    }
    if wanted.way.direction.name != "inferior" {
        words.push(format!("--direction={}", quoted(&wanted.way.direction.name)));
    }
    if wanted.way.to != 2.0 {
        words.push(format!("--to {}", wanted.way.to));
    }
    if wanted.way.guided {
        words.push("--guided".to_owned());
    }
    match wanted.style {
        Look::Print => {}
        Look::Slide => words.push("--style slide".to_owned()),
        Look::Grey => words.push("--style grey".to_owned()),
    }
    if wanted.svg_only {
        words.push("--svg-only".to_owned());
    }
    if wanted.samples != SAMPLES {
        words.push(format!("--samples {}", wanted.samples));
    }
    if let Some(base) = wanted.indices {
        words.push(format!("--indices {base}"));
    }
    words.extend(wanted.sweep.iter().map(|name| format!("--sweep {name}")));
    if wanted.seed != 1 {
        words.push(format!("--seed {}", wanted.seed));
    }
    if wanted.no_suite {
        words.push("--no-suite".to_owned());
    }
    if wanted.place {
        words.push("--place".to_owned());
        words.extend(wanted.robust.map(|draws| format!("--robust {draws}")));
        let against = wanted.against.map(|aim| aim.objective().key());
        words.extend(against.map(|key| format!("--against {key}")));
    }
    if wanted.template.is_some() {
        words.push("--template inputs/template.md".to_owned());
    }
    words.push("--out ../again".to_owned());
    words.join(" ")
}
