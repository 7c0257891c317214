//! Every evaluation of a start goes through its ledger: it scales, counts, remembers and says when
//! to end.

use super::{Judged, Watcher};
use std::cell::RefCell;

/// A point and what it is worth.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// Where, in the units of the bounds.
    pub at: Vec<f64>,
    /// What it is worth.
    pub judged: Judged,
}

/// How far a start had come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Traced {
    /// Evaluations so far.
    pub evaluations: usize,
    /// Best feasible cost so far.
    pub cost: f64,
}

/// Why no further point is judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub(super) enum Halt {
    #[error("evaluations are spent")]
    Budget,
    #[error("an end was asked for")]
    Asked,
}

struct Book {
    evaluations: usize,
    best: Option<(Vec<f64>, Judged)>,
    trace: Vec<Traced>,
    halt: Option<Halt>,
}

/// The ledger of a start. Points are in the unit cube.
pub(super) struct Ledger<'a, F> {
    bounds: &'a [[f64; 2]],
    judge: &'a F,
    watch: &'a dyn Watcher,
    most: usize,
    book: RefCell<Book>,
}

impl<'a, F: Fn(&[f64]) -> Judged> Ledger<'a, F> {
    pub fn new(bounds: &'a [[f64; 2]], judge: &'a F, watch: &'a dyn Watcher, most: usize) -> Self {
        Self {
            bounds,
            judge,
            watch,
            most,
            book: RefCell::new(Book { evaluations: 0, best: None, trace: Vec::new(), halt: None }),
        }
    }

    /// A point of the unit cube in the units of the bounds; what is outside the cube is brought to
    /// its face.
    pub fn real(&self, unit: &[f64]) -> Vec<f64> {
        unit.iter()
            .zip(self.bounds)
            .map(|(u, [low, high])| if *u >= 1.0 { *high } else { low + u.max(0.0) * (high - low) })
            .collect()
    }

    /// The reverse.
    pub fn unit(&self, real: &[f64]) -> Vec<f64> {
        real.iter().zip(self.bounds).map(|(x, [low, high])| ((x - low) / (high - low)).clamp(0.0, 1.0)).collect()
    }

    pub fn judge(&self, unit: &[f64]) -> Result<Judged, Halt> {
        let halt = if self.watch.stops() {
            Some(Halt::Asked)
        } else if self.book.borrow().evaluations >= self.most {
            Some(Halt::Budget)
        } else {
            None
        };
        if let Some(halt) = halt {
            self.book.borrow_mut().halt = Some(halt);
            return Err(halt);
        }
        let real = self.real(unit);
        let judged = (self.judge)(&real);
        self.watch.judged(&real, &judged);
        let mut book = self.book.borrow_mut();
        book.evaluations += 1;
        let better = book.best.as_ref().is_none_or(|b| judged.beats(&b.1));
        if better {
            let inside: Vec<f64> = unit.iter().map(|u| u.clamp(0.0, 1.0)).collect();
            book.best = Some((inside, judged));
            if judged.is_feasible() {
                let evaluations = book.evaluations;
                book.trace.push(Traced { evaluations, cost: judged.cost });
            }
        }
        Ok(judged)
    }

    /// The best point so far, in the unit cube.
    pub fn best(&self) -> Option<(Vec<f64>, Judged)> {
        self.book.borrow().best.clone()
    }

    pub fn evaluations(&self) -> usize {
        self.book.borrow().evaluations
    }

    /// Evaluations that are left.
    pub fn left(&self) -> usize {
        self.most.saturating_sub(self.evaluations())
    }

    /// Marks the evaluations as spent.
    pub fn spent(&self) -> Halt {
        self.book.borrow_mut().halt = Some(Halt::Budget);
        Halt::Budget
    }

    pub fn halt(&self) -> Option<Halt> {
        self.book.borrow().halt
    }

    pub fn trace(&self) -> Vec<Traced> {
        self.book.borrow().trace.clone()
    }
}
