//! Turns an outcome into an exit status; everything else is in the library.

use lidcard::cli::{Screen, Streams, guard, run};
use std::io::{BufWriter, stderr, stdin, stdout};
use std::process::ExitCode;

fn main() -> ExitCode {
    std::panic::set_hook(Box::new(guard::note));
    let mut streams = Streams {
        stdin: &mut stdin().lock(),
        stdout: &mut BufWriter::new(stdout().lock()),
        stderr: &mut stderr().lock(),
        screen: Screen::of_process(),
    };
    ExitCode::from(run(std::env::args_os(), &mut streams).code())
}
