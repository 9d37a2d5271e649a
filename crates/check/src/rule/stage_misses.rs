//! A stage of the unit does not surely do what it is there for.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::Path;

pub(super) const NAME: &str = "stage-misses";

/// Once for each work that a stage names.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    let Some(unit) = &setup.fail_safe else { return };
    for state in engine.states() {
        let StateId::Stage(index) = state.id else { continue };
        let stage = &unit.stages[index];
        for &function in &stage.works {
            let w = setup.work(function);
            let name = setup.work_name(function);
            questions.push(
                Draft::new(NAME, Severity::Error, Subject::InStage(index, function), state.id)
                    .place("work", Subject::Function(function))
                    .at(
                        Path::of(["fail_safe", "stages", &index.to_string(), "set"]),
                        format!("does not surely engage {name}"),
                    )
                    .and_at(
                        say::threshold_path(setup, function),
                        format!("surely engaged only from {}", say::signed_percent(&w.from.farthest(w.sign))),
                    )
                    .help("set the stage farther from rest, but short of the stop")
                    .asks(
                        Asks::Misses {
                            function,
                            place: state.places[function.device].clone(),
                            over: engine.unattended(state),
                            fully: false,
                        },
                        format!("stage {} may fail to engage {name}, the {}", stage.name, w.kind.called()),
                        format!("stage {} surely engages {name}", stage.name),
                    ),
            );
        }
    }
}
