//! What a rehearsal hands back.

use super::{Assumption, Cause, Figure, Missing, Wanted};
use crate::physics::domain::DomainError;
use crate::physics::units::{
    AmpereHours, Between, CubicMetres, Kilograms, Metres, MetresPerSecond, Newtons, Seconds,
};
use crate::setup::{DeviceId, WorkRef};

/// What happens from a cause on, as far as the file tells. An estimate; it proves nothing.
#[derive(Clone, Debug, PartialEq)]
pub struct Rehearsal {
    /// Why it begins.
    pub cause: Cause,
    /// Everything as written.
    pub nominal: Run,
    /// Late, heavy, little flow, cold; of the two ends of the drag the one that comes up later, or not.
    pub worst: Run,
    /// The opposite, for the greatest speed at the surface.
    pub quick: Run,
    /// The deepest of all that was followed, which need not be on the track of `worst`; `None` with a
    /// track: one of them goes on down.
    pub deepest: Option<Sample>,
    /// The least water that is out of the tank at the end of any way of the worst case; `None` without a track.
    pub least_out: Option<CubicMetres>,
    /// The greatest speed upwards at which any of them meets the surface.
    pub fastest: Option<MetresPerSecond>,
    /// How high her keel leaves the water at that speed; `None` where she is not followed to the surface.
    pub leap: Option<Between<Metres>>,
    /// What the worst case hangs on: with a twentieth more than its tolerance one of these keeps her down.
    pub hangs_on: Vec<Figure>,
    /// How often she can blow her tank with the air in the hull before she has to come up and breathe; `None`
    /// where none of it is pumped or its volume is not given.
    pub blows: Option<u32>,
    /// What the file does not say, most important first.
    pub missing: Vec<Missing>,
    /// What could not be worked out although it is given, and why.
    pub refused: Vec<DomainError>,
    /// What was taken for granted; printed wherever an estimate is.
    pub assumed: Vec<Assumption>,
}

impl Rehearsal {
    /// Whether every delay is given that a time of it hangs on.
    pub fn times_known(&self) -> bool {
        self.missing.iter().all(|missing| missing.wanted != Wanted::Delay)
    }

    /// Where every dive has to end, at the surface at worst, for the loss to carry her no deeper than a
    /// limit from which this rehearsal began; `None` where it does not carry her beyond it, or nobody can
    /// tell how far.
    pub fn dives_end_at(&self, limit: Metres) -> Option<Metres> {
        let deepest = self.deepest.as_ref().filter(|deepest| deepest.depth > limit)?;
        Some(Metres((2.0 * limit.0 - deepest.depth.0).max(0.0)))
    }
}

/// Which ends of the tolerances.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum End {
    /// Every value as written.
    Nominal,
    /// The ends that make her come up late.
    Worst,
    /// The ends that make her come up fast.
    Quick,
}

impl End {
    /// `nominal`, `worst`, `quick`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Nominal => "nominal",
            Self::Worst => "worst",
            Self::Quick => "quick",
        }
    }
}

/// One way through.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// Which ends of the tolerances.
    pub end: End,
    /// What happens, in order of time.
    pub events: Vec<Event>,
    /// When the unit's first stage or the receiver's preset acts; `None` if neither does.
    pub acts_at: Option<Seconds>,
    /// When something that raises her is first switched on.
    pub raises_at: Option<Seconds>,
    /// When the last stage ends by itself and the channels are the receiver's again.
    pub handed_back: Option<Seconds>,
    /// Her way; empty where the file does not tell enough, or she is not under water.
    pub track: Vec<Sample>,
    /// The deepest of the track; `None` with a track: she goes on down, to the bottom.
    pub deepest: Option<Sample>,
    /// When and how fast she comes to the surface; `None` with a track: she does not.
    pub surfaced: Option<Sample>,
    /// When the tank is empty.
    pub empty_at: Option<Seconds>,
    /// What lifts her at the end, with what is out of the tank by then; below nought she goes down again.
    pub lift: Option<Newtons>,
    /// What each emptier of the tank does, in file order.
    pub emptied: Vec<Emptied>,
    /// What all of it takes out of the battery, where currents are given.
    pub charge: Option<AmpereHours>,
    /// From here on nobody knows when anything comes, as a delay before it is not given.
    pub known_until: Option<Seconds>,
}

impl Run {
    /// Whether she comes up and stays up; `None` where the file does not tell.
    pub fn comes_up(&self) -> Option<bool> {
        let last = self.track.last()?;
        Some(self.surfaced.is_some() && last.depth.0 <= 0.0 && self.lift.is_some_and(|l| l.0 > 0.0))
    }

    /// Whether gas has a part in what she does.
    pub fn uses_gas(&self) -> bool {
        self.emptied.iter().any(|e| e.gas.0 > 0.0)
    }

    /// Whether she goes on down where she is followed no further.
    pub fn sinks_on(&self) -> bool {
        !self.track.is_empty() && self.deepest.is_none()
    }

    /// When the last thing happens that is known.
    pub fn ends_at(&self) -> Seconds {
        let events = self.events.iter().map(|e| e.at.0).fold(0.0, f64::max);
        Seconds(events.max(self.track.last().map_or(0.0, |s| s.time.0)))
    }

    /// When something of it happens, in seconds from the cause; `None` where nobody knows.
    pub fn time_of(&self, event: &Event) -> Option<Seconds> {
        Some(event.at).filter(|at| self.known_until.is_none_or(|until| *at < until))
    }

    /// Leaves out what hangs on a delay that is not given and ends at a moment: every time from there on, and whatever
    /// happens in the water.
    pub(super) fn tell_nothing_from(&mut self, moment: Seconds) {
        self.known_until = Some(moment);
        self.events.retain(|event| event.what.is_commanded());
        for time in [&mut self.acts_at, &mut self.raises_at, &mut self.handed_back] {
            *time = time.filter(|at| *at < moment);
        }
        self.track.clear();
        self.emptied.clear();
        (self.deepest, self.surfaced, self.empty_at, self.lift, self.charge) = (None, None, None, None, None);
    }

    /// The event of a kind that is first in time.
    pub fn first(&self, what: impl Fn(&What) -> bool) -> Option<Seconds> {
        self.events.iter().find(|e| what(&e.what)).map(|e| e.at)
    }
}

/// What one emptier of the tank does in a run.
#[derive(Clone, Debug, PartialEq)]
pub struct Emptied {
    /// The work that sets it going.
    pub work: WorkRef,
    /// How long it is switched on, until it is switched off or the run ends.
    pub on_for: Seconds,
    /// How long it is switched on in one go at most.
    pub longest: Seconds,
    /// Gas drawn from the bottle; nought for a pump.
    pub gas: Kilograms,
    /// The pump stalls, or the gas cannot come out against the water: somewhere on the way it moved nothing.
    pub stalled: bool,
    /// The least share of its pressure that a pump had left over while it was at it; below nought: none.
    pub to_spare: Option<f64>,
    /// The least part of its hole that is open where the servo comes to stand, if it has a `full`.
    pub open: Option<f64>,
    /// Less than one part in a hundred is left in the bottle, or none that comes out at the surface.
    pub spent: bool,
}

/// A moment of the way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// From the cause.
    pub time: Seconds,
    /// Depth.
    pub depth: Metres,
    /// Speed downwards.
    pub sinking: MetresPerSecond,
    /// Water that is out of the tank.
    pub emptied: CubicMetres,
    /// Gas drawn from all bottles together.
    pub gas: Kilograms,
}

/// Something that happens.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// From the cause.
    pub at: Seconds,
    /// What.
    pub what: What,
}

/// What happens.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// The cause itself.
    Begins(Cause),
    /// The receiver has noticed and does what it does on a lost link.
    ReceiverActs,
    /// The unit is not sure to notice, and is taken not to.
    UnitUnaware,
    /// A stage of the unit begins, by index.
    Stage(usize),
    /// The last stage is over: the channels are the receiver's again.
    HandedBack,
    /// A motor that drives the boat stops.
    MotorStops(DeviceId),
    /// A work is switched on, or was on from the beginning.
    On {
        /// The work.
        work: WorkRef,
        /// Until when; `None`: for good.
        until: Option<Seconds>,
        /// The servo only passes it on its way to somewhere else.
        passing: bool,
    },
    /// A work is let go.
    Off(WorkRef),
    /// The pump is running, the gas is out of the pipe: water begins to leave.
    Moves(WorkRef),
    /// It moves nothing against the water here.
    Stalls(WorkRef),
    /// The bottle is empty.
    Spent(WorkRef),
    /// A pump runs for longer than its `duty`.
    PastDuty(WorkRef),
    /// The tank is empty.
    TankEmpty,
    /// She goes no deeper.
    Deepest,
    /// She is followed no further and goes on down.
    SinksOn,
    /// She is at the surface, where the signal may return and the unit hands her back.
    Surfaced,
}

impl What {
    /// Whether it comes by what is commanded alone, whatever she does in the water.
    fn is_commanded(&self) -> bool {
        match self {
            Self::Begins(_)
            | Self::ReceiverActs
            | Self::UnitUnaware
            | Self::Stage(_)
            | Self::HandedBack
            | Self::MotorStops(_)
            | Self::On { .. }
            | Self::Off(_) => true,
            Self::Moves(_)
            | Self::Stalls(_)
            | Self::Spent(_)
            | Self::PastDuty(_)
            | Self::TankEmpty
            | Self::Deepest
            | Self::SinksOn
            | Self::Surfaced => false,
        }
    }

    /// One word for machines.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Begins(_) => "begins",
            Self::ReceiverActs => "receiver_acts",
            Self::UnitUnaware => "unit_unaware",
            Self::Stage(_) => "stage",
            Self::HandedBack => "handed_back",
            Self::MotorStops(_) => "motor_stops",
            Self::On { .. } => "on",
            Self::Off(_) => "off",
            Self::Moves(_) => "moves",
            Self::Stalls(_) => "stalls",
            Self::Spent(_) => "spent",
            Self::PastDuty(_) => "past_duty",
            Self::TankEmpty => "tank_empty",
            Self::Deepest => "deepest",
            Self::SinksOn => "sinks_on",
            Self::Surfaced => "surfaced",
        }
    }
}

/// How far apart the marks of a picture's axis stand: 1, 2 or 5 times a power of ten, not below a length.
pub fn division(length: f64) -> f64 {
    let mut step = 0.1;
    for factor in [2.0, 2.5, 2.0].into_iter().cycle().take(24) {
        if step >= length {
            break;
        }
        step *= factor;
    }
    step
}
