//! Rank correlations.

use nalgebra::DMatrix;

/// Ranks from 1, ties sharing their mean rank.
pub fn ranks(values: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]).then(a.cmp(b)));
    let mut ranks = vec![0.0; values.len()];
    let mut start = 0;
    while start < order.len() {
        let mut end = start + 1;
        while end < order.len() && values[order[end]] == values[order[start]] {
            end += 1;
        }
        let rank = 0.5 * (start + end + 1) as f64;
        for &k in &order[start..end] {
            ranks[k] = rank;
        }
        start = end;
    }
    ranks
}

/// Centred and scaled to length 1; `None` when all values are the same.
fn normed(mut values: Vec<f64>) -> Option<Vec<f64>> {
    let mean = super::mean(&values);
    values.iter_mut().for_each(|v| *v -= mean);
    let length = values.iter().map(|v| v * v).sum::<f64>().sqrt();
    (length > 0.0).then(|| {
        values.iter_mut().for_each(|v| *v /= length);
        values
    })
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// Spearman's rank correlation; zero when either does not vary.
pub fn spearman(a: &[f64], b: &[f64]) -> f64 {
    match (normed(ranks(a)), normed(ranks(b))) {
        (Some(a), Some(b)) => dot(&a, &b),
        _ => 0.0,
    }
}

/// Partial rank correlation of each input with an answer, the other inputs being held (linearly, in
/// ranks): `−P_iy / √(P_ii P_yy)` with P the inverse of the matrix of rank correlations (Iman and
/// Conover 1979; Saltelli et al. 2000). An input that does not vary, and all of them where the
/// matrix has no inverse, have none.
pub fn partial_rank_correlation(inputs: &[Vec<f64>], answer: &[f64]) -> Vec<Option<f64>> {
    let mut result = vec![None; inputs.len()];
    let Some(y) = normed(ranks(answer)) else {
        return result;
    };
    let (which, mut columns): (Vec<usize>, Vec<Vec<f64>>) =
        inputs.iter().enumerate().filter_map(|(k, x)| Some((k, normed(ranks(x))?))).unzip();
    let n = columns.len();
    if answer.len() < n + 4 {
        return result;
    }
    columns.push(y);
    let matrix = DMatrix::from_fn(n + 1, n + 1, |i, j| dot(&columns[i], &columns[j]));
    // An answer that is a sum of inputs alone leaves nothing over: the matrix is then singular up to
    // rounding and the coefficients are ±1 up to that, which is as it should be.
    let Some(inverse) = matrix.try_inverse() else {
        return result;
    };
    for (i, &k) in which.iter().enumerate() {
        let coefficient = -inverse[(i, n)] / (inverse[(i, i)] * inverse[(n, n)]).sqrt();
        result[k] = coefficient.is_finite().then_some(coefficient.clamp(-1.0, 1.0));
    }
    result
}
