//! `rimhold man` and `rimhold completions`, from the definition of the command line.

use super::new::refused;
use super::say::{Failure, note, print};
use super::{definition, example, stop};
use crate::files::write_all;
use clap::Args;
use std::path::{Path, PathBuf};

#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold completions bash > ~/.local/share/bash-completion/completions/rimhold",
    ""
))]
pub(super) struct Completions {
    /// Shell
    shell: clap_complete::Shell,
}

impl Completions {
    pub fn run(&self) -> Result<(), Failure> {
        let mut text = Vec::new();
        clap_complete::generate(self.shell, &mut definition(), "rimhold", &mut text);
        print(&String::from_utf8_lossy(&text))
    }
}

#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold man man1",
    "Files there that are not man pages of this program are never overwritten."
))]
pub(super) struct Man {
    /// Folder for one page a command; without it the main page goes to standard output
    #[arg(value_name = "DIR")]
    folder: Option<PathBuf>,
}

impl Man {
    /// The main page to standard output, or a page a command into a folder.
    pub fn run(&self, quiet: bool) -> Result<(), Failure> {
        let render = |man: clap_mangen::Man| {
            let mut page = Vec::new();
            let failed = |e| Failure::Other(format!("the man pages could not be made: {e}"));
            man.render(&mut page).map(|()| page).map_err(failed)
        };
        let Some(folder) = &self.folder else {
            return print(&String::from_utf8_lossy(&render(clap_mangen::Man::new(definition()))?));
        };
        let mut main = definition();
        main.build();
        let mut pages = Vec::new();
        for command in std::iter::once(&main).chain(main.get_subcommands()) {
            let man = clap_mangen::Man::new(command.clone());
            pages.push((man.get_filename().into(), render(man)?));
        }
        let _gently = stop::gently();
        write_all(folder, &pages, is_our_page).map_err(|e| refused(&e))?;
        if !quiet {
            note(&format!("wrote {} pages to {}", pages.len(), folder.display()));
        }
        Ok(())
    }
}

/// Whether a file is a man page that this program made: it has our title line.
fn is_our_page(path: &Path) -> bool {
    std::fs::symlink_metadata(path).is_ok_and(|m| m.is_file())
        && std::fs::read_to_string(path).is_ok_and(|text| text.contains(".TH rimhold"))
}
