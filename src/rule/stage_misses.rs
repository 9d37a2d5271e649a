//! A stage of the unit does not surely do what it is there for.

use super::context::Context;
use super::say::{self, Draft};
use super::states::StateKind;
use crate::finding::{Finding, Severity};
use crate::setup::Path;

/// The rule's name.
pub const NAME: &str = "stage-misses";

/// Once for each work that a stage names.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    let Some(unit) = &setup.fail_safe else { return };
    for state in context.states() {
        let StateKind::Stage(index) = state.kind else { continue };
        let stage = &unit.stages[index];
        for &work in &stage.works {
            let w = setup.work(work);
            let place = &state.places[work.device];
            let answer = context.may_miss(work, place, &context.everything, false);
            let name = setup.work_name(work);
            let needed = w.from.farthest(w.sign);
            findings.push(
                Draft::new(NAME, Severity::Error, format!("{}.{}", stage.name, w.name), &state.name)
                    .on_side(w.sign)
                    .place("work", name.clone())
                    .account_missing(context, work, place, (&context.everything, false), &answer)
                    .at(
                        Path::of(["fail_safe", "stages", &index.to_string(), "set"]),
                        format!("does not surely engage {name}"),
                    )
                    .and_at(
                        say::threshold_path(setup, work),
                        format!("surely engaged only from {}", say::signed_percent(&needed)),
                    )
                    .help("set the stage farther from rest, but short of the stop")
                    .close(
                        context,
                        &answer,
                        &format!("stage {} may fail to engage {name}, the {}", stage.name, w.kind.name),
                        &format!("stage {} surely engages {name}", stage.name),
                    ),
            );
        }
    }
}
