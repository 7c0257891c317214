//! The viscous path: where the fragment goes when no small step finds it an equilibrium.

use super::balance::Drag;
use super::{Arrival, Leap, Newton, Solver};
use crate::math::{lower, upper};
use crate::mechanics::rig::{Controls, State};

impl Solver<'_> {
    /// Follows the fragment on a viscous path at fixed controls to where it comes to rest. `None`
    /// when it has come to rest in a state that plain Newton confirms; otherwise how it ended.
    pub(super) fn viscous(&mut self, state: &mut State, controls: &Controls) -> Option<Arrival> {
        self.passing = false;
        let before = state.clone();
        let mut earlier = state.configuration.clone();
        let mut drag = 1e3;
        let mut travelled = 0.0;
        // Steps in which it goes on, and those at rest but for what gives, by ever less.
        let (mut steps, mut giving) = (0, 0);
        while steps < self.settings.viscous_steps && giving < self.settings.giving_steps {
            steps += 1;
            earlier.copy_from(&state.configuration);
            let run = self.newton(state, controls, Some(Drag { strength: drag, earlier: &earlier }));
            let twist = state.configuration.pose.twist_from(&earlier.pose);
            let move_by = upper(&twist).norm() + self.rig.bed.gyration * lower(&twist).norm();
            if !matches!(run, Newton::Converged) || move_by > 0.5 {
                state.configuration.copy_from(&earlier);
                drag *= 4.0;
                if drag > 1e12 {
                    break;
                }
                continue;
            }
            self.commit(state, controls);
            travelled += move_by;
            if self.is_lost(state) || travelled > self.settings.lost_path {
                return Some(Arrival::Lost(*state.pose()));
            }
            drag = (drag * if move_by < 0.1 { 0.35 } else { 0.8 }).max(LEAST_DRAG);
            if move_by < 0.05 {
                earlier.copy_from(&state.configuration);
                if matches!(self.newton(state, controls, None), Newton::Converged) {
                    let twist = state.configuration.pose.twist_from(&earlier.pose);
                    if upper(&twist).norm() <= self.settings.shift {
                        if self.commit(state, controls) {
                            steps -= 1;
                            giving += 1;
                            continue;
                        }
                        self.balance.assemble(self.rig, state, controls, None);
                        if !self.balance.linear.solve() {
                            return Some(Arrival::Free(*state.pose()));
                        }
                        let twist = state.configuration.pose.twist_from(before.pose());
                        let (shift, turn) = self.settings.jump;
                        if upper(&twist).norm() > shift || lower(&twist).norm() > turn {
                            self.leaps.push(Leap { before, after: state.clone(), controls: controls.clone() });
                        }
                        return None;
                    }
                }
                state.configuration.copy_from(&earlier);
            }
        }
        self.balance.assemble(self.rig, state, controls, None);
        let (net_force, net_moment, node) = self.balance.imbalance(controls);
        Some(Arrival::Stuck { net_force: net_force.max(node), net_moment })
    }
}

/// Least drag, N/mm: on the longest step, half a millimetre, half of what a certificate leaves open; where the path ends
/// there is none. Without a least it would vanish in rounding where a part gives by ever less over hundreds of steps, and
/// could not grow again when that part tears.
const LEAST_DRAG: f64 = 1e-6;
