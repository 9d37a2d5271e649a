//! A run that is stopped by a signal: what is unfinished goes, what is finished is named.

use std::collections::BTreeSet;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, Once, PoisonError};

/// What lies unfinished at the moment, and what is finished.
#[derive(Default)]
struct AtWork {
    unfinished: BTreeSet<PathBuf>,
    finished: BTreeSet<PathBuf>,
}

static AT_WORK: Mutex<AtWork> = Mutex::new(AtWork { unfinished: BTreeSet::new(), finished: BTreeSet::new() });
/// Held while names change hands: that is over in a moment and must not be cut in two.
static PLACING: Mutex<()> = Mutex::new(());

fn at_work() -> MutexGuard<'static, AtWork> {
    // The sets are whole at any time: what panicked elsewhere did not leave them half changed.
    AT_WORK.lock().unwrap_or_else(PoisonError::into_inner)
}

/// From now on a signal that asks for an end leaves nothing half-written and no terminal changed, and says so. Whoever
/// only reads and prints need not: there the system's own end leaves nothing either.
pub fn watch() {
    static WATCHED: Once = Once::new();
    WATCHED.call_once(|| {
        if let Err(why) = begin() {
            // It only tidies up: the work itself is as safe without.
            eprintln!("lidcard: signals cannot be watched: {why}");
        }
    });
}

/// Makes something unfinished.
pub(super) fn holding<T>(path: &Path, make: impl FnOnce() -> io::Result<T>) -> io::Result<T> {
    watch();
    let mut at_work = at_work();
    let made = make()?;
    at_work.unfinished.insert(path.to_path_buf());
    Ok(made)
}

/// It is no longer unfinished, or no longer there.
pub(super) fn let_go(path: &Path) {
    at_work().unfinished.remove(path);
}

/// Does what must not be stopped half-way.
pub fn not_now<T>(work: impl FnOnce() -> T) -> T {
    let _placing = PLACING.lock().unwrap_or_else(PoisonError::into_inner);
    work()
}

/// It is there under its own name.
pub fn finished(path: &Path) {
    at_work().finished.insert(path.to_path_buf());
}

/// Takes away what is unfinished and answers what there is to say. Nothing is written from then on.
#[cfg(any(unix, windows))]
fn cleared() -> String {
    std::mem::forget(PLACING.lock().unwrap_or_else(PoisonError::into_inner));
    let mut at_work = at_work();
    for path in std::mem::take(&mut at_work.unfinished) {
        // What cannot be taken away now, the next run here takes away.
        let _ = super::beside::remove(&path);
    }
    let finished: Vec<String> = at_work.finished.iter().map(|path| path.display().to_string()).collect();
    std::mem::forget(at_work);
    match &finished[..] {
        [] => "nothing was written".to_owned(),
        finished => format!("written before that, and whole: {}", finished.join(", ")),
    }
}

/// From now on a file that may not grow is an error like any other.
///
/// # Errors
/// When the system does not let the signal be caught that says so.
#[cfg(unix)]
pub fn bear_limits() -> io::Result<()> {
    use signal_hook::consts::SIGXFSZ;
    use std::sync::Arc;
    use std::sync::atomic::AtomicBool;
    // Nobody reads the flag: the write that went too far fails and is told.
    signal_hook::flag::register(SIGXFSZ, Arc::new(AtomicBool::new(false))).map(|_| ())
}

/// There is no such limit.
///
/// # Errors
/// None.
#[cfg(not(unix))]
pub fn bear_limits() -> io::Result<()> {
    Ok(())
}

#[cfg(unix)]
fn begin() -> io::Result<()> {
    use super::super::progress::shown::wiped;
    use crate::source::visible::visible;
    use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
    use signal_hook::iterator::Signals;
    let mut signals = Signals::new([SIGHUP, SIGINT, SIGTERM])?;
    let terminal = rustix::termios::tcgetattr(rustix::stdio::stdin()).ok();
    std::thread::Builder::new().name("signals".to_owned()).spawn(move || {
        if let Some(signal) = signals.forever().next() {
            let told = cleared();
            terminal.iter().for_each(given_back);
            let told = format!("{}lidcard: stopped; {}\n", wiped(), visible(&told));
            // Past the library's stream: nobody who writes to it is waited for.
            let _ = rustix::io::write(rustix::stdio::stderr(), told.as_bytes());
            // Whoever started the program sees which signal ended it.
            let _ = signal_hook::low_level::emulate_default_handler(signal);
        }
    })?;
    Ok(())
}

/// Shows the cursor, and takes what is pasted as it comes (DEC private modes 25 and 2004).
#[cfg(unix)]
const PLAIN: &[u8] = b"\x1b[?25h\x1b[?2004l\r\n";

/// A terminal that was asked to hand on every key goes back to what it was.
#[cfg(unix)]
fn given_back(before: &rustix::termios::Termios) {
    use rustix::stdio::{stderr, stdin};
    use rustix::termios::{OptionalActions, tcgetattr, tcsetattr};
    if tcgetattr(stdin()).is_ok_and(|now| now.local_modes != before.local_modes) {
        // Whoever reads along sees a line of its own; a terminal that has gone needs nothing.
        let _ = tcsetattr(stdin(), OptionalActions::Now, before);
        let _ = rustix::io::write(stderr(), PLAIN);
    }
}

#[cfg(windows)]
fn begin() -> io::Result<()> {
    use super::super::progress::shown::wiped;
    use crate::source::visible::visible;
    let stopped = || {
        eprintln!("{}lidcard: stopped; {}", wiped(), visible(&cleared()));
        // As a shell calls a program that Ctrl-C ended.
        std::process::exit(130);
    };
    ctrlc::set_handler(stopped).map_err(io::Error::other)
}

/// A page is closed without a word.
#[cfg(not(any(unix, windows)))]
fn begin() -> io::Result<()> {
    Ok(())
}
