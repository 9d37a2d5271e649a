//! Turns an outcome into an exit status, and keeps a window open that would close with it; everything else is in
//! the library.

use lidcard::cli::write::stop;
use lidcard::cli::{Screen, Streams, guard, run, window};
use std::io::{BufWriter, stderr, stdin, stdout};
use std::process::ExitCode;

/// That of musl takes as long as all the rest of a check.
#[cfg(target_env = "musl")]
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    std::panic::set_hook(Box::new(guard::note));
    if let Err(why) = stop::bear_limits() {
        eprintln!("lidcard: a file that may not grow will end the program: {why}");
    }
    let started = window::Started::of_process(std::env::args_os().collect());
    let outcome = {
        let mut streams = Streams {
            stdin: &mut stdin().lock(),
            stdout: &mut BufWriter::new(stdout().lock()),
            // Not held: progress is drawn on it meanwhile, by another thread.
            stderr: &mut stderr(),
            screen: Screen::of_process(),
        };
        run(started.words.clone(), &mut streams)
    };
    if started.keeps_window() {
        window::wait();
    }
    ExitCode::from(outcome.code())
}
