//! `lidcard rehearse`: the fail-safe in time and water. A boat that stays down exits with 1 and says which
//! findings of `check` have a part in it.

use super::args::{Colour, Rehearse, TableFormat};
use super::outcome::{Failure, Outcome};
use super::progress::Progress;
use super::{Streams, boat, check, hand};
use crate::finding::Finding;
use crate::physics::units::Metres;
use crate::rehearsal::{Cause, Start, rehearse, solve};
use crate::report::{human, rehearsal, rehearsal_json};
use crate::rule::{self, matrix::at_power_up};
use crate::setup::Setup;

/// Whether a finding has a part in a boat's not coming up: what she does when nobody steers her, and what is
/// to empty her tank.
fn matters(setup: &Setup, finding: &Finding) -> bool {
    let empties = || setup.tank.emptied_by.iter().any(|(work, _)| setup.work_name(*work) == finding.about);
    finding.is_open() && (finding.state != PILOTING || empties())
}

/// The state in which somebody steers her.
const PILOTING: &str = "piloting";

/// Prints what happens. Whether that is good enough is for `check` and a tethered test to say.
pub(super) fn run(args: &Rehearse, colour: Colour, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
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
    let progress = Progress::begin(streams.screen, "rehearsing", 0);
    let found = rehearse(&setup, cause, &start);
    let solved = args.solve.then(|| solve::solve(&setup, &start));
    let stays = [&found.nominal, &found.worst].into_iter().any(|run| run.comes_up() == Some(false));
    let findings = if stays { rule::check(&setup) } else { Vec::new() };
    drop(progress);
    let findings: Vec<&Finding> = findings.iter().filter(|f| matters(&setup, f)).collect();
    let text = match args.format {
        TableFormat::Human => {
            let look = streams.screen.look_of_stdout(colour);
            let mut text = rehearsal::file(&source.name, &setup, &found, look);
            if cause == Cause::PowerUp {
                let table = at_power_up(&rule::Engine::new(&setup));
                text.push_str(&rehearsal::proved(&table, look));
            }
            if stays {
                text.push_str(&rehearsal::stays(&findings, look));
            }
            if let Some(solved) = &solved {
                text.push_str(&rehearsal::solved(&setup, solved, look));
            }
            text
        }
        TableFormat::Json => {
            check::json(&rehearsal_json::rehearsal(&source.name, &setup, &found, solved.as_ref(), &findings))?
        }
    };
    streams.say(text)?;
    Ok(if stays { Outcome::Found } else { Outcome::Clean })
}
