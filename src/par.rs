//! Work on lists: on all cores with the feature `threads`, one item after the other without. Results stand
//! in the order of the list either way, so that digits never depend on how many threads there are.

#[cfg(feature = "threads")]
pub(crate) use rayon::prelude::{IntoParallelIterator, IntoParallelRefIterator, ParallelBridge, ParallelIterator};

#[cfg(not(feature = "threads"))]
pub(crate) use single::{IntoParallelIterator, IntoParallelRefIterator};

/// The same words for one thread.
#[cfg(not(feature = "threads"))]
mod single {
    pub(crate) trait IntoParallelIterator: IntoIterator + Sized {
        fn into_par_iter(self) -> Self::IntoIter {
            self.into_iter()
        }
    }

    impl<I: IntoIterator> IntoParallelIterator for I {}

    pub(crate) trait IntoParallelRefIterator<T> {
        fn par_iter(&self) -> std::slice::Iter<'_, T>;
    }

    impl<T> IntoParallelRefIterator<T> for [T] {
        fn par_iter(&self) -> std::slice::Iter<'_, T> {
            self.iter()
        }
    }
}

/// Does the work for each number below `count`, in turn, with a work space for each thread, until one gives
/// nothing: the results before the first that is missing.
pub(crate) fn until<S, R: Send>(
    count: u64,
    space: impl Fn() -> S + Sync + Send,
    work: impl Fn(&mut S, u64) -> Option<R> + Sync + Send,
) -> Vec<R> {
    #[cfg(feature = "threads")]
    {
        let numbered = |space: &mut S, k: u64| work(space, k).map(|result| (k, result));
        // Numbers are dealt one by one, so that what is done at any moment is whole but for its end.
        let mut done: Vec<(u64, R)> = (0..count).par_bridge().map_init(space, numbered).while_some().collect();
        done.sort_unstable_by_key(|d| d.0);
        done.into_iter().enumerate().take_while(|(k, d)| *k as u64 == d.0).map(|(_, d)| d.1).collect()
    }
    #[cfg(not(feature = "threads"))]
    {
        let mut space = space();
        (0..count).map_while(|k| work(&mut space, k)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::until;

    #[test]
    fn results_stand_in_order_and_end_before_the_first_that_is_missing() {
        assert_eq!(until(1000, || (), |(), k| Some(k)), (0..1000).collect::<Vec<u64>>());
        let some = until(1_000_000, || (), |(), k| (k != 500).then_some(k));
        assert_eq!(some, (0..500).collect::<Vec<u64>>());
    }
}
