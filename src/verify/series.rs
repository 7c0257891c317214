//! A quantity on ever finer cells or steps: observed order of convergence, extrapolated value, and
//! the uncertainty of the value that the program uses.
//!
//! Order and extrapolation: Richardson's, on three levels with unequal ratios (Celik et al., J Fluids
//! Eng 2008;130:078001). Uncertainty: the grid convergence index of Roache (J Fluids Eng
//! 1994;116:405), as in ASME V&V 20. With a safety factor of 1.25 where two sets of three levels show
//! the same order, and 3 where they do not. Where the changes alternate or do not shrink there is no
//! order, nothing is extrapolated, and the largest change seen stands in its place, times 3. (All
//! three sources recalled, not read again.)

use schemars::JsonSchema;
use serde::Serialize;

/// Levels of a series, each with half the size of the one before.
pub const LEVELS: usize = 4;
/// An order above that of the midpoint rule is not used for extrapolating, however it comes out.
const FORMAL: f64 = 2.0;
/// An order below this extrapolates beyond all that was seen.
const LEAST: f64 = 0.5;
/// How near two orders must be to count as the same.
const SETTLED: f64 = 0.5;
/// Changes below this share of the value are rounding and the solver's balance, not discretisation.
const NOTHING: f64 = 1e-8;

/// What is said of the order of convergence.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "finding")]
pub enum Order {
    /// Both sets of three levels show it.
    Settled {
        /// Order on the three finest levels.
        order: f64,
        /// Order on the three coarsest.
        coarse: f64,
    },
    /// The three finest levels show an order, the coarsest another or none.
    Unsettled {
        /// Order on the three finest levels.
        order: f64,
        /// Order on the three coarsest, where there is one.
        coarse: Option<f64>,
    },
    /// The last changes have opposite signs.
    Alternates,
    /// The last change is no smaller than the one before, or hardly.
    DoesNotShrink,
    /// Nothing changes but rounding.
    NoChange,
}

/// What is refined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Refined {
    /// Cells of the bed; a level is their number.
    Cells,
    /// Steps of the push; a level is their number.
    PushSteps,
    /// Steps of each pull; a level is their number.
    PullSteps,
}

/// A quantity over four levels of refinement.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Series {
    /// Case and construct.
    pub subject: String,
    /// What is refined.
    pub refined: Refined,
    /// The quantity.
    pub quantity: String,
    /// Its unit; empty for a pure number.
    pub unit: String,
    /// Cells or steps, coarsest first.
    pub levels: [usize; LEVELS],
    /// The values there; absent where the study gave none.
    pub values: [Option<f64>; LEVELS],
    /// The value that the program gives with its own settings.
    pub used: Option<f64>,
    /// What is said of the order.
    pub order: Order,
    /// The value extrapolated to size zero; absent without an order.
    pub extrapolated: Option<f64>,
    /// Estimated error of the value used, as a share of it: against the extrapolated value, or the
    /// farthest finer one where there is none.
    pub error: Option<f64>,
    /// The same with its safety factor: the grid convergence index of the value used.
    pub uncertainty: Option<f64>,
    /// What the estimated error may be, as a share.
    pub tolerance: f64,
    /// What makes the tolerance so large.
    pub reason: String,
    /// Whether any level gave a value to look at; false where the push ends before the mark at every
    /// level, which is the same answer everywhere and passes.
    pub reached: bool,
    /// Whether it is within tolerance.
    pub passed: bool,
}

/// A quantity, the size below which its error is counted in absolute terms (a step of
/// 0.01 mm need not be right to a percent), and what its error may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerated {
    /// Key in the list of quantities.
    pub key: &'static str,
    /// Least size to which an error is related.
    pub floor: f64,
    /// Allowed error as a share.
    pub tolerance: f64,
    /// What makes it so large.
    pub reason: &'static str,
}

impl Series {
    /// A series of `values` at sizes `sizes` (any unit, falling), with the value that is `used`.
    /// What is no number at a level makes the series fail.
    pub fn new(
        subject: &str,
        refined: Refined,
        quantity: &Tolerated,
        levels: [usize; LEVELS],
        sizes: [f64; LEVELS],
        values: [f64; LEVELS],
        used: f64,
    ) -> Self {
        let named = crate::quantities::quantity(quantity.key);
        let fine = [values[3], values[2], values[1]];
        let scale = values[3].abs().max(quantity.floor);
        let order = order(&values, &sizes, scale);
        let (extrapolated, factor) = match order {
            Order::Settled { order, .. } => (Some(richardson(&fine, &sizes, order)), 1.25),
            Order::Unsettled { order, .. } => (Some(richardson(&fine, &sizes, order)), 3.0),
            Order::Alternates | Order::DoesNotShrink => (None, 3.0),
            Order::NoChange => (Some(values[3]), 1.25),
        };
        let error = match extrapolated {
            Some(value) => (used - value).abs(),
            None => largest(values.iter().map(|v| (used - v).abs()).skip(1)),
        } / scale;
        let known = |v: f64| v.is_finite().then_some(v);
        Self {
            subject: subject.to_owned(),
            refined,
            quantity: named.label.to_owned(),
            unit: named.unit.to_owned(),
            levels,
            values: values.map(known),
            used: known(used),
            order,
            extrapolated: extrapolated.and_then(known),
            error: known(error),
            uncertainty: known(factor * error),
            tolerance: quantity.tolerance,
            reason: quantity.reason.to_owned(),
            reached: true,
            passed: error <= quantity.tolerance && values.iter().all(|v| v.is_finite()),
        }
    }
}

impl Series {
    /// The series of a load at a mark that no level reaches: the fragment is lost before, on every one
    /// of them, and the program says so with its own settings too. All agree, and there is no number.
    pub(super) fn not_reached(mut self) -> Self {
        self.quantity += ", not reached";
        "at every level the push ends before, as a finding".clone_into(&mut self.reason);
        self.reached = false;
        self.passed = true;
        self
    }
}

/// The largest of some numbers; what is no number is larger than all.
fn largest(values: impl Iterator<Item = f64>) -> f64 {
    values.fold(0.0, |a, b| if a >= b || f64::is_nan(a) { a } else { b })
}

/// The order of three levels, finest first, with their sizes. `None` unless they change to one side
/// by ever less.
fn order_of(values: [f64; 3], sizes: [f64; 3]) -> Option<f64> {
    let (late, early) = (values[1] - values[0], values[2] - values[1]);
    let ratio = early / late;
    let (fine, coarse) = (sizes[1] / sizes[0], sizes[2] / sizes[1]);
    if !(ratio.is_finite() && ratio > 0.0) {
        return None;
    }
    // p = (ln(ε₃₂/ε₂₁) + ln((r₂₁ᵖ − 1)/(r₃₂ᵖ − 1)))/ln r₂₁, by fixed point: the ratios are near 2.
    let mut p = libm::log(ratio) / libm::log(fine);
    for _ in 0..100 {
        if p < 1e-3 {
            return None;
        }
        let shift = libm::log((libm::pow(fine, p) - 1.0) / (libm::pow(coarse, p) - 1.0));
        p = (libm::log(ratio) + shift) / libm::log(fine);
    }
    (p.is_finite() && p > 0.0).then_some(p)
}

fn order(values: &[f64; LEVELS], sizes: &[f64; LEVELS], scale: f64) -> Order {
    let [a, b, c, d] = *values;
    let [ha, hb, hc, hd] = *sizes;
    if [d - c, c - b].iter().all(|e| e.abs() <= NOTHING * scale) {
        return Order::NoChange;
    }
    if (d - c) * (c - b) < 0.0 {
        return Order::Alternates;
    }
    let coarse = order_of([c, b, a], [hc, hb, ha]);
    match (order_of([d, c, b], [hd, hc, hb]), coarse) {
        (Some(order), Some(coarse)) if order >= LEAST && (order - coarse).abs() <= SETTLED => {
            Order::Settled { order, coarse }
        }
        (Some(order), coarse) if order >= LEAST => Order::Unsettled { order, coarse },
        _ => Order::DoesNotShrink,
    }
}

/// The value at size zero from the two finest levels.
fn richardson(fine: &[f64; 3], sizes: &[f64; LEVELS], order: f64) -> f64 {
    let ratio = libm::pow(sizes[2] / sizes[3], order.min(FORMAL));
    fine[0] + (fine[0] - fine[1]) / (ratio - 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    const ANY: Tolerated = Tolerated { key: "compression", floor: 0.0, tolerance: 0.01, reason: "" };

    fn of(values: [f64; LEVELS], sizes: [f64; LEVELS]) -> Series {
        Series::new("s", Refined::Cells, &ANY, [1, 2, 3, 4], sizes, values, values[1])
    }

    #[test]
    fn a_power_of_the_size_is_found_and_extrapolated_with_unequal_ratios() {
        // f(h) = 3 + 0.1 hᵖ has order p and the value 3 at zero, by construction.
        for p in [0.7, 1.0, 1.6, 2.0] {
            let sizes = [8.1, 4.0, 1.9, 1.0];
            let series = of(sizes.map(|h: f64| 3.0 + 0.1 * libm::pow(h / 8.0, p)), sizes);
            let Order::Settled { order, coarse } = series.order else { panic!("{series:?}") };
            assert!((order - p).abs() < 1e-8 && (coarse - p).abs() < 1e-8);
            assert!((series.extrapolated.unwrap() - 3.0).abs() < 1e-9);
            let error = 0.1 * libm::pow(0.5f64, p) / series.values[3].unwrap();
            assert!((series.error.unwrap() - error).abs() < 1e-9);
            assert!((series.uncertainty.unwrap() - 1.25 * error).abs() < 1e-9);
        }
    }

    #[test]
    fn no_order_is_claimed_where_there_is_none() {
        let sizes = [8.0, 4.0, 2.0, 1.0];
        let alternating = of([1.0, 1.1, 1.05, 1.07], sizes);
        assert_eq!(alternating.order, Order::Alternates);
        assert_eq!(alternating.extrapolated, None);
        // Three times the farthest finer value.
        assert!((alternating.uncertainty.unwrap() - 3.0 * 0.05 / 1.07).abs() < 1e-12);
        let growing = of([1.0, 1.01, 1.03, 1.07], sizes);
        assert_eq!(growing.order, Order::DoesNotShrink);
        assert!(!growing.passed);
        let unsettled = of([1.0, 1.3, 1.2, 1.15], sizes);
        assert!(matches!(unsettled.order, Order::Unsettled { coarse: None, .. }));
        let same = of([1.0; 4], sizes);
        assert_eq!(same.order, Order::NoChange);
        assert!(same.passed);
        assert!(!of([1.0, 1.0, 1.0, f64::NAN], sizes).passed);
        assert!(!of([1.0, f64::NAN, 1.0, 1.0], sizes).passed);
    }

    #[test]
    fn too_good_an_order_is_shown_but_not_used() {
        let sizes = [8.0, 4.0, 2.0, 1.0];
        let series = of([1.0 + 4096e-5, 1.0 + 64e-5, 1.0 + 1e-5, 1.0], sizes);
        let (Order::Settled { order, .. } | Order::Unsettled { order, .. }) = series.order else {
            panic!("{series:?}")
        };
        assert!(order > 5.0);
        // By the formal order 2: a third of the last change.
        assert!((series.extrapolated.unwrap() - (1.0 - 1e-5 / 3.0)).abs() < 1e-12);
    }
}
