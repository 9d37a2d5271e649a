//! What comes with a lost link engages something that sinks, or something reserved: a preset, or noise.

use super::after_loss::AGAINST_NOISE;
use super::engine::Engine;
use super::say::{self, Draft};
use super::states::{PulsePlace, State};
use crate::finding::{BROKEN, Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::{ChannelId, DeviceId, Input, OnLoss, Path, WorkRef};

pub(super) const NAME: &str = "waiting-engages";

/// Once for each work that a preset or noise must leave alone.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    let named: &[WorkRef] = match &setup.receiver.on_loss {
        OnLoss::Preset { works, .. } => works,
        _ => &[],
    };
    let Some(waiting) = engine.states().iter().find(|s| s.id == StateId::Waiting) else { return };
    for (function, w) in engine.works() {
        let place = &waiting.places[function.device];
        let Input::Channel(channel) = setup.devices[function.device].input else { continue };
        let noise = match place {
            PulsePlace::Fixed { .. } => false,
            PulsePlace::Within(..) => true,
            _ => continue,
        };
        // Nobody asks noise for anything, and it can do worse than a position that somebody stored.
        let hurts = noise && (w.kind.lets_go || w.can_hurt());
        let grave = w.kind.sinks() || hurts || (w.is_reserved() && !named.contains(&function));
        // A weight that noise lets go brings her up, and is lost before it was needed.
        if !(grave || noise && w.kind.drops) {
            continue;
        }
        let severity = if grave { Severity::Error } else { Severity::Warning };
        let name = setup.work_name(function);
        let number = setup.channels[channel].number.to_string();
        let path = Path::of(["receiver", "on_loss"]);
        let (path, what) = if noise { (path, "noise") } else { (path.then(&number), "this preset") };
        let told = if noise { "noise on a lost link" } else { "the receiver's preset" };
        questions.push(
            Draft::new(NAME, severity, Subject::Function(function), waiting.id)
                .at(path, format!("{what} may engage {name}"))
                .sentence(if noise { "noise" } else { BROKEN })
                .and_at(
                    say::threshold_path(setup, function),
                    format!("may be engaged from {}", say::signed_percent(&w.from.nearest(w.sign))),
                )
                .helps(help(engine, channel, noise, grave))
                .asks(
                    Asks::Engages { function, place: place.clone(), over: engine.unattended(waiting) },
                    format!("{told} may engage {name}, the {}", w.kind.called()),
                    format!("{told} leaves {name} surely off"),
                ),
        );
    }
    for (device, sign) in super::after_loss::filling(setup) {
        let Input::Channel(channel) = setup.devices[device].input else { continue };
        let noise = matches!(waiting.places[device], PulsePlace::Within(..));
        if noise || matches!(waiting.places[device], PulsePlace::Fixed { .. }) {
            questions.push(filled(engine, (device, sign), channel, noise, waiting));
        }
    }
}

/// What to do about a preset or noise that works the wrong thing.
fn help(engine: &Engine, channel: ChannelId, noise: bool, grave: bool) -> Vec<String> {
    if !noise {
        let stored = "store another preset; after any change of reverse or of the transmitter store it anew and measure it";
        return vec![stored.to_owned()];
    }
    let mut all = super::after_loss::passes_on(engine, channel);
    let without = if grave {
        "without either never have gas or a charge on board"
    } else {
        "without either she may come up and her weight be lost whenever she does not hear you"
    };
    all.extend([AGAINST_NOISE, without].map(str::to_owned));
    all
}

/// A pump behind a controller that fills her sinks her as a valve does, and has until the unit acts.
fn filled<'a>(
    engine: &Engine<'a>,
    (device, sign): (DeviceId, i32),
    channel: ChannelId,
    noise: bool,
    waiting: &State,
) -> Question<'a> {
    let name = &engine.setup.devices[device].name;
    let path = Path::of(["receiver", "on_loss"]);
    let number = engine.setup.channels[channel].number.to_string();
    let (path, told) =
        if noise { (path, "noise on a lost link") } else { (path.then(&number), "the receiver's preset") };
    Draft::new(NAME, Severity::Error, Subject::Device(device), waiting.id)
        .at(path, format!("may let {name} fill her"))
        .and_at(Path::of(["devices", name, "effects"]), "it fills her")
        .sentence(if noise { "noise_fills" } else { "fills" })
        .helps(help(engine, channel, noise, true))
        .asks(
            super::after_loss::fills(engine, device, sign, waiting),
            format!("{told} may let {name} fill her"),
            format!("{told} lets {name} fill nothing"),
        )
}
