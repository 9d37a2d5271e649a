//! `lidcard endpoints`: the windows of every way, and a picture of each axis.

use super::args::{Colour, Endpoints, TableFormat};
use super::outcome::{Failure, Outcome};
use super::{Streams, boat, check};
use crate::report::{endpoints, endpoints_json, human};
use crate::rule;

/// Prints the windows. That one is empty or missed is for `check` to complain about.
pub fn run(args: &Endpoints, colour: Colour, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    let look = streams.screen.look_of_stderr(colour);
    let (source, setup) = match boat::load_one(&args.file, streams.stdin)? {
        Ok(loaded) => loaded,
        Err(report) => {
            streams.complain(human::file(&report, look, false))?;
            return Ok(Outcome::Failed);
        }
    };
    let (ways, reach) = (rule::endpoints(&setup), rule::reach(&setup));
    let text = match args.format {
        TableFormat::Human => {
            let look = streams.screen.look_of_stdout(colour);
            endpoints::file(&source.name, &setup, &ways, &reach, look)
        }
        TableFormat::Json => check::json(&endpoints_json::endpoints(&source.name, &ways, &reach))?,
    };
    streams.say(text)?;
    Ok(Outcome::Clean)
}
