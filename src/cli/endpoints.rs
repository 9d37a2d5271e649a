//! `lidcard endpoints`: the windows of every way, and a picture of each axis.

use super::args::{Colour, Endpoints, TableFormat};
use super::outcome::{Failure, Outcome};
use super::progress::Progress;
use super::{Streams, boat, check, solve};
use crate::report::{endpoints, endpoints_json, human, solved, throws};
use crate::rule;

/// Prints the windows. That one is empty or missed is for `check` to complain about.
pub(super) fn run(args: &Endpoints, colour: Colour, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    let look = streams.screen.look_of_stderr(colour);
    if args.write && args.file.is_stdin() {
        return Err(Failure("--write needs a file to write to, not standard input".to_owned()));
    }
    let (source, setup) = match boat::load_one(&args.file, streams.stdin)? {
        Ok(loaded) => loaded,
        Err(report) => {
            streams.complain_drawn(&human::file(&report, look, false), look)?;
            return Ok(Outcome::Failed);
        }
    };
    let progress = Progress::begin(streams.screen, "working out the endpoints", 0);
    let found = args.solve.then(|| rule::solve::solve(&setup));
    let text = match args.format {
        TableFormat::Human if found.is_some() => {
            let look = streams.screen.look_of_stdout(colour);
            solved::file(&source.name, &setup, found.as_deref().unwrap_or_default(), look)
        }
        TableFormat::Human => {
            let ways = rule::endpoints(&setup);
            let look = streams.screen.look_of_stdout(colour);
            let more = rule::more::readings(&setup, &ways);
            endpoints::file(&source.name, &setup, &ways, &rule::throws(&setup), &more, look)
        }
        TableFormat::Json => {
            let (ways, reach) = (rule::endpoints(&setup), rule::reach(&setup));
            let linkages = throws::json(&setup, &rule::throws(&setup));
            let solved = found.as_deref().map(|found| solved::json(&setup, found));
            let more = rule::more::readings(&setup, &ways);
            let boat = (&source, &setup);
            check::json(&endpoints_json::endpoints(
                &source.name,
                boat,
                &ways,
                &reach,
                linkages,
                solved,
                &more,
            ))?
        }
    };
    drop(progress);
    // Written only now: a run that could not tell its values has changed nothing.
    let backup = match &found {
        Some(found) if args.write => solve::put(args.file.path(), &source, &setup, found, streams)?,
        _ => None,
    };
    if let Some(backup) = backup {
        streams.complain(format!("{} written; as it was: {}\n", args.file, backup.display()))?;
    }
    streams.say(text)?;
    Ok(Outcome::Clean)
}
