//! Arguments that cannot be understood, in our own words.

use super::say::Failure;
use super::{definition, overview};
use crate::model::near;
use clap::error::{ContextKind, ContextValue, ErrorKind};
use std::ffi::OsString;

/// A message for arguments that were refused.
pub(super) fn of(e: &clap::Error, given: &[OsString]) -> Failure {
    let text = |kind: ContextKind| -> Option<String> {
        match e.get(kind)? {
            ContextValue::String(s) => Some(s.clone()),
            ContextValue::Strings(list) if !list.is_empty() => Some(list.join(", ")),
            _ => None,
        }
    };
    let argument = text(ContextKind::InvalidArg);
    let value = text(ContextKind::InvalidValue);
    let known = text(ContextKind::ValidValue);
    let near = match text(ContextKind::InvalidSubcommand) {
        Some(word) => near(&word, definition().get_subcommands().map(clap::Command::get_name)).map(str::to_owned),
        None => text(ContextKind::SuggestedArg).or_else(|| text(ContextKind::SuggestedValue)),
    };
    let argument = argument.as_deref().unwrap_or("an argument");
    let value = value.as_deref().unwrap_or("");
    let message = match e.kind() {
        ErrorKind::UnknownArgument => format!("`{argument}` is not understood here"),
        ErrorKind::InvalidSubcommand => {
            format!("`{}` is no command", text(ContextKind::InvalidSubcommand).unwrap_or_default())
        }
        ErrorKind::InvalidValue if value.is_empty() => format!("`{argument}` needs a value"),
        ErrorKind::InvalidValue | ErrorKind::ValueValidation => {
            let why = std::error::Error::source(e).map_or_else(String::new, |why| format!(": {why}"));
            format!("`{value}` is no value for {argument}{why}")
        }
        ErrorKind::MissingRequiredArgument => format!("missing: {argument}"),
        ErrorKind::ArgumentConflict => format!(
            "{argument} cannot stand beside {}",
            text(ContextKind::PriorArg).unwrap_or_else(|| "another argument".to_owned())
        ),
        ErrorKind::MissingSubcommand | ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand => {
            return Failure::Input(format!("a command is needed\n\n{}", overview(&definition())));
        }
        // The rest in the library's words, without its ornament.
        _ => {
            let all = e.render().to_string();
            let first = all.lines().next().unwrap_or("the arguments are not understood");
            first.trim_start_matches("error: ").to_owned()
        }
    };
    let mut full = message;
    if e.kind() == ErrorKind::ValueValidation
        && let Some(help) = help(argument, given)
    {
        full.push_str(&format!("\n  {help}"));
    }
    if let Some(near) = near {
        full.push_str(&format!("\n  did you mean `{near}`?"));
    }
    if let Some(known) = known {
        full.push_str(&format!("\n  understood: {known}"));
    }
    full.push_str("\n  `rimhold --help` and `rimhold COMMAND --help` show what can be said");
    Failure::Input(full)
}

/// What the help of the command that was typed says of an argument.
fn help(argument: &str, given: &[OsString]) -> Option<String> {
    let mut definition = definition();
    definition.build();
    let command = given.iter().find_map(|word| definition.find_subcommand(word))?;
    let of = |command: &clap::Command| {
        command.get_arguments().find(|a| a.to_string() == argument).and_then(|a| Some(a.get_help()?.to_string()))
    };
    of(command).or_else(|| of(&definition))
}
