//! The receiver's preset engages something that sinks, or something reserved.

use super::context::Context;
use super::say::{self, Draft};
use super::states::Place;
use crate::finding::{Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::{Input, OnLoss, Path};

/// The rule's name.
pub const NAME: &str = "waiting-engages";

/// Once for each work that a preset must leave alone.
pub fn ask<'a>(context: &Context<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = context.setup;
    let OnLoss::Preset { works: named, .. } = &setup.receiver.on_loss else { return };
    let Some(waiting) = context.states().iter().find(|s| s.id == StateId::Waiting) else { return };
    for (function, w) in context.works() {
        if !(w.kind.sinks() || (w.is_reserved() && !named.contains(&function))) {
            continue;
        }
        let place = &waiting.places[function.device];
        if !matches!(place, Place::Fixed { .. }) {
            continue;
        }
        let Input::Channel(channel) = setup.devices[function.device].input else { continue };
        let name = setup.work_name(function);
        let number = setup.channels[channel].number.to_string();
        questions.push(
            Draft::new(NAME, Severity::Error, Subject::Function(function), waiting.id)
                .at(Path::of(["receiver", "on_loss", &number]), format!("this preset may engage {name}"))
                .and_at(
                    say::threshold_path(setup, function),
                    format!("may be engaged from {}", say::signed_percent(&w.from.nearest(w.sign))),
                )
                .help("store another preset; after any change of reverse or of the transmitter store it anew and measure it")
                .asks(
                    Asks::Engages { function, place: place.clone(), over: context.unattended(waiting) },
                    format!("the receiver's preset may engage {name}, the {}", w.kind.name),
                    format!("the receiver's preset leaves {name} surely off"),
                ),
        );
    }
}
