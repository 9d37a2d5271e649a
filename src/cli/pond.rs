//! `lidcard pond`: the boats of a day on one board.

use super::args::{Colour, Pond, TableFormat};
use super::guard::{caught, fallen};
use super::outcome::{Failure, Outcome};
use super::{Streams, boat, check};
use crate::pond::{self, Boat};
use crate::report::{human, pond as board, pond_json};

/// Reads the files, and says which boats cannot sail together.
pub(super) fn run(args: &Pond, colour: Colour, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    let look = streams.screen.look_of_stderr(colour);
    let (mut boats, mut unread) = (Vec::new(), Vec::new());
    for origin in boat::origins(&args.files, streams.stdin)? {
        let name = origin.name();
        let read = caught(|| boat::load(origin).map(|(source, setup)| Boat::of(&source.name, &setup)));
        match read.unwrap_or_else(|why| Err(Box::new(fallen(&name, why)))) {
            Ok(boat) => boats.push(boat),
            Err(report) => {
                streams.complain_drawn(&human::file(&report, look, false), look)?;
                unread.push(report.name().to_owned());
            }
        }
    }
    let pond = pond::pond(boats)
        .ok_or_else(|| Failure(format!("more than {} frequencies: no pond has so many", pond::MOST)))?;
    let text = match args.format {
        TableFormat::Human => board::board(&pond, unread.len(), streams.screen.look_of_stdout(colour)),
        TableFormat::Json => check::json(&pond_json::board(&pond, &unread))?,
    };
    streams.say(text)?;
    Ok(match (unread.is_empty(), pond.conflicts.is_empty()) {
        (false, _) => Outcome::Failed,
        (true, false) => Outcome::Found,
        (true, true) => Outcome::Clean,
    })
}
