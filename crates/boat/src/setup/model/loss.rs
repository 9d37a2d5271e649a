//! What receiver and fail-safe unit do when the link is lost.

use super::{ChannelId, Toleranced, WorkRef};
use crate::setup::exact::Exact;
use crate::setup::facts::{Presets, Supply};
use crate::setup::quantity::{Micros, Seconds, Volts};

/// The receiver.
#[derive(Clone, Debug)]
pub struct Receiver {
    /// What it does when the link is lost.
    pub on_loss: OnLoss,
    /// How long it takes to do so.
    pub after: Option<Seconds>,
    /// What feeds it.
    pub supply: Supply,
    /// What it can store.
    pub presets: Presets,
}

/// What a receiver sends when the link is lost.
#[derive(Clone, Debug)]
pub enum OnLoss {
    /// Nothing.
    NoPulses,
    /// The last it heard.
    Hold,
    /// Anything.
    Noise,
    /// A stored preset.
    Preset {
        /// Positions by channel.
        values: Vec<(ChannelId, Exact)>,
        /// The channels not named.
        others: Others,
        /// Works that the preset is there to engage.
        works: Vec<WorkRef>,
    },
}

/// What the channels do that a preset does not name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Others {
    /// Nothing is sent.
    NoPulses,
    /// The last heard.
    Hold,
    /// Anything.
    Noise,
}

/// A unit wired between receiver and devices.
#[derive(Clone, Debug)]
pub struct FailSafe {
    /// Channels that run through it.
    pub channels: Vec<ChannelId>,
    /// What it watches for.
    pub notices: Notices,
    /// How it was tried that it notices, where only a trial can tell.
    pub tried: Option<String>,
    /// Whether it tells noise from a signal, where that is what it watches for.
    pub tells_noise: bool,
    /// What it makes of its channels before it acts, where the file says.
    pub until_it_acts: Option<UntilItActs>,
    /// Accuracy of the pulses it makes; `None`: as the transmitter's.
    pub accuracy: Option<Micros>,
    /// How long it waits before the first stage.
    pub wait: Option<Seconds>,
    /// What it does, one after the other.
    pub stages: Vec<Stage>,
    /// The battery it watches and the voltage below which it acts.
    pub low_battery: Option<(usize, Volts)>,
    /// Whether it acts on a leak.
    pub leak: bool,
    /// What is set in its own menus: the menu and the value, as written, in file order.
    pub dialled: Vec<(String, String)>,
}

/// How a unit notices a lost link.
#[derive(Clone, Debug)]
pub enum Notices {
    /// Pulses that no transmitter sends: it tells noise from a signal.
    InvalidPulses,
    /// By the pulses failing.
    NoPulses,
    /// By a preset on a channel it watches.
    Channel {
        /// The channel.
        channel: ChannelId,
        /// The threshold; its sign is the side.
        beyond: Toleranced,
    },
}

/// One stage of a fail-safe unit.
#[derive(Clone, Debug)]
pub struct Stage {
    /// Its name.
    pub name: String,
    /// How long it lasts; the last may hold until the signal returns.
    pub lasts: Option<Seconds>,
    /// What it sets.
    pub set: Vec<(ChannelId, Exact)>,
    /// Works it is there to engage.
    pub works: Vec<WorkRef>,
}

/// What a unit makes of its channels between a lost link and its first stage.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UntilItActs {
    /// It keeps the last good pulse.
    Holds,
    /// It passes on whatever comes.
    Passes,
}
