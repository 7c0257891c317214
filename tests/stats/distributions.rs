//! Against statrs, an independent statistics library, and the closed moments of handbooks.

use rimhold::stats::{Distribution, Shape, normal};
use statrs::distribution::{Continuous, ContinuousCDF, LogNormal, Normal, Triangular, Uniform};

const FREE: [f64; 2] = [f64::NEG_INFINITY, f64::INFINITY];

/// The normal distribution function against statrs, whose own erfc is good to some 1e-15, and the
/// quantile against its inverse: 1e-9 is statrs' bound for its inverse, which it polishes; ours is
/// also held to the round trip through the distribution function.
#[test]
fn the_normal_quantile_inverts_the_distribution_function() {
    let reference = Normal::new(0.0, 1.0).unwrap();
    for k in -70..=70 {
        let x = 0.1 * f64::from(k);
        let (ours, theirs) = (normal::cdf(x), reference.cdf(x));
        assert!((ours / theirs - 1.0).abs() < 1e-10, "cdf at {x}: {ours:e} {theirs:e}");
        if x <= 0.0 {
            // In the lower half p has full precision, so the way back is as good as the formula.
            assert!((normal::quantile(ours) - x).abs() < 4e-15 * x.abs().max(1.0), "round trip at {x}");
        }
    }
    for p in [1e-300, 1e-100, 1e-20, 1e-6, 0.02425, 0.3, 0.5, 0.9, 0.999] {
        let (ours, theirs) = (normal::quantile(p), reference.inverse_cdf(p));
        assert!((ours - theirs).abs() < 1e-9 * ours.abs().max(1.0), "{p}: {ours} {theirs}");
    }
    assert_eq!(normal::quantile(0.0), f64::NEG_INFINITY);
    assert_eq!(normal::quantile(1.0), f64::INFINITY);
}

#[test]
fn quantiles_are_those_of_an_independent_library() {
    let lognormal = Shape::Lognormal { median: 25.0, sigma: 0.35 };
    let triangular = Shape::Triangular { low: 0.3, mode: 0.5, high: 0.9 };
    let uniform = Shape::Uniform { low: 2.0, high: 30.0 };
    let normal = Shape::Normal { mean: 6.5, deviation: 0.5 };
    type Reference = (Shape, Box<dyn Fn(f64) -> f64>);
    let references: [Reference; 4] = [
        (lognormal, Box::new(|x| LogNormal::new(25f64.ln(), 0.35).unwrap().cdf(x))),
        (triangular, Box::new(|x| Triangular::new(0.3, 0.9, 0.5).unwrap().cdf(x))),
        (uniform, Box::new(|x| Uniform::new(2.0, 30.0).unwrap().cdf(x))),
        (normal, Box::new(|x| Normal::new(6.5, 0.5).unwrap().cdf(x))),
    ];
    for (shape, cdf) in references {
        assert_eq!(shape.fault(), None);
        let ours = Distribution::new(shape.clone(), FREE);
        assert_eq!(ours.cut(), 0.0);
        for k in 1..200 {
            let u = f64::from(k) / 200.0;
            assert!((cdf(ours.quantile(u)) - u).abs() < 1e-10, "{shape} at {u}");
        }
    }
}

/// Mean of a truncated normal: `μ + σ (φ(a) − φ(b)) / (Φ(b) − Φ(a))`, with variance in the same
/// handbook (Johnson, Kotz and Balakrishnan, Continuous Univariate Distributions, vol 1, 13.10; from
/// memory), φ and Φ from statrs. Midpoint rule in 20,000 points: error of a few 1e-6 at the ends.
#[test]
fn a_truncated_normal_has_its_handbook_moments_and_says_what_was_cut() {
    let (mu, sigma, low, high) = (0.0, 0.5, -0.4, 1.0);
    let n = Normal::new(0.0, 1.0).unwrap();
    let (a, b) = ((low - mu) / sigma, (high - mu) / sigma);
    let mass = n.cdf(b) - n.cdf(a);
    let shift = (n.pdf(a) - n.pdf(b)) / mass;
    let mean = mu + sigma * shift;
    let variance = sigma * sigma * (1.0 + (a * n.pdf(a) - b * n.pdf(b)) / mass - shift * shift);
    let ours = Distribution::new(Shape::Normal { mean: mu, deviation: sigma }, [low, high]);
    let (m, v) = ours.moments(20_000);
    assert!((m - mean).abs() < 1e-6 && (v - variance).abs() < 1e-6, "{m} {mean} {v} {variance}");
    // As good as statrs' own distribution function, held to 1e-10 above.
    assert!((ours.cut() - (1.0 - mass)).abs() < 1e-10);
    assert!(ours.quantile(1e-15) >= low && ours.quantile(1.0 - 1e-16) <= high);
}

/// Mean (a + b + c)/3 and variance (a² + b² + c² − ab − ac − bc)/18 of the triangular, exp(σ²/2) of
/// the lognormal: handbook forms.
#[test]
fn moments_are_those_of_the_handbook() {
    let (a, c, b) = (2.0, 10.0, 30.0);
    let d = Distribution::new(Shape::Triangular { low: a, mode: c, high: b }, FREE);
    let (m, v) = d.moments(100_000);
    assert!((m - (a + b + c) / 3.0).abs() < 1e-6);
    let exact = (a * a + b * b + c * c - a * b - a * c - b * c) / 18.0;
    assert!((v / exact - 1.0).abs() < 1e-6);
    let d = Distribution::new(Shape::Lognormal { median: 1.0, sigma: 0.35 }, FREE);
    // The far tail is left out by the rule: some 1e-5.
    assert!((d.moments(100_000).0 / (0.5f64 * 0.35 * 0.35).exp() - 1.0).abs() < 1e-5);
}

#[test]
fn a_discrete_distribution_gives_each_value_its_weight() {
    let shape = Shape::Discrete { values: vec![0.0, 1.0, 2.0], weights: vec![1.0, 0.0, 3.0] };
    let d = Distribution::new(shape.clone(), FREE);
    let zeros = (0..1000).filter(|k| d.quantile((f64::from(*k) + 0.5) / 1000.0) == 0.0).count();
    assert_eq!(zeros, 250);
    assert!((0..1000).all(|k| d.quantile((f64::from(k) + 0.5) / 1000.0) != 1.0));
    let upper = Distribution::new(shape, [1.0, 5.0]);
    assert_eq!(upper.cut(), 0.25);
    assert_eq!(upper.quantile(1e-9), 2.0);
}

#[test]
fn impossible_numbers_are_refused() {
    let faults = [
        Shape::Normal { mean: 1.0, deviation: 0.0 },
        Shape::Normal { mean: f64::NAN, deviation: 1.0 },
        Shape::Lognormal { median: 0.0, sigma: 1.0 },
        Shape::Lognormal { median: 1.0, sigma: -1.0 },
        Shape::Uniform { low: 2.0, high: 2.0 },
        Shape::Triangular { low: 0.0, mode: 3.0, high: 2.0 },
        Shape::Discrete { values: vec![], weights: vec![] },
        Shape::Discrete { values: vec![1.0], weights: vec![0.0] },
        Shape::Discrete { values: vec![1.0, 2.0], weights: vec![1.0, -1.0] },
    ];
    for shape in faults {
        assert!(shape.fault().is_some(), "{shape:?}");
    }
}
