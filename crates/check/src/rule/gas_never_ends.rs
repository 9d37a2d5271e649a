//! Emergency gas is held open until the bottle is empty.

use super::engine::Engine;
use super::say::{self, Draft};
use super::states::PulsePlace;
use crate::finding::{Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::{OnLoss, Path, UnitActs};

pub(super) const NAME: &str = "gas-never-ends";

/// Once for each emergency gas valve and each state that lasts until the signal returns.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (work, w) in engine.works().filter(|(_, w)| w.kind.emergency) {
        for state in engine.states() {
            let place = &state.places[work.device];
            // Where the pilot still decides, or nothing is told, nobody holds it open by intention.
            if !matches!(place, PulsePlace::Fixed { .. }) {
                continue;
            }
            let (path, stage, named) = match (state.id, &setup.fail_safe, &setup.receiver.on_loss) {
                (StateId::Stage(index), Some(unit), _)
                    if index + 1 == unit.stages.len() && unit.stages[index].lasts.is_none() =>
                {
                    let stage = &unit.stages[index];
                    let path = Path::of(["fail_safe", "stages", &index.to_string()]);
                    // Set in an earlier stage and never taken back counts as much as set here.
                    let named = unit.stages.iter().any(|s| s.works.contains(&work));
                    (path, format!("the last stage, {},", stage.name), named)
                }
                (StateId::Waiting, _, OnLoss::Preset { works, .. }) if engine.unit != UnitActs::Sure => (
                    Path::of(["receiver", "on_loss"]),
                    "the receiver's preset".to_owned(),
                    works.contains(&work),
                ),
                _ => continue,
            };
            // A valve that nobody asked for is the mistake of another rule.
            if !named {
                continue;
            }
            let name = setup.work_name(work);
            questions.push(
                Draft::new(NAME, Severity::Warning, Subject::Function(work), state.id)
                    .at(path, "lasts until the signal returns")
                    .and_at(
                        say::threshold_path(setup, work),
                        format!("may be open from {}", say::signed_percent(&w.from.nearest(w.sign))),
                    )
                    .help("give the stage a `lasts`, long enough to bring her up, and let a stage follow that shuts the valve: `{name: rest, set: {4: 0 %}}`")
                    .asks(
                        Asks::Engages {
                            function: work,
                            place: place.clone(),
                            over: engine.unattended(state),
                        },
                        format!("{stage} may hold {name}, the {}, open until the bottle is empty", w.kind.called()),
                        format!("{stage} leaves {name} shut"),
                    ),
            );
        }
    }
}
