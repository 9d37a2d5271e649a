//! What takes longer than a moment shows how far it is: on standard error, and only where somebody reads along.

use super::Screen;

/// Work of which somebody is told how far it is, for as long as this is held.
pub(super) struct Progress(Option<shown::Bar>);

impl Progress {
    /// Begins work of so many steps; of work whose steps nobody knows, none. `what` says what is done.
    pub(super) fn begin(screen: Screen, what: &'static str, steps: usize) -> Self {
        Self(if wanted(screen) { shown::begin(what, steps, screen.colour) } else { None })
    }

    /// One step is done.
    pub(super) fn step(&self) {
        if let Some(bar) = &self.0 {
            bar.step();
        }
    }

    /// What is done now.
    pub(super) fn now(&self, what: impl Into<String>) {
        if let Some(bar) = &self.0 {
            bar.now(what.into());
        }
    }
}

/// Does work whose steps nobody knows.
pub(super) fn during<T>(screen: Screen, what: &'static str, work: impl FnOnce() -> T) -> T {
    let _progress = Progress::begin(screen, what, 0);
    work()
}

/// A file or a pipe is not written over and over, and who wants quiet gets it.
fn wanted(screen: Screen) -> bool {
    screen.stderr_terminal && !screen.quiet
}

#[cfg(not(target_family = "wasm"))]
pub(super) mod shown {
    use super::super::write::stop;
    use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
    use std::sync::atomic::{AtomicBool, Ordering};
    use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
    use std::thread::JoinHandle;
    use std::time::Duration;

    /// What is over sooner shows nothing.
    const PATIENCE: Duration = Duration::from_secs(1);
    /// How often it is drawn while nothing moves.
    const BEAT: Duration = Duration::from_millis(120);
    /// Whether a line is on the screen that whoever ends the program has to take away.
    static ON_SCREEN: AtomicBool = AtomicBool::new(false);

    /// A line that appears when the work takes long, and goes with it.
    pub(in super::super) struct Bar {
        bar: ProgressBar,
        over: Option<Sender<()>>,
        patience: Option<JoinHandle<()>>,
    }

    /// Begins a line; it appears when its time has come.
    pub(super) fn begin(what: &'static str, steps: usize, colour: bool) -> Option<Bar> {
        let bar = ProgressBar::with_draw_target(Some(steps as u64), ProgressDrawTarget::hidden());
        bar.set_style(style(steps > 0, colour));
        bar.set_message(what);
        let (over, waiting) = channel();
        let shown = bar.clone();
        let patience = std::thread::Builder::new().name("progress".to_owned()).spawn(move || {
            if waiting.recv_timeout(PATIENCE) == Err(RecvTimeoutError::Timeout) {
                stop::watch();
                ON_SCREEN.store(true, Ordering::SeqCst);
                shown.set_draw_target(ProgressDrawTarget::stderr());
                shown.enable_steady_tick(BEAT);
            }
        });
        // Without a thread for it nothing is shown, and the work is done all the same.
        Some(Bar { bar, over: Some(over), patience: Some(patience.ok()?) })
    }

    impl Bar {
        pub(super) fn step(&self) {
            self.bar.inc(1);
        }

        pub(super) fn now(&self, what: String) {
            self.bar.set_message(what);
        }
    }

    impl Drop for Bar {
        fn drop(&mut self) {
            drop(self.over.take());
            if let Some(patience) = self.patience.take() {
                // It cannot panic, and if it did the line would not be there.
                let _ = patience.join();
            }
            self.bar.finish_and_clear();
            ON_SCREEN.store(false, Ordering::SeqCst);
        }
    }

    /// What takes the line away that is on the screen, if one is.
    pub(in super::super) fn wiped() -> &'static str {
        // Back to the first column, and erase to the end of the line (ECMA-48, CR and EL).
        if ON_SCREEN.load(Ordering::SeqCst) { "\r\u{1b}[K" } else { "" }
    }

    fn style(counted: bool, colour: bool) -> ProgressStyle {
        let template = match (counted, colour) {
            (true, true) => "{spinner} {msg} [{bar:30.cyan}] {pos}/{len}",
            (true, false) => "{spinner} {msg} [{bar:30}] {pos}/{len}",
            (false, _) => "{spinner} {msg} {elapsed}",
        };
        let plain = ProgressStyle::default_bar().progress_chars("#- ").tick_chars("|/-\\ ");
        // The templates are ours; one that could not be read would leave the usual line.
        plain.clone().template(template).unwrap_or(plain)
    }
}

/// A page has no terminal and no threads.
#[cfg(target_family = "wasm")]
pub(super) mod shown {
    pub(in super::super) enum Bar {}

    pub(super) fn begin(_: &'static str, _: usize, _: bool) -> Option<Bar> {
        None
    }

    impl Bar {
        pub(super) fn step(&self) {}
        pub(super) fn now(&self, _: String) {}
    }
}

#[cfg(test)]
mod tests {
    use super::{Screen, wanted};

    #[test]
    fn it_is_shown_where_somebody_reads_along_and_did_not_ask_for_quiet() {
        let terminal = Screen { stderr_terminal: true, ..Screen::NONE };
        assert!(wanted(terminal));
        assert!(!wanted(Screen { quiet: true, ..terminal }));
        assert!(!wanted(Screen { stdout_terminal: true, ..Screen::NONE }));
    }
}
