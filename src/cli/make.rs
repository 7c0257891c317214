//! Files that are made rather than computed: a new case, schemas, man pages.

use super::arguments::{Described, Man, New, Shoulder, definition};
use super::failure::Failure;
use super::output::{note, print};
use crate::files::{Refusal, write_all};
use crate::model::{NewCase, NewPose, Side, Width, case_schema, construct_schema, new_case};
use crate::show::report::{Envelope, PlaceBody, ScatterBody, SweepBody, VerifyBody, json_schema};
use std::fs;
use std::io;
use std::path::Path;

/// Writes a case from what was measured.
pub(super) fn new(given: &New, quiet: bool) -> Result<(), Failure> {
    let side = match given.side {
        Shoulder::Right => Side::Right,
        Shoulder::Left => Side::Left,
    };
    let width = width(&given.width)?;
    let middle = clock(&given.middle)?;
    let mut case = NewCase::new(side, given.diameter, width, middle);
    case.name = given.name.clone();
    case.depth = given.depth;
    case.tilt = given.tilt;
    case.length = given.length;
    case.displaced = NewPose {
        inferior: given.inferior,
        medial: given.medial,
        out_of_bed: given.out_of_bed,
        tilt: given.displaced_tilt,
        spin: given.spin,
        yaw: given.yaw,
    };
    let text = new_case(&case).map_err(|p| Failure::Files(vec![p]))?;
    let Some(path) = &given.out else {
        return print(&text);
    };
    create(path, text)?;
    if !quiet {
        note(&format!("wrote {}; look at it with `rimhold check {}`", path.display(), path.display()));
    }
    Ok(())
}

fn width(text: &str) -> Result<Width, Failure> {
    let wrong = || Failure::Input(format!("`{text}` is no width: give mm (6.5) or percent of the diameter (\"25 %\")"));
    let (number, percent) = match text.trim().strip_suffix('%') {
        Some(number) => (number, true),
        None => (text.trim().trim_end_matches("mm"), false),
    };
    let number: f64 = number.trim().parse().map_err(|_| wrong())?;
    Ok(if percent { Width::Percent(number) } else { Width::Mm(number) })
}

fn clock(text: &str) -> Result<f64, Failure> {
    let wrong = || {
        Failure::Input(format!(
            "`{text}` is no clock position: give 4:00, or hours (4.5); 3 is anterior on either side"
        ))
    };
    let Some((hours, minutes)) = text.trim().split_once(':') else {
        return text.trim().parse().map_err(|_| wrong());
    };
    let hours: u32 = hours.parse().map_err(|_| wrong())?;
    let minutes: u32 = minutes.parse().map_err(|_| wrong())?;
    if minutes > 59 {
        return Err(wrong());
    }
    Ok(f64::from(hours) + f64::from(minutes) / 60.0)
}

/// A schema to standard output.
pub(super) fn schema(kind: Described) -> Result<(), Failure> {
    let schema = match kind {
        Described::Case => case_schema(),
        Described::Construct => construct_schema(),
        Described::Result => json_schema(),
        Described::Scatter => Envelope::<ScatterBody>::schema(),
        Described::Sweep => Envelope::<SweepBody>::schema(),
        Described::Place => Envelope::<PlaceBody>::schema(),
        Described::Verification => Envelope::<VerifyBody>::schema(),
    };
    print(&format!("{schema:#}\n"))
}

/// The main page to standard output, or a page a command into a folder.
pub(super) fn man(given: &Man, quiet: bool) -> Result<(), Failure> {
    let failed = |e: io::Error| Failure::Other(format!("the man pages could not be made: {e}"));
    let Some(folder) = &given.folder else {
        let mut page = Vec::new();
        clap_mangen::Man::new(definition()).render(&mut page).map_err(failed)?;
        return print(&String::from_utf8_lossy(&page));
    };
    let mut main = definition();
    main.build();
    let mut pages = Vec::new();
    for command in std::iter::once(&main).chain(main.get_subcommands()) {
        let man = clap_mangen::Man::new(command.clone());
        let name = man.get_filename();
        let mut page = Vec::new();
        man.render(&mut page).map_err(failed)?;
        pages.push((name.into(), page));
    }
    write_all(folder, &pages, is_our_page).map_err(|e| refused(&e))?;
    if !quiet {
        note(&format!("wrote {} pages to {}", pages.len(), folder.display()));
    }
    Ok(())
}

/// Whether a file is a man page that this program made: it has our title line.
fn is_our_page(path: &Path) -> bool {
    fs::symlink_metadata(path).is_ok_and(|m| m.is_file())
        && fs::read_to_string(path).is_ok_and(|text| text.contains(".TH rimhold"))
}

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
    let folder = match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p,
        _ => Path::new("."),
    };
    let Some(name) = path.file_name() else {
        return Err(Failure::Input(format!("{} is no name of a file", path.display())));
    };
    if !folder.is_dir() {
        return Err(Failure::Other(format!("there is no folder {}", folder.display())));
    }
    write_all(folder, &[(name.into(), text.into_bytes())], |_| false).map(|_| ()).map_err(|e| refused(&e))
}
