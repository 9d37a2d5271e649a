//! A stage of the unit may engage something it is not there for, or something that sinks.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Severity, StateId, Subject};
use crate::question::states::State;
use crate::question::{Asks, Question};
use crate::setup::{DeviceId, Input, Path, WorkRef};

pub(super) const NAME: &str = "stage-engages";

/// Once for each stage and each work that it must leave alone.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    let Some(unit) = &setup.fail_safe else { return };
    for (function, w) in engine.works() {
        let on_unit =
            matches!(setup.devices[function.device].input, Input::Channel(c) if unit.channels.contains(&c));
        for state in engine.states() {
            let (StateId::Stage(index) | StateId::StageWhilePiloting(index)) = state.id else { continue };
            let named = unit.stages[index].works.contains(&function);
            if !again(engine, state, index, function.device) && (w.kind.sinks() || (on_unit && !named)) {
                questions.push(question(engine, state, index, function, on_unit));
            }
        }
    }
    for (device, sign) in super::after_loss::filling(setup) {
        for state in engine.states() {
            let (StateId::Stage(index) | StateId::StageWhilePiloting(index)) = state.id else { continue };
            if !again(engine, state, index, device) {
                questions.push(filled(engine, state, index, (device, sign)));
            }
        }
    }
}

/// A pump behind a controller that fills her sinks her as a valve does.
fn filled<'a>(
    engine: &Engine<'a>,
    state: &State,
    index: usize,
    (device, sign): (DeviceId, i32),
) -> Question<'a> {
    let setup = engine.setup;
    let name = &setup.devices[device].name;
    let stage = setup.fail_safe.as_ref().map_or("", |unit| unit.stages[index].name.as_str());
    Draft::new(NAME, Severity::Error, Subject::Device(device), state.id)
        .at(Path::of(["fail_safe", "stages", &index.to_string(), "set"]), format!("may let {name} fill her"))
        .and_at(Path::of(["devices", name, "effects"]), "it fills her")
        .sentence("fills")
        .help("run its channel through the unit, and set it in each stage to where it stands still or empties her")
        .asks(
            super::after_loss::fills(engine, device, sign, state),
            format!("stage {stage} may let {name} fill her"),
            format!("stage {stage} lets {name} fill nothing"),
        )
}

/// Whether an alarm puts the device where a lost link does: that is asked already.
fn again(engine: &Engine, state: &State, index: usize, device: DeviceId) -> bool {
    let place = &state.places[device];
    let same = |s: &State| s.id == StateId::Stage(index) && s.places[device] == *place;
    matches!(state.id, StateId::StageWhilePiloting(_)) && engine.states().iter().any(same)
}

fn question<'a>(
    engine: &Engine<'a>,
    state: &State,
    index: usize,
    function: WorkRef,
    on_unit: bool,
) -> Question<'a> {
    let setup = engine.setup;
    let (w, name) = (setup.work(function), setup.work_name(function));
    let stage = setup.fail_safe.as_ref().map_or("", |unit| unit.stages[index].name.as_str());
    Draft::new(NAME, Severity::Error, Subject::InStage(index, function), state.id)
        .place("work", Subject::Function(function))
        .at(Path::of(["fail_safe", "stages", &index.to_string(), "set"]), format!("may engage {name}"))
        .and_at(
            say::threshold_path(setup, function),
            format!("may be engaged from {}", say::signed_percent(&w.from.nearest(w.sign))),
        )
        .help(if on_unit {
            "set another position in this stage, or name the work under the stage's `works` if it is there for it"
        } else {
            "run this work's channel through the unit too, and set it to a safe position in each stage"
        })
        .asks(
            Asks::Engages {
                function,
                place: state.places[function.device].clone(),
                over: engine.unattended(state),
            },
            format!("stage {stage} may engage {name}, the {}", w.kind.called()),
            format!("stage {stage} leaves {name} surely off"),
        )
}
