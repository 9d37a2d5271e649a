//! Something that heats, fires or is called dangerous may go on when the link is lost.

use super::engine::Engine;
use super::say::{self, Draft};
use super::states::PulsePlace;
use crate::finding::{Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::{OnLoss, Path, Reserved, Setup, WorkRef};

pub(super) const NAME: &str = "burns-on-after-loss";

/// The functions that a preset or a stage is there to engage.
fn named_by(setup: &Setup, state: StateId) -> &[WorkRef] {
    match (state, &setup.fail_safe, &setup.receiver.on_loss) {
        (StateId::Stage(index), Some(unit), _) => &unit.stages[index].works,
        (_, _, OnLoss::Preset { works, .. }) => works,
        _ => &[],
    }
}

/// Once for each such work and each state in which a lost link may leave her.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (function, w) in engine.works() {
        let runs_on = w.kind.heats || w.facts.dangerous;
        if !(runs_on || w.kind.lets_go) {
            continue;
        }
        for (state, named) in engine.at_the_end() {
            let place = &state.places[function.device];
            // What fires or lets go does so once: holding it where it was does nothing new. A
            // reserved work is the business of the rules about presets and stages.
            let held = matches!(place, PulsePlace::Fixed { .. }) && w.reserved == Reserved::No;
            // A hook that lets its tow go when the link is lost is named for that.
            let meant = !w.kind.fires && !w.facts.dangerous && named_by(setup, state.id).contains(&function);
            let fires = held && !meant;
            if !(runs_on || fires) {
                continue;
            }
            let title = setup.work_name(function);
            let told = named.clause(setup);
            let path = match state.id {
                StateId::Stage(index) => Path::of(["fail_safe", "stages", &index.to_string()]),
                _ => Path::of(["receiver", "on_loss"]),
            };
            questions.push(
                Draft::new(NAME, Severity::Error, Subject::Function(function), named)
                    .at(path, "what reaches it when the link is lost")
                    .and_at(
                        say::threshold_path(setup, function),
                        format!("may be engaged from {}", say::signed_percent(&w.from.nearest(w.sign))),
                    )
                    .help("set this channel to where it is surely off, by a preset or by a stage; for fire, steam and fuel have a tap or switch to hand as well")
                    .asks(
                        Asks::Engages { function, place: place.clone(), over: engine.unattended(state) },
                        format!("{title}, the {}, may go on {told}", w.kind.called()),
                        format!("{title} is off {told}"),
                    ),
            );
        }
    }
}
