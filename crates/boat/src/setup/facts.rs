//! Facts that a file may state beyond what the chain needs; each has a default that changes nothing.

use super::exact::Exact;
use super::model::{ChannelId, ControlId, Effect, Linkage, Toleranced};
use super::quantity::{About, Amperes, Kilograms, Seconds, Volts};

/// How long a signal has to stay for what it works.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Signal {
    /// It acts only while the signal is there.
    Held,
    /// A touch is enough, and it must not stay.
    Momentary,
}

/// What a device's file entry may add about the device itself.
#[derive(Clone, Debug, Default)]
pub struct DeviceFacts {
    /// A speed controller that knows one direction only and stops at the end of its range.
    pub one_way: bool,
    /// What a servo, or the motor of a controller, draws when it is held fast.
    pub stall: Option<Amperes>,
    /// What it draws at work: a motor at full speed, a servo under way.
    pub draws: Option<Amperes>,
    /// What a controller or a relay may carry for long.
    pub rated: Option<Amperes>,
    /// On which battery it hangs, by index.
    pub battery: Option<usize>,
    /// The most a leveller adds by itself, as a fraction of the axis.
    pub correction: Option<Exact>,
    /// The side to which a leveller moves its output when the bow is high: 0 shorter, 1 longer.
    pub bow_high: Option<usize>,
    /// What else is seen when the pulse gets shorter and longer: a screw of two turns her as well.
    pub also: [Vec<Effect>; 2],
    /// Whether a leveller is told to leave the planes alone while she goes astern.
    pub off_astern: bool,
    /// What sort of signal it needs.
    pub signal: Option<Signal>,
    /// What it needs to go from -100 % to +100 %.
    pub takes: Option<Seconds>,
    /// Horn, rod and what the rod of a servo drives.
    pub linkage: Option<Linkage>,
    /// What it needs for 60 degrees.
    pub speed: Option<Seconds>,
    /// How far a servo turns from rest at 100 %, in degrees.
    pub turn: Option<Exact>,
    /// Where she hangs level, of what fills and empties her by its position; at its best where the file does not say.
    pub level_at: Option<Toleranced>,
    /// Controls that a module between the receiver and this device mixes in by itself.
    pub module_mixes: Vec<ControlId>,
    /// A speed controller that takes the first pulse it gets for its rest.
    pub learns_rest: bool,
    /// What its lead looks like and where it runs.
    pub lead: Option<String>,
    /// What is set in its own menus: the menu and the value, as written, in file order.
    pub dialled: Vec<(String, String)>,
}

impl DeviceFacts {
    /// Seconds for 100 % of travel, and the key that says so: `speed`, which is for 60 degrees, with `turn`, or
    /// `takes`, which is for 200 %. The longer of both: a maker's figure is that of a servo without load.
    pub fn per_axis(&self) -> Option<(Exact, &'static str)> {
        let by_turn = self.speed.as_ref().zip(self.turn.as_ref());
        let by_turn = by_turn.map(|(speed, turn)| (&speed.0 * turn / Exact::int(60), "speed"));
        let measured = self.takes.as_ref().map(|takes| (&takes.0 / Exact::int(2), "takes"));
        by_turn.into_iter().chain(measured).reduce(|a, b| if b.0 > a.0 { b } else { a })
    }
}

/// What a work's file entry may add about the work itself.
#[derive(Clone, Debug, Default)]
pub struct WorkFacts {
    /// It can hurt somebody, whatever its kind.
    pub dangerous: bool,
    /// What sort of signal it needs.
    pub signal: Option<Signal>,
    /// The hose on it: what it looks like, where it runs.
    pub hose: Option<String>,
    /// The longest that it may be engaged in one go.
    pub longest: Option<Seconds>,
    /// It may stay on for ever.
    pub never_too_long: bool,
    /// How long it has to be engaged in one go to bring her up, if it is there for that.
    pub must_run: Option<Seconds>,
    /// What a weight that is dropped pulls on a balance while it hangs in water.
    pub weighs: Option<About<Kilograms>>,
    /// It is on from the moment the battery is connected, until it hears a signal.
    pub wakes_on: bool,
}

/// What a receiver can store, and what the set showed when it did.
#[derive(Clone, Debug, Default)]
pub struct Presets {
    /// The numbers of the outputs that can have a preset, if not all of them can.
    pub outputs: Option<Vec<u32>>,
    /// What the set's screen showed when the preset was stored.
    pub stored_with: Vec<StoredWith>,
}

/// What the set's screen showed for a channel when its preset was stored.
#[derive(Clone, Debug)]
pub struct StoredWith {
    /// The channel.
    pub channel: ChannelId,
    /// Its reverse.
    pub reverse: Option<bool>,
    /// Its sub-trim.
    pub sub_trim: Option<Exact>,
}

/// What feeds the receiver and its servos.
#[derive(Clone, Debug, Default)]
pub struct Supply {
    /// The volts of the battery that the unit watches below which the receiver gives up.
    pub browns_out: Option<Volts>,
    /// The current that receiver and servos can have together.
    pub current: Option<Amperes>,
}
