//! `lidcard rehearse`: the fail-safe in time and water.

use super::args::{Colour, Rehearse, TableFormat};
use super::outcome::{Failure, Outcome};
use super::{Streams, boat, check, hand};
use crate::physics::units::Metres;
use crate::rehearsal::{Start, rehearse, solve};
use crate::report::{human, rehearsal, rehearsal_json};

/// Prints what happens. Whether that is good enough is for `check` and a tethered test to say.
pub fn run(args: &Rehearse, colour: Colour, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    let look = streams.screen.look_of_stderr(colour);
    let (source, setup) = match boat::load_one(&args.file, streams.stdin)? {
        Ok(loaded) => loaded,
        Err(report) => {
            streams.complain_drawn(&human::file(&report, look, false), look)?;
            return Ok(Outcome::Failed);
        }
    };
    let hand = args.from.as_deref().map(|from| hand::told(&setup, from)).transpose()?;
    let start = Start { hand, depth: args.depth.map(Metres) };
    let cause = args.cause.into();
    let found = rehearse(&setup, cause, &start);
    let solved = args.solve.then(|| solve::solve(&setup, &start));
    let text = match args.format {
        TableFormat::Human => {
            let look = streams.screen.look_of_stdout(colour);
            let mut text = rehearsal::file(&source.name, &setup, &found, look);
            if let Some(solved) = &solved {
                text.push_str(&rehearsal::solved(&setup, solved, look));
            }
            text
        }
        TableFormat::Json => {
            check::json(&rehearsal_json::rehearsal(&source.name, &setup, &found, solved.as_ref()))?
        }
    };
    streams.say(text)?;
    Ok(Outcome::Clean)
}
