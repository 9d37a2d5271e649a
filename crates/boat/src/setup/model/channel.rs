//! What the transmitter sends on a channel.

use super::{ChannelId, ControlId, Side, WorkRef};
use crate::setup::exact::Exact;
use crate::setup::quantity::{Micros, Seconds};

/// A channel: what the transmitter sends.
#[derive(Clone, Debug)]
pub struct Channel {
    /// Number on the receiver.
    pub number: u8,
    /// The builder's name for it.
    pub name: Option<String>,
    /// What moves it; a channel may be driven by mixes alone.
    pub control: Option<ControlId>,
    /// The way towards which the pulse gets longer, filled in if it was not measured.
    pub longer: Side,
    /// Whether the file gave `longer`.
    pub longer_measured: bool,
    /// What the set's screen shows under reverse.
    pub reverse: Option<bool>,
    /// Rate of the low and the high way.
    pub rate: [Rate; 2],
    /// Expo in [0, 1].
    pub expo: Exact,
    /// Endpoints entered for the low and the high way.
    pub endpoints: [Exact; 2],
    /// Sub-trim, + towards the longer pulse.
    pub sub_trim: Exact,
    /// What is mixed in.
    pub mixes: Vec<Mix>,
    /// Works that each way wants, low and high.
    pub wants: [Vec<Want>; 2],
    /// Pulses that were read with a way held fully: those of its own control first, the low way before the high one.
    pub measured: Vec<Measured>,
    /// What the set takes from one end of the travel to the other, where it slows the channel down.
    pub slow: Option<Seconds>,
    /// Nothing is plugged in here on purpose.
    pub spare: bool,
}

/// A pulse that was read with one way held fully and all else at rest.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Measured {
    /// The channel's own control, or one that is mixed in.
    pub control: ControlId,
    /// Its way.
    pub side: Side,
    /// What the meter showed.
    pub pulse: Micros,
    /// The way as the file names it.
    pub key: String,
}

/// The rate of one way, perhaps by a switch.
#[derive(Clone, Debug)]
pub struct Rate {
    /// The switch that chooses, if one does.
    pub switch: Option<ControlId>,
    /// One value per setting of the switch, or one.
    pub values: Vec<Exact>,
}

impl Channel {
    /// Its rate, where that is the same for both ways and no switch chooses it.
    pub fn one_rate(&self) -> Option<&Exact> {
        let [low, high] = &self.rate;
        match (low.switch.or(high.switch), low.values.as_slice()) {
            (None, [one]) if high.values == low.values => Some(one),
            _ => None,
        }
    }
}

/// A mix.
#[derive(Clone, Debug)]
pub struct Mix {
    /// How much of it is added.
    pub add: Exact,
    /// What is added.
    pub of: MixOf,
    /// Settings at which it works: all must hold.
    pub when: Vec<(ControlId, usize)>,
    /// Whether the control's trim comes along.
    pub with_trim: bool,
}

/// What a mix adds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MixOf {
    /// A control's position.
    Control(ControlId),
    /// Another channel's signal before its endpoint.
    Channel(ChannelId),
}

/// A work that a way wants.
#[derive(Clone, Debug)]
pub struct Want {
    /// Which work.
    pub work: WorkRef,
    /// Asked only with these settings.
    pub needs: Vec<(ControlId, usize)>,
}
