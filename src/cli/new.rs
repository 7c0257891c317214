//! `rimhold new`: a case file from what was measured.

use super::say::{Failure, note, print};
use super::stop;
use super::values::measured;
use super::{Common, example, figures};
use crate::files::{Refusal, parent_of, write_all};
use crate::model::{Case, NewCase, Side, Width, new_case};
use crate::show::figures::{Theme, fragment};
use clap::Args;
use std::path::{Path, PathBuf};

#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold new --side left --diameter 27 --width \"22 %\" --middle 4:00 --depth 9 --out case.toml",
    "What was not measured is written as a comment with the default that will be taken."
))]
pub(super) struct New {
    /// Which shoulder
    #[arg(long, value_enum)]
    side: Side,
    /// Diameter of the best-fit circle of the inferior socket, mm
    #[arg(long, value_name = "MM", value_parser = measured("socket.diameter"), allow_hyphen_values = true)]
    diameter: f64,
    /// Width of the fragment: mm, or percent of the diameter ("25 %")
    #[arg(long, value_name = "WIDTH", value_parser = width, allow_hyphen_values = true)]
    width: Width,
    /// Clock position of the fragment's middle, as 4:00 or 4.5; 3 is anterior on either side
    #[arg(long, value_name = "CLOCK", value_parser = clock, allow_hyphen_values = true)]
    middle: f64,
    /// Medial depth of the fragment at its middle, mm
    #[arg(long, value_name = "MM", value_parser = measured("fragment.depth"), allow_hyphen_values = true)]
    depth: Option<f64>,
    /// Tilt of the fracture plane, degrees; positive: runs outward as it goes medially
    #[arg(long, value_name = "DEG", value_parser = measured("fragment.tilt"), allow_hyphen_values = true)]
    tilt: Option<f64>,
    /// Superoinferior length where it is shorter than the whole fracture line, mm
    #[arg(long, value_name = "MM", value_parser = measured("fragment.length"), allow_hyphen_values = true)]
    length: Option<f64>,
    /// Displacement inferiorly along the fracture line, mm
    #[arg(long, value_name = "MM", value_parser = measured("displaced.inferior"), allow_hyphen_values = true)]
    inferior: Option<f64>,
    /// Displacement medially down the fracture plane, mm
    #[arg(long, value_name = "MM", value_parser = measured("displaced.medial"), allow_hyphen_values = true)]
    medial: Option<f64>,
    /// Displacement out of the bed, mm
    #[arg(long, value_name = "MM", value_parser = measured("displaced.out_of_bed"), allow_hyphen_values = true)]
    out_of_bed: Option<f64>,
    /// Turn of the displaced fragment about the fracture line, degrees; positive: sits up
    #[arg(long, value_name = "DEG", value_parser = measured("displaced.tilt"), allow_hyphen_values = true)]
    displaced_tilt: Option<f64>,
    /// Turn of the displaced fragment about the bed's normal, degrees
    #[arg(long, value_name = "DEG", value_parser = measured("displaced.spin"), allow_hyphen_values = true)]
    spin: Option<f64>,
    /// Turn of the displaced fragment about the direction down the plane, degrees
    #[arg(long, value_name = "DEG", value_parser = measured("displaced.yaw"), allow_hyphen_values = true)]
    yaw: Option<f64>,
    /// Name of the case
    #[arg(long)]
    name: Option<String>,
    /// File to write; standard output when not given. An existing file is never overwritten
    #[arg(long, short, value_name = "FILE")]
    out: Option<PathBuf>,
}

impl New {
    pub fn run(&self, common: &Common) -> Result<(), Failure> {
        let mut case = NewCase::new(self.side, self.diameter, self.width, self.middle);
        case.name.clone_from(&self.name);
        for (path, value) in [
            ("fragment.depth", self.depth),
            ("fragment.tilt", self.tilt),
            ("fragment.length", self.length),
            ("displaced.inferior", self.inferior),
            ("displaced.medial", self.medial),
            ("displaced.out_of_bed", self.out_of_bed),
            ("displaced.tilt", self.displaced_tilt),
            ("displaced.spin", self.spin),
            ("displaced.yaw", self.yaw),
        ] {
            case.set(path, value);
        }
        let text = new_case(&case)?;
        let case = Case::parse(self.name.as_deref().unwrap_or("case"), &text).map_err(|e| Failure::Files(vec![e]))?;
        match &self.out {
            None => print(&text)?,
            Some(path) => {
                create(path, text)?;
                if !common.quiet {
                    note(&format!("wrote {}; look at it with `rimhold draw {}`", path.display(), path.display()));
                }
            }
        }
        let Some(folder) = common.figures.as_deref() else { return Ok(()) };
        figures::tell(figures::write(&[fragment(&case, &Theme::double())], folder), folder, common.quiet)
    }
}

fn width(text: &str) -> Result<Width, String> {
    let wrong = "give mm (6.5) or percent of the diameter (\"25 %\")";
    let (number, percent) = match text.trim().strip_suffix('%') {
        Some(number) => (number, true),
        None => (text.trim().trim_end_matches("mm"), false),
    };
    let number: f64 = number.trim().parse().map_err(|_| wrong)?;
    Ok(if percent { Width::Percent(number) } else { Width::Mm(number) })
}

fn clock(text: &str) -> Result<f64, String> {
    let wrong = "give 4:00, or hours (4.5); 3 is anterior on either side";
    let Some((hours, minutes)) = text.trim().split_once(':') else {
        return text.trim().parse().map_err(|_| wrong.to_owned());
    };
    match (hours.parse::<u32>(), minutes.parse::<u32>()) {
        (Ok(hours), Ok(minutes @ 0..60)) => Ok(f64::from(hours) + f64::from(minutes) / 60.0),
        _ => Err(wrong.to_owned()),
    }
}

/// What is said of files that were not written.
pub(super) fn refused(refusal: &Refusal) -> Failure {
    Failure::Other(match refusal {
        Refusal::Foreign(path) => {
            format!("{} exists and is left as it is; choose another name, or move it away", path.display())
        }
        Refusal::Io { .. } => format!("nothing was written: {refusal}"),
    })
}

/// A new file, never over one that exists.
fn create(path: &Path, text: String) -> Result<(), Failure> {
    let folder = parent_of(path);
    let Some(name) = path.file_name() else {
        return Err(Failure::Input(format!("{} is no name of a file", path.display())));
    };
    if !folder.is_dir() {
        return Err(Failure::Other(format!("there is no folder {}", folder.display())));
    }
    let _gently = stop::gently();
    write_all(folder, &[(name.into(), text.into_bytes())], |_| false).map(|_| ()).map_err(|e| refused(&e))
}
