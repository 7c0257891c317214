//! Whether to colour.

use clap::ValueEnum;
use std::ffi::OsString;
use std::io::IsTerminal;

/// When to colour messages and headings.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub enum When {
    /// On a terminal, unless the environment sets NO_COLOR.
    #[default]
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

impl When {
    fn on(self, terminal: bool) -> bool {
        match self {
            Self::Always => true,
            Self::Never => false,
            // The agreed variable: set and not empty means no colour.
            Self::Auto => terminal && std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty()),
        }
    }

    /// Whether to colour standard output.
    pub fn on_stdout(self) -> bool {
        self.on(std::io::stdout().is_terminal())
    }

    /// Whether to colour standard error.
    pub fn on_stderr(self) -> bool {
        self.on(std::io::stderr().is_terminal())
    }

    /// The same for help.
    pub(super) fn for_help(self) -> clap::ColorChoice {
        match self {
            Self::Auto => clap::ColorChoice::Auto,
            Self::Always => clap::ColorChoice::Always,
            Self::Never => clap::ColorChoice::Never,
        }
    }
}

/// What was asked, read from the arguments before they are known to be right, so that messages
/// about wrong ones already keep to it.
pub(super) fn asked(arguments: &[OsString]) -> When {
    let words: Vec<&str> = arguments.iter().filter_map(|a| a.to_str()).collect();
    let value = words.iter().enumerate().find_map(|(k, word)| {
        word.strip_prefix("--colour=").or_else(|| word.strip_prefix("--color=")).or_else(|| {
            let next = words.get(k + 1).copied();
            next.filter(|_| matches!(*word, "--colour" | "--color"))
        })
    });
    value.and_then(|v| When::from_str(v, false).ok()).unwrap_or_default()
}
