//! Quantiles, standard errors, superiority and partial rank correlation.

use rimhold::stats::{
    Distribution, Draws, Method, Shape, exact_bound, mean, normal, partial_rank_correlation, quantile, ranks,
    replicated, variance, win,
};
use statrs::statistics::{Data, OrderStatistics, RankTieBreaker};

fn sorted(mut values: Vec<f64>) -> Vec<f64> {
    values.sort_by(f64::total_cmp);
    values
}

fn drawn(method: Method, seed: u64, n: u64, inputs: usize) -> Vec<Vec<f64>> {
    let draws = Draws::new(method, seed, n, inputs);
    let mut columns = vec![Vec::with_capacity(n as usize); inputs];
    let mut point = vec![0.0; inputs];
    for k in 0..n {
        draws.point(k, &mut point);
        for (column, u) in columns.iter_mut().zip(&point) {
            column.push(*u);
        }
    }
    columns
}

/// At (n − 1) p a whole number the quantile is that order statistic of a plain sort; between two it
/// is on the line (R's default, type 7: 1..10 at 0.25 gives 3.25).
#[test]
fn quantiles_are_those_of_a_plain_sort() {
    let values = sorted(drawn(Method::Random, 4, 101, 1).remove(0));
    for k in 0..=100 {
        assert!((quantile(&values, 0.01 * k as f64) - values[k]).abs() < 1e-15);
    }
    let ten: Vec<f64> = (1..=10).map(f64::from).collect();
    assert_eq!(quantile(&ten, 0.25), 3.25);
    assert_eq!(quantile(&ten, 0.5), 5.5);
    assert!(quantile(&[], 0.5).is_nan());
    assert_eq!(quantile(&[3.0], 0.95), 3.0);
    // At an order statistic the next one has weight 0, also when it is infinite; between them it counts.
    let lost = [1.0, 2.0, f64::INFINITY];
    assert_eq!(quantile(&lost, 0.5), 2.0);
    assert_eq!(quantile(&lost, 0.75), f64::INFINITY);
}

#[test]
fn ranks_are_those_of_an_independent_library() {
    let values: Vec<f64> = (0..200).map(|k| f64::from((k * 37) % 23)).collect();
    let mut data = Data::new(values.clone());
    let theirs = data.ranks(RankTieBreaker::Average);
    assert_eq!(ranks(&values), theirs);
}

/// P(X < Y) of two independent normals is Φ((μ_y − μ_x)/√(σ_x² + σ_y²)), exact.
#[test]
fn superiority_is_the_exact_one_of_two_normals() {
    let n = 40_000;
    let u = drawn(Method::Random, 9, n, 2);
    let x = Distribution::new(Shape::Normal { mean: 1.0, deviation: 2.0 }, [f64::NEG_INFINITY, f64::INFINITY]);
    let y = Distribution::new(Shape::Normal { mean: 2.0, deviation: 1.0 }, [f64::NEG_INFINITY, f64::INFINITY]);
    let wins: Vec<f64> =
        (0..n as usize).filter_map(|k| win(Some(x.quantile(u[0][k])), Some(y.quantile(u[1][k])))).collect();
    assert_eq!(wins.len(), n as usize);
    let exact = normal::cdf(1.0 / 5f64.sqrt());
    let p = mean(&wins);
    let error = (exact * (1.0 - exact) / n as f64).sqrt();
    assert!((p - exact).abs() < 4.0 * error, "{p} {exact}");
}

/// Equal ones count half (Vargha and Delaney 2000, from memory); what is not held has less than
/// anything that is, be it negative; two that are not held, and what is no number, say nothing.
#[test]
fn a_pair_is_won_by_more_or_by_being_held_and_halved_by_equals() {
    let wins = [(1.0, 2.0), (2.0, 1.0), (1.0, 1.0), (0.0, -0.0)];
    assert_eq!(wins.map(|(a, b)| win(Some(a), Some(b)).unwrap()), [1.0, 0.0, 0.5, 0.5]);
    assert_eq!(win(None, Some(-3.0)), Some(1.0));
    assert_eq!(win(Some(-3.0), None), Some(0.0));
    assert_eq!(win(None, None), None);
    assert_eq!(win(Some(f64::NAN), Some(1.0)), None);
}

/// The standard error of a mean of independent draws is σ/√n, and that of a median of a normal
/// √(π/2) σ/√n for large n. Estimated from 16 replicates each is known to 18 %; the mean of 40 of
/// them to 3 %, and 12 % is four of those.
#[test]
fn standard_errors_are_those_of_theory() {
    let n = 1600;
    let mut found = (0.0, 0.0);
    for seed in 0..40 {
        let draws = Draws::new(Method::Random, seed, n, 1);
        let mut groups = vec![Vec::new(); draws.replicates() as usize];
        for k in 0..n {
            let mut u = [0.0];
            draws.point(k, &mut u);
            groups[draws.replicate(k) as usize].push(normal::quantile(u[0]));
        }
        found.0 += replicated(&groups, |v| mean(v)).error.unwrap() / 40.0;
        found.1 += replicated(&groups, |v| {
            v.sort_by(f64::total_cmp);
            quantile(v, 0.5)
        })
        .error
        .unwrap()
            / 40.0;
    }
    let exact = 1.0 / (n as f64).sqrt();
    println!(
        "standard error over theory: mean {:.3}, median {:.3}",
        found.0 / exact,
        found.1 / exact / (std::f64::consts::FRAC_PI_2).sqrt()
    );
    assert!((found.0 / exact - 1.0).abs() < 0.12);
    assert!((found.1 / exact / (std::f64::consts::FRAC_PI_2).sqrt() - 1.0).abs() < 0.12);
}

/// Real errors fall as 1/√n for independent draws (slope −1/2 on logarithms) and faster for a Latin
/// hypercube on a sum of inputs (McKay et al. 1979; Stein 1987). Errors are root mean squares over 200
/// seeds, known to 5 % each; the slope over a factor of 64 in n is then known to 0.02.
#[test]
fn errors_shrink_with_the_square_root_of_the_number() {
    let error = |method, n: u64| {
        let squares: f64 = (0..200)
            .map(|seed| {
                let u = drawn(method, seed, n, 3);
                let answer: Vec<f64> = (0..n as usize).map(|k| u[0][k] + 2.0 * u[1][k].powi(2) - u[2][k]).collect();
                (mean(&answer) - (0.5 + 2.0 / 3.0 - 0.5)).powi(2)
            })
            .sum();
        (squares / 200.0f64).sqrt()
    };
    let slope = |method| (error(method, 4096) / error(method, 64)).ln() / 64f64.ln();
    let (random, latin, sobol) = (slope(Method::Random), slope(Method::LatinHypercube), slope(Method::Sobol));
    println!("slope of the error: random {random:.3}, Latin {latin:.3}, Sobol' {sobol:.3}");
    assert!((random + 0.5).abs() < 0.06, "{random}");
    assert!(latin < -0.9 && sobol < -0.9, "{latin} {sobol}");
}

/// For y = Σ b x of independent normals, Spearman's coefficient with each is 6/π asin(ρ/2) with
/// ρ = b/√Σb² (Pearson 1907), and with independent inputs the partial coefficient is
/// r_i/√(1 − Σ_{j≠i} r_j²) (regression textbook). Within four standard errors of independent draws,
/// at most 1/√n each.
#[test]
fn partial_rank_correlations_are_those_of_a_linear_model() {
    let n = 20_000;
    let u = drawn(Method::Random, 2, n, 4);
    let z: Vec<Vec<f64>> = u.iter().map(|c| c.iter().map(|u| normal::quantile(*u)).collect()).collect();
    let y: Vec<f64> = (0..n as usize).map(|k| 2.0 * z[0][k] - z[1][k] + z[3][k]).collect();
    let inputs = [z[0].clone(), z[1].clone(), z[2].clone(), vec![1.0; n as usize]];
    let found = partial_rank_correlation(&inputs, &y);
    let r = [2.0, -1.0, 0.0].map(|b: f64| {
        let rho = b / 6f64.sqrt();
        6.0 / std::f64::consts::PI * (0.5 * rho).asin()
    });
    let squares = r.iter().map(|r| r * r).sum::<f64>();
    for (k, r) in r.into_iter().enumerate() {
        // The fourth summand of y is no input here, so it stays in the remainder.
        let exact = r / (1.0 - (squares - r * r)).sqrt();
        let found = found[k].unwrap();
        println!("partial rank correlation {found:.4}, exact {exact:.4}");
        assert!((found - exact).abs() < 4.0 / (n as f64).sqrt());
    }
    assert_eq!(found[3], None);
    // A monotone change of the answer changes no rank.
    let cubed: Vec<f64> = y.iter().map(|v| v.powi(3)).collect();
    assert_eq!(found, partial_rank_correlation(&inputs, &cubed));
}

/// Variance of a difference on common draws: var(f) + var(g) − 2 cov(f, g). With f = x + a and
/// g = x + b, all uniform, the ratio to separate draws is 1/2, exact.
#[test]
fn common_draws_reduce_the_variance_of_a_difference() {
    let u = drawn(Method::Random, 6, 40_000, 3);
    let f: Vec<f64> = u[0].iter().zip(&u[1]).map(|(x, a)| x + a).collect();
    let g: Vec<f64> = u[0].iter().zip(&u[2]).map(|(x, b)| x + b).collect();
    let d: Vec<f64> = f.iter().zip(&g).map(|(f, g)| g - f).collect();
    let ratio = variance(&d) / (variance(&f) + variance(&g));
    assert!((ratio - 0.5).abs() < 0.02, "{ratio}");
}

/// Clopper and Pearson's bounds are quantiles of beta distributions; those of crate `statrs`, which knows
/// nothing of this program, and the rule of three (Hanley and Lippman-Hand, JAMA 1983;249:1743, from
/// memory).
#[test]
fn a_share_of_none_or_all_has_the_exact_bound() {
    use statrs::distribution::{Beta, ContinuousCDF};
    for n in [1, 4, 16, 60, 128, 2000, 100_000] {
        let above = exact_bound(false, n);
        let below = exact_bound(true, n);
        let beta = Beta::new(1.0, n as f64).unwrap();
        assert!((beta.cdf(above) - 0.95).abs() < 1e-10, "{n}: {above}");
        let beta = Beta::new(n as f64, 1.0).unwrap();
        assert!((beta.cdf(below) - 0.05).abs() < 1e-10, "{n}: {below}");
        assert!((above + below - 1.0).abs() < 1e-15);
        assert!(above < 3.0 / n as f64);
    }
    assert!((exact_bound(false, 1) - 0.95).abs() < 1e-15);
}

/// What is said of standard errors: from so many replicates of normal numbers a deviation is known to
/// 1/√(2(r − 1)), 18, 27 and 41 % (to a twentieth of that: the formula is one for many replicates).
#[test]
fn standard_errors_are_known_as_well_as_is_said() {
    for (samples, replicates, told) in [(2000, 16, 0.18), (128, 8, 0.27), (40, 4, 0.41)] {
        assert_eq!(Draws::usual(samples), replicates);
        let r = replicates as usize;
        let draws = Draws::new(Method::Random, 11, 20_000, r);
        let errors: Vec<f64> = (0..20_000)
            .map(|k| {
                let mut point = vec![0.0; r];
                draws.point(k, &mut point);
                let values: Vec<f64> = point.iter().map(|u| normal::quantile(*u)).collect();
                variance(&values).sqrt()
            })
            .collect();
        let spread = variance(&errors).sqrt() / mean(&errors);
        assert!((spread / told - 1.0).abs() < 0.05, "{r}: {spread}");
    }
}
