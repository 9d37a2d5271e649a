//! When the link is lost for good, something that sinks may be engaged.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Severity, StateId, Subject};
use crate::question::states::State;
use crate::question::{Asks, Question};
use crate::setup::{DeviceId, Input, Path, Setup, WorkRef};

pub(super) const NAME: &str = "sinks-on-loss";

/// Once for each work that sinks or device that fills her, and each state that may be the last.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    let ends = engine.at_the_end();
    for (function, w) in engine.works().filter(|(_, w)| w.kind.sinks()) {
        for (last, named) in &ends {
            let name = setup.work_name(function);
            let (place, label, help) = decides(setup, function);
            questions.push(
                Draft::new(NAME, Severity::Error, Subject::Function(function), *named)
                    .at(
                        say::threshold_path(setup, function),
                        format!("the {} may be open for good after a lost link", w.kind.called()),
                    )
                    .and_at(place, label)
                    .help(help)
                    .asks(
                        Asks::Engages {
                            function,
                            place: last.places[function.device].clone(),
                            over: engine.unattended(last),
                        },
                        format!(
                            "after a lost link {name}, the {}, may stay engaged and she goes down",
                            w.kind.called()
                        ),
                        format!("after a lost link {name} is surely off in the end"),
                    ),
            );
        }
    }
    for (device, sign) in super::after_loss::filling(setup) {
        for (last, named) in &ends {
            questions.push(filled(engine, (device, sign), last, *named));
        }
    }
}

/// What decides where a function stays without a link: its place in the file, what to say of it, and the cure.
fn decides(setup: &Setup, function: WorkRef) -> (Path, String, String) {
    match setup.devices[function.device].input {
        Input::Behind(unit) => (
            Path::of(["devices", &setup.devices[unit].name]),
            "it goes on by itself, and decides where this stays".to_owned(),
            super::away_from_unit(setup, function),
        ),
        _ => (
            Path::of(["receiver", "on_loss"]),
            "what the receiver does decides where it stays".to_owned(),
            "a fail-safe unit that is sure to act, or a receiver preset, must put this channel where nothing sinks her"
                .to_owned(),
        ),
    }
}

/// A pump behind a controller that fills her sinks her as a valve does.
fn filled<'a>(
    engine: &Engine<'a>,
    (device, sign): (DeviceId, i32),
    last: &State,
    named: StateId,
) -> Question<'a> {
    let d = &engine.setup.devices[device];
    Draft::new(NAME, Severity::Error, Subject::Device(device), named)
        .at(Path::of(["devices", &d.name, "effects"]), "it fills her, and may do so for good after a lost link")
        .and_at(Path::of(["receiver", "on_loss"]), "what the receiver does decides whether it runs")
        .sentence("fills")
        .help("a fail-safe unit that is sure to act, or a receiver preset, must put this channel where nothing fills her; or use a controller that stops without pulses")
        .asks(
            super::after_loss::fills(engine, device, sign, last),
            format!("after a lost link {} may go on filling her and she goes down", d.name),
            format!("after a lost link {} surely fills nothing in the end", d.name),
        )
}
