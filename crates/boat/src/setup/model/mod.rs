//! The typed set-up: what one boat file says, with every default filled in and every name resolved.
//!
//! Positions on the axis, travels, rates and mixes are [`Exact`] fractions: 1 is 100 %.
//! Nothing here knows where it stood in the file; rules name a [`Path`] and the source finds it.

mod axis;
mod boat;
mod channel;
mod control;
mod device;
mod dive;
mod emergency;
mod fittings;
mod linkage;
mod loss;
mod material;
mod order;
mod papers;
mod path;
mod position;
mod readings;
mod transmitter;
mod unknown;

pub use axis::{Axis, OnAxis};
pub use boat::{Boat, BoatKind, Water};
pub use channel::{Channel, Measured, Mix, MixOf, Rate, Want};
pub use control::{Control, ControlKind, Effect, Line, Side};
pub use device::{Allowance, Device, Function, Input, Reserved, WithoutPulses, WorkRef, channel_of};
pub use dive::{Emptier, Gas, GasKind, Hull, Leaks, LiquefiedGas, Pump, Tank};
pub use emergency::{EmergencyAct, EmergencyLine, EmergencyStep, HandStep, Until};
pub use fittings::{Fittings, IndicatorLight, Power, Snorkel};
pub use linkage::{Driven, FreeTravel, Linkage, Measure, Moved};
pub use loss::{FailSafe, Notices, OnLoss, Others, Receiver, Stage, UntilItActs};
pub use material::Material;
pub use order::{EndpointDoes, EndpointSide, OrderLines, OrderPlace, PastFull, SubTrimDoes};
pub use papers::{Acceptance, Battery, CardOptions, Owner};
pub use path::Path;
pub use position::Toleranced;
pub use readings::Readings;
pub use transmitter::{Pulse, Transmitter};
pub use unknown::{Figure, Point, Unknown};

use crate::setup::UnitActs;
use crate::setup::exact::Exact;

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
    /// The axis on which everything of devices, presets and units lies: the one its positions were read on.
    pub axis: Axis,
    /// What the file says of that axis, and what hangs on it.
    pub on_axis: OnAxis,
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
    /// The boat as a body in water.
    pub hull: Hull,
    /// Her ballast tank.
    pub tank: Tank,
    /// What she carries beyond her channels.
    pub fittings: Fittings,
    /// What the owner is told.
    pub owner: Owner,
    /// Pairs of opposite effects: the closed list, then the file's own.
    pub opposites: Vec<[String; 2]>,
    /// How the lid card is to be printed.
    pub card: CardOptions,
    /// Findings that the builder accepts, in file order.
    pub accept: Vec<Acceptance>,
    /// Figures that she has and the file does not give, in the order of the file. Above, each has the most
    /// favourable value that it can have.
    pub unknown: Vec<Unknown>,
    /// Sections that the file leaves out without saying that there is nothing to tell.
    pub unsaid: Unsaid,
}

/// What the file does not say at all, not even that there is none.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Unsaid {
    /// What feeds her.
    pub batteries: bool,
}

impl Setup {
    /// The ways that the endpoint named after `named` may limit, in the orders that the file leaves open;
    /// just as well the names of the endpoints that may limit that way.
    pub fn limited_by(&self, channel: ChannelId, named: Side) -> Vec<Side> {
        let reversed = self.channels[channel].longer == Side::Low;
        match self.transmitter.order.endpoint_side {
            Some(EndpointSide::Pulse) if reversed => vec![named.other()],
            None if reversed => vec![named, named.other()],
            _ => vec![named],
        }
    }

    /// Whether noise on a lost link comes through to a channel: the receiver sends it there, and no unit keeps it off.
    pub fn noise_reaches(&self, channel: ChannelId) -> bool {
        let sent = match &self.receiver.on_loss {
            OnLoss::Noise => true,
            OnLoss::Preset { values, others, .. } => {
                *others == Others::Noise && values.iter().all(|(set, _)| *set != channel)
            }
            OnLoss::NoPulses | OnLoss::Hold => false,
        };
        // Until it acts the unit keeps what the pilot sent last, if it is sure to know that this is not he.
        let held = self.fail_safe.as_ref().is_some_and(|unit| {
            unit.channels.contains(&channel)
                && unit.until_it_acts == Some(UntilItActs::Holds)
                && self.unit() == UnitActs::Sure
        });
        sent && !held
    }

    /// What drives a device in the end: the channel of the device itself or of the one it is behind.
    pub fn channel_of(&self, device: DeviceId) -> Option<ChannelId> {
        channel_of(&self.devices, device)
    }

    /// The devices wired straight to a channel.
    pub fn devices_on(&self, channel: ChannelId) -> impl Iterator<Item = (DeviceId, &Device)> {
        self.devices.iter().enumerate().filter(move |(_, d)| d.input == Input::Channel(channel))
    }

    /// Every work of every device, in file order.
    pub fn works(&self) -> impl Iterator<Item = WorkRef> + '_ {
        let devices = self.devices.iter().enumerate();
        devices.flat_map(|(device, d)| (0..d.works.len()).map(move |work| WorkRef { device, work }))
    }

    /// The work itself.
    pub fn work(&self, work: WorkRef) -> &Function {
        &self.devices[work.device].works[work.work]
    }

    /// `tank_servo.gas`
    pub fn work_name(&self, work: WorkRef) -> String {
        format!("{}.{}", self.devices[work.device].name, self.work(work).name)
    }

    /// The switch that guards a work and the setting that arms it. The setting of a switch that nobody has
    /// thrown is one that nobody has to choose, so it guards nothing.
    pub fn guard(&self, work: WorkRef) -> Option<(ControlId, usize)> {
        match self.work(work).reserved {
            Reserved::Unless(switch, setting) if setting != self.controls[switch].home => {
                Some((switch, setting))
            }
            _ => None,
        }
    }

    /// Where an output of the set, as a share of its own full pulse, lies on the axis.
    pub fn position_of_output(&self, output: &Exact) -> Exact {
        self.axis.position_from(&self.transmitter.pulse.scale, output)
    }

    /// The furthest positions that the set can send, on the shorter and on the longer side.
    pub fn furthest(&self) -> [Exact; 2] {
        let most = &self.transmitter.furthest;
        [self.position_of_output(&-most), self.position_of_output(most)]
    }

    /// The farther of the two from rest.
    pub fn furthest_either(&self) -> Exact {
        let [shorter, longer] = self.furthest();
        shorter.abs().max(longer.abs())
    }

    /// Whether she dives at all.
    pub fn dives(&self) -> bool {
        let mut works = self.devices.iter().flat_map(|d| &d.works);
        self.boat.kind == BoatKind::Submarine || works.any(|w| w.kind.sinks())
    }

    /// Whether water can get in and out: of a boat that dives under way, or by a weight alone, nobody asks how much.
    pub fn has_tank(&self) -> bool {
        let of_water = |word: &str| matches!(word, "fills" | "empties");
        let does = |d: &Device| {
            let mut effects = [-1, 1].into_iter().flat_map(|sign| d.effects_on(sign));
            d.kind.moves_water
                || effects.any(|effect| of_water(self.effect_words(effect)))
                || d.works.iter().any(|w| w.kind.sinks() || w.kind.raises() && !w.kind.drops)
        };
        self.tank.volume.is_some() || !self.tank.emptied_by.is_empty() || self.devices.iter().any(does)
    }

    /// Where an emptier of the tank stands in the file, or would.
    pub fn emptier_path(&self, work: WorkRef) -> Path {
        Path::of(["tank", "emptied_by", &self.work_name(work)])
    }

    /// Whether a pump takes its air through a snorkel: as its `air` says, and else if the boat has one.
    pub fn through_snorkel(&self, pump: &Pump) -> bool {
        pump.through_snorkel.unwrap_or(self.fittings.snorkel.is_some())
    }

    /// The words of an effect.
    pub fn effect_words(&self, effect: Effect) -> &str {
        &self.opposites[effect.pair][effect.which]
    }

    /// `channel 4 (ballast)`
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
        let of_set = &self.transmitter.pulse.accuracy;
        let d = &self.devices[device];
        let pulse = match &self.fail_safe {
            Some(unit) if by_unit => unit.accuracy.as_ref().unwrap_or(of_set),
            _ => of_set,
        };
        (&d.accuracy.axis + self.axis.width(&d.accuracy.micros, sign), self.axis.width(pulse, sign))
    }
}
