//! A library that panics over one boat or picture takes down the work on that one, and no other.

use super::outcome::Failure;
use crate::report::FileReport;
use crate::source::Mistake;
use crate::work::{Counted, TooMuch};
use std::any::Any;
use std::cell::RefCell;
use std::panic::{AssertUnwindSafe, PanicHookInfo, catch_unwind};

/// Why work on a boat or a picture came to no end.
#[derive(Debug)]
pub struct Fallen {
    /// What happened.
    pub why: String,
    /// What to do about it.
    pub help: &'static str,
}

impl From<Fallen> for Failure {
    fn from(Fallen { why, help }: Fallen) -> Self {
        Failure(format!("{why}; {help}"))
    }
}

/// What to do about a fault of ours.
const REPORT_IT: &str = "nothing is said of this one and nothing was made of it; the fault is not yours: please \
                         report it together with the file";

/// What to do about a boat that is too much.
const WRITE_LESS: &str = "nothing is said of this one and nothing was made of it; write the lines of `transmitter.order` that are \
                          left open, or leave out switches and functions that nothing hangs on";

thread_local! {
    /// Where the last panic of this thread began.
    static PLACE: RefCell<Option<String>> = const { RefCell::new(None) };
}

/// Keeps the place of a panic for whoever catches it, in place of the runtime's own report. Where nothing can be caught
/// it is told here, and the program ends.
pub fn note(panic: &PanicHookInfo<'_>) {
    let place = panic.location().map(|at| {
        // Folders above the name of the source are those of the machine that built the program.
        let file = at.file().rsplit(['/', '\\']).next().unwrap_or_default();
        format!("{file}:{}", at.line())
    });
    PLACE.with(|kept| *kept.borrow_mut() = place);
    if cfg!(panic = "abort") {
        let Failure(why) = fell(panic.payload()).into();
        eprintln!("lidcard: {why}");
        std::process::exit(2);
    }
}

/// Does the work, counting its steps, and answers in words where and why if it panics or is too much.
///
/// # Errors
///
/// The words of the panic and where it happened, or which part is too much.
pub fn caught<T>(work: impl FnOnce() -> T) -> Result<T, Fallen> {
    let _counted = Counted::begin();
    // What the work had in hand is dropped with it: nobody sees it half done.
    catch_unwind(AssertUnwindSafe(work)).map_err(|panic| fell(panic.as_ref()))
}

/// In words what a panic was about.
fn fell(panic: &(dyn Any + Send)) -> Fallen {
    if let Some(TooMuch(which)) = panic.downcast_ref() {
        let why = format!("there is too much to work out: {which}");
        return Fallen { why, help: WRITE_LESS };
    }
    let place = PLACE.with(|kept| kept.borrow_mut().take());
    let place = place.map(|place| format!(" at {place}")).unwrap_or_default();
    let why = format!("the program itself failed over it{place}: {}", words(panic));
    Fallen { why, help: REPORT_IT }
}

/// The same for work that may fail by itself.
///
/// # Errors
/// As the work, or when it panics.
pub fn guarded<T>(name: &str, work: impl FnOnce() -> Result<T, Failure>) -> Result<T, Failure> {
    caught(work).unwrap_or_else(|Fallen { why, help }| Err(Failure(format!("{name}: {why}; {help}"))))
}

/// A boat over which the program failed, as one that could not be read: nothing is known of it.
pub fn fallen(name: &str, Fallen { why, help }: Fallen) -> FileReport {
    FileReport::unreadable(name, None, vec![Mistake::whole(why).help(help)])
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
