//! Work on lists: on all cores with the feature `threads`, one item after the other without. Results stand
//! in the order of the list either way, so that digits never depend on how many threads there are.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Mutex, PoisonError};

/// Does the work for each number below `count`, in any order. The one place that knows threads, and compiled once.
fn each(count: usize, work: &(dyn Fn(usize) + Sync)) {
    #[cfg(feature = "threads")]
    {
        use rayon::prelude::{IntoParallelIterator, ParallelIterator};
        (0..count).into_par_iter().for_each(work);
    }
    #[cfg(not(feature = "threads"))]
    (0..count).for_each(work);
}

/// How many work at once.
fn threads() -> usize {
    #[cfg(feature = "threads")]
    {
        rayon::current_num_threads()
    }
    #[cfg(not(feature = "threads"))]
    1
}

/// Results by their numbers, as they come.
struct Done<R>(Mutex<Vec<(u64, R)>>);

impl<R> Done<R> {
    fn put(&self, k: u64, result: R) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).push((k, result));
    }

    fn in_order(self) -> Vec<(u64, R)> {
        let mut done = self.0.into_inner().unwrap_or_else(PoisonError::into_inner);
        done.sort_unstable_by_key(|d| d.0);
        done
    }
}

/// What the work makes of each item.
pub(crate) fn map<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let done = Done(Mutex::new(Vec::with_capacity(items.len())));
    each(items.len(), &|k| done.put(k as u64, work(&items[k])));
    done.in_order().into_iter().map(|d| d.1).collect()
}

/// Does the work for each number below `count`, in turn, with a work space for each thread, until one gives
/// nothing: the results before the first that is missing.
pub(crate) fn until<S, R: Send>(
    count: u64,
    space: impl Fn() -> S + Sync,
    work: impl Fn(&mut S, u64) -> Option<R> + Sync,
) -> Vec<R> {
    let done = Done(Mutex::default());
    let (next, ended) = (AtomicU64::new(0), AtomicBool::new(false));
    each(threads(), &|_| {
        let mut own = None;
        // Numbers are dealt one by one, so that what is done at any moment is whole but for its end.
        while !ended.load(Ordering::Relaxed) {
            let k = next.fetch_add(1, Ordering::Relaxed);
            if k >= count {
                break;
            }
            match work(own.get_or_insert_with(&space), k) {
                Some(result) => done.put(k, result),
                None => ended.store(true, Ordering::Relaxed),
            }
        }
    });
    done.in_order().into_iter().enumerate().take_while(|(k, d)| *k as u64 == d.0).map(|(_, d)| d.1).collect()
}

#[cfg(test)]
mod tests {
    use super::{map, until};

    #[test]
    fn results_stand_in_order_and_end_before_the_first_that_is_missing() {
        let numbers: Vec<u64> = (0..1000).collect();
        assert_eq!(map(&numbers, |k| k + 1), (1..1001).collect::<Vec<u64>>());
        assert_eq!(until(1000, || (), |(), k| Some(k)), numbers);
        let some = until(1_000_000, || (), |(), k| (k != 500).then_some(k));
        assert_eq!(some, (0..500).collect::<Vec<u64>>());
    }
}
