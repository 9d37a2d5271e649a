//! The propeller may turn with nobody at the stick.

use super::engine::Engine;
use super::say::{self, Draft};
use super::states::{PulsePlace, State};
use crate::finding::{Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::{Device, DeviceId, Exact, Path, Setup};

pub(super) const NAME: &str = "motor-runs-on-loss";

/// Once for each speed controller that drives the boat and each state it may be left in.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (id, device) in setup.devices.iter().enumerate().filter(|(_, d)| drives_the_boat(setup, d)) {
        let ends = engine.at_the_end();
        let for_good = ends.iter().any(|(s, _)| s.id == StateId::Waiting);
        for state in engine.states() {
            // Without a known band only a position that the stick decides is surely outside it.
            if still(setup, device).is_none() && matches!(state.places[id], PulsePlace::Fixed { .. }) {
                continue;
            }
            let named = match state.id {
                StateId::Waiting if for_good => StateId::LostForGood,
                // From the moment of loss until the unit acts noise may turn it.
                StateId::Waiting if matches!(state.places[id], PulsePlace::Within(..)) => state.id,
                StateId::Stage(_) | StateId::PowerUp => state.id,
                _ => continue,
            };
            questions.push(question(engine, id, state, named));
        }
    }
}

/// Whether a device drives the boat; one whose effects are not given is taken to.
pub(super) fn drives_the_boat(setup: &Setup, device: &Device) -> bool {
    let mut effects = device.all_effects().peekable();
    device.kind.runs_a_motor()
        && !device.kind.moves_water
        && (effects.peek().is_none()
            || effects.any(|(_, effect)| setup.effect_words(effect).starts_with("drives")))
}

fn question<'a>(engine: &Engine<'a>, id: DeviceId, state: &State, named: StateId) -> Question<'a> {
    let device = &engine.setup.devices[id];
    let mut draft = Draft::new(NAME, Severity::Error, Subject::Device(id), named)
        .at(Path::of(["devices", &device.name, "still_between"]), "it stands still only in here")
        .and_at(Path::of(["receiver", "on_loss"]), "what reaches it when the link is lost");
    if matches!(named, StateId::Stage(_)) {
        draft = draft.and_at(Path::of(["fail_safe", "stages"]), "what the unit sets");
    }
    let told = named.clause(engine.setup);
    draft
        .help("let the unit or a preset set this channel to rest, or use a speed controller that stops without pulses")
        .asks(
            leaves_band(engine, id, state),
            format!("{} may keep running {told}", device.name),
            format!("{} stands still {told}", device.name),
        )
}

/// Whether a device may be outside the band in which it stands still, in a state.
pub(super) fn leaves_band(engine: &Engine, id: DeviceId, state: &State) -> Asks {
    let band = still(engine.setup, &engine.setup.devices[id]).unwrap_or([Exact::ZERO, Exact::ZERO]);
    let place = state.places[id].clone();
    Asks::Leaves { device: id, place, over: engine.unattended(state), band }
}

/// The band in which a device stands still, if it is known; a one-way controller's is not at rest.
pub(crate) fn still(setup: &Setup, device: &Device) -> Option<[Exact; 2]> {
    if device.facts.one_way {
        return Some(super::one_way_controller::still(setup, device));
    }
    device.still_between.clone()
}

/// The band in words.
pub(super) fn band(device: &Device) -> String {
    device.still_between.as_ref().map_or_else(String::new, |[low, high]| {
        format!("{} to {}", say::signed_percent(low), say::signed_percent(high))
    })
}
