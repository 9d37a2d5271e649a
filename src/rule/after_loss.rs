//! Where a preset or a stage sets things once the link is lost: what the rules about planes and long
//! runs have in common.

use super::context::Context;
use super::states::{Place, State, StateKind};
use crate::setup::{BoatKind, Device, Exact, Path, Setup};

/// A device that a state after a loss sets where it has an effect on the boat.
pub struct Held<'a> {
    /// The state.
    pub state: &'a State,
    /// The device.
    pub device: &'a Device,
    /// How far from rest.
    pub at: Exact,
}

/// Every device of a submarine that the receiver's preset or a stage of the unit holds at one of
/// `effects`, state by state.
pub fn held<'a>(context: &'a Context, effects: &'a [&str]) -> impl Iterator<Item = Held<'a>> {
    let setup = context.setup;
    let dives = setup.boat.kind == BoatKind::Submarine;
    let lost = |state: &&State| matches!(state.kind, StateKind::Waiting | StateKind::Stage(_));
    context.states().iter().filter(move |state| dives && lost(state)).flat_map(move |state| {
        let devices = setup.devices.iter();
        devices.filter_map(move |device| {
            set_to(setup, state, device, effects).map(|at| Held { state, device, at })
        })
    })
}

/// Where a state sets a device, as a distance from rest, if that does one of `effects`.
pub fn set_to(setup: &Setup, state: &State, device: &Device, effects: &[&str]) -> Option<Exact> {
    let id = setup.devices.iter().position(|d| d.name == device.name)?;
    let Place::Fixed { at, .. } = &state.places[id] else { return None };
    let effect = device.effects[usize::from(at.signum() > 0)].filter(|_| !at.is_zero())?;
    effects.contains(&setup.effect_words(effect)).then(|| at.abs())
}

/// Where in the file a state is set.
pub fn set_by(state: &State) -> Path {
    match state.kind {
        StateKind::Stage(index) => Path::of(["fail_safe", "stages", &index.to_string()]),
        _ => Path::of(["receiver", "on_loss"]),
    }
}
