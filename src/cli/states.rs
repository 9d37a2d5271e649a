//! `lidcard states`: what each cause does to every work and motor.

use super::args::{Colour, States, TableFormat};
use super::outcome::{Failure, Outcome};
use super::progress::during;
use super::{Streams, boat, check};
use crate::report::{human, states};
use crate::rule::{Engine, matrix::matrix};

/// Prints the table. Whether what it shows is good is for `check` to say.
pub(super) fn run(args: &States, colour: Colour, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    let look = streams.screen.look_of_stderr(colour);
    let (source, setup) = match boat::load_one(&args.file, streams.stdin)? {
        Ok(loaded) => loaded,
        Err(report) => {
            streams.complain_drawn(&human::file(&report, look, false), look)?;
            return Ok(Outcome::Failed);
        }
    };
    let matrix = during(streams.screen, "checking", || matrix(&Engine::new(&setup)));
    let text = match args.format {
        TableFormat::Human => {
            states::file(&source.name, &setup, &matrix, streams.screen.look_of_stdout(colour))
        }
        TableFormat::Json => check::json(&states::json(&source.name, &setup, &matrix))?,
    };
    streams.say(text)?;
    Ok(Outcome::Clean)
}
