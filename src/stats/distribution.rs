//! Distributions of an input, each by its quantiles, so that every sampler can use it.

use super::normal;
use std::fmt;

/// The form of a distribution.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// Normal.
    Normal {
        /// Mean.
        mean: f64,
        /// Standard deviation, above zero.
        deviation: f64,
    },
    /// Lognormal: its logarithm is normal.
    Lognormal {
        /// Median, above zero.
        median: f64,
        /// Standard deviation of the natural logarithm, above zero.
        sigma: f64,
    },
    /// Uniform.
    Uniform {
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
    },
    /// Triangular.
    Triangular {
        /// Lower end.
        low: f64,
        /// Most probable value.
        mode: f64,
        /// Upper end.
        high: f64,
    },
    /// Some values with weights.
    Discrete {
        /// Values, ascending.
        values: Vec<f64>,
        /// Their weights, not negative, not all zero; any sum.
        weights: Vec<f64>,
    },
}

impl Shape {
    /// What is impossible about the numbers, if anything.
    pub fn fault(&self) -> Option<String> {
        let finite = |values: &[f64]| values.iter().all(|v| v.is_finite());
        match self {
            Self::Normal { mean, deviation } => (!finite(&[*mean, *deviation]) || *deviation <= 0.0)
                .then(|| format!("a normal distribution needs a standard deviation above zero, not {deviation}")),
            Self::Lognormal { median, sigma } => {
                if !finite(&[*median, *sigma]) || *median <= 0.0 {
                    Some(format!("a lognormal distribution needs a median above zero, not {median}"))
                } else {
                    (*sigma <= 0.0).then(|| "a lognormal distribution needs a spread above zero".to_owned())
                }
            }
            Self::Uniform { low, high } => (!finite(&[*low, *high]) || low >= high)
                .then(|| format!("a uniform distribution needs its low end below its high end, not {low} and {high}")),
            Self::Triangular { low, mode, high } => {
                (!finite(&[*low, *mode, *high]) || low >= high || mode < low || mode > high).then(|| {
                    format!(
                        "a triangular distribution needs low ≤ mode ≤ high and low < high, not {low}, {mode}, {high}"
                    )
                })
            }
            Self::Discrete { values, weights } => {
                if values.is_empty() || values.len() != weights.len() || !finite(values) {
                    Some("a discrete distribution needs values, each with a weight".to_owned())
                } else if weights.iter().any(|w| !w.is_finite() || *w < 0.0) || weights.iter().sum::<f64>() <= 0.0 {
                    Some("the weights of a discrete distribution must not be negative nor all zero".to_owned())
                } else {
                    None
                }
            }
        }
    }

    /// Probability of at most `x`.
    fn cdf(&self, x: f64) -> f64 {
        match self {
            Self::Normal { mean, deviation } => normal::cdf((x - mean) / deviation),
            Self::Lognormal { median, sigma } => {
                if x <= 0.0 {
                    0.0
                } else {
                    normal::cdf(libm::log(x / median) / sigma)
                }
            }
            Self::Uniform { low, high } => ((x - low) / (high - low)).clamp(0.0, 1.0),
            Self::Triangular { low, mode, high } => {
                if x <= *low {
                    0.0
                } else if x >= *high {
                    1.0
                } else if x <= *mode {
                    (x - low).powi(2) / ((high - low) * (mode - low))
                } else {
                    1.0 - (high - x).powi(2) / ((high - low) * (high - mode))
                }
            }
            Self::Discrete { values, weights } => {
                let total: f64 = weights.iter().sum();
                let below: f64 = values.iter().zip(weights).filter(|(v, _)| **v <= x).map(|(_, w)| w).sum();
                below / total
            }
        }
    }

    fn quantile(&self, p: f64) -> f64 {
        match self {
            Self::Normal { mean, deviation } => mean + deviation * normal::quantile(p),
            Self::Lognormal { median, sigma } => median * libm::exp(sigma * normal::quantile(p)),
            Self::Uniform { low, high } => low + p * (high - low),
            Self::Triangular { low, mode, high } => {
                let split = (mode - low) / (high - low);
                if p <= split {
                    low + (p * (high - low) * (mode - low)).sqrt()
                } else {
                    high - ((1.0 - p) * (high - low) * (high - mode)).sqrt()
                }
            }
            Self::Discrete { values, weights } => {
                let total: f64 = weights.iter().sum();
                let mut sum = 0.0;
                for (value, weight) in values.iter().zip(weights) {
                    sum += weight / total;
                    if p < sum {
                        return *value;
                    }
                }
                // Rounding of the sum: the last value that has a weight.
                let last = weights.iter().rposition(|w| *w > 0.0).unwrap_or(0);
                values[last]
            }
        }
    }
}

impl fmt::Display for Shape {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Normal { mean, deviation } => write!(f, "normal, mean {mean}, sd {deviation}"),
            Self::Lognormal { median, sigma } => {
                let cv = libm::expm1(sigma * sigma).sqrt();
                write!(f, "lognormal, median {median}, CV {cv:.3}")
            }
            Self::Uniform { low, high } => write!(f, "uniform {low} to {high}"),
            Self::Triangular { low, mode, high } => {
                write!(f, "triangular {low}, {mode}, {high}")
            }
            Self::Discrete { values, weights } => {
                let total: f64 = weights.iter().sum();
                let list: Vec<String> =
                    values.iter().zip(weights).map(|(v, w)| format!("{v} ({:.0} %)", 100.0 * w / total)).collect();
                write!(f, "discrete {}", list.join(", "))
            }
        }
    }
}

/// A distribution between two bounds (infinite when not truncated): what lies outside is cut away
/// and the rest keeps its proportions.
#[derive(Debug, Clone, PartialEq)]
pub struct Distribution {
    shape: Shape,
    bounds: [f64; 2],
    from: f64,
    to: f64,
}

impl Distribution {
    /// A shape between bounds. Whether the shape is possible is asked before, by [`Shape::fault`].
    pub fn new(shape: Shape, bounds: [f64; 2]) -> Self {
        let [low, high] = bounds;
        let (from, to) = match &shape {
            // The weight at the lower bound itself stays.
            Shape::Discrete { values, weights } => {
                let total: f64 = weights.iter().sum();
                let below = |keep: &dyn Fn(f64) -> bool| -> f64 {
                    let pairs = values.iter().zip(weights);
                    pairs.filter(|(v, _)| keep(**v)).map(|(_, w)| w).sum()
                };
                (below(&|v| v < low) / total, below(&|v| v <= high) / total)
            }
            _ => (
                if low == f64::NEG_INFINITY { 0.0 } else { shape.cdf(low) },
                if high == f64::INFINITY { 1.0 } else { shape.cdf(high) },
            ),
        };
        Self { shape, bounds, from, to }
    }

    /// The same, cut further.
    #[must_use]
    pub fn within(&self, bounds: [f64; 2]) -> Self {
        let both = [self.bounds[0].max(bounds[0]), self.bounds[1].min(bounds[1])];
        Self::new(self.shape.clone(), both)
    }

    /// Its shape before it was cut.
    pub fn shape(&self) -> &Shape {
        &self.shape
    }

    /// Share of the shape that the bounds cut away, 0 to 1; 1 when nothing is left.
    pub fn cut(&self) -> f64 {
        1.0 - (self.to - self.from).max(0.0)
    }

    /// The value below which a share `u` of the distribution lies, `0 < u < 1`.
    pub fn quantile(&self, u: f64) -> f64 {
        let p = self.from + u * (self.to - self.from);
        let [low, high] = self.bounds;
        // A bound may be met exactly, and rounding must not step over it.
        self.shape.quantile(p).max(low).min(high)
    }

    /// Mean and variance, by the midpoint rule over `points` quantiles.
    pub fn moments(&self, points: usize) -> (f64, f64) {
        let at = |k: usize| self.quantile((k as f64 + 0.5) / points as f64);
        let mean = (0..points).map(at).sum::<f64>() / points as f64;
        let variance = (0..points).map(|k| (at(k) - mean).powi(2)).sum::<f64>() / points as f64;
        (mean, variance)
    }
}

impl fmt::Display for Distribution {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.shape)?;
        // Only a bound that cuts something is worth a word.
        if self.from > 0.0 {
            write!(f, ", from {}", self.bounds[0])?;
        }
        if self.to < 1.0 {
            write!(f, ", up to {}", self.bounds[1])?;
        }
        Ok(())
    }
}
