//! The set slows down the channel that brings her up.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Gap, Severity, StateId, Subject};
use crate::question::Question;
use crate::setup::quantity::Seconds;
use crate::setup::{Exact, Side};

pub(super) const NAME: &str = "blow-slowed";

/// Once for each wanted work that raises her, on a channel that the set slows down.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (channel, c) in setup.channels.iter().enumerate() {
        let Some(slow) = &c.slow else { continue };
        for (work, w) in engine.works_on(channel).filter(|(_, w)| w.kind.raises()) {
            if !Side::BOTH.into_iter().any(|side| engine.wants(channel, side, work)) {
                continue;
            }
            // The worst is to come from the other end of the travel.
            let way = (Exact::ONE + w.from.farthest(w.sign).abs()) * Exact::ratio(1, 2);
            let seconds = &slow.0 * way;
            let name = setup.work_name(work);
            questions.push(
                Draft::new(NAME, Severity::Warning, Subject::Function(work), StateId::Piloting)
                    .at(say::channel_path(setup, channel).then("slow"), "every movement waits for this")
                    .and_at(say::threshold_path(setup, work), "and she is not blown before it is here")
                    .gap("time", Gap::Seconds(seconds.clone()))
                    .help("take the slowing off this channel; where a valve must open gently, slow the mechanism on its sinking side only")
                    .fact(
                        seconds.signum() > 0,
                        format!("the set delays {name} by up to {} s", seconds.to_decimal(Seconds::PLACES)),
                        format!("the set does not delay {name}"),
                    ),
            );
        }
    }
}
