//! A stage of the unit may engage something it is not there for, or something that sinks.

use super::context::Context;
use super::say::{self, Draft};
use super::states::StateKind;
use crate::finding::{Finding, Severity};
use crate::setup::{Input, Path};

/// The rule's name.
pub const NAME: &str = "stage-engages";

/// Once for each stage and each work that it must leave alone.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    let Some(unit) = &setup.fail_safe else { return };
    for (work, w) in context.works() {
        let on_unit =
            matches!(setup.devices[work.device].input, Input::Channel(c) if unit.channels.contains(&c));
        for (at, state) in context.states().iter().enumerate() {
            let (StateKind::Stage(index) | StateKind::StageWhilePiloting(index)) = state.kind else {
                continue;
            };
            let stage = &unit.stages[index];
            let place = &state.places[work.device];
            let again = matches!(state.kind, StateKind::StageWhilePiloting(_))
                && context
                    .states()
                    .iter()
                    .any(|s| s.kind == StateKind::Stage(index) && s.places[work.device] == *place);
            let named = stage.works.contains(&work);
            if !again && (w.kind.sinks() || (on_unit && !named)) {
                // What was engaged before may not have let go yet.
                let held = context.held_before(work, at);
                let answer = context.may_engage(work, place, &context.everything, held);
                let name = setup.work_name(work);
                let mut draft =
                    Draft::new(NAME, Severity::Error, format!("{}.{}", stage.name, w.name), &state.name)
                        .on_side(w.sign)
                        .place("work", name.clone())
                        .account_engaging(context, work, place, &context.everything, held, &answer)
                        .at(
                            Path::of(["fail_safe", "stages", &index.to_string(), "set"]),
                            format!("may engage {name}"),
                        )
                        .and_at(
                            say::threshold_path(setup, work),
                            format!("may be engaged from {}", say::signed_percent(&w.from.nearest(w.sign))),
                        );
                draft = if on_unit {
                    draft.help("set another position in this stage, or name the work under the stage's `works` if it is there for it")
                } else {
                    draft.help("run this work's channel through the unit too, and set it to a safe position in each stage")
                };
                findings.push(draft.close(
                    context,
                    &answer,
                    &format!("stage {} may engage {name}, the {}", stage.name, w.kind.name),
                    &format!("stage {} leaves {name} surely off", stage.name),
                ));
            }
        }
    }
}
