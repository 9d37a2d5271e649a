//! Where a preset or a stage sets things once the link is lost: what the rules about planes and long
//! runs have in common.

use super::engine::Engine;
use super::states::{PulsePlace, State};
use crate::finding::StateId;
use crate::proof::Domain;
use crate::question::Asks;
use crate::question::asks::{Edge, EdgeKind};
use crate::setup::{BoatKind, ChannelId, DeviceId, Exact, Notices, Path, Setup, UnitActs};

/// What helps against noise on a lost link, whatever it does there.
pub(super) const AGAINST_NOISE: &str =
    "use a receiver that stops its pulses, or a fail-safe unit that `holds` its channels until it acts";

/// The effect that sinks her.
const FILLS: &str = "fills";

/// A device that a state after a loss sets where it has an effect on the boat.
pub(super) struct Held<'a> {
    /// The state.
    pub state: &'a State,
    /// The device.
    pub device: DeviceId,
    /// How far from rest.
    pub at: Exact,
}

/// Every device of a submarine that the receiver's preset or a stage of the unit holds at one of
/// `effects`, state by state.
pub(super) fn held<'a>(engine: &'a Engine, effects: &'a [&str]) -> impl Iterator<Item = Held<'a>> {
    let setup = engine.setup;
    let dives = setup.boat.kind == BoatKind::Submarine;
    let lost = |state: &&State| matches!(state.id, StateId::Waiting | StateId::Stage(_));
    engine.states().iter().filter(move |state| dives && lost(state)).flat_map(move |state| {
        (0..setup.devices.len()).filter_map(move |device| {
            set_to(setup, state, device, effects).map(|at| Held { state, device, at })
        })
    })
}

/// Where a state sets a device, as a distance from rest, if that does one of `effects`.
pub(super) fn set_to(setup: &Setup, state: &State, device: DeviceId, effects: &[&str]) -> Option<Exact> {
    let PulsePlace::Fixed { at, .. } = &state.places[device] else { return None };
    let mut does = setup.devices[device].effects_on(at.signum());
    does.any(|effect| effects.contains(&setup.effect_words(effect))).then(|| at.abs())
}

/// Where in the file a state is set.
pub(super) fn set_by(state: &State) -> Path {
    match state.id {
        StateId::Stage(index) => Path::of(["fail_safe", "stages", &index.to_string()]),
        _ => Path::of(["receiver", "on_loss"]),
    }
}

/// Devices that fill her on one side of their axis, with that side: pumps behind a controller, pistons.
pub(super) fn filling(setup: &Setup) -> Vec<(DeviceId, i32)> {
    moving(setup, FILLS)
}

/// Devices that empty her tank, likewise.
pub(super) fn emptying(setup: &Setup) -> Vec<(DeviceId, i32)> {
    moving(setup, "empties")
}

fn moving(setup: &Setup, word: &str) -> Vec<(DeviceId, i32)> {
    let mut all = Vec::new();
    for (id, device) in setup.devices.iter().enumerate() {
        // Of one that is there for nothing else and does not say which way is which, either may fill her.
        let unsaid = device.kind.moves_water && word == FILLS && device.all_effects().next().is_none();
        for sign in [-1, 1] {
            if unsaid || device.effects_on(sign).any(|effect| setup.effect_words(effect) == word) {
                all.push((id, sign));
            }
        }
    }
    all
}

/// Whether a device may fill her in a state: beyond its band of rest, or where it has none beyond rest.
pub(super) fn fills(engine: &Engine, device: DeviceId, sign: i32, state: &State) -> Asks {
    fills_at(engine, device, sign, state.places[device].clone(), engine.unattended(state))
}

/// The same wherever it is, over some hands.
pub(super) fn fills_at(
    engine: &Engine,
    device: DeviceId,
    sign: i32,
    place: PulsePlace,
    over: Domain,
) -> Asks {
    let d = &engine.setup.devices[device];
    let at = match (&d.still_between, &d.facts.level_at) {
        (Some(band), _) => band[usize::from(sign > 0)].clone(),
        (None, Some(level)) => {
            level.nearest(sign) - Exact::int(sign.into()) * across(engine.setup, device, sign, &place)
        }
        (None, None) => Exact::ZERO,
    };
    let edge = Edge { sign, at, touching: false, tolerance: None, surely: None, what: EdgeKind::Rest };
    Asks::Passes { device, place, over, edge }
}

/// By how much more a device may be off on the side on which she hangs level than on the one to which it lifts or sinks her:
/// a pulse off by so many microseconds is off by more of the axis on its shorter side.
fn across(setup: &Setup, device: DeviceId, sign: i32, place: &PulsePlace) -> Exact {
    let [here, there] = [sign, -sign].map(|sign| setup.slack(device, sign, place.by_unit()));
    (there - here).max(Exact::ZERO)
}

/// Whether a device may fail to empty her on one side of its axis: a pump within its band of rest, a piston that is not
/// surely past where she hangs level. Of a controller whose band is not known nobody knows where it begins to run.
pub(super) fn fails_to_empty(
    setup: &Setup,
    device: DeviceId,
    sign: i32,
    place: PulsePlace,
    over: Domain,
) -> Asks {
    let d = &setup.devices[device];
    let needed = match (&d.still_between, &d.facts.level_at) {
        (Some(band), _) if !d.facts.one_way => {
            band[usize::from(sign > 0)].outward(sign).max(Exact::ratio(1, 1000))
        }
        (None, Some(level)) => level.farthest(sign).outward(sign) + across(setup, device, sign, &place),
        _ => return Asks::Fact(true),
    };
    Asks::FallsShort { device, place, over, sign, needed }
}

/// What the file leaves open of a unit through which noise may pass: nobody has said that it holds its channels,
/// or tried that it knows noise from a signal, so the worse is taken.
pub(super) fn passes_on(engine: &Engine, channel: ChannelId) -> Vec<String> {
    let Some(unit) = &engine.setup.fail_safe else { return Vec::new() };
    if !unit.channels.contains(&channel) {
        return Vec::new();
    }
    let mut all = Vec::new();
    if unit.until_it_acts.is_none() {
        all.push("the file does not say what the unit does until it acts, so it is taken to pass on what comes: write `until_it_acts: holds` under fail_safe if it keeps the last good pulse".to_owned());
    }
    if matches!(unit.notices, Notices::InvalidPulses) && unit.tried.is_none() {
        all.push("nobody has tried whether the unit tells noise from a signal, so nothing is taken to be held: write under `tried` how often it was switched off and on, near and far".to_owned());
    }
    all
}

/// One thing that comes with a lost link.
pub(super) struct Step<'c> {
    /// The state.
    pub state: &'c State,
    /// What it is called.
    pub named: StateId,
    /// How long it lasts; `None`: until the signal returns.
    pub lasts: Option<Exact>,
    /// What it adds to a go that the next one continues.
    pub adds: Exact,
    /// It lasts for as long as a unit waits of which nobody said how long that is.
    pub untimed: bool,
}

/// What comes with a lost link, in the order in which it comes.
pub(super) fn steps<'c>(engine: &'c Engine) -> Vec<Step<'c>> {
    let unit = engine.setup.fail_safe.as_ref();
    let wait = unit.and_then(|unit| unit.wait.as_ref()).map_or(Exact::ZERO, |wait| wait.0.clone());
    let mut all = Vec::new();
    for state in engine.states() {
        let named = state.id;
        match (state.id, unit) {
            // A unit that surely follows ends it, and goes on from there.
            (StateId::Waiting, _) => {
                let lasts = (engine.unit == UnitActs::Sure).then(|| wait.clone());
                let untimed = unit.is_some_and(|unit| unit.wait.is_none());
                all.push(Step { state, named, lasts, adds: wait.clone(), untimed });
            }
            (StateId::Stage(index), Some(unit)) => {
                let lasts = unit.stages[index].lasts.as_ref().map(|lasts| lasts.0.clone());
                let adds = lasts.clone().unwrap_or(Exact::ZERO);
                all.push(Step { state, named, lasts, adds, untimed: false });
            }
            _ => {}
        }
    }
    // A last stage that ends leaves her to the receiver again. Of a unit that may not notice that is asked above.
    let again = engine.at_the_end().into_iter().filter(|(_, named)| *named == StateId::LostForGood);
    if engine.unit == UnitActs::Sure {
        all.extend(again.map(|(state, named)| Step {
            state,
            named,
            lasts: None,
            adds: Exact::ZERO,
            untimed: false,
        }));
    }
    all
}
