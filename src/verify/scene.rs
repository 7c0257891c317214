//! A shipped construct tied on the default case, on an endless bed: without the broken edge, whose
//! fading has no potential, all elastic forces have one.

use super::check::{Found, Sheet};
use super::refinement::held;
use crate::mechanics::{Bed, Outline, Rig};
use crate::model::{Case, Construct, ConstructFile, EnvelopeSpec, Rest, Stop};
use crate::par;
use crate::study::result::Start;
use crate::study::{self, Chosen, OrdersPlan, PushPlan, SEED, Tied};

/// A tied construct on an endless bed.
#[derive(Debug, Clone)]
pub struct Scene {
    /// The rig.
    pub rig: Rig,
    /// Its tied state.
    pub tied: Tied,
}

/// The built-in construct `name` on the built-in case `quarter`.
///
/// # Errors
/// When there is no such construct.
pub(super) fn shipped(name: &str) -> Found<(Case, Construct)> {
    let both = Case::open("quarter").and_then(|case| Ok((ConstructFile::open(name)?.fit(&case)?, case)));
    both.map(|(construct, case)| (case, construct)).map_err(|p| p.to_string())
}

/// The built-in construct `name` on the built-in case `quarter`, with or without friction and crushing anywhere.
///
/// # Errors
/// When there is no such construct, or it does not hold the fragment.
pub fn endless(name: &str, friction: bool) -> Found<Scene> {
    let (mut case, mut construct) = shipped(name)?;
    if !friction {
        case.bed.friction = 0.0;
        case.bed.crush_strength = f64::INFINITY;
        // Without friction the two bridges alone would slide the fragment out of its bed while they
        // are pulled; stiffer soft tissue than usual keeps it there.
        case.envelope = Some(EnvelopeSpec { shift_stiffness: 20.0, turn_stiffness: 2000.0, rest: Rest::Start });
        for stop in construct.limbs.iter_mut().flat_map(|limb| &mut limb.path) {
            match stop {
                Stop::Anchor { friction, .. } | Stop::Bite { friction, .. } | Stop::Crossing { friction, .. } => {
                    *friction = 0.0
                }
            }
        }
    }
    let mut rig = study::rig(&case, &construct, Start::Reduced);
    let cells: Vec<_> = rig.bed.cells.iter().map(|c| (c.t, c.m, c.area)).collect();
    let (origin, axes, law) = (rig.bed.origin, rig.bed.axes, rig.bed.law);
    rig.bed = Bed::from_cells(origin, axes, law, Outline::Unbounded, &cells);
    let (_, tied) = held(name, study::tie(&case, &construct, &rig, Start::Reduced))?;
    Ok(Scene { rig, tied })
}

// Same digits for any number of threads, and for any run.

const NAMES: [&str; 4] = ["single-row", "one-by-one", "two-by-two-crossed", "crater-fan"];

/// Directions of the rose.
const PETALS: usize = 24;

/// Constructs tied, pushed and pushed all round, as JSON: its numbers are printed so that they read
/// back to the same bits.
fn studied(from: Start, rose: bool) -> Found<String> {
    let found: Vec<_> = par::map(&NAMES, |name| {
        let (case, construct) = shipped(name)?;
        let rig = study::rig(&case, &construct, from);
        let (hold, tied) = held(name, study::tie(&case, &construct, &rig, from))?;
        let push = study::push(&case, &construct, &rig, &tied, &PushPlan::default());
        let petals =
            if rose { study::rose(&case, &construct, &rig, &tied, &PushPlan::default(), PETALS) } else { Vec::new() };
        Ok::<_, String>((hold, push, petals))
    })
    .into_iter()
    .collect::<Found<_>>()?;
    serde_json::to_string(&found).map_err(|e| e.to_string())
}

/// Construct whose tying orders are all run, each with its push.
const ORDERED: &str = "two-by-two-crossed";

/// All orders of one construct's ties, ranked and pushed, as JSON.
fn ordered() -> Found<String> {
    let (case, construct) = shipped(ORDERED)?;
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
pub fn threads(s: &mut Sheet) -> Found<()> {
    s.law(
        "digits of compare, rose and tie on other threads",
        "a calculation is the same whoever does it; four constructs, all six tying orders of one of them, results compared as printed to the last bit",
    );
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
}
