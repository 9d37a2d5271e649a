//! A winch, a crane or anything else that a motor moves may go on for ever when the link is lost.

use super::after_loss::set_by;
use super::engine::Engine;
use super::motor_runs_on_loss::{drives_the_boat, leaves_band, still};
use super::runs_too_long::{not_said, shortest};
use super::say::Draft;
use super::states::{PulsePlace, State};
use crate::finding::{Gap, Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::quantity::Seconds;
use crate::setup::{Device, DeviceId, Path, Setup, WorkRef};

pub(super) const NAME: &str = "runs-on-after-loss";

/// Once for each motor that does not drive the boat, and for each work that may not run for long and that nobody
/// switches off, in each state in which a lost link may leave her.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (id, device) in setup.devices.iter().enumerate().filter(|(_, d)| turns_something(setup, d)) {
        let noise = |state: &&State| {
            state.id == StateId::Waiting && matches!(state.places[id], PulsePlace::Within(..))
        };
        let ends = engine.at_the_end();
        let before = engine.states().iter().filter(|state| {
            let ended = ends.iter().any(|(end, _)| end.id == state.id);
            state.id == StateId::PowerUp || (noise(state) && !ended)
        });
        for (state, named) in ends.iter().copied().chain(before.map(|state| (state, state.id))) {
            // Without a known band only a position that the stick decides is surely outside it.
            if still(setup, device).is_some() || !matches!(state.places[id], PulsePlace::Fixed { .. }) {
                questions.push(turning(engine, id, state, named));
            }
        }
    }
    for (function, w) in engine.works() {
        // What can hurt is off in the end by another rule; what a preset or a stage keeps on is timed by a third.
        if w.can_hurt() {
            continue;
        }
        let Some((longest, limit)) = shortest(setup, function) else {
            questions.extend(unsaid(engine, function));
            continue;
        };
        for (state, named) in engine.at_the_end() {
            let place = &state.places[function.device];
            if matches!(place, PulsePlace::Fixed { .. }) {
                continue;
            }
            let name = setup.work_name(function);
            let most = longest.0.to_decimal(Seconds::PLACES);
            questions.push(
                Draft::new(NAME, Severity::Warning, Subject::Function(function), named)
                    .at(set_by(state), "leaves it as it was")
                    .and_at(limit, "and it may run no longer than this")
                    .sentence("for_long")
                    .gap("most", Gap::Seconds(longest.0.clone()))
                    .help("set this channel to where it is surely off, by a preset or by a stage")
                    .asks(
                        Asks::Engages { function, place: place.clone(), over: engine.unattended(state) },
                        format!(
                            "{name} may go on until the signal returns, but may run for {most} s in one go"
                        ),
                        format!("{name} is off with the link lost"),
                    ),
            );
            break;
        }
    }
}

/// A pump that may go on for ever and of which nobody said how long it may run.
fn unsaid<'a>(engine: &Engine<'a>, function: WorkRef) -> Option<Question<'a>> {
    let missing = not_said(engine.setup, function)?;
    let may_go_on = |state: &State| {
        let place = &state.places[function.device];
        let over = engine.unattended(state);
        !matches!(place, PulsePlace::Fixed { .. })
            && !engine.holds(&Asks::Engages { function, place: place.clone(), over })
    };
    let named = engine.at_the_end().iter().find(|(state, _)| may_go_on(state))?.1;
    let draft = Draft::new(NAME, Severity::Warning, Subject::Function(function), named);
    let holds = format!("{} may go on until the signal returns", engine.setup.work_name(function));
    Some(draft.asks(Asks::Unsaid(vec![missing]), String::new(), holds))
}

/// Whether a motor moves something other than the boat and her water.
fn turns_something(setup: &Setup, device: &Device) -> bool {
    let moves_water =
        device.all_effects().any(|(_, effect)| ["fills", "empties"].contains(&setup.effect_words(effect)));
    device.kind.runs_a_motor() && !device.kind.moves_water && !moves_water && !drives_the_boat(setup, device)
}

fn turning<'a>(engine: &Engine<'a>, id: DeviceId, state: &State, named: StateId) -> Question<'a> {
    let device = &engine.setup.devices[id];
    let told = named.clause(engine.setup);
    Draft::new(NAME, Severity::Error, Subject::Device(id), named)
        .at(Path::of(["devices", &device.name, "still_between"]), "it stands still only in here")
        .and_at(set_by(state), "what reaches it when the link is lost")
        .sentence("turns")
        .help("let the unit or a preset set this channel to rest, or use a controller that stops without pulses; an end switch that cuts the motor off is worth having besides")
        .asks(
            leaves_band(engine, id, state),
            format!("{} may keep turning {told}, whatever hangs on it", device.name),
            format!("{} stands still {told}", device.name),
        )
}
