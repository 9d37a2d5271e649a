//! Several files at once.

use std::sync::{Mutex, PoisonError};
use std::thread;

/// Does the same for each item and gives back the results in the order of the items. Items are
/// shared out among the processors one at a time, to whoever is free: one hard boat must not hold up
/// a fixed share of the others.
pub fn in_parallel<I: Send, T: Send>(items: Vec<I>, one: impl Fn(I) -> T + Sync) -> Vec<T> {
    let workers = thread::available_parallelism().map_or(1, usize::from).min(items.len());
    if workers < 2 {
        return items.into_iter().map(one).collect();
    }
    let queue = Mutex::new(items.into_iter().enumerate());
    let work = || {
        let mut done = Vec::new();
        loop {
            // A worker that panicked holds no lock: the guard is gone before the work begins.
            let next = queue.lock().unwrap_or_else(PoisonError::into_inner).next();
            match next {
                Some((index, item)) => done.push((index, one(item))),
                None => return done,
            }
        }
    };
    let mut all: Vec<(usize, T)> = thread::scope(|scope| {
        let threads: Vec<_> = (1..workers).map(|_| scope.spawn(work)).collect();
        let mut all = work();
        for thread in threads {
            match thread.join() {
                Ok(done) => all.extend(done),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        all
    });
    all.sort_by_key(|(index, _)| *index);
    all.into_iter().map(|(_, done)| done).collect()
}
