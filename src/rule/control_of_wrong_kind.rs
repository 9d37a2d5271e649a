//! A control springs back where the signal has to stay, or stays where it has to spring back.

use super::context::Context;
use super::say::{self, Draft};
use crate::finding::{Finding, Severity};
use crate::setup::facts::Signal;
use crate::setup::{ControlId, Input, Path, Side};

/// The rule's name.
pub const NAME: &str = "control-of-wrong-kind";

/// Once for each device and each wanted work of which the file says what sort of signal it needs.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    for device in &setup.devices {
        let (Some(signal), Input::Channel(channel)) = (device.facts.signal, device.input) else { continue };
        let Some(own) = setup.channels[channel].control else { continue };
        let path = Path::of(["devices", &device.name, "signal"]);
        findings.push(judge(context, device.name.clone(), path, signal, own));
    }
    for (work, w) in context.works() {
        let (Some(signal), Input::Channel(channel)) = (w.facts.signal, setup.devices[work.device].input)
        else {
            continue;
        };
        let wanted = Side::BOTH.into_iter().any(|side| context.wants(channel, side, work));
        let Some(own) = setup.channels[channel].control.filter(|_| wanted) else { continue };
        let path = say::work_path(setup, work).then("signal");
        findings.push(judge(context, setup.work_name(work), path, signal, own));
    }
}

fn judge(context: &Context, name: String, path: Path, signal: Signal, own: ControlId) -> Finding {
    let control = &context.setup.controls[own];
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
    Draft::new(NAME, Severity::Warning, name.clone(), "piloting")
        .at(path, needs)
        .and_at(Path::of(["controls", &control.name]), does)
        .sentence(sentence)
        .name("control", &control.name)
        .help(help)
        .close_plain(
            wrong,
            &format!("{name} {needs}, but {} {does}", control.name),
            &format!("{} is the kind of control that {name} needs", control.name),
        )
}
