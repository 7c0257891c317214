//! Where the samples stand in the unit cube.
//!
//! Samples are dealt to replicates in turn, each randomised on its own, so that the scatter between
//! replicates gives honest standard errors whatever the method (for a Latin hypercube or a Sobol'
//! sequence a formula for independent draws would not), and so that a run that was interrupted has
//! had its samples from all of them evenly.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use schemars::JsonSchema;
use serde::Serialize;

/// How to sample.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
#[serde(rename_all = "snake_case")]
pub enum Method {
    /// Latin hypercube: one sample in each of as many strata as there are samples, for each input
    #[cfg_attr(feature = "cli", value(name = "latin"))]
    LatinHypercube,
    /// Sobol' sequence with Owen scrambling (single precision; at most 65536 samples a replicate)
    Sobol,
    /// Independent draws
    Random,
}

/// Most points of one scrambled sequence that are computed right.
pub const MOST_SOBOL: u64 = 1 << 16;
/// Most inputs of the Sobol' sequence.
pub const MOST_SOBOL_INPUTS: usize = sobol_burley::NUM_DIMENSIONS as usize;

/// A plan of draws: which point of the unit cube each sample is, by its number alone.
#[derive(Debug, Clone)]
pub struct Draws {
    method: Method,
    seed: u64,
    samples: u64,
    replicates: u64,
    inputs: usize,
    /// Keys of the shuffles, one for each replicate and input.
    keys: Vec<u64>,
}

impl Draws {
    /// A plan over `samples` draws of `inputs` inputs, in replicates as [`Draws::usual`] has it.
    pub fn new(method: Method, seed: u64, samples: u64, inputs: usize) -> Self {
        Self::replicated(method, seed, samples, inputs, Self::usual(samples))
    }

    /// A plan with a number of replicates.
    pub fn replicated(method: Method, seed: u64, samples: u64, inputs: usize, replicates: u64) -> Self {
        // Stream 0 holds the keys; sample k draws from stream k + 1.
        let mut rng = stream(seed, 0);
        let keys = (0..replicates as usize * inputs).map(|_| rng.next_u64()).collect();
        Self { method, seed, samples, replicates, inputs, keys }
    }

    /// Replicates for so many samples: 16 where each still has 16 samples, fewer below. A standard error
    /// from r of them is itself known to 1/√(2(r − 1)): with 256 samples and more to 18 %, from 64 on
    /// to 27 %, from 16 on to 41 %; below 16 samples there is none.
    pub fn usual(samples: u64) -> u64 {
        match samples {
            256.. => 16,
            64.. => 8,
            16.. => 4,
            _ => 1,
        }
    }

    /// Number of replicates.
    pub fn replicates(&self) -> u64 {
        self.replicates
    }

    /// The replicate of a sample.
    pub fn replicate(&self, sample: u64) -> u64 {
        sample % self.replicates
    }

    /// Writes the point of a sample: one number above 0 and below 1 for each input.
    pub fn point(&self, sample: u64, into: &mut [f64]) {
        assert!(into.len() == self.inputs && sample < self.samples);
        let (replicate, k) = (sample % self.replicates, sample / self.replicates);
        let keys = &self.keys[replicate as usize * self.inputs..][..self.inputs];
        match self.method {
            Method::Sobol => {
                // A key of its own scrambles each replicate; all inputs share it, as the sequence asks.
                let scramble = keys.first().map_or(0, |key| (key >> 32) as u32);
                for (j, u) in into.iter_mut().enumerate() {
                    let value = sobol_burley::sample(k as u32, j as u32, scramble);
                    // The middle of its cell of single precision, never 0 and never 1.
                    *u = f64::from(value) + 1.0 / f64::from(1u32 << 25);
                }
            }
            Method::Random | Method::LatinHypercube => {
                let mut rng = stream(self.seed, sample + 1);
                let strata = self.samples / self.replicates + u64::from(replicate < self.samples % self.replicates);
                for (u, key) in into.iter_mut().zip(keys) {
                    // 53 bits and a half: never 0 and never 1.
                    let within = ((rng.next_u64() >> 11) as f64 + 0.5) / (1u64 << 53) as f64;
                    *u = if self.method == Method::Random {
                        within
                    } else {
                        let stratum = shuffled(k, strata, *key);
                        ((stratum as f64 + within) / strata as f64).min(1.0 - f64::EPSILON)
                    };
                }
            }
        }
    }
}

fn stream(seed: u64, number: u64) -> ChaCha8Rng {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    rng.set_stream(number);
    rng
}

/// Rounds of the shuffle; four make a Feistel network a strong permutation in theory (Luby and
/// Rackoff 1988), small domains like a few more.
const ROUNDS: u64 = 8;

/// Where `k` goes in a permutation of `0..n` that is chosen by a key: a Feistel network on the
/// smallest even number of bits that holds n, walked on until it falls below n (cycle walking, Black
/// and Rogaway 2002). No table is kept, so memory does not grow with n.
fn shuffled(k: u64, n: u64, key: u64) -> u64 {
    let bits = (64 - (n - 1).leading_zeros()).max(2).div_ceil(2);
    let mask = (1u64 << bits) - 1;
    let mut value = k;
    loop {
        let (mut left, mut right) = (value >> bits, value & mask);
        for round in 0..ROUNDS {
            (left, right) = (right, left ^ (mixed(right ^ mixed(key ^ round)) & mask));
        }
        value = left << bits | right;
        if value < n {
            return value;
        }
    }
}

/// What the state of SplitMix64 grows by at each draw.
const GROWTH: u64 = 0x9e37_79b9_7f4a_7c15;

/// Mixes 64 bits (SplitMix64's next number after a state: Steele, Lea and Flood 2014, from memory).
fn mixed(x: u64) -> u64 {
    let x = x.wrapping_add(GROWTH);
    let x = (x ^ (x >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let x = (x ^ (x >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    x ^ (x >> 31)
}

/// A small generator with a state of 64 bits (Steele, Lea and Flood, OOPSLA 2014): its stream is fixed by the seed,
/// on any machine.
#[derive(Debug, Clone)]
pub struct SplitMix64(pub u64);

impl SplitMix64 {
    fn drawn(&mut self) -> u64 {
        let drawn = mixed(self.0);
        self.0 = self.0.wrapping_add(GROWTH);
        drawn
    }

    /// A number from 0 up to 1, of 53 bits.
    pub fn unit(&mut self) -> f64 {
        (self.drawn() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Fisher and Yates' shuffle. The remainder favours small numbers by less than 1e-17.
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for k in (1..list.len()).rev() {
            list.swap(k, (self.drawn() % (k as u64 + 1)) as usize);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_generator_is_the_published_one() {
        // First outputs for the seed 1234567, from the reference implementation's test vector
        // (Vigna, splitmix64.c; the values as quoted by Rosetta Code, from memory).
        let mut random = SplitMix64(1_234_567);
        let found: Vec<u64> = (0..3).map(|_| random.drawn()).collect();
        assert_eq!(found, [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423]);
    }
}
