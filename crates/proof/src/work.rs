//! How much is worked out for one boat.
//!
//! Counted are steps, each a look at one control in one case, and never seconds: what is too much is too much on
//! every machine. Who wants a limit holds a [`Counted`]; the step that goes past it unwinds to there with a
//! [`TooMuch`], so that nothing is said of a boat of which not all was worked out.

use std::cell::Cell;
use std::panic::{AssertUnwindSafe, catch_unwind, panic_any, resume_unwind};

/// So many steps take three to five seconds of CPU as `cargo build --release` gives the program; a boat of sixteen
/// channels takes a two-hundredth of them, and the heaviest random ones of eight, with rates and mixes by the switch, all.
pub const MOST: u64 = 32_000_000;

thread_local! {
    static LEFT: Cell<Option<u64>> = const { Cell::new(None) };
}

/// Which part of a boat is too much, in words.
#[derive(Debug)]
pub struct TooMuch(pub String);

/// Steps of this thread are counted for as long as this is held.
#[derive(Debug)]
pub struct Counted {
    /// What was left outside.
    outside: Option<u64>,
}

impl Counted {
    /// Begins to count; what was counted outside goes on when this is dropped.
    #[must_use]
    pub fn begin() -> Self {
        Self { outside: LEFT.replace(Some(MOST)) }
    }
}

impl Drop for Counted {
    fn drop(&mut self) {
        LEFT.set(self.outside);
    }
}

/// Begins to count anew, where somebody counts: a person who is asked something waits for each answer by itself.
pub fn anew() {
    if LEFT.get().is_some() {
        LEFT.set(Some(MOST));
    }
}

/// Does work, and says how many steps it took.
///
/// # Panics
/// Unwinds with a [`TooMuch`] where they are more than [`MOST`].
pub fn counting<T>(work: impl FnOnce() -> T) -> (T, u64) {
    let _counted = Counted::begin();
    let done = work();
    (done, MOST - LEFT.get().unwrap_or(0))
}

/// Does work that nothing hangs on, such as advice, with steps of its own; `None` where they were too few: what was
/// worked out before stands. Where nothing unwinds, the steps are those of whoever counts outside.
pub fn apart<T>(left: &Cell<u64>, work: impl FnOnce() -> T) -> Option<T> {
    if cfg!(panic = "abort") {
        return Some(work());
    }
    let outside = LEFT.replace(Some(left.get()));
    let done = catch_unwind(AssertUnwindSafe(work));
    left.set(LEFT.replace(outside).unwrap_or(0));
    match done {
        Ok(found) => Some(found),
        Err(panic) if panic.is::<TooMuch>() => None,
        Err(panic) => resume_unwind(panic),
    }
}

/// So many steps are about to be done for what the words name.
///
/// # Panics
/// Unwinds with a [`TooMuch`] where somebody counts and they are too many; that is no fault of the program, and no
/// hook is told unless nothing can unwind.
pub fn steps(count: usize, which: impl FnOnce() -> String) {
    let Some(left) = LEFT.get() else { return };
    let left = u64::try_from(count).ok().and_then(|count| left.checked_sub(count));
    // Whatever is dropped on the way out is not counted.
    LEFT.set(left);
    if left.is_none() {
        let too_much = TooMuch(which());
        // Where nothing unwinds the hook is the only one that can tell of it.
        if cfg!(panic = "abort") {
            panic_any(too_much);
        }
        resume_unwind(Box::new(too_much));
    }
}

#[cfg(test)]
mod tests {
    use super::{Counted, MOST, TooMuch, anew, apart, counting, steps};
    use std::cell::Cell;
    use std::panic::catch_unwind;

    fn all() -> usize {
        usize::try_from(MOST).unwrap_or(usize::MAX)
    }

    #[test]
    fn one_step_more_than_the_most_is_too_much_and_says_of_what() {
        let too_much = catch_unwind(|| {
            let _counted = Counted::begin();
            steps(all(), || unreachable!("that is not too much"));
            anew();
            steps(all(), || unreachable!("that is counted anew"));
            steps(1, || "channel 4".to_owned());
        });
        let told = too_much.expect_err("is too much").downcast::<TooMuch>().expect("in words");
        assert_eq!(told.0, "channel 4");
    }

    #[test]
    fn what_is_done_apart_has_its_own_steps_and_takes_none_of_the_others() {
        let _counted = Counted::begin();
        let left = Cell::new(10);
        assert_eq!(apart(&left, || steps(7, String::new)), Some(()));
        assert_eq!(left.get(), 3);
        assert_eq!(apart(&left, || steps(4, String::new)), None);
        assert_eq!(apart(&left, || steps(1, String::new)), None);
        steps(all(), || unreachable!("all of them are left"));
        let fell = catch_unwind(|| apart(&Cell::new(1), || panic!("a fault")));
        assert!(fell.is_err(), "a fault is no advice that was too much");
    }

    #[test]
    fn what_is_counted_by_itself_takes_none_of_the_others_and_is_known() {
        let _counted = Counted::begin();
        assert_eq!(counting(|| steps(7, String::new)), ((), 7));
        steps(all(), || unreachable!("all of them are left"));
    }

    #[test]
    fn where_nobody_counts_nothing_is_too_much() {
        steps(all(), String::new);
        drop(Counted::begin());
        steps(all(), String::new);
        steps(all(), String::new);
    }
}
