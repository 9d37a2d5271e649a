//! Several files at once, and work that needs a large stack. Where threads cannot be had, everything is done
//! in turn, and on the stack that there is.

use super::guard::caught;
use super::outcome::Failure;
use crate::question::Engine;
use crate::rehearsal::ahead::{self, Ahead};
use crate::setup::Setup;
use std::cell::Cell;
use std::sync::{Mutex, PoisonError};
use std::thread;

thread_local! {
    /// This thread is one of several that share the processors out among them.
    static SHARES: Cell<bool> = const { Cell::new(false) };
}

/// Whether this system has threads.
pub(super) const THREADS: bool = !cfg!(target_family = "wasm");

/// Does the work on a stack of so many bytes. The thread that waits for it makes things ready meanwhile that the work
/// comes to want; where it does not, the work makes them.
///
/// # Errors
/// As the work, or when the system gives no such stack.
pub(super) fn with_room<T: Send>(
    stack: usize,
    work: impl FnOnce() -> Result<T, Failure> + Send,
    make_ready: impl FnOnce(),
) -> Result<T, Failure> {
    if !THREADS {
        return work();
    }
    thread::scope(|scope| {
        let thread = thread::Builder::new().stack_size(stack).spawn_scoped(scope, work);
        let thread = thread.map_err(|error| Failure(format!("no room to work in: {error}")))?;
        if !SHARES.get() {
            drop(caught(make_ready));
        }
        thread.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))
    })
}

/// How much can be done at once.
fn processors() -> usize {
    if THREADS { thread::available_parallelism().map_or(1, usize::from) } else { 1 }
}

/// Does the same for each item and gives back the results in the order of the items. Items are
/// shared out among the processors one at a time, to whoever is free: one hard boat must not hold up
/// a fixed share of the others.
pub(super) fn in_parallel<I: Send, T: Send>(items: Vec<I>, one: impl Fn(I) -> T + Sync) -> Vec<T> {
    // To ask the system how many there are takes longer than one of the smaller items.
    let workers = if items.len() < 2 { 1 } else { processors().min(items.len()) };
    if workers < 2 {
        return items.into_iter().map(one).collect();
    }
    let queue = Mutex::new(items.into_iter().enumerate());
    let work = || {
        SHARES.set(true);
        let mut done = Vec::new();
        loop {
            // A worker that panicked holds no lock: the guard is gone before the work begins.
            let next = queue.lock().unwrap_or_else(PoisonError::into_inner).next();
            match next {
                Some((index, item)) => done.push((index, one(item))),
                None => {
                    SHARES.set(false);
                    return done;
                }
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

/// Does work in the engine for a boat. To follow a lost link takes about as long as all the rest, so another thread
/// does that meanwhile, unless the processors are shared out among boats.
pub(super) fn engine<T>(setup: &Setup, work: impl FnOnce(Engine) -> T) -> T {
    if !THREADS || SHARES.get() || !ahead::is_begun(setup) {
        return work(Engine::new(setup));
    }
    thread::scope(|scope| {
        let (there, ahead) = Ahead::ends();
        // If it falls there, nothing comes of it: it is done here, and falls where somebody is told.
        let follow = move || drop(caught(|| there.follow(setup)));
        let thread = thread::Builder::new().spawn_scoped(scope, follow);
        let engine = Engine::new(setup);
        work(if thread.is_ok() { engine.beside(ahead) } else { engine })
    })
}
