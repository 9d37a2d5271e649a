//! What can be asked of a set-up.

use super::states::PulsePlace;
use crate::finding::{Missing, Subject};
use crate::proof::Domain;
use crate::setup::{ChannelId, ControlId, DeviceId, Exact, Input, Setup, Side, Toleranced, WorkRef};

/// What is asked. Each is a thing that must not be; the answer is whether it can.
#[derive(Clone, Debug)]
pub enum Asks {
    /// Whether a function may be engaged.
    Engages {
        /// The function.
        function: WorkRef,
        /// Where its device is.
        place: PulsePlace,
        /// Over which hands.
        over: Domain,
    },
    /// Whether a function may fail to be engaged, or with `fully` to have its full effect.
    Misses {
        /// The function.
        function: WorkRef,
        /// Where its device is.
        place: PulsePlace,
        /// Over which hands.
        over: Domain,
        /// Whether its effect has to be complete.
        fully: bool,
    },
    /// Whether two functions may be engaged at once.
    Together {
        /// Both.
        functions: [WorkRef; 2],
        /// Where their devices are.
        places: [PulsePlace; 2],
        /// Over which hands.
        over: Domain,
    },
    /// Whether a device may leave the band in which it stands still.
    Leaves {
        /// The device.
        device: DeviceId,
        /// Where it is.
        place: PulsePlace,
        /// Over which hands.
        over: Domain,
        /// The band.
        band: [Exact; 2],
    },
    /// Whether a device may be inside a band: it surely runs where it may not.
    StaysWithin {
        /// The device.
        device: DeviceId,
        /// Where it is.
        place: PulsePlace,
        /// Over which hands.
        over: Domain,
        /// The band; every position where there is none.
        band: Option<[Exact; 2]>,
    },
    /// Whether a device may pass an edge.
    Passes {
        /// The device.
        device: DeviceId,
        /// Where it is.
        place: PulsePlace,
        /// Over which hands.
        over: Domain,
        /// The edge.
        edge: Edge,
    },
    /// Whether a device may fall short of a strength on one side.
    FallsShort {
        /// The device.
        device: DeviceId,
        /// Where it is.
        place: PulsePlace,
        /// Over which hands.
        over: Domain,
        /// The side of the axis.
        sign: i32,
        /// How far it has to come, from 0 %.
        needed: Exact,
    },
    /// Whether the pulse of a channel itself may pass a threshold.
    Trips {
        /// The channel.
        channel: ChannelId,
        /// Over which hands.
        over: Domain,
        /// The threshold.
        beyond: Toleranced,
    },
    /// Whether an output may lie elsewhere than at one place.
    Varies {
        /// The channel.
        channel: ChannelId,
        /// Over which hands.
        over: Domain,
    },
    /// Whether a way of a control may move a channel otherwise than to the side that is wanted.
    Moves {
        /// The way.
        way: Moved,
        /// Whether it is only asked that it moves it at all wherever the others are.
        at_all: bool,
    },
    /// Whether the set cuts off the last part of a way.
    CutsOff {
        /// The channel.
        channel: ChannelId,
        /// The way of its own control.
        side: Side,
    },
    /// Whether less than this part of a way lies between where one function is surely engaged and where
    /// the next may be.
    Narrow {
        /// The channel.
        channel: ChannelId,
        /// The way of its own control.
        side: Side,
        /// The first function.
        function: WorkRef,
        /// The next.
        next: WorkRef,
        /// Settings that have to be in force.
        needs: Vec<(ControlId, usize)>,
        /// The least part.
        least: Exact,
    },
    /// Whether each of these may be, not necessarily at once. Of none it is so.
    All(Vec<Asks>),
    /// Whether one of these may be.
    Any(Vec<Asks>),
    /// What an estimate says will not be; nothing is proved by it.
    Estimated,
    /// A fact that needs no chain: whether it is so.
    Fact(bool),
    /// What nobody can tell, because the file does not say what it hangs on.
    Unsaid(Vec<Missing>),
}

/// A place on the axis of a device that it must not pass.
#[derive(Clone, Debug)]
pub struct Edge {
    /// The side of the axis.
    pub sign: i32,
    /// Where it lies, at its worst.
    pub at: Exact,
    /// Whether touching it counts as passing.
    pub touching: bool,
    /// Its own tolerance and the word for it, where `at` already contains one.
    pub tolerance: Option<(&'static str, Toleranced)>,
    /// Where bounds are not exact: from here on it is surely passed.
    pub surely: Option<Option<Exact>>,
    /// What it is, for those who name what limits an endpoint.
    pub what: EdgeKind,
}

/// What lies at an edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EdgeKind {
    /// Something binds there.
    Stop,
    /// A linkage comes to its dead centre there.
    DeadCentre,
    /// It begins to do something there.
    Rest,
}

/// A way of a control that ought to move a channel's output to one side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Moved {
    /// The channel.
    pub channel: ChannelId,
    /// The control.
    pub control: ControlId,
    /// The way.
    pub side: Side,
    /// The side of the axis that the wanted effect needs: -1 or +1.
    pub wanted: i32,
}

impl Asks {
    /// Whether it is answered well under all orders at once wherever it is under each by itself. Two things that have to be
    /// at once may each be under another order, and who stays engaged somewhere else hangs on all orders.
    pub(super) fn holds_under_all_where_under_each(&self) -> bool {
        match self {
            Self::Misses { .. }
            | Self::Leaves { .. }
            | Self::Passes { .. }
            | Self::FallsShort { .. }
            | Self::Trips { .. }
            | Self::Moves { at_all: false, .. }
            | Self::Engages { place: PulsePlace::Pilot, .. } => true,
            Self::Any(all) => all.iter().all(Self::holds_under_all_where_under_each),
            _ => false,
        }
    }

    /// The channels whose output the answer hangs on.
    pub fn channels(&self, setup: &Setup) -> Vec<ChannelId> {
        let steered = |device: DeviceId, place: &PulsePlace| match (place, setup.devices[device].input) {
            (PulsePlace::Pilot, Input::Channel(channel)) => Some(channel),
            _ => None,
        };
        // What was engaged before may still be so: the pilot's reach counts wherever the device is now.
        let reached = |function: WorkRef| match setup.devices[function.device].input {
            Input::Channel(channel) if setup.work(function).releases.is_some() => Some(channel),
            _ => None,
        };
        let mut all: Vec<ChannelId> = match self {
            Asks::Engages { function, place, .. } => {
                steered(function.device, place).or_else(|| reached(*function)).into_iter().collect()
            }
            Asks::Together { functions, places, .. } => functions
                .iter()
                .zip(places)
                .filter_map(|(f, p)| steered(f.device, p).or_else(|| reached(*f)))
                .collect(),
            Asks::Misses { function, place, .. } => steered(function.device, place).into_iter().collect(),
            Asks::Leaves { device, place, .. }
            | Asks::StaysWithin { device, place, .. }
            | Asks::Passes { device, place, .. }
            | Asks::FallsShort { device, place, .. } => steered(*device, place).into_iter().collect(),
            Asks::Trips { channel, .. }
            | Asks::Varies { channel, .. }
            | Asks::CutsOff { channel, .. }
            | Asks::Narrow { channel, .. } => vec![*channel],
            Asks::Moves { way, .. } => vec![way.channel],
            Asks::All(all) | Asks::Any(all) => all.iter().flat_map(|asks| asks.channels(setup)).collect(),
            Asks::Fact(_) | Asks::Unsaid(_) | Asks::Estimated => Vec::new(),
        };
        all.sort_unstable();
        all.dedup();
        all
    }

    /// The same with nothing left to estimates; `None` where nothing is.
    pub fn without_estimates(&self) -> Option<Asks> {
        let each = |all: &[Asks]| {
            let any = all.iter().any(|asks| asks.without_estimates().is_some());
            let strict = |asks: &Asks| asks.without_estimates().unwrap_or_else(|| asks.clone());
            any.then(|| all.iter().map(strict).collect())
        };
        match self {
            Asks::Estimated => Some(Asks::Fact(true)),
            Asks::All(all) => each(all).map(Asks::All),
            Asks::Any(all) => each(all).map(Asks::Any),
            _ => None,
        }
    }

    /// Whether it was answered while it was asked, by whatever the rule looked at.
    pub fn is_closed(&self) -> bool {
        match self {
            Asks::Fact(_) | Asks::Unsaid(_) | Asks::Estimated => true,
            Asks::All(all) | Asks::Any(all) => all.iter().any(Asks::is_closed),
            _ => false,
        }
    }

    /// Whether the answer hangs on where a function is engaged or let go.
    pub fn mentions(&self, this: WorkRef) -> bool {
        match self {
            Asks::Engages { function, .. } | Asks::Misses { function, .. } => *function == this,
            Asks::Together { functions, .. } => functions.contains(&this),
            Asks::Narrow { function, next, .. } => *function == this || *next == this,
            Asks::All(all) | Asks::Any(all) => all.iter().any(|asks| asks.mentions(this)),
            Asks::Leaves { .. }
            | Asks::StaysWithin { .. }
            | Asks::Passes { .. }
            | Asks::FallsShort { .. }
            | Asks::Trips { .. }
            | Asks::Varies { .. }
            | Asks::Moves { .. }
            | Asks::CutsOff { .. }
            | Asks::Fact(_)
            | Asks::Unsaid(_)
            | Asks::Estimated => false,
        }
    }

    /// What limits an endpoint where this is what breaks beyond it.
    pub fn limit(&self, setup: &Setup, rule: &'static str, subject: Subject) -> String {
        match self {
            Asks::Engages { .. } if rule == crate::rule::AT_REST => {
                format!("{} at rest", subject.name(setup))
            }
            Asks::Engages { function, place: PulsePlace::Pilot, .. } if subject_is_function(subject) => {
                setup.work_name(*function)
            }
            Asks::Misses { function, .. } => setup.work_name(*function),
            Asks::Together { functions: [a, b], .. } => {
                format!("{} beside {}", setup.work_name(*a), setup.work_name(*b))
            }
            Asks::Passes { device, edge, .. } => {
                let what = match edge.what {
                    EdgeKind::Stop => "stop",
                    EdgeKind::DeadCentre => "dead centre",
                    EdgeKind::Rest => "rest",
                };
                format!("the {what} of {}", setup.devices[*device].name)
            }
            Asks::Trips { .. } => "the threshold of the fail-safe unit".to_owned(),
            Asks::Moves { way, .. } => {
                format!("the sense of {}", setup.controls[way.control].ways[way.side.index()])
            }
            Asks::Leaves { device, .. } => format!("the band of {}", setup.devices[*device].name),
            _ => subject.name(setup),
        }
    }
}

fn subject_is_function(subject: Subject) -> bool {
    matches!(subject, Subject::Function(_) | Subject::FunctionByWay(..))
}
