//! The capstan return map: how rest material is shared among the segments of a tied strand.
//!
//! Segment i of length ℓ_i holds rest material S_i and carries `T_i = EA max(0, (ℓ_i − S_i)/S_i)`.
//! At turn j (between segments j and j + 1) material moves only as far as it must to keep
//! `|ln T_{j+1} − ln T_j| ≤ b_j`, with `b_j = μ_j θ_j` (Euler–Eytelwein); ΣS_i is constant.
//!
//! With `τ = ln T` this is a convex program: minimise `Σ Φ_i(τ_i)`, `Φ_i' = S_i^c − S_i(τ_i)`
//! (increasing, because a tighter segment holds less rest material), subject to
//! `|τ_{j+1} − τ_j| ≤ b_j`; the multipliers are the material that crosses the turns. So the answer
//! exists and is unique, whatever order the turns are looked at in.

use super::exchange::{Material, chain_tension, circulate, sweep};

/// Most segments of one strand.
pub const MOST_SEGMENTS: usize = 16;

/// State of a turn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Turn {
    /// No material crosses.
    Stick,
    /// The later segment stands at the upper bound: material runs toward it.
    Forward,
    /// The earlier segment stands at the upper bound: material runs toward it.
    Backward,
}

/// Tensions and rest material for given segment lengths, and what [`Strands::differentiate`] makes of them.
#[derive(Debug, Clone)]
pub struct Strands {
    /// Number of segments.
    pub count: usize,
    /// Tension of each segment, N.
    pub tension: [f64; MOST_SEGMENTS],
    /// Rest material of each segment after transfer, mm.
    pub rest: [f64; MOST_SEGMENTS],
    /// `∂T_i/∂ℓ_k`, N/mm.
    pub by_length: [[f64; MOST_SEGMENTS]; MOST_SEGMENTS],
    /// `∂T_i/∂b_j`, N.
    pub by_bound: [[f64; MOST_SEGMENTS]; MOST_SEGMENTS],
    /// Whether tensions and material contradict nothing: every bound kept, nothing run against its pull.
    pub settled: bool,
    /// Strand that has slid in through the knot or clamp, mm.
    pub fed: f64,
    turns: [Turn; MOST_SEGMENTS],
    last_turns: usize,
    is_pulled: bool,
}

impl Default for Strands {
    fn default() -> Self {
        Self {
            count: 0,
            tension: [0.0; MOST_SEGMENTS],
            rest: [0.0; MOST_SEGMENTS],
            by_length: [[0.0; MOST_SEGMENTS]; MOST_SEGMENTS],
            by_bound: [[0.0; MOST_SEGMENTS]; MOST_SEGMENTS],
            settled: true,
            fed: 0.0,
            turns: [Turn::Stick; MOST_SEGMENTS],
            last_turns: 0,
            is_pulled: false,
        }
    }
}

/// Margin by which a tension must pass its bound before its turn is let slip, as a share of the
/// axial rigidity: a tension is `EA (ℓ − S)/S`, so the rounding of ℓ and S (a few 1e-16 of them) is
/// a few 1e-16 of EA, and a committed state that stands exactly on its bound must not seem to pass it.
const BOUND_MARGIN: f64 = 4e-15;

/// Material, relative to what a segment holds, that may seem to cross a slipping turn the wrong way:
/// rounding of sums of lengths.
const CROSSING_MARGIN: f64 = 1e-14;

impl Strands {
    /// Forgets which turns slipped last, so that a turn that stands exactly on its bound is taken to
    /// stick.
    pub fn forget(&mut self) {
        self.last_turns = 0;
    }

    fn reset(&mut self, count: usize) {
        self.count = count;
        self.settled = true;
        self.is_pulled = false;
        self.fed = 0.0;
        self.tension[..count].fill(0.0);
    }

    /// A strand that is being pulled with `pull` (N) at the end of its last segment: material runs
    /// toward the tie end, so every turn stands at its bound. A locked turn (infinite bound) passes
    /// nothing on.
    pub fn pulled(&mut self, rigidity: f64, lengths: &[f64], bounds: &[f64], pull: f64) {
        let n = lengths.len();
        self.reset(n);
        self.is_pulled = true;
        let mut tension = pull;
        for i in (0..n).rev() {
            if i + 1 < n {
                tension *= libm::exp(-bounds[i]);
            }
            self.tension[i] = tension;
            self.rest[i] = lengths[i] * rigidity / (rigidity + tension);
        }
    }

    /// A tied strand that holds the rest material `held`: the return map from there. `bounds` has
    /// one entry a turn: between neighbours, and with `closed` also from the last segment back to
    /// the first. An infinite bound is a locked turn. The knot or clamp at the end of the last segment bears no
    /// more than `grip` (N): beyond that strand slides in through it.
    pub fn tied(&mut self, rigidity: f64, lengths: &[f64], bounds: &[f64], held: &[f64], closed: bool, grip: f64) {
        let n = lengths.len();
        let strand = Material { rigidity, lengths, bounds, held, grip };
        self.reset(n);
        let turns = if closed { n } else { n - 1 };
        // Any pattern of slipping turns that contradicts nothing is the answer, because there is
        // only one; the pattern of the last call is nearly always still right.
        if self.last_turns != turns {
            self.turns = [Turn::Stick; MOST_SEGMENTS];
            // Without friction there is nothing to stick by, even at equal tensions.
            for (turn, bound) in self.turns.iter_mut().zip(bounds) {
                if *bound == 0.0 {
                    *turn = Turn::Forward;
                }
            }
            self.last_turns = turns;
        }
        self.solve_chains(&strand, turns);
        self.settled = self.is_consistent(rigidity, bounds, held, turns);
        if !self.settled {
            let mut crossed = [0.0; MOST_SEGMENTS];
            let mut fed = 0.0;
            for _ in 0..200 {
                for _ in 0..3 {
                    sweep(&strand, turns, &mut crossed, &mut fed);
                    // Round a closed strand whose knot holds.
                    if closed && fed == 0.0 {
                        circulate(bounds, &mut crossed);
                    }
                }
                self.adopt_pattern(turns, bounds, &crossed);
                self.solve_chains(&strand, turns);
                self.settled = self.is_consistent(rigidity, bounds, held, turns);
                if self.settled {
                    break;
                }
            }
        }
    }

    /// First segment of each chain of segments linked by slipping turns: a chain may wrap round a
    /// closed strand. Each as (first segment, number of segments), with how many there are.
    fn chains(&self, turns: usize) -> ([(usize, usize); MOST_SEGMENTS], usize) {
        let n = self.count;
        let linked = |segment: usize| {
            // Whether the turn behind `segment` links it to the next one.
            segment < turns && self.turns[segment] != Turn::Stick
        };
        let start = (0..n).find(|&i| !linked((i + n - 1) % n)).unwrap_or(0);
        let mut list = [(0, 0); MOST_SEGMENTS];
        let mut chains = 0;
        let mut offset = 0;
        while offset < n {
            let first = (start + offset) % n;
            let mut length = 1;
            while offset + length < n && linked((first + length - 1) % n) {
                length += 1;
            }
            list[chains] = (first, length);
            chains += 1;
            offset += length;
        }
        (list, chains)
    }

    /// Ratio of a segment's tension to that of the one before it across a slipping turn.
    fn ratio(&self, turn: usize, bounds: &[f64]) -> f64 {
        match self.turns[turn] {
            Turn::Stick => 1.0,
            Turn::Forward => libm::exp(bounds[turn]),
            Turn::Backward => libm::exp(-bounds[turn]),
        }
    }

    fn solve_chains(&mut self, strand: &Material<'_>, turns: usize) {
        let &Material { rigidity, lengths, bounds, held, grip } = strand;
        let n = self.count;
        self.fed = 0.0;
        let (list, chains) = self.chains(turns);
        for &(first, length) in &list[..chains] {
            let at = |k: usize| (first + k) % n;
            let material: f64 = (0..length).map(|k| held[at(k)]).sum();
            let span: f64 = (0..length).map(|k| lengths[at(k)]).sum();
            if material >= span {
                // Slack: no tension anywhere; the material spreads in proportion to length.
                let lone = length == 1;
                for k in 0..length {
                    self.tension[at(k)] = 0.0;
                    self.rest[at(k)] = if lone { held[at(k)] } else { lengths[at(k)] * material / span };
                }
                continue;
            }
            if length == 1 {
                // On the verge of slack the rounding of lengths must not make a strand push.
                let stretch = (lengths[first] - held[first]).max(0.0);
                self.tension[first] = rigidity * stretch / held[first];
                self.rest[first] = held[first];
                if first == n - 1 && self.tension[first] > grip {
                    self.tension[first] = grip;
                    self.rest[first] = lengths[first] / (1.0 + grip / rigidity);
                    self.fed = self.rest[first] - held[first];
                }
                continue;
            }
            let mut factors = [1.0; MOST_SEGMENTS];
            for k in 1..length {
                factors[k] = factors[k - 1] * self.ratio(at(k - 1), bounds);
            }
            let mut tension = chain_tension(rigidity, material, (0..length).map(|k| (lengths[at(k)], factors[k])));
            // The chain that ends at the knot or clamp bears no more there than that holds.
            let slides = (0..length).find(|&k| at(k) == n - 1 && factors[k] * tension > grip);
            if let Some(k) = slides {
                tension = grip / factors[k];
            }
            let mut rest = 0.0;
            for k in 0..length {
                let own = factors[k] * tension;
                self.tension[at(k)] = own;
                self.rest[at(k)] = lengths[at(k)] / (1.0 + own / rigidity);
                rest += self.rest[at(k)];
            }
            if slides.is_some() {
                self.fed = rest - material;
            }
        }
    }

    /// Whether no turn passes its bound and no material crosses a slipping turn the wrong way.
    fn is_consistent(&self, rigidity: f64, bounds: &[f64], held: &[f64], turns: usize) -> bool {
        let margin = BOUND_MARGIN * rigidity;
        let n = self.count;
        let first = (0..turns).find(|&j| self.turns[j] == Turn::Stick).map_or(0, |j| j + 1);
        let mut crossed = 0.0;
        (0..turns).all(|k| {
            let j = (first + k) % turns;
            // Nothing passes from the last segment of an open strand to its first.
            if j == 0 && turns < n {
                crossed = 0.0;
            }
            let (a, b) = (self.tension[j], self.tension[(j + 1) % n]);
            match self.turns[j] {
                Turn::Stick => {
                    crossed = 0.0;
                    bounds[j].is_infinite() || a.max(b) <= a.min(b) * libm::exp(bounds[j]) + margin
                }
                slipping => {
                    crossed += held[j] - self.rest[j];
                    // Past the knot of a closed strand, what has slid in through it.
                    if j == n - 1 {
                        crossed += self.fed;
                    }
                    let against = if slipping == Turn::Forward { -crossed } else { crossed };
                    a == 0.0 || bounds[j] == 0.0 || against <= CROSSING_MARGIN * held[j]
                }
            }
        })
    }

    /// Takes the slipping turns from the material that crosses them.
    fn adopt_pattern(&mut self, turns: usize, bounds: &[f64], crossed: &[f64; MOST_SEGMENTS]) {
        for j in 0..turns {
            self.turns[j] = if crossed[j] > 0.0 {
                Turn::Forward
            } else if crossed[j] < 0.0 {
                Turn::Backward
            } else if bounds[j] == 0.0 {
                Turn::Forward
            } else {
                Turn::Stick
            };
        }
        // Round a closed strand one turn always follows from the others.
        if turns == self.count && self.turns[..turns].iter().all(|turn| *turn != Turn::Stick) {
            let least = (0..turns).min_by(|&a, &b| crossed[a].abs().total_cmp(&crossed[b].abs())).unwrap_or(0);
            self.turns[least] = Turn::Stick;
        }
    }

    /// The derivatives of the tensions as they were last found.
    pub fn differentiate(&mut self, rigidity: f64) {
        let (n, turns) = (self.count, self.last_turns);
        for i in 0..n {
            self.by_length[i][..n].fill(0.0);
            self.by_bound[i][..n].fill(0.0);
            if self.is_pulled {
                self.by_bound[i][i..n - 1].fill(-self.tension[i]);
            }
        }
        if self.is_pulled {
            return;
        }
        let (list, chains) = self.chains(turns);
        for &(first, length) in &list[..chains] {
            let at = |k: usize| (first + k) % n;
            if self.tension[first] == 0.0 {
                continue;
            }
            // What slides at its knot or clamp bears there what that holds, however long it is.
            let knot = if self.fed > 0.0 { (0..length).find(|&k| at(k) == n - 1) } else { None };
            if length == 1 {
                if knot.is_none() {
                    self.by_length[first][first] = rigidity / self.rest[first];
                }
                continue;
            }
            // d/dT of Σ S_k, per unit relative change of the chain's tension.
            let softness = |k: usize| {
                let i = at(k);
                self.rest[i] * self.tension[i] / (rigidity + self.tension[i])
            };
            let total: f64 = (0..length).map(softness).sum();
            let mut behind = [0.0; MOST_SEGMENTS];
            // behind[j]: softness of the segments after turn j of the chain.
            for j in (0..length - 1).rev() {
                behind[j] = softness(j + 1) + if j + 2 < length { behind[j + 1] } else { 0.0 };
            }
            for i in 0..length {
                let own = self.tension[at(i)];
                if let Some(knot) = knot {
                    for j in i.min(knot)..i.max(knot) {
                        let sign = if (self.turns[at(j)] == Turn::Forward) == (i > knot) { 1.0 } else { -1.0 };
                        self.by_bound[at(i)][at(j)] = sign * own;
                    }
                    continue;
                }
                for k in 0..length {
                    let shrink = rigidity / (rigidity + self.tension[at(k)]);
                    self.by_length[at(i)][at(k)] = own * shrink / total;
                }
                for (j, &beyond) in behind[..length - 1].iter().enumerate() {
                    let sign = if self.turns[at(j)] == Turn::Forward { 1.0 } else { -1.0 };
                    let direct = if i > j { 1.0 } else { 0.0 };
                    self.by_bound[at(i)][at(j)] = sign * own * (direct - beyond / total);
                }
            }
        }
    }
}
