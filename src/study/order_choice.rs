//! Which orders of a construct's ties are run: its own, all of them, or a stated sample.
//!
//! An order is a permutation of the construct's ties, by their indices in its own order.

use super::result::Sampled;
use crate::model::Construct;
use crate::stats::SplitMix64;

/// Most ties of which all orders are run: 720 orders.
pub const MOST_WHOLE: usize = 6;
/// Orders of a sample.
pub const SAMPLE: usize = 120;
/// Seed of a sample.
pub const SEED: u64 = 1;

/// Orders to be run, the construct's own first where it is among them, none twice.
#[derive(Debug, Clone, PartialEq)]
pub struct Chosen {
    /// The orders.
    pub orders: Vec<Vec<usize>>,
    /// How they were sampled; absent when none was left out or they were chosen by hand.
    pub sampled: Option<Sampled>,
}

impl Chosen {
    /// The construct's own order alone.
    pub fn own(construct: &Construct) -> Self {
        Self::these(vec![(0..construct.ties.len()).collect()])
    }

    /// Orders chosen by hand.
    pub fn these(orders: Vec<Vec<usize>>) -> Self {
        Self { orders, sampled: None }
    }

    /// Every order of up to [`MOST_WHOLE`] ties, in lexicographic order; of more a seeded sample of
    /// [`SAMPLE`] different orders, which always holds the construct's own, its reverse and
    /// bridge-first.
    pub fn all(construct: &Construct, seed: u64) -> Self {
        let n = construct.ties.len();
        let own: Vec<usize> = (0..n).collect();
        if n <= MOST_WHOLE {
            let mut orders = vec![own];
            while let Some(next) = next_permutation(&orders[orders.len() - 1]) {
                orders.push(next);
            }
            return Self::these(orders);
        }
        let reverse: Vec<usize> = own.iter().rev().copied().collect();
        let mut orders: Vec<Vec<usize>> = Vec::with_capacity(SAMPLE);
        let mut random = SplitMix64(seed);
        let mut wanted = vec![own.clone(), reverse, bridge_first(construct)].into_iter();
        // Seven ties have 5040 orders: a sample of different ones is always found.
        while orders.len() < SAMPLE {
            let order = wanted.next().unwrap_or_else(|| {
                let mut order = own.clone();
                random.shuffle(&mut order);
                order
            });
            if !orders.contains(&order) {
                orders.push(order);
            }
        }
        Self { orders, sampled: Some(Sampled { seed, of: (2..=n as u64).fold(1, u64::saturating_mul) }) }
    }
}

/// The construct's own order with every tie of a bridge limb drawn to the front.
pub fn bridge_first(construct: &Construct) -> Vec<usize> {
    let is_bridge = |t: &usize| {
        let limbs = &construct.ties[*t].limbs;
        limbs.iter().any(|k| construct.limbs[*k].group == "bridge")
    };
    let (mut order, others): (Vec<usize>, Vec<usize>) = (0..construct.ties.len()).partition(is_bridge);
    order.extend(others);
    order
}

/// The next permutation in lexicographic order (Knuth, The Art of Computer Programming, section
/// 7.2.1.2, algorithm L); `None` after the last.
fn next_permutation(order: &[usize]) -> Option<Vec<usize>> {
    let mut next = order.to_vec();
    let i = (1..next.len()).rev().find(|i| next[i - 1] < next[*i])?;
    let j = (i..next.len()).rev().find(|j| next[*j] > next[i - 1])?;
    next.swap(i - 1, j);
    next[i..].reverse();
    Some(next)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn permutations_are_all_and_in_order() {
        let mut orders = vec![vec![0, 1, 2, 3]];
        while let Some(next) = next_permutation(&orders[orders.len() - 1]) {
            orders.push(next);
        }
        assert_eq!(orders.len(), 24);
        assert!(orders.windows(2).all(|pair| pair[0] < pair[1]));
        assert_eq!(orders[23], [3, 2, 1, 0]);
    }
}
