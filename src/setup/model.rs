//! The typed set-up: what one boat file says, with every default filled in and every name resolved.
//!
//! Positions on the output axis, travels, rates and mixes are [`Exact`] fractions: 1 is 100 %.
//! Nothing here knows where it stood in the file; rules name a [`Path`] and the source finds it.

use super::exact::Exact;
use super::facts::{DeviceFacts, Supply};
use super::quantity::{Metres, Micros, Seconds, Volts};
use crate::device::KindInfo;
use crate::device::works::WorkKind;
use crate::radio::Region;

/// Index of a control in [`Setup::controls`].
pub type ControlId = usize;
/// Index of a channel in [`Setup::channels`] (not its number).
pub type ChannelId = usize;
/// Index of a device in [`Setup::devices`].
pub type DeviceId = usize;

/// One boat file, understood.
#[derive(Clone, Debug)]
pub struct Setup {
    /// The boat and the job.
    pub boat: Boat,
    /// The transmitter and the order in which it does its sums.
    pub transmitter: Transmitter,
    /// Sticks, buttons, switches, in file order.
    pub controls: Vec<Control>,
    /// Channels, in order of their number.
    pub channels: Vec<Channel>,
    /// What the receiver does when the link is lost.
    pub receiver: Receiver,
    /// The unit between receiver and devices, if there is one.
    pub fail_safe: Option<FailSafe>,
    /// Everything that listens to a channel, in file order.
    pub devices: Vec<Device>,
    /// Batteries, in file order.
    pub batteries: Vec<Battery>,
    /// What the owner is told.
    pub owner: Owner,
    /// Pairs of opposite effects: the closed list, then the file's own.
    pub opposites: Vec<[String; 2]>,
    /// How the lid card is to be printed.
    pub card: CardOptions,
    /// Findings that the builder accepts, in file order.
    pub accept: Vec<Acceptance>,
}

/// The boat and the job.
#[derive(Clone, Debug, Default)]
pub struct Boat {
    /// Name, as it is printed.
    pub name: String,
    /// What sort of model.
    pub kind: BoatKind,
    /// The workshop's job number.
    pub reference: Option<String>,
    /// Revision of the set-up.
    pub revision: Option<String>,
    /// Date of the set-up, `YYYY-MM-DD`, a real date.
    pub date: Option<String>,
    /// Who fitted her out.
    pub workshop: Option<String>,
    /// Fresh or sea water.
    pub water: Water,
    /// How deep she may go.
    pub depth_limit: Option<Metres>,
    /// She comes up by herself when the motor stops.
    pub floats_when_stopped: bool,
    /// The receiver's aerial is kept above the water while she is under.
    pub aerial_floats: bool,
    /// How long she takes from a lost trim to the depth limit.
    pub sinks_in: Option<Seconds>,
}

/// What sort of model.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum BoatKind {
    /// Goes under.
    #[default]
    Submarine,
    /// Stays on the water.
    Surface,
    /// Anything else that works by radio.
    Other,
}

/// What she floats in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Water {
    /// Lakes, pools.
    #[default]
    Fresh,
    /// The sea.
    Sea,
}

/// The transmitter.
#[derive(Clone, Debug)]
pub struct Transmitter {
    /// Which set.
    pub name: Option<String>,
    /// The stored model to select before sailing.
    pub memory: Option<String>,
    /// Which frequency table applies.
    pub region: Option<Region>,
    /// Frequency as written, for printing.
    pub frequency: Option<String>,
    /// The same in hertz.
    pub hertz: Option<i64>,
    /// How many channels the set has.
    pub channels: u8,
    /// The pulse at rest and at full output.
    pub pulse: PulseScale,
    /// The furthest any output can go, either side of rest.
    pub furthest: Exact,
    /// The finest step of an endpoint.
    pub step: Exact,
    /// What is known of the order in which the set does its sums.
    pub order: OrderLines,
}

/// Where -100 %, 0 % and +100 % of the output axis lie in microseconds.
#[derive(Clone, Debug)]
pub struct PulseScale {
    /// At rest, 0 %.
    pub rest: Micros,
    /// The shorter full pulse, -100 %.
    pub shorter: Micros,
    /// The longer full pulse, +100 %.
    pub longer: Micros,
    /// How far a pulse can be off, either side.
    pub accuracy: Micros,
}

impl PulseScale {
    /// Microseconds per 100 % on the side of `sign` (rest counts as longer).
    pub fn span(&self, sign: i32) -> Exact {
        if sign < 0 { &self.rest.0 - &self.shorter.0 } else { &self.longer.0 - &self.rest.0 }
    }

    /// The pulse at a position: straight lines through the three points and beyond.
    pub fn pulse_at(&self, position: &Exact) -> Micros {
        Micros(&self.rest.0 + position * self.span(position.signum()))
    }

    /// The position of a pulse: the inverse of [`PulseScale::pulse_at`].
    pub fn position_of(&self, pulse: &Micros) -> Exact {
        let away = &pulse.0 - &self.rest.0;
        let span = self.span(away.signum());
        away / span
    }

    /// A tolerance in microseconds as a fraction of the axis on the side of `sign`.
    pub fn width(&self, micros: &Micros, sign: i32) -> Exact {
        &micros.0 / self.span(sign)
    }

    /// The same for a tolerance that is on neither side: the larger of the two fractions.
    pub fn width_either(&self, micros: &Micros) -> Exact {
        self.width(micros, -1).max(self.width(micros, 1))
    }
}

/// The six lines of `transmitter.order`; `None` where the file leaves one open.
#[derive(Clone, Debug, Default)]
pub struct OrderLines {
    /// What a stick signal beyond full does.
    pub past_full_stick: Option<PastFull>,
    /// What an endpoint does.
    pub endpoint: Option<EndpointDoes>,
    /// By what an endpoint is named.
    pub endpoint_side: Option<EndpointSide>,
    /// Where the trim comes in.
    pub trim: Option<Place>,
    /// Where mixes come in.
    pub mix: Option<Place>,
    /// What the sub-trim does to the ends.
    pub sub_trim: Option<SubTrimDoes>,
}

/// What happens to a signal past full stick.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum PastFull {
    /// It is held at full stick.
    CutOff,
    /// It goes on.
    CarriesOn,
}

/// What an endpoint does to the signal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum EndpointDoes {
    /// It multiplies the side.
    Scales,
    /// It limits the side.
    Clamps,
}

/// What side an endpoint belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum EndpointSide {
    /// The way of the stick, whatever the sense.
    Stick,
    /// The side of the pulse.
    Pulse,
}

/// Before or after the endpoint.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Place {
    /// Before the endpoint acts.
    Before,
    /// After it.
    After,
}

/// What the sub-trim does to the ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum SubTrimDoes {
    /// Both ends move along.
    ShiftsEnds,
    /// The ends stay, the travel is cut.
    KeepsEnds,
}

/// A way of a control: by where the hand goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Side {
    /// Left, towards or lower: position -1.
    Low,
    /// Right, away or upper: position +1.
    High,
}

impl Side {
    /// Both, low first.
    pub const BOTH: [Side; 2] = [Side::Low, Side::High];

    /// 0 for low, 1 for high.
    pub fn index(self) -> usize {
        match self {
            Side::Low => 0,
            Side::High => 1,
        }
    }

    /// -1 for low, +1 for high.
    pub fn sign(self) -> i32 {
        match self {
            Side::Low => -1,
            Side::High => 1,
        }
    }

    /// -1 or +1 as a position of the control.
    pub fn position(self) -> Exact {
        Exact::int(i64::from(self.sign()))
    }

    /// The side of a sign; nought counts as high.
    pub fn of_sign(sign: i32) -> Self {
        if sign < 0 { Side::Low } else { Side::High }
    }

    /// The other one.
    pub fn other(self) -> Self {
        match self {
            Side::Low => Side::High,
            Side::High => Side::Low,
        }
    }
}

/// Along which line the hand moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Line {
    /// Left and right.
    LeftRight,
    /// Towards the holder and away.
    TowardsAway,
    /// Lower and upper.
    LowerUpper,
}

impl Line {
    /// The trade's words for low and high, as the file spells them.
    pub fn words(self) -> [&'static str; 2] {
        match self {
            Line::LeftRight => ["left", "right"],
            Line::TowardsAway => ["towards", "away"],
            Line::LowerUpper => ["lower", "upper"],
        }
    }
}

/// What the hand moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ControlKind {
    /// One line of a gimbal.
    Stick,
    /// A pair of push buttons.
    Buttons,
    /// A switch with settings.
    Switch,
    /// A slider.
    Slider,
    /// A knob.
    Knob,
}

/// A control of the transmitter.
#[derive(Clone, Debug)]
pub struct Control {
    /// Name in the file.
    pub name: String,
    /// Where it is on the set, in the builder's words.
    pub at: Option<String>,
    /// What it is.
    pub kind: ControlKind,
    /// Along which line it moves.
    pub line: Line,
    /// The builder's words for low and high. For a switch: its first and last setting.
    pub ways: [String; 2],
    /// A switch's settings in order, spread evenly over [-1, +1]; empty for others.
    pub settings: Vec<String>,
    /// Springs back to rest when let go.
    pub springs_back: bool,
    /// The most the trim can move it, either side; nought when absent or locked.
    pub trim: Exact,
    /// Effects that each way wants, low and high.
    pub wants: [Vec<Effect>; 2],
}

impl Control {
    /// Where setting `index` of a switch lies in [-1, +1].
    pub fn setting_position(&self, index: usize) -> Exact {
        match self.settings.len() {
            0 | 1 => Exact::ZERO,
            n => Exact::int(2 * index as i64) / Exact::int(n as i64 - 1) - Exact::ONE,
        }
    }
}

/// An effect: a pair of opposites and which of the two.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Effect {
    /// Index in [`Setup::opposites`].
    pub pair: usize,
    /// 0 for the first word of the pair, 1 for the second.
    pub which: usize,
}

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
    /// Sub-trim on the output axis.
    pub sub_trim: Exact,
    /// What is mixed in.
    pub mixes: Vec<Mix>,
    /// Works that each way wants, low and high.
    pub wants: [Vec<Want>; 2],
    /// Pulses measured with the low and the high way held fully.
    pub measured: [Option<Micros>; 2],
}

/// The rate of one way, perhaps by a switch.
#[derive(Clone, Debug)]
pub struct Rate {
    /// The switch that chooses, if one does.
    pub switch: Option<ControlId>,
    /// One value per setting of the switch, or one.
    pub values: Vec<Exact>,
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

/// A work of a device.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct WorkRef {
    /// The device.
    pub device: DeviceId,
    /// Index in its works.
    pub work: usize,
}

/// The receiver.
#[derive(Clone, Debug)]
pub struct Receiver {
    /// What it does when the link is lost.
    pub on_loss: OnLoss,
    /// How long it takes to do so.
    pub after: Option<Seconds>,
    /// What feeds it.
    pub supply: Supply,
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
}

/// How a unit notices a lost link.
#[derive(Clone, Debug)]
pub enum Notices {
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

/// A position with the most it can be off, either side.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Toleranced {
    /// The value.
    pub value: Exact,
    /// The most it can be off, >= 0.
    pub off: Exact,
}

impl Toleranced {
    /// The end of the tolerance nearer to rest, seen from the side of `sign`.
    pub fn nearest(&self, sign: i32) -> Exact {
        if sign < 0 { &self.value + &self.off } else { &self.value - &self.off }
    }

    /// The end of the tolerance farther from rest, seen from the side of `sign`.
    pub fn farthest(&self, sign: i32) -> Exact {
        if sign < 0 { &self.value - &self.off } else { &self.value + &self.off }
    }
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
    /// Whether the file gave an accuracy.
    pub accuracy_given: bool,
    /// Where something binds: shorter side, longer side.
    pub stops: [Option<Toleranced>; 2],
    /// The band in which it stands still.
    pub still_between: Option<[Exact; 2]>,
    /// What a speed controller does without pulses, if the file says.
    pub without_pulses: Option<WithoutPulses>,
    /// What is seen when the pulse gets shorter and longer.
    pub effects: [Option<Effect>; 2],
    /// What its travel works, in file order.
    pub works: Vec<Work>,
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

/// What a speed controller does when pulses fail.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WithoutPulses {
    /// It stops.
    Stops,
    /// It stays as it was.
    Stays,
}

/// Something a servo works at a point of its travel.
#[derive(Clone, Debug)]
pub struct Work {
    /// Name in the file.
    pub name: String,
    /// What it is.
    pub kind: &'static WorkKind,
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
    /// Whether the threshold was written as `clicks`.
    pub from_clicks: bool,
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

/// A battery.
#[derive(Clone, Debug)]
pub struct Battery {
    /// Name in the file.
    pub name: String,
    /// Cells in series.
    pub cells: Option<u32>,
    /// Chemistry as written.
    pub chemistry: Option<String>,
    /// Capacity as written.
    pub capacity: Option<String>,
}

/// What the owner is told.
#[derive(Clone, Debug, Default)]
pub struct Owner {
    /// How to bring her up in an emergency, one step a line.
    pub emergency: Vec<String>,
    /// Whom to ask.
    pub contact: Option<String>,
}

/// How the lid card is to be printed.
#[derive(Clone, Debug, Default)]
pub struct CardOptions {
    /// Width and height in millimetres.
    pub size: Option<[f64; 2]>,
}

/// A finding that the builder has thought about and lives with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Acceptance {
    /// Name of the rule.
    pub rule: String,
    /// What the finding is about, as the report names it.
    pub about: String,
    /// Why it is accepted, on one line.
    pub because: String,
    /// The lid card is to tell the owner.
    pub on_card: bool,
}

/// A place in the file, as keys from the top: `["devices", "tank_servo", "stops"]`.
///
/// A list item is its index in decimal. A path that does not exist in the file is looked up as far
/// as it does, so a rule may name a key that was left out.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Path(pub Vec<String>);

impl Path {
    /// A path from its keys.
    pub fn of<I: IntoIterator<Item = S>, S: ToString>(keys: I) -> Self {
        Self(keys.into_iter().map(|k| k.to_string()).collect())
    }

    /// This path with one more key.
    #[must_use]
    pub fn then(&self, key: impl ToString) -> Self {
        let mut keys = self.0.clone();
        keys.push(key.to_string());
        Self(keys)
    }
}

impl Setup {
    /// What drives a device in the end: the channel of the device itself or of the one it is behind.
    pub fn channel_of(&self, device: DeviceId) -> Option<ChannelId> {
        let mut at = device;
        for _ in 0..self.devices.len() {
            match self.devices[at].input {
                Input::Channel(channel) => return Some(channel),
                Input::Behind(other) => at = other,
                Input::None => return None,
            }
        }
        None
    }

    /// The devices wired straight to a channel.
    pub fn devices_on(&self, channel: ChannelId) -> impl Iterator<Item = (DeviceId, &Device)> {
        self.devices.iter().enumerate().filter(move |(_, d)| d.input == Input::Channel(channel))
    }

    /// The work itself.
    pub fn work(&self, work: WorkRef) -> &Work {
        &self.devices[work.device].works[work.work]
    }

    /// `tank_servo.gas`
    pub fn work_name(&self, work: WorkRef) -> String {
        format!("{}.{}", self.devices[work.device].name, self.work(work).name)
    }

    /// The words of an effect.
    pub fn effect_words(&self, effect: Effect) -> &str {
        &self.opposites[effect.pair][effect.which]
    }

    /// `channel 5 (ballast)`
    pub fn channel_title(&self, channel: ChannelId) -> String {
        let c = &self.channels[channel];
        match &c.name {
            Some(name) => format!("channel {} ({name})", c.number),
            None => format!("channel {}", c.number),
        }
    }

    /// The accuracy of a device's real position on the side of `sign`, with the pulse's own share.
    pub fn slack(&self, device: DeviceId, sign: i32, by_unit: bool) -> Exact {
        let (accuracy, pulse) = self.slack_parts(device, sign, by_unit);
        accuracy + pulse
    }

    /// The two parts of [`Setup::slack`]: the device's and the pulse's.
    pub fn slack_parts(&self, device: DeviceId, sign: i32, by_unit: bool) -> (Exact, Exact) {
        let scale = &self.transmitter.pulse;
        let d = &self.devices[device];
        let pulse = match &self.fail_safe {
            Some(unit) if by_unit => unit.accuracy.as_ref().unwrap_or(&scale.accuracy),
            _ => &scale.accuracy,
        };
        (&d.accuracy.axis + scale.width(&d.accuracy.micros, sign), scale.width(pulse, sign))
    }
}
