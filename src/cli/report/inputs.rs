//! What a report was made from, kept beside what came of it.

use super::super::open::Opened;
use super::super::say::Failure;
use super::Report;
use crate::model::{case_source, construct_source, read_text};
use crate::show::report::paper::{InputFile, check_syntax};

/// What was read.
pub(super) struct Inputs {
    pub case: InputFile,
    pub constructs: Vec<InputFile>,
    /// Where in the report each goes: the case, then the constructs.
    pub paths: Vec<String>,
    /// The user's own template and its name.
    pub template: Option<(String, String)>,
}

impl Inputs {
    pub fn read(wanted: &Report, names: &[String], opened: &Opened) -> Result<Self, Failure> {
        let (text, stem) = case_source(&wanted.case)?;
        let case = InputFile { name: opened.case.name.clone(), stem, text: text.text.to_string() };
        let named = names.iter().zip(&opened.constructs);
        let constructs: Vec<InputFile> = named
            .map(|(argument, construct)| {
                let (text, stem) = construct_source(argument)?;
                Ok(InputFile { name: construct.name.clone(), stem, text: text.text.to_string() })
            })
            .collect::<Result<_, Failure>>()?;
        let template = wanted
            .template
            .as_ref()
            .map(|path| {
                let (name, text) = (path.display().to_string(), read_text(path)?.text.to_string());
                check_syntax(&name, &text).map_err(|e| Failure::Input(e.to_string()))?;
                Ok::<_, Failure>((name, text))
            })
            .transpose()?;
        let mut paths = vec![format!("inputs/case/{}.toml", case.stem)];
        for (k, file) in constructs.iter().enumerate() {
            let twin = constructs[..k].iter().any(|c| c.stem == file.stem);
            let room = if twin { format!("{}/", k + 1) } else { String::new() };
            paths.push(format!("inputs/constructs/{room}{}.toml", file.stem));
        }
        Ok(Self { case, constructs, paths, template })
    }
}
