//! A library that panics over one boat or picture takes down the work on that one, and no other.

use super::outcome::Failure;
use crate::report::FileReport;
use crate::source::Mistake;
use std::any::Any;
use std::cell::RefCell;
use std::panic::{AssertUnwindSafe, PanicHookInfo, catch_unwind};

/// What to do about it.
const REPORT_IT: &str = "nothing is said of this one and nothing was made of it; the fault is not yours: please \
                         report it together with the file";

thread_local! {
    /// Where the last panic of this thread began.
    static PLACE: RefCell<Option<String>> = const { RefCell::new(None) };
}

/// Keeps the place of a panic for whoever catches it, in place of the runtime's own report.
pub fn note(panic: &PanicHookInfo<'_>) {
    let place = panic.location().map(|at| {
        // Folders above the name of the source are those of the machine that built the program.
        let file = at.file().rsplit(['/', '\\']).next().unwrap_or_default();
        format!("{file}:{}", at.line())
    });
    PLACE.with(|kept| *kept.borrow_mut() = place);
}

/// Does the work, and answers in words where and why if it panics.
///
/// # Errors
///
/// The words of the panic and where it happened.
pub fn caught<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    // What the work had in hand is dropped with it: nobody sees it half done.
    catch_unwind(AssertUnwindSafe(work)).map_err(|panic| {
        let place = PLACE.with(|kept| kept.borrow_mut().take());
        let place = place.map(|place| format!(" at {place}")).unwrap_or_default();
        format!("the program itself failed over it{place}: {}", words(panic.as_ref()))
    })
}

/// The same for work that may fail by itself.
///
/// # Errors
/// As the work, or when it panics.
pub fn guarded<T>(name: &str, work: impl FnOnce() -> Result<T, Failure>) -> Result<T, Failure> {
    caught(work).unwrap_or_else(|why| Err(Failure(format!("{name}: {why}; {REPORT_IT}"))))
}

/// A boat over which the program failed, as one that could not be read: nothing is known of it.
pub fn fallen(name: &str, why: String) -> FileReport {
    FileReport::unreadable(name, None, vec![Mistake::whole(why).help(REPORT_IT)])
}

fn words(panic: &(dyn Any + Send)) -> String {
    let text = panic.downcast_ref::<&str>().map(|text| (*text).to_owned());
    text.or_else(|| panic.downcast_ref::<String>().cloned()).unwrap_or_else(|| "no reason given".to_owned())
}

#[cfg(test)]
mod tests {
    use super::{Failure, guarded};

    #[test]
    fn a_panic_is_a_failure_with_a_name_and_the_next_work_goes_on() {
        let broken: Result<(), Failure> = guarded("newt.yaml", || panic!("width out of range: {}", 66_000));
        let why = broken.expect_err("panicked").0;
        assert!(
            why.starts_with("newt.yaml: the program itself") && why.contains("width out of range: 66000"),
            "{why}"
        );
        assert_eq!(guarded("otter.yaml", || Ok(7)).expect("goes on"), 7);
    }
}
