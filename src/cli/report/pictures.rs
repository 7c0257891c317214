//! The figures of a report as files, a few at a time.

use super::super::say::Failure;
use super::output;
use crate::par;
use crate::show::figures::Format;
use crate::show::report::paper::{Output, Plate};
use crate::study::Watcher;

/// Resolutions of the pictures, dots per inch.
const DPI: [u32; 2] = [300, 600];
/// Dots that are drawn at once: each takes some ten bytes while its picture is made.
const AT_ONCE: f64 = 21e6;

/// How a figure is written: ending, and the form (none: PDF).
type Form = (String, Option<Format>);

/// Every figure in every form, a few at a time.
pub(super) fn pictures(drawn: &[Plate], svg_only: bool, watcher: &dyn Watcher) -> Result<Vec<Output>, Failure> {
    let mut forms: Vec<Form> = vec![
        (".svg".to_owned(), Some(Format::Svg)),
        (".csv".to_owned(), Some(Format::Csv)),
        (".txt".to_owned(), Some(Format::Txt)),
    ];
    if !svg_only {
        forms.push((".pdf".to_owned(), None));
        forms.extend(DPI.map(|dpi| (format!("-{dpi}dpi.png"), Some(Format::Png { dpi }))));
    }
    let jobs: Vec<(&Plate, &Form)> =
        forms.iter().flat_map(|form| drawn.iter().map(move |plate| (plate, form))).collect();
    watcher.stage(jobs.len() as u64, "pictures");
    let mut outputs = Vec::with_capacity(jobs.len());
    for few in in_memory(&jobs) {
        let done: Result<Vec<Output>, Failure> = par::map(few, |(plate, (ending, format))| {
            let figure = &plate.figure;
            let bytes = match format {
                Some(format) => figure.bytes(*format),
                None => figure.pdf(),
            };
            watcher.step();
            let bytes = bytes.map_err(|e| Failure::Other(format!("{}: {e}", figure.name)))?;
            Ok(output(format!("figures/{}{ending}", figure.name), bytes))
        })
        .into_iter()
        .collect();
        outputs.extend(done?);
    }
    Ok(outputs)
}

/// Cuts jobs, in their order, into runs whose pictures fit into memory together; a larger one stands
/// alone.
fn in_memory<'a, 'b>(jobs: &'a [(&'b Plate, &'b Form)]) -> Vec<&'a [(&'b Plate, &'b Form)]> {
    let dots = |(plate, form): &(&Plate, &Form)| match form.1 {
        Some(Format::Png { dpi }) => {
            let per_mm = f64::from(dpi) / 25.4;
            plate.figure.width_mm * plate.figure.height_mm * per_mm * per_mm
        }
        _ => 0.02 * AT_ONCE,
    };
    let mut runs = Vec::new();
    let (mut start, mut sum) = (0, 0.0);
    for (k, job) in jobs.iter().enumerate() {
        if k > start && sum + dots(job) > AT_ONCE {
            runs.push(&jobs[start..k]);
            (start, sum) = (k, 0.0);
        }
        sum += dots(job);
    }
    if start < jobs.len() {
        runs.push(&jobs[start..]);
    }
    runs
}
