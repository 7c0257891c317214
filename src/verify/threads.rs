//! Same digits for any number of threads, and for any run.

use super::check::{Category, Check, Found, Sheet, not_tied};
use crate::model::{Case, ConstructFile};
use crate::par::*;
use crate::study::{self, Chosen, OrdersPlan, PushPlan, SEED, result::Start};

const NAMES: [&str; 4] = ["single-row", "one-by-one", "two-by-two-crossed", "crater-fan"];

/// Directions of the rose.
const PETALS: usize = 24;

/// Constructs tied, pushed and pushed all round, as JSON: its numbers are printed so that they read
/// back to the same bits.
fn studied(from: Start, rose: bool) -> Found<String> {
    let case = Case::open("quarter").map_err(|p| p.to_string())?;
    let found: Vec<_> = NAMES
        .par_iter()
        .map(|name| {
            let construct = ConstructFile::open(name).and_then(|file| file.fit(&case)).map_err(|p| p.to_string())?;
            let rig = study::rig(&case, &construct, from);
            let (hold, tied) = study::tie(&case, &construct, &rig, from);
            let tied = tied.ok_or_else(|| not_tied(name, &hold.outcome))?;
            let push = study::push(&case, &construct, &rig, &tied, &PushPlan::default());
            let petals = if rose { study::rose(&case, &construct, &rig, &tied, PETALS) } else { Vec::new() };
            Ok::<_, String>((hold, push, petals))
        })
        .collect::<Found<_>>()?;
    serde_json::to_string(&found).map_err(|e| e.to_string())
}

/// Construct whose tying orders are all run, each with its push.
const ORDERED: &str = "two-by-two-crossed";

/// All orders of one construct's ties, ranked and pushed, as JSON.
fn ordered() -> Found<String> {
    let case = Case::open("quarter").map_err(|p| p.to_string())?;
    let construct = ConstructFile::open(ORDERED).and_then(|file| file.fit(&case)).map_err(|p| p.to_string())?;
    let chosen = Chosen::all(&construct, SEED);
    let plan = OrdersPlan { together: true, push: Some(PushPlan::default()), ..OrdersPlan::default() };
    let found = study::orders(&case, &construct, &chosen, &plan, &());
    serde_json::to_string(&found).map_err(|e| e.to_string())
}

/// Something computed on so many threads.
fn with(threads: usize, compute: impl Fn() -> Found<String> + Send + Sync) -> Found<String> {
    #[cfg(feature = "threads")]
    return rayon::ThreadPoolBuilder::new().num_threads(threads).build().map_err(|e| e.to_string())?.install(compute);
    // Without them there is one.
    #[cfg(not(feature = "threads"))]
    return if threads > 0 { compute() } else { Err("no thread".to_owned()) };
}

/// Positions at which two texts differ, and a difference of length.
fn different(a: &str, b: &str) -> usize {
    let bytes = a.bytes().zip(b.bytes()).filter(|(x, y)| x != y).count();
    bytes + a.len().abs_diff(b.len())
}

/// Studies on 1, 2 and 7 threads, and once more on 7.
pub fn threads() -> Vec<Check> {
    Sheet::of(
        Category::CodeVerification,
        "digits of compare, rose and tie on other threads",
        "a calculation is the same whoever does it; four constructs, all six tying orders of one of them, results compared as printed to the last bit",
        |s| {
            s.within(0.0, "every digit");
            type Study = fn() -> Found<String>;
            let studies: [(&str, Study); 3] = [
                ("compare and rose", || studied(Start::Reduced, true)),
                ("hold from displaced, and compare", || studied(Start::Displaced, false)),
                ("all orders of one construct", ordered),
            ];
            for (what, study) in studies {
                let one = with(1, study)?;
                if one.len() < 10_000 {
                    return Err("hardly anything was compared".to_owned());
                }
                for (threads, run) in [(2, ""), (7, ""), (7, ", once more")] {
                    let off = different(&one, &with(threads, study)?);
                    let name = format!("{what}: characters that differ, {threads} threads against 1{run}");
                    s.equal(name, "", off as f64, 0.0);
                }
            }
            Ok(())
        },
    )
}
