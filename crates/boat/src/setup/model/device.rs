//! What listens to a channel, and what its travel works.

use super::{ChannelId, ControlId, DeviceId, Effect, Readings, Toleranced};
use crate::device::KindInfo;
use crate::device::works::FunctionKind;
use crate::setup::exact::Exact;
use crate::setup::facts::{DeviceFacts, WorkFacts};
use crate::setup::quantity::Micros;

/// A work of a device.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct WorkRef {
    /// The device.
    pub device: DeviceId,
    /// Index in its works.
    pub work: usize,
}

/// Where a device gets its pulse from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Input {
    /// A receiver channel.
    Channel(ChannelId),
    /// Another device.
    Behind(DeviceId),
    /// Nowhere: it works by itself.
    None,
}

/// Something that listens to a channel.
#[derive(Clone, Debug)]
pub struct Device {
    /// Name in the file.
    pub name: String,
    /// Its kind.
    pub kind: &'static KindInfo,
    /// Where its pulse comes from.
    pub input: Input,
    /// What repeated readings do not show, either side; zero when absent.
    pub accuracy: Allowance,
    /// Where something binds: shorter side, longer side.
    pub stops: [Option<Toleranced>; 2],
    /// The band in which it stands still.
    pub still_between: Option<[Exact; 2]>,
    /// What a speed controller or a relay does without pulses, if the file says.
    pub without_pulses: Option<WithoutPulses>,
    /// What is seen when the pulse gets shorter and longer.
    pub effects: [Option<Effect>; 2],
    /// Whether the file says what is seen, and be it nothing.
    pub effects_said: bool,
    /// What its travel works, in file order.
    pub works: Vec<Function>,
    /// What a leveller's channel is for, in the builder's words.
    pub role: Option<String>,
    /// The range of a leveller's own output.
    pub limits: Option<[Exact; 2]>,
    /// How long it takes to turn, for the documents.
    pub note: Option<String>,
    /// What else the file says of it.
    pub facts: DeviceFacts,
}

/// An allowance either side: part of it in fractions of the axis, part in microseconds.
#[derive(Clone, Debug)]
pub struct Allowance {
    /// Fraction of the axis.
    pub axis: Exact,
    /// Microseconds.
    pub micros: Micros,
}

/// What a speed controller or a relay does when pulses fail.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WithoutPulses {
    /// It stops, or lets go.
    Stops,
    /// It stays as it was.
    Stays,
    /// It may have anything on.
    On,
}

/// Something a servo works at a point of its travel.
#[derive(Clone, Debug)]
pub struct Function {
    /// Name in the file.
    pub name: String,
    /// What it is.
    pub kind: &'static FunctionKind,
    /// The side of the axis it lies on: -1 or +1.
    pub sign: i32,
    /// Where it engages.
    pub from: Toleranced,
    /// Where its zone ends, if it does.
    pub to: Option<Toleranced>,
    /// Where its effect is complete.
    pub full: Option<Toleranced>,
    /// Where it lets go on the way back.
    pub releases: Option<Toleranced>,
    /// Whether it is out of the pilot's reach by intention.
    pub reserved: Reserved,
    /// It may stay engaged at rest.
    pub kept_on: bool,
    /// Works it must never meet.
    pub never_with: Vec<WorkRef>,
    /// The readings that the threshold rests on, where it was written as `clicks`.
    pub clicks: Option<Readings>,
    /// The readings that `releases` rests on, where it was written as a list.
    pub releasing: Option<Readings>,
    /// What else the file says of it.
    pub facts: WorkFacts,
}

impl Function {
    /// Whether it can hurt somebody who does not expect it.
    pub fn can_hurt(&self) -> bool {
        self.kind.fires || self.kind.heats || self.facts.dangerous
    }

    /// Whether more than the usual share of readings has to hold: what can hurt, sinks her, lets something go or
    /// is out of reach by intention. Common practice, no source.
    pub fn is_dangerous(&self) -> bool {
        let k = self.kind;
        k.fires || k.heats || k.lets_go || k.sinks() || self.facts.dangerous || self.is_reserved()
    }

    /// Whether its threshold was written as `clicks`.
    pub fn from_clicks(&self) -> bool {
        self.clicks.is_some()
    }

    /// What it rests on beside figures that were written as such.
    pub fn readings(&self) -> impl Iterator<Item = &Readings> {
        self.clicks.iter().chain(&self.releasing)
    }
}

/// Whether a work is reserved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reserved {
    /// The pilot may use it.
    No,
    /// The pilot may never engage it.
    Always,
    /// The pilot may engage it only in this setting of this switch.
    Unless(ControlId, usize),
}

/// What drives a device in the end: the channel of the device itself or of the one it is behind.
pub fn channel_of(devices: &[Device], device: DeviceId) -> Option<ChannelId> {
    let mut at = device;
    for _ in 0..devices.len() {
        match devices[at].input {
            Input::Channel(channel) => return Some(channel),
            Input::Behind(other) => at = other,
            Input::None => return None,
        }
    }
    None
}

impl Function {
    /// Whether the pilot must not reach it as he pleases: an emergency gas valve, or what is called reserved.
    pub fn is_reserved(&self) -> bool {
        self.kind.emergency || self.reserved != Reserved::No
    }
}

impl Device {
    /// Whether its channel is there to overrule it.
    pub fn overrides(&self) -> bool {
        self.role.as_deref() == Some("override")
    }

    /// Everything it does to the boat, by side of its axis, under whichever key that is written.
    pub fn all_effects(&self) -> impl Iterator<Item = (usize, Effect)> + '_ {
        (0..2).flat_map(|side| {
            self.effects[side]
                .into_iter()
                .chain(self.facts.also[side].iter().copied())
                .map(move |e| (side, e))
        })
    }

    /// What it does on one side of its axis; nothing at rest.
    pub fn effects_on(&self, sign: i32) -> impl Iterator<Item = Effect> + '_ {
        let side = usize::from(sign > 0);
        self.all_effects().filter(move |(on, _)| sign != 0 && *on == side).map(|(_, effect)| effect)
    }
}
