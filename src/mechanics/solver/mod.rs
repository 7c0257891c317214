//! The solver: follows equilibria of a rig while its controls are ramped.
//!
//! Steps halve until plain Newton converges; after any slip every slipped cell stands exactly on
//! its kink, so small steps are part of the law, not a weakness of the solver. When halving does
//! not help, the fragment is leaving for another state: it is followed on a viscous path
//! (`σ D ẋ = r` in implicit steps, slip committed at each, σ shrinking) to where it comes to rest.

mod balance;
mod linear;
mod predict;
mod settings;
mod viscous;

pub(crate) use balance::Balance;
pub use settings::Settings;

use super::certificate::Certificate;
use super::limb::{MOST_VERTICES, Strand};
use super::rig::{Configuration, Controls, Rig, State};
use crate::math::{Vec3, Vec6, lower, most, upper};
use balance::Drag;
use predict::Increment;

/// How a ramp ended. Each payload says where.
#[derive(Debug, Clone, PartialEq)]
pub enum Arrival {
    /// At the fraction of the ramp (1, unless the watch stopped it).
    Arrived(f64),
    /// The fragment left and came to no rest: the pose where it was given up.
    Lost(super::Pose),
    /// The fragment came to rest where it can move without resistance (the tangent is singular): a
    /// mechanism. The pose where it lies.
    Free(super::Pose),
    /// No certified state was found.
    Stuck {
        /// Net force left, N.
        net_force: f64,
        /// Net moment left, N·mm.
        net_moment: f64,
    },
}

/// A move that no gentle loading could avoid.
#[derive(Debug, Clone, PartialEq)]
pub struct Leap {
    /// The last state from which small steps led no farther, balanced as closely as a step within a ramp is.
    pub before: State,
    /// The state in which the fragment came to rest.
    pub after: State,
    /// What drove it there.
    pub controls: Controls,
}

/// How a ramp is stepped.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ramp {
    /// First step as a fraction of the ramp.
    pub first: f64,
    /// Largest step as a fraction of the ramp.
    pub largest: f64,
    /// Whether the ramp goes on where the last one, of the same span, arrived: its first step is
    /// then predicted from the last one's increment.
    pub continued: bool,
    /// Factor by which a step may be longer than the one before it, unless that was shorter than the finest.
    pub growth: f64,
    /// How far a step may stray from the path that ever smaller steps would take, mm; infinite where nothing is asked.
    pub stray: f64,
}

impl Ramp {
    /// At once, and finer where that does not converge.
    pub const EVEN: Self = Self { first: 1.0, largest: 1.0, continued: false, growth: 1.6, stray: f64::INFINITY };
}

/// Solver of one rig, with its work space.
#[derive(Clone)]
pub struct Solver<'a> {
    rig: &'a Rig,
    /// Tolerances and limits.
    pub settings: Settings,
    /// Where the study starts. A fragment that lies far from its reduced place already is lost only when
    /// it is far from here too.
    pub home: super::Pose,
    pub(crate) balance: Balance,
    controls: Controls,
    /// Whether the ramp under way asks for no more than [`COARSE`].
    coarse: bool,
    /// Whether the step under way ends neither its ramp nor where the watch stops it, and is balanced less closely.
    passing: bool,
    saved: Configuration,
    last: Increment,
    origin: Configuration,
    step: Vec<f64>,
    /// Newton iterations spent so far.
    pub iterations: usize,
    /// Jumps met so far.
    pub leaps: Vec<Leap>,
    /// Work done so far against friction of the bed, N·mm.
    pub friction_work: f64,
    /// Work done so far on what has yielded, slid through or broken, N·mm.
    pub yield_work: f64,
}

/// What a Newton run came to.
enum Newton {
    Converged,
    Failed,
}

impl<'a> Solver<'a> {
    /// A solver with default settings.
    pub fn new(rig: &'a Rig) -> Self {
        let saved = rig.laid(super::Pose::default()).configuration;
        Self {
            rig,
            settings: Settings::default(),
            home: super::Pose::default(),
            balance: Balance::new(rig),
            controls: rig.idle(),
            coarse: false,
            passing: false,
            origin: saved.clone(),
            step: Vec::with_capacity(3 * saved.nodes.len() + 7),
            saved,
            last: Increment::none(),
            iterations: 0,
            leaps: Vec::new(),
            friction_work: 0.0,
            yield_work: 0.0,
        }
    }

    /// The rig.
    pub fn rig(&self) -> &'a Rig {
        self.rig
    }

    /// Ramps the controls from `from` (at which `state` is an equilibrium) to `to`, committing slip
    /// with every accepted step. `watch` may stop the ramp: it is given each trial state, and the
    /// ramp ends where its value first reaches zero from below (to 1e-9).
    pub fn ramp(
        &mut self,
        state: &mut State,
        from: &Controls,
        to: &Controls,
        ramp: Ramp,
        watch: Option<&dyn Fn(&State) -> f64>,
    ) -> Arrival {
        let mut controls = std::mem::replace(&mut self.controls, Controls::idle(0));
        controls.clone_from(to);
        let arrival = self.follow(state, from, to, ramp, watch, &mut controls);
        (self.coarse, self.passing) = (false, false);
        self.controls = controls;
        arrival
    }

    fn follow(
        &mut self,
        state: &mut State,
        from: &Controls,
        to: &Controls,
        ramp: Ramp,
        watch: Option<&dyn Fn(&State) -> f64>,
        controls: &mut Controls,
    ) -> Arrival {
        let mut done = 0.0f64;
        let mut step = ramp.first;
        let mut stride = 1.0;
        if !ramp.continued {
            self.last.forget();
        }
        let mut low = watch.map_or(f64::NEG_INFINITY, |w| w(state));
        if low >= -WATCH_REACHED {
            return Arrival::Arrived(done);
        }
        // Whether the step aims at where the watch stops the ramp, and whether it is made again because it strayed.
        let (mut aimed, mut strayed) = (false, false);
        while done < 1.0 {
            let next = if !aimed && done + step > 1.0 - 1e-12 { 1.0 } else { (done + step).min(1.0) };
            // What a loose balance leaves would stray however short the step.
            self.passing = next < 1.0 && !aimed && !strayed;
            controls.blend(from, to, next);
            self.saved.copy_from(&state.configuration);
            self.last.predict(next - done, &mut state.configuration);
            let converged = matches!(self.newton(state, controls, None), Newton::Converged);
            let reach = if converged { self.reach(state) } else { f64::INFINITY };
            if reach > 1.0 && next - done > self.settings.smallest {
                state.configuration.copy_from(&self.saved);
                step = (next - done) * (0.8 / reach).max(if converged { 0.03 } else { 0.5 });
                self.last.forget();
                continue;
            }
            if !converged || reach > 1.0 {
                state.configuration.copy_from(&self.saved);
                let next = (done + ramp.first * self.settings.viscous_stride * stride).clamp(next, 1.0);
                controls.blend(from, to, next);
                let before = (state.clone(), self.friction_work, self.yield_work);
                if let Some(end) = self.viscous(state, controls) {
                    if !matches!(end, Arrival::Stuck { .. }) || self.coarse && stride >= FARTHEST {
                        return end;
                    }
                    // What rounding leaves may be more than is asked for, and less than a certificate asks; and where
                    // next to nothing presses, a fragment may find no rest that it finds a little farther on.
                    if self.coarse {
                        stride *= 8.0;
                    }
                    self.coarse = true;
                    (*state, self.friction_work, self.yield_work) = before;
                    step = ramp.first;
                    self.last.forget();
                    continue;
                }
                stride = 1.0;
                self.last.forget();
                done = next;
                step = ramp.first;
                if let Some(watch) = watch {
                    low = watch(state);
                    if low >= -WATCH_REACHED {
                        return Arrival::Arrived(done);
                    }
                }
                continue;
            }
            // Half a step strays a quarter as far.
            let stray = self.last.stray(next - done, &self.saved, &state.configuration, self.rig) / ramp.stray;
            let factor = (0.9 / stray.sqrt()).clamp(0.2, ramp.growth);
            if stray > 2.0 && step > self.settings.finest {
                state.configuration.copy_from(&self.saved);
                step = (factor * (next - done)).max(self.settings.finest);
                strayed = true;
                continue;
            }
            strayed = false;
            step = (factor * (next - done)).max(self.settings.finest).min(ramp.largest);
            if let Some(watch) = watch {
                let value = watch(state);
                // A step in passing that comes close is made again as one that aims there.
                let reached = value > if self.passing { -WATCH_CLOSE } else { WATCH_REACHED };
                if reached && next - done > 1e-12 {
                    // Passed: back, and aim at zero by the secant. Only come close: the same step again, balanced closely.
                    state.configuration.copy_from(&self.saved);
                    let share = if value > WATCH_REACHED { (low / (low - value)).clamp(0.05, 0.999) } else { 1.0 };
                    step = share * (next - done);
                    aimed = true;
                    self.last.forget();
                    continue;
                }
                let rate = (value - low) / (next - done);
                let left = if rate > 0.0 { -value / rate } else { f64::INFINITY };
                aimed = left <= step;
                step = step.min(left);
                step = step.max(1e-12);
            }
            self.last.learn(next - done, &self.saved, &state.configuration);
            if let Some(end) = self.accept(state, controls) {
                return end;
            }
            if self.is_lost(state) {
                return Arrival::Lost(*state.pose());
            }
            done = next;
            stride = 1.0;
            // Where something gave the fragment has moved on.
            if let Some(watch) = watch {
                low = watch(state);
            }
            if low >= -WATCH_REACHED {
                // What gave has carried a step in passing to where the ramp stops: it is balanced closely there.
                if self.passing
                    && let Some(end) = self.viscous(state, controls)
                {
                    return end;
                }
                break;
            }
        }
        Arrival::Arrived(done)
    }

    /// How far the trial in `state` lies from the saved configuration, as a multiple of what one step
    /// may move: so that slip is followed along its path, and so that no bite is carried through its
    /// anchor by one long step to where its loop pushes.
    fn reach(&self, state: &State) -> f64 {
        let trial = &state.configuration;
        let twist = trial.pose.twist_from(&self.saved.pose);
        let mut reach = (upper(&twist).norm() / self.settings.shift).max(lower(&twist).norm() / self.settings.turn);
        let mut now = [Vec3::zeros(); MOST_VERTICES];
        let mut was = [Vec3::zeros(); MOST_VERTICES];
        for (k, limb) in self.rig.limbs.iter().enumerate() {
            let n = limb.path.len();
            if state.strands[k] == Strand::Loose {
                continue;
            }
            self.rig.vertex_places(k, trial, &mut now[..n]);
            self.rig.vertex_places(k, &self.saved, &mut was[..n]);
            for i in 0..limb.segments() {
                let before = was[(i + 1) % n] - was[i];
                let change = now[(i + 1) % n] - now[i] - before;
                let allowed = self.settings.segment * before.norm().max(0.5 * self.rig.seat.length);
                reach = reach.max(change.norm() / allowed);
            }
        }
        reach
    }

    fn is_lost(&self, state: &State) -> bool {
        let far = |pose: &super::Pose, from: &super::Pose| {
            let twist = pose.twist_from(from);
            upper(&twist).norm() > self.settings.lost_shift || lower(&twist).norm() > self.settings.lost_turn
        };
        let reduced = super::Pose::default();
        far(state.pose(), &reduced) && (!far(&self.home, &reduced) || far(state.pose(), &self.home))
    }

    /// Newton's method on the trial configuration in `state`, with the committed memory there. A step
    /// that makes the residual larger is shortened, up to `shortenings` times.
    fn newton(&mut self, state: &mut State, controls: &Controls, drag: Option<Drag<'_>>) -> Newton {
        let first = 3 * self.rig.nodes.len();
        self.balance.assemble(self.rig, state, controls, drag);
        let mut error = self.residual();
        for iteration in 0..=self.settings.iterations {
            if self.is_at_rest(error) {
                return Newton::Converged;
            }
            if iteration == self.settings.iterations || !error.is_finite() {
                break;
            }
            self.iterations += 1;
            let merit = self.merit();
            if !self.balance.linear.solve() {
                break;
            }
            let x = self.balance.linear.right();
            let twist = Vec6::from_column_slice(&x[first..first + 6]);
            // A step longer than this has left the region where its tangent means anything.
            let reach = (upper(&twist).norm() / 2.0).max(lower(&twist).norm() / 0.25);
            let mut scale = if reach > 1.0 { 1.0 / reach } else { 1.0 };
            self.step.clear();
            self.step.extend_from_slice(x);
            self.origin.copy_from(&state.configuration);
            // The tangent, the dearest part, is asked for where it is most likely needed.
            let mut with_tangent = error > FAR;
            for shortening in 0..=self.settings.shortenings {
                if shortening > 0 {
                    state.configuration.copy_from(&self.origin);
                    with_tangent = false;
                }
                state.configuration.advance(&self.step, scale);
                if with_tangent {
                    self.balance.assemble(self.rig, state, controls, drag);
                } else {
                    self.balance.weigh(self.rig, state, controls, drag);
                }
                if self.is_at_rest(self.residual()) {
                    return Newton::Converged;
                }
                let is = self.merit();
                if is < merit || shortening == self.settings.shortenings {
                    let whole = scale == 1.0 && self.balance.linear.is_eliminated();
                    if whole && self.chords(state, controls, drag, merit) {
                        return Newton::Converged;
                    }
                    break;
                }
                scale *= 0.4;
            }
            if !with_tangent {
                self.balance.assemble(self.rig, state, controls, drag);
            }
            error = self.residual();
        }
        Newton::Failed
    }

    /// Goes on with the last tangent as long as every step with it leaves but a small part of the residual.
    fn chords(&mut self, state: &mut State, controls: &Controls, drag: Option<Drag<'_>>, mut before: f64) -> bool {
        let mut merit = self.merit();
        while merit < CONTRACTION * before {
            self.balance.linear.solve_again();
            self.step.clear();
            self.step.extend_from_slice(self.balance.linear.right());
            self.origin.copy_from(&state.configuration);
            state.configuration.advance(&self.step, 1.0);
            self.balance.weigh(self.rig, state, controls, drag);
            if self.is_at_rest(self.residual()) {
                return true;
            }
            before = merit;
            merit = self.merit();
            if merit.is_nan() || merit >= before {
                state.configuration.copy_from(&self.origin);
                break;
            }
        }
        false
    }

    /// What a Newton step has to make less, N.
    fn merit(&self) -> f64 {
        self.residual() + LAG_STIFFNESS * self.balance.lag.abs()
    }

    /// Whether the assembled residual, of which `error` is the size, counts as none.
    fn is_at_rest(&self, error: f64) -> bool {
        let (absolute, relative) = if self.coarse { COARSE } else { (self.settings.absolute, self.settings.relative) };
        let relative = if self.passing { self.settings.passing } else { relative };
        error <= absolute + relative * self.balance.largest && self.balance.lag.abs() <= self.settings.lag
    }

    /// Largest scaled entry of the assembled residual, drag included, N.
    fn residual(&self) -> f64 {
        let right = self.balance.linear.right();
        let first = 3 * self.rig.nodes.len();
        let force = |at: usize| Vec3::from_column_slice(&right[at..at + 3]).norm();
        let body = most(force(first), force(first + 3) / self.rig.bed.gyration);
        (0..self.rig.nodes.len()).fold(body, |largest, n| most(largest, force(3 * n)))
    }

    /// Commits an accepted state to the memory of every element.
    ///
    /// Returns whether a strength has fallen below what it bears, so that the balance has to be found again.
    fn commit(&mut self, state: &mut State, controls: &Controls) -> bool {
        let (rig, balance) = (self.rig, &mut self.balance);
        let mut unsettled = false;
        let (friction, yielding) = (&mut self.friction_work, &mut self.yield_work);
        rig.elements(&mut |element| {
            let lost = element.commit(rig, controls, state, balance);
            *friction += lost.friction;
            *yielding += lost.yielding;
            unsettled |= lost.unsettled;
        });
        unsettled
    }

    /// Commits an accepted state; where something gives, finds the balance again until nothing gives any more, and
    /// where it does not find it near, goes the viscous way. `Some` where the fragment does not come to rest.
    fn accept(&mut self, state: &mut State, controls: &Controls) -> Option<Arrival> {
        let mut unsettled = self.commit(state, controls);
        for round in 0.. {
            if !unsettled {
                break;
            }
            self.last.forget();
            self.saved.copy_from(&state.configuration);
            let near = matches!(self.newton(state, controls, None), Newton::Converged) && self.reach(state) <= 1.0;
            if !near || round == ROUNDS {
                state.configuration.copy_from(&self.saved);
                return self.viscous(state, controls);
            }
            unsettled = self.commit(state, controls);
        }
        None
    }
}

/// How many times farther than usual a viscous path may reach before the fragment is given up (assumed: one kept rig
/// needs it).
const FARTHEST: f64 = 512.0;

/// Net force accepted in any case (N) and as a share of the largest, where the solver's own tolerances cannot
/// be met: a tenth of what a certificate asks.
const COARSE: (f64, f64) = (0.1 * Certificate::NET_FORCE, 0.1 * Certificate::SHARE);

/// Times that a balance is found again where something gives, before the viscous way is gone: what gives by ever
/// less at a time would never end.
const ROUNDS: usize = 100;

/// Residual (N) above which the tangent is asked for together with the balance of a Newton step: it will be needed. It
/// saves work, and decides nothing.
const FAR: f64 = 0.1;

/// Share of the residual that a step with an old tangent may leave if that tangent is to be used once more. A new one
/// costs twice as much as a step, and leaves about a hundredth. It saves work, and decides nothing.
const CONTRACTION: f64 = 0.1;

/// Weight of what a push lacks against forces when a Newton step is judged, N/mm: about the stiffness
/// of a held fragment, so that neither hides the other. It decides how far a step goes, never whether
/// a state is accepted.
const LAG_STIFFNESS: f64 = 1e3;

/// Distance of a watched value from zero that counts as reached, mm: far below what anyone sees,
/// far above the rounding of a converged pose.
const WATCH_REACHED: f64 = 1e-9;

/// Distance of a watched value from zero within which a step in passing is not accepted, mm: some hundred times what its
/// loose balance may move the fragment.
const WATCH_CLOSE: f64 = 1e-4;
