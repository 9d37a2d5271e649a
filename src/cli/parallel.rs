//! Several files at once, and work that needs a large stack. Where threads cannot be had, everything is done
//! in turn, and on the stack that there is.

use super::outcome::Failure;
use std::sync::{Mutex, PoisonError};
use std::thread;

/// Whether this system has threads.
pub(super) const THREADS: bool = !cfg!(target_family = "wasm");

/// Does the work on a stack of so many bytes.
///
/// # Errors
/// As the work, or when the system gives no such stack.
pub(super) fn with_room<T: Send>(
    stack: usize,
    work: impl FnOnce() -> Result<T, Failure> + Send,
) -> Result<T, Failure> {
    if !THREADS {
        return work();
    }
    thread::scope(|scope| {
        let thread = thread::Builder::new().stack_size(stack).spawn_scoped(scope, work);
        let thread = thread.map_err(|error| Failure(format!("no room to work in: {error}")))?;
        thread.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))
    })
}

/// Does the same for each item and gives back the results in the order of the items. Items are
/// shared out among the processors one at a time, to whoever is free: one hard boat must not hold up
/// a fixed share of the others.
pub(super) fn in_parallel<I: Send, T: Send>(items: Vec<I>, one: impl Fn(I) -> T + Sync) -> Vec<T> {
    let workers = thread::available_parallelism().map_or(1, usize::from).min(items.len());
    if workers < 2 || !THREADS {
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
