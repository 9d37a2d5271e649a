//! Limits swallow a way while other controls are moved: no steering at full throttle.

use super::context::Context;
use super::say::{self, Draft};
use super::sense_reversed::{senses, shown};
use crate::finding::{Severity, StateId};
use crate::question::asks::Moved;
use crate::question::{Asks, Detail, Question};

/// The rule's name.
pub(super) const NAME: &str = "axis-lost";

/// Once for each way that wants an effect and each channel that it drives.
pub(super) fn ask<'a>(context: &Context<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = context.setup;
    for sense in senses(setup) {
        let Moved { channel, control, side, .. } = sense.moved;
        let way = &setup.controls[control].ways[side.index()];
        let title = setup.channel_title(channel);
        questions.push(
            Draft::new(NAME, Severity::Warning, sense.subject(), StateId::Piloting)
                .at(
                    say::channel_path(setup, channel),
                    format!("{way} may come to nothing here while other controls are held"),
                )
                .help("lower the rates or mixes so that their sum stays within 100 %, or raise the endpoint")
                .asks(
                    Asks::Moves { way: sense.moved, at_all: true },
                    format!("with other controls held, {way} may no longer move {title} at all"),
                    format!("{way} moves {title} wherever the other controls are"),
                )
                .telling(move |context, answered, draft| {
                    if let Detail::Move(worst, at_rest) = &answered.detail {
                        draft.finding.witness = shown(context, &sense, worst, *at_rest);
                    }
                }),
        );
    }
}
