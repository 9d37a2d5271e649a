//! Endpoint and sub-trim together ask for more than the set can send.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Gap, Outcome, Severity, StateId, Subject};
use crate::question::{Asks, Detail, Question, too_much};
use crate::setup::{ControlKind, Exact, Path, Side, SubTrimDoes};

pub(super) const NAME: &str = "travel-cut-off";

/// Once for each way of a channel with a control of its own that moves by degrees.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    let furthest = &setup.transmitter.furthest;
    // Ends that are kept cut the travel by intention of the set.
    if engine.orders.iter().all(|order| order.sub_trim == SubTrimDoes::KeepsEnds) {
        return;
    }
    for (channel, c) in setup.channels.iter().enumerate() {
        let Some(own) = c.control else { continue };
        // A button or a switch has no part of its travel to lose.
        if matches!(setup.controls[own].kind, ControlKind::Buttons | ControlKind::Switch) {
            continue;
        }
        for side in Side::BOTH {
            let name = say::way_name(setup, channel, side);
            questions.push(
                Draft::new(NAME, Severity::Warning, Subject::Way(channel, side), StateId::Piloting)
                    .at(say::endpoint_path(setup, channel, side), "")
                    .and_at(
                        Path::of(["transmitter", "furthest"]),
                        format!("the set sends {} at most", say::percent(furthest)),
                    )
                    .gap("furthest", Gap::Percent(furthest.clone()))
                    .help("or centre the horn on its spline, so that the sub-trim goes back to 0 %")
                    .asks(
                        Asks::CutsOff { channel, side },
                        format!("the last part of {name} does nothing: the set cannot send that far"),
                        format!("all of {name} moves the pulse"),
                    )
                    .telling(move |engine, answered, draft| {
                        if answered.outcome() == Outcome::Broken {
                            let told = too_much::of_travel(engine, NAME, channel, side);
                            let told =
                                told.unwrap_or_else(|| "lower the endpoint or the sub-trim".to_owned());
                            draft.finding.help.insert(0, told);
                        }
                        let asked = match &answered.detail {
                            Detail::Asked(asked) => asked.clone(),
                            _ => Exact::ZERO,
                        };
                        draft.finding.primary.1 =
                            format!("asks for {} with the sub-trim", say::percent(&asked));
                        draft.finding.gaps.push(("asked", Gap::Percent(asked)));
                    }),
            );
        }
    }
}
