//! A predicted band beside a published result, and the verdict.

use schemars::JsonSchema;
use serde::Serialize;

/// What the model predicts over the draws.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Band {
    /// Below it lie 5 % of the draws that gave a value.
    pub low: f64,
    /// Median.
    pub median: f64,
    /// Below it lie 95 % of the draws that gave a value.
    pub high: f64,
    /// With every input at its default; absent where the model gives none.
    pub at_defaults: Option<f64>,
    /// Draws that gave a value.
    pub draws: usize,
    /// Draws that gave none: not held, or a geometry that no socket has.
    pub without: usize,
}

/// What was published.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Published {
    /// Mean, or what follows from means.
    pub mean: f64,
    /// Range, where one was read.
    pub range: Option<[f64; 2]>,
    /// What the range is.
    pub range_is: String,
}

/// How the predicted band stands to what was published.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// The band lies within the published range.
    Inside,
    /// Band and range overlap; where no range was published, the band holds the mean.
    Overlaps,
    /// They have nothing in common.
    Outside,
}

/// One quantity predicted and published.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Comparison {
    /// Study.
    pub study: String,
    /// Quantity.
    pub quantity: String,
    /// Unit; empty for a pure number.
    pub unit: String,
    /// Predicted; absent where no draw gave a value.
    pub predicted: Option<Band>,
    /// Published; absent where the value was not in what was read.
    pub published: Option<Published>,
    /// The verdict, where there are both.
    pub verdict: Option<Verdict>,
}

impl Published {
    /// A mean with the range of the specimens.
    pub fn specimens(mean: f64, low: f64, high: f64) -> Option<Self> {
        Some(Self { mean, range: Some([low, high]), range_is: "range of the specimens".to_owned() })
    }

    /// A mean with its standard deviation.
    pub fn deviation(mean: f64, deviation: f64) -> Option<Self> {
        Some(Self {
            mean,
            range: Some([mean - deviation, mean + deviation]),
            range_is: "mean ± standard deviation".to_owned(),
        })
    }

    /// Arithmetic on published means, without a range.
    pub fn derived(mean: f64) -> Option<Self> {
        Some(Self { mean, range: None, range_is: "from the means, no range".to_owned() })
    }
}

impl Comparison {
    /// A comparison of what the draws gave (`None` where they gave nothing).
    pub fn new(
        study: &str,
        quantity: impl Into<String>,
        unit: &str,
        drawn: impl Iterator<Item = Option<f64>>,
        at_defaults: Option<f64>,
        published: Option<Published>,
    ) -> Self {
        let drawn: Vec<Option<f64>> = drawn.collect();
        let mut values: Vec<f64> = drawn.iter().flatten().copied().collect();
        values.sort_by(f64::total_cmp);
        let predicted = (!values.is_empty()).then(|| Band {
            low: quantile(&values, 0.05),
            median: quantile(&values, 0.5),
            high: quantile(&values, 0.95),
            at_defaults,
            draws: values.len(),
            without: drawn.len() - values.len(),
        });
        let verdict = predicted.as_ref().zip(published.as_ref());
        let verdict = verdict.map(|(band, published)| verdict_of(band, published));
        Self {
            study: study.to_owned(),
            quantity: quantity.into(),
            unit: unit.to_owned(),
            predicted,
            published,
            verdict,
        }
    }
}

fn verdict_of(band: &Band, published: &Published) -> Verdict {
    let [low, high] = published.range.unwrap_or([published.mean; 2]);
    if low <= band.low && band.high <= high {
        Verdict::Inside
    } else if band.low <= high && low <= band.high {
        Verdict::Overlaps
    } else {
        Verdict::Outside
    }
}

/// A quantile of sorted values, linear between them (Hyndman & Fan 1996, type 7; recalled).
fn quantile(sorted: &[f64], share: f64) -> f64 {
    let place = share * (sorted.len() - 1) as f64;
    let below = place.floor() as usize;
    let above = (below + 1).min(sorted.len() - 1);
    sorted[below] + (place - below as f64) * (sorted[above] - sorted[below])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_verdict_says_inside_overlaps_or_outside() {
        let drawn = || (0..=100).map(|k| Some(f64::from(k)));
        let verdict = |published| {
            let c = Comparison::new("s", "q", "N", drawn(), None, published);
            let band = c.predicted.unwrap();
            assert_eq!((band.low, band.median, band.high), (5.0, 50.0, 95.0));
            c.verdict
        };
        assert_eq!(verdict(Published::specimens(50.0, 0.0, 96.0)), Some(Verdict::Inside));
        assert_eq!(verdict(Published::specimens(50.0, 6.0, 90.0)), Some(Verdict::Overlaps));
        assert_eq!(verdict(Published::deviation(110.0, 10.0)), Some(Verdict::Outside));
        assert_eq!(verdict(Published::derived(60.0)), Some(Verdict::Overlaps));
        assert_eq!(verdict(Published::derived(96.0)), Some(Verdict::Outside));
        assert_eq!(verdict(None), None);
        let none = [None, None].into_iter();
        let none = Comparison::new("s", "q", "N", none, None, Published::derived(1.0));
        assert_eq!((none.predicted, none.verdict), (None, None));
    }
}
