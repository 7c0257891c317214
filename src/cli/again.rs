//! A command line as it can be typed again.

use super::definition;
use crate::show::words::quoted;
use clap::ArgMatches;
use clap::parser::ValueSource;

/// A command on these files with the options that were typed for it, save some.
pub(super) fn again(command: &str, files: &[String], matches: &ArgMatches, save: &[&str]) -> String {
    let definition = definition();
    let mut words = vec![format!("rimhold {command}")];
    words.extend(files.iter().map(|f| quoted(f)));
    let own = definition.find_subcommand(command).into_iter().flat_map(clap::Command::get_arguments);
    for argument in own.filter(|a| !save.contains(&a.get_id().as_str())) {
        let id = argument.get_id().as_str();
        let (Some(long), Some(ValueSource::CommandLine)) = (argument.get_long(), matches.value_source(id)) else {
            continue;
        };
        if !argument.get_action().takes_values() {
            words.push(format!("--{long}"));
        }
        let values = matches.get_raw(id).into_iter().flatten().filter(|_| argument.get_action().takes_values());
        words.extend(values.map(|v| format!("--{long}={}", quoted(&v.to_string_lossy()))));
    }
    words.join(" ")
}
