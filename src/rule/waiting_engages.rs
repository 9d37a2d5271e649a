//! What comes with a lost link engages something that sinks, or something reserved: a preset, or noise.

use super::context::Context;
use super::say::{self, Draft};
use super::states::Place;
use crate::finding::{BROKEN, Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::{Input, OnLoss, Path, WorkRef};

/// The rule's name.
pub const NAME: &str = "waiting-engages";

/// Once for each work that a preset or noise must leave alone.
pub fn ask<'a>(context: &Context<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = context.setup;
    let named: &[WorkRef] = match &setup.receiver.on_loss {
        OnLoss::Preset { works, .. } => works,
        _ => &[],
    };
    let Some(waiting) = context.states().iter().find(|s| s.id == StateId::Waiting) else { return };
    for (function, w) in context.works() {
        let place = &waiting.places[function.device];
        let Input::Channel(channel) = setup.devices[function.device].input else { continue };
        let noise = match place {
            Place::Fixed { .. } => false,
            Place::Within(..) => true,
            _ => continue,
        };
        // Nobody asks noise for anything, and it can do worse than a position that somebody stored.
        let hurts = noise && (w.kind.lets_go || super::starts_on::can_hurt(w));
        if !(w.kind.sinks() || hurts || (w.is_reserved() && !named.contains(&function))) {
            continue;
        }
        let name = setup.work_name(function);
        let number = setup.channels[channel].number.to_string();
        let path = Path::of(["receiver", "on_loss"]);
        let (path, what) = if noise { (path, "noise") } else { (path.then(&number), "this preset") };
        let help = if noise {
            "use a receiver that stops its pulses, or a fail-safe unit on this channel that `holds` until it acts; never have gas or a charge on board with a receiver that sends noise"
        } else {
            "store another preset; after any change of reverse or of the transmitter store it anew and measure it"
        };
        let told = if noise { "noise on a lost link" } else { "the receiver's preset" };
        questions.push(
            Draft::new(NAME, Severity::Error, Subject::Function(function), waiting.id)
                .at(path, format!("{what} may engage {name}"))
                .sentence(if noise { "noise" } else { BROKEN })
                .and_at(
                    say::threshold_path(setup, function),
                    format!("may be engaged from {}", say::signed_percent(&w.from.nearest(w.sign))),
                )
                .help(help)
                .asks(
                    Asks::Engages { function, place: place.clone(), over: context.unattended(waiting) },
                    format!("{told} may engage {name}, the {}", w.kind.name),
                    format!("{told} leaves {name} surely off"),
                ),
        );
    }
}
