//! Arguments that cannot be understood, in our own words.

use super::arguments::definition;
use super::failure::Failure;
use clap::error::{ContextKind, ContextValue, ErrorKind};

/// A message for arguments that were refused.
pub(super) fn of(e: &clap::Error) -> Failure {
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
    let near = text(ContextKind::SuggestedArg)
        .or_else(|| text(ContextKind::SuggestedSubcommand))
        .or_else(|| text(ContextKind::SuggestedValue));
    let argument = argument.as_deref().unwrap_or("an argument");
    let value = value.as_deref().unwrap_or("");
    let message = match e.kind() {
        ErrorKind::UnknownArgument => format!("`{argument}` is not understood here"),
        ErrorKind::InvalidSubcommand => {
            format!("`{}` is no command", text(ContextKind::InvalidSubcommand).unwrap_or_default())
        }
        ErrorKind::InvalidValue if value.is_empty() => format!("`{argument}` needs a value"),
        ErrorKind::InvalidValue => format!("`{value}` is no value for {argument}"),
        ErrorKind::ValueValidation => {
            let why = std::error::Error::source(e).map(ToString::to_string);
            match why {
                Some(why) => format!("`{value}` is no value for {argument}: {why}"),
                None => format!("`{value}` is no value for {argument}"),
            }
        }
        ErrorKind::MissingRequiredArgument => format!("missing: {argument}"),
        ErrorKind::ArgumentConflict => format!(
            "{argument} cannot stand beside {}",
            text(ContextKind::PriorArg).unwrap_or_else(|| "another argument".to_owned())
        ),
        ErrorKind::MissingSubcommand | ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand => {
            format!("a command is needed: {}", commands())
        }
        // The rest in the library's words, without its ornament.
        _ => {
            let all = e.render().to_string();
            let first = all.lines().next().unwrap_or("the arguments are not understood");
            first.trim_start_matches("error: ").to_owned()
        }
    };
    let mut full = message;
    if let Some(near) = near {
        full.push_str(&format!("\n  did you mean `{near}`?"));
    }
    if let Some(known) = known {
        full.push_str(&format!("\n  understood: {known}"));
    }
    full.push_str("\n  `rimhold --help` and `rimhold COMMAND --help` show what can be said");
    Failure::Input(full)
}

/// Every command, in the order of the help: "compare, report, … or man".
fn commands() -> String {
    let definition = definition();
    let names: Vec<&str> = definition.get_subcommands().map(|c| c.get_name()).collect();
    match names.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => names.join(", "),
    }
}
