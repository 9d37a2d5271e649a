//! Turns an outcome into an exit status; everything else is in the library.

use lidcard::cli::write::stop;
use lidcard::cli::{Screen, Streams, guard, run};
use std::io::{BufWriter, stderr, stdin, stdout};
use std::process::ExitCode;

fn main() -> ExitCode {
    std::panic::set_hook(Box::new(guard::note));
    if let Err(why) = stop::watch() {
        // It only tidies up: the work itself is as safe without.
        eprintln!("lidcard: signals cannot be watched: {why}");
    }
    let mut streams = Streams {
        stdin: &mut stdin().lock(),
        stdout: &mut BufWriter::new(stdout().lock()),
        stderr: &mut stderr().lock(),
        screen: Screen::of_process(),
    };
    ExitCode::from(run(std::env::args_os(), &mut streams).code())
}
