//! How material runs over the turns of a strand: the pieces of the capstan return map.

use super::capstan::MOST_SEGMENTS;

/// Tension T of a chain whose segments (length, factor ρ) carry ρT and together hold `material`:
/// `Σ ℓ / (1 + ρ T/EA) = material`, which must be less than Σℓ. The left side falls and is convex
/// in T, so Newton's method from zero climbs to the root without passing it. What a step leaves
/// undone is at most (step/T)² times the strain: after one below 1e-8 T nothing of it can be told from
/// rounding.
pub(crate) fn chain_tension(rigidity: f64, material: f64, segments: impl Iterator<Item = (f64, f64)> + Clone) -> f64 {
    let mut tension = 0.0;
    for _ in 0..60 {
        let (mut value, mut slope) = (-material, 0.0);
        for (length, factor) in segments.clone() {
            let stretch = 1.0 + factor * tension / rigidity;
            value += length / stretch;
            slope -= length * factor / (rigidity * stretch * stretch);
        }
        let step = -value / slope;
        tension += step;
        if step.abs() <= 1e-8 * tension {
            break;
        }
    }
    // On the verge of slack the rounding of lengths must not make a strand push.
    tension.max(0.0)
}

/// One sweep over the turns: each in turn lets just so much material cross as its bound asks, the
/// others held. This is coordinate descent on the dual of the convex program, so it always converges;
/// it serves to find which turns slip.
pub(crate) fn sweep(strand: &Material<'_>, turns: usize, crossed: &mut [f64; MOST_SEGMENTS], fed: &mut f64) {
    let &Material { rigidity, lengths, bounds, held, grip } = strand;
    let n = lengths.len();
    for j in 0..turns {
        if bounds[j].is_infinite() {
            continue;
        }
        let (a, b) = (j, (j + 1) % n);
        let arriving = |turn: usize| if turn < turns { crossed[turn] } else { 0.0 };
        let own = |segment: usize| held[segment] + if segment == n - 1 { *fed } else { 0.0 };
        let own_a = own(a) + arriving((a + n - 1) % n);
        let own_b = own(b) - arriving(b);
        let tension = |length: f64, rest: f64| (rigidity * (length - rest) / rest).max(0.0);
        let (ta, tb) = (tension(lengths[a], own_a), tension(lengths[b], own_b));
        let bound = libm::exp(bounds[j]);
        let forward = tb > ta * bound;
        crossed[j] = if forward || ta > tb * bound {
            let ratio = if forward { bound } else { 1.0 / bound };
            let material = own_a + own_b;
            let span = lengths[a] + lengths[b];
            let rest_a = if material >= span {
                material * lengths[a] / span
            } else {
                let pair = [(lengths[a], 1.0), (lengths[b], ratio)];
                lengths[a] / (1.0 + chain_tension(rigidity, material, pair.into_iter()) / rigidity)
            };
            // Hardly past its bound a turn lets less cross than rounding leaves of it: which way is
            // told by the bound, or the turn would be taken to slip the wrong way.
            if forward { (own_a - rest_a).max(f64::MIN_POSITIVE) } else { (own_a - rest_a).min(-f64::MIN_POSITIVE) }
        } else {
            0.0
        };
    }
    // At the knot or clamp just so much slides in as its grip asks.
    if grip.is_finite() {
        let last = n - 1;
        let leaving = if last < turns { crossed[last] } else { 0.0 };
        let arrived = if last > 0 {
            crossed[last - 1]
        } else if last < turns {
            crossed[last]
        } else {
            0.0
        };
        *fed = (lengths[last] / (1.0 + grip / rigidity) - (held[last] + arrived - leaving)).max(0.0);
    }
}

/// A strand whose material is shared among its segments.
#[derive(Clone, Copy)]
pub(crate) struct Material<'a> {
    /// Axial rigidity EA, N.
    pub rigidity: f64,
    /// Segment lengths, mm.
    pub lengths: &'a [f64],
    /// Capstan bounds of the turns.
    pub bounds: &'a [f64],
    /// Rest material of each segment, mm.
    pub held: &'a [f64],
    /// Tension at which it slides through its knot or clamp, N.
    pub grip: f64,
}

/// Material that runs right round a closed strand changes no tension; this takes off as much as the
/// bounds ask, minimising `Σ b_j |y_j + c|` over c: the weighted median.
pub(crate) fn circulate(bounds: &[f64], crossed: &mut [f64; MOST_SEGMENTS]) {
    let n = bounds.len();
    if bounds.iter().any(|b| b.is_infinite()) {
        return;
    }
    let mut order = [0; MOST_SEGMENTS];
    for (k, slot) in order[..n].iter_mut().enumerate() {
        *slot = k;
    }
    order[..n].sort_unstable_by(|&a, &b| crossed[a].total_cmp(&crossed[b]));
    let half = 0.5 * bounds.iter().sum::<f64>();
    let mut sum = 0.0;
    for &k in &order[..n] {
        sum += bounds[k];
        if sum >= half {
            let middle = crossed[k];
            crossed[..n].iter_mut().for_each(|y| *y -= middle);
            return;
        }
    }
}
