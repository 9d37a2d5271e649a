//! A control springs back where the signal has to stay, or stays where it has to spring back.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Severity, StateId, Subject};
use crate::question::Question;
use crate::setup::facts::Signal;
use crate::setup::{ControlId, Input, Path, Side};

pub(super) const NAME: &str = "control-of-wrong-kind";

/// Once for each hand on a device or on a wanted work of which the file says what sort of signal it needs.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (id, device) in setup.devices.iter().enumerate() {
        let (Some(signal), Input::Channel(channel)) = (device.facts.signal, device.input) else { continue };
        for (control, _) in engine.hands_on(channel) {
            let path = Path::of(["devices", &device.name, "signal"]);
            questions.push(question(engine, Subject::Device(id), path, signal, control));
        }
    }
    for (function, w) in engine.works() {
        let (Some(signal), Input::Channel(channel)) = (w.facts.signal, setup.devices[function.device].input)
        else {
            continue;
        };
        if !Side::BOTH.into_iter().any(|side| engine.wants(channel, side, function)) {
            continue;
        }
        for (control, _) in engine.hands_on(channel) {
            let path = say::work_path(setup, function).then("signal");
            questions.push(question(engine, Subject::Function(function), path, signal, control));
        }
    }
}

fn question<'a>(
    engine: &Engine<'a>,
    subject: Subject,
    path: Path,
    signal: Signal,
    own: ControlId,
) -> Question<'a> {
    let name = subject.name(engine.setup);
    let control = &engine.setup.controls[own];
    let (sentence, needs, does, help) = match signal {
        Signal::Held => (
            "held",
            "acts only while the signal is there",
            "springs back",
            "put it on a switch, a slider or a stick without its spring",
        ),
        Signal::Momentary => (
            "touch",
            "wants a touch, not a signal that stays",
            "stays where it is left",
            "put it on a button, a sprung switch or a sprung stick",
        ),
    };
    let wrong = control.springs_back == (signal == Signal::Held);
    Draft::new(NAME, Severity::Warning, subject, StateId::Piloting)
        .at(path, needs)
        .and_at(Path::of(["controls", &control.name]), does)
        .sentence(sentence)
        .name("control", &control.name)
        .help(help)
        .fact(
            wrong,
            format!("{name} {needs}, but {} {does}", control.name),
            format!("{} is the kind of control that {name} needs", control.name),
        )
}
