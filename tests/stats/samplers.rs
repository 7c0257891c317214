//! Samplers: stratification, independence of thread and order, rank correlation.

use rimhold::stats::{Copula, Draws, Method, normal, pearson_of_rank, spearman};

fn column(draws: &Draws, n: u64, inputs: usize, which: usize) -> Vec<f64> {
    (0..n)
        .map(|k| {
            let mut point = vec![0.0; inputs];
            draws.point(k, &mut point);
            point[which]
        })
        .collect()
}

/// A Latin hypercube has exactly one sample in each stratum (McKay, Beckman and Conover 1979), in
/// every replicate and for every input, whatever the number.
#[test]
fn a_latin_hypercube_has_one_sample_in_each_stratum() {
    for n in [1u64, 2, 3, 7, 16, 100, 257, 1000, 4099] {
        let draws = Draws::new(Method::LatinHypercube, 11, n, 5);
        let r = draws.replicates();
        for input in 0..5 {
            let all = column(&draws, n, 5, input);
            for replicate in 0..r {
                let own: Vec<f64> =
                    (0..n).filter(|k| draws.replicate(*k) == replicate).map(|k| all[k as usize]).collect();
                let mut hit = vec![0; own.len()];
                for u in &own {
                    assert!(*u > 0.0 && *u < 1.0);
                    hit[(u * own.len() as f64) as usize] += 1;
                }
                assert!(hit.iter().all(|h| *h == 1), "n {n}, input {input}, replicate {replicate}");
            }
        }
    }
}

/// The first 2^k points of a scrambled Sobol' sequence hit each of 2^k equal intervals once, in every
/// input: the (0, k, 1)-net property of its one-dimensional projections (Sobol' 1967; Owen 1995).
#[test]
fn a_sobol_sequence_is_a_net_in_each_input() {
    let n = 16 * 256;
    let draws = Draws::new(Method::Sobol, 5, n, 20);
    for input in 0..20 {
        let all = column(&draws, n, 20, input);
        for replicate in 0..16 {
            let mut hit = vec![0; 256];
            for k in (0..n).filter(|k| draws.replicate(*k) == replicate) {
                hit[(all[k as usize] * 256.0) as usize] += 1;
            }
            assert!(hit.iter().all(|h| *h == 1), "input {input}, replicate {replicate}");
        }
    }
}

/// Uniform moments 1/2 and 1/12, and inputs that do not go together: the bounds are four standard
/// errors of independent draws (1/√(12 n) for the mean, 1/√n for a correlation).
#[test]
fn draws_are_uniform_and_independent_in_pairs() {
    let n = 20_000;
    for method in [Method::LatinHypercube, Method::Sobol, Method::Random] {
        let draws = Draws::new(method, 3, n, 6);
        let columns: Vec<Vec<f64>> = (0..6).map(|k| column(&draws, n, 6, k)).collect();
        for (i, x) in columns.iter().enumerate() {
            let mean = x.iter().sum::<f64>() / n as f64;
            assert!((mean - 0.5).abs() < 4.0 / (12.0 * n as f64).sqrt(), "{method:?} {i}: {mean}");
            let variance = x.iter().map(|u| (u - 0.5).powi(2)).sum::<f64>() / n as f64;
            assert!((variance * 12.0 - 1.0).abs() < 0.03, "{method:?} {i}: {variance}");
            for y in &columns[..i] {
                let r = spearman(x, y);
                assert!(r.abs() < 4.0 / (n as f64).sqrt(), "{method:?} {i}: {r}");
            }
        }
    }
}

#[test]
fn a_sample_depends_on_its_number_and_the_seed_alone() {
    for method in [Method::LatinHypercube, Method::Sobol, Method::Random] {
        let draws = Draws::new(method, 7, 1000, 4);
        let (mut a, mut b, mut c) = ([0.0; 4], [0.0; 4], [0.0; 4]);
        draws.point(713, &mut a);
        draws.point(12, &mut b);
        draws.point(713, &mut b);
        assert_eq!(a, b);
        Draws::new(method, 8, 1000, 4).point(713, &mut c);
        assert!(a.iter().zip(&c).all(|(x, y)| x != y), "{method:?}");
    }
}

/// Rank correlation asked for is reached, within four standard errors of Spearman's coefficient
/// (about (1 − ρ²)/√n), and each input stays uniform. The conversion is checked against its inverse,
/// `ρ_s = 6/π asin(ρ/2)` (Pearson 1907).
#[test]
fn rank_correlations_are_reached() {
    let n = 20_000u64;
    let draws = Draws::new(Method::LatinHypercube, 1, n, 4);
    let pairs = [(0, 2, 0.7), (2, 3, -0.4), (0, 3, -0.1)];
    let copula = Copula::new(&pairs).unwrap().unwrap();
    assert_eq!(copula.members(), [0, 2, 3]);
    let points: Vec<Vec<f64>> = (0..n)
        .map(|k| {
            let mut point = vec![0.0; 4];
            draws.point(k, &mut point);
            copula.apply(&mut point);
            point
        })
        .collect();
    let take = |j: usize| points.iter().map(|p| p[j]).collect::<Vec<f64>>();
    for (i, j, asked) in pairs {
        let reached = spearman(&take(i), &take(j));
        let error = (1.0 - asked * asked) / (n as f64).sqrt();
        println!("rank correlation {asked}: reached {reached:.4}");
        assert!((reached - asked).abs() < 4.0 * error, "{asked}: {reached}");
    }
    for j in [2, 3] {
        let mean = take(j).iter().sum::<f64>() / n as f64;
        assert!((mean - 0.5).abs() < 4.0 / (12.0 * n as f64).sqrt());
    }
    for rho in [-0.9f64, -0.3, 0.0, 0.5, 0.99] {
        let back = 6.0 / std::f64::consts::PI * (0.5 * pearson_of_rank(rho)).asin();
        assert!((back - rho).abs() < 1e-15);
    }
}

#[test]
fn contradicting_correlations_are_refused() {
    let e = Copula::new(&[(0, 1, 0.9), (1, 2, 0.9), (0, 2, -0.9)]).unwrap_err();
    assert!(e.smallest < 0.0, "{e}");
    assert!(Copula::new(&[(0, 1, 1.0)]).is_err());
    assert!(Copula::new(&[]).unwrap().is_none());
    assert_eq!(normal::cdf(0.0), 0.5);
}
