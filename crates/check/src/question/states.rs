//! The states of the boat: what each device gets when the pilot no longer decides.

use crate::chain::Order;
use crate::device::PulsesFail;
use crate::finding::StateId;
use crate::setup::{
    ChannelId, DeviceId, EndpointDoes, EndpointSide, Exact, Input, OnLoss, OrderPlace, Others, PastFull,
    Setup, SubTrimDoes, WithoutPulses,
};

/// An order for places that no stick moves; it is never printed.
pub const ANY_ORDER: Order = Order {
    past_full: PastFull::CutOff,
    endpoint: EndpointDoes::Scales,
    side: EndpointSide::Stick,
    trim: OrderPlace::Before,
    mix: OrderPlace::Before,
    sub_trim: SubTrimDoes::ShiftsEnds,
};

/// Where a device can be in a state.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PulsePlace {
    /// Anywhere piloting can put it.
    Pilot,
    /// At one position.
    Fixed {
        /// The position.
        at: Exact,
        /// Whether the unit makes the pulse (its own accuracy counts then).
        by_unit: bool,
    },
    /// Anywhere between two positions.
    Within(Exact, Exact),
    /// It stands still, whatever its pulse.
    Still,
}

impl PulsePlace {
    /// Whether the unit makes the pulse.
    pub fn by_unit(&self) -> bool {
        matches!(self, PulsePlace::Fixed { by_unit: true, .. })
    }
}

/// One state.
#[derive(Clone, Debug)]
pub struct State {
    /// Which.
    pub id: StateId,
    /// As it is printed: `waiting`, `stage blow`, `power-up`.
    pub name: String,
    /// By device.
    pub places: Vec<PulsePlace>,
}

/// Where piloting can put a device.
pub fn piloting_place(setup: &Setup, device: DeviceId) -> PulsePlace {
    match setup.devices[device].input {
        Input::Channel(_) => PulsePlace::Pilot,
        Input::Behind(other) => passed_on(setup, other),
        Input::None => PulsePlace::Still,
    }
}

/// What a device gets that stands behind another.
fn passed_on(setup: &Setup, other: DeviceId) -> PulsePlace {
    let [low, high] = setup.devices[other].limits.clone().unwrap_or_else(|| setup.furthest());
    PulsePlace::Within(low, high)
}

fn without_pulses(setup: &Setup, device: DeviceId) -> PulsePlace {
    let d = &setup.devices[device];
    match d.kind.when_pulses_fail {
        PulsesFail::Anywhere => PulsePlace::Pilot,
        PulsesFail::StopsUnlessSaid => match d.without_pulses {
            Some(WithoutPulses::Stays) => PulsePlace::Pilot,
            Some(WithoutPulses::On) => {
                PulsePlace::Within(-&setup.transmitter.furthest, setup.transmitter.furthest.clone())
            }
            Some(WithoutPulses::Stops) | None => PulsePlace::Still,
        },
    }
}

fn waiting_place(setup: &Setup, device: DeviceId) -> PulsePlace {
    let channel = match setup.devices[device].input {
        Input::Channel(channel) => channel,
        _ => return piloting_place(setup, device),
    };
    let noise = || match setup.noise_reaches(channel) {
        false => PulsePlace::Pilot,
        true => {
            let [low, high] = setup.furthest();
            PulsePlace::Within(low, high)
        }
    };
    match &setup.receiver.on_loss {
        OnLoss::NoPulses => without_pulses(setup, device),
        OnLoss::Hold => PulsePlace::Pilot,
        OnLoss::Noise => noise(),
        OnLoss::Preset { values, others, .. } => match values.iter().find(|(c, _)| *c == channel) {
            Some((_, at)) => PulsePlace::Fixed { at: at.clone(), by_unit: false },
            None => match others {
                Others::Hold => PulsePlace::Pilot,
                Others::NoPulses => without_pulses(setup, device),
                Others::Noise => noise(),
            },
        },
    }
}

fn power_up_place(setup: &Setup, device: DeviceId) -> PulsePlace {
    let d = &setup.devices[device];
    match (d.input, d.kind.when_pulses_fail) {
        (Input::Channel(_), PulsesFail::StopsUnlessSaid) => match waiting_place(setup, device) {
            // It has never had a pulse that it could stay at.
            PulsePlace::Pilot => PulsePlace::Still,
            place => place,
        },
        (Input::Channel(_), PulsesFail::Anywhere) => {
            let [shorter, longer] = setup.furthest();
            let [low, high] = &d.stops;
            PulsePlace::Within(
                low.as_ref().map_or(shorter, |s| s.farthest(-1)),
                high.as_ref().map_or(longer, |s| s.farthest(1)),
            )
        }
        _ => piloting_place(setup, device),
    }
}

/// Every state in which the pilot does not have all channels, in order of time.
pub fn states(setup: &Setup) -> Vec<State> {
    let state =
        |id: StateId, places: &[PulsePlace]| State { id, name: id.name(setup), places: places.to_vec() };
    let each = |place: fn(&Setup, DeviceId) -> PulsePlace| -> Vec<PulsePlace> {
        (0..setup.devices.len()).map(|device| place(setup, device)).collect()
    };
    let waiting = each(waiting_place);
    let mut all = vec![state(StateId::Waiting, &waiting)];
    if let Some(unit) = &setup.fail_safe {
        let acts_otherwise = unit.leak || unit.low_battery.is_some();
        // Until the first stage a channel of the unit is the pilot's or the receiver's.
        let (mut on_loss, mut while_piloting) = (waiting, each(piloting_place));
        for (index, stage) in unit.stages.iter().enumerate() {
            set(setup, &stage.set, true, &mut on_loss);
            set(setup, &stage.set, true, &mut while_piloting);
            all.push(state(StateId::Stage(index), &on_loss));
            if acts_otherwise {
                all.push(state(StateId::StageWhilePiloting(index), &while_piloting));
            }
        }
    }
    all.push(state(StateId::PowerUp, &each(power_up_place)));
    all
}

/// What comes with power on and no transmitter once receiver and unit act, in order of time: the receiver's
/// presets, and each stage of the unit by its index. What they do not set is as at power-up before they act.
pub fn after_power_up(setup: &Setup) -> Vec<(Option<usize>, State)> {
    let mut places: Vec<PulsePlace> =
        (0..setup.devices.len()).map(|device| power_up_place(setup, device)).collect();
    let mut all = Vec::new();
    if let OnLoss::Preset { values, .. } = &setup.receiver.on_loss {
        set(setup, values, false, &mut places);
        let name = "the receiver's presets".to_owned();
        all.push((None, State { id: StateId::PowerUp, name, places: places.clone() }));
    }
    for (index, stage) in setup.fail_safe.iter().flat_map(|unit| unit.stages.iter().enumerate()) {
        set(setup, &stage.set, true, &mut places);
        let name = StateId::Stage(index).name(setup);
        all.push((Some(index), State { id: StateId::PowerUp, name, places: places.clone() }));
    }
    all
}

/// Puts devices where their channels are set.
fn set(setup: &Setup, values: &[(ChannelId, Exact)], by_unit: bool, places: &mut [PulsePlace]) {
    for (channel, at) in values {
        for (device, _) in setup.devices_on(*channel) {
            places[device] = PulsePlace::Fixed { at: at.clone(), by_unit };
        }
    }
}
