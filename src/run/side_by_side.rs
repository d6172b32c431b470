//! Work on many things side by side, so that no more are in memory than threads and none stops another.
//!
//! These are threads of their own. The pool that reads files within a contract would, while it waits for one, begin the next
//! contract on top of it, and so hold all of them.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// Typesetting a long package goes deep.
const STACK: usize = 64 << 20;

/// What `work` makes of each thing, in their order; `None` where it broke down. `tick` is called with how many are done.
pub(super) fn side_by_side<T: Sync, R: Send>(
    things: &[T],
    work: impl Fn(&T) -> R + Sync,
    tick: impl Fn(usize) + Sync,
) -> Vec<Option<R>> {
    let (next, done) = (AtomicUsize::new(0), AtomicUsize::new(0));
    let made: Vec<Mutex<Option<R>>> = things.iter().map(|_| Mutex::new(None)).collect();
    let take = || {
        while let Some((thing, place)) = next_of(&next, things, &made) {
            let result = catch_unwind(AssertUnwindSafe(|| work(thing))).ok();
            if let Ok(mut place) = place.lock() {
                *place = result;
            }
            tick(done.fetch_add(1, Ordering::SeqCst) + 1);
        }
    };
    thread::scope(|scope| {
        let threads = rayon::current_num_threads().min(things.len());
        let started =
            (0..threads).filter(|_| thread::Builder::new().stack_size(STACK).spawn_scoped(scope, take).is_ok());
        if started.count() == 0 {
            take();
        }
    });
    made.into_iter().map(|place| place.into_inner().ok().flatten()).collect()
}

fn next_of<'a, T, R>(next: &AtomicUsize, things: &'a [T], made: &'a [R]) -> Option<(&'a T, &'a R)> {
    let at = next.fetch_add(1, Ordering::SeqCst);
    things.get(at).zip(made.get(at))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn results_come_in_order_and_one_that_breaks_down_stops_no_other() {
        let ticks = AtomicUsize::new(0);
        let things: Vec<u32> = (0..50).collect();
        let work = |n: &u32| {
            assert!(*n != 7, "this one breaks down");
            n * n
        };
        let made = side_by_side(&things, work, |_| {
            ticks.fetch_add(1, Ordering::SeqCst);
        });
        let expected: Vec<Option<u32>> = things.iter().map(|n| (*n != 7).then_some(n * n)).collect();
        assert_eq!(made, expected);
        assert_eq!(ticks.into_inner(), 50);
        assert!(side_by_side(&[] as &[u32], |n| *n, |_| ()).is_empty());
    }
}
