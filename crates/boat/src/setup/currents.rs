//! What flows out of a battery, and through what: sums of what the file says, and what it does not say.

use super::exact::Exact;
use super::model::{Battery, Emptier, Path, Pump, Setup, WorkRef};
use super::quantity::{Amperes, Volts};
use crate::setup::DeviceId;

/// Something that carries a current and is rated for one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Link {
    /// The plug between battery and all else.
    Plug,
    /// The switch behind it.
    Switch,
    /// The fuse.
    Fuse,
    /// The cells themselves.
    Pack,
    /// A speed controller or a relay.
    Controller,
}

impl Link {
    /// Under which key of a battery it stands, if not there itself.
    pub fn key(self) -> Option<&'static str> {
        match self {
            Self::Plug => Some("plug"),
            Self::Switch => Some("switch"),
            Self::Fuse => Some("fuse"),
            Self::Pack | Self::Controller => None,
        }
    }

    /// In a sentence.
    pub fn words(self) -> &'static str {
        match self {
            Self::Plug => "the plug",
            Self::Switch => "the switch",
            Self::Fuse => "the fuse",
            Self::Pack => "the pack itself",
            Self::Controller => "the device itself",
        }
    }
}

/// What may flow out of a battery at once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Currents {
    /// Under way: motors at full speed, servos at work, all else that hangs on it, no pump.
    pub sailing: Exact,
    /// The same with every pump.
    pub running: Exact,
    /// The same with every motor, servo and pump held fast of which it is known what it draws then.
    pub stalled: Exact,
    /// The keys without which `sailing` is too little.
    pub unknown_sailing: Vec<Path>,
    /// The keys without which `running` is too little: those and more.
    pub unknown: Vec<Path>,
    /// The keys without which `stalled` is too little, beside those.
    pub unknown_stalled: Vec<Path>,
}

impl Battery {
    /// What of its line is rated, and for how much.
    pub fn rated_links(&self) -> Vec<(Link, &Exact)> {
        let all = [
            (Link::Plug, &self.plug),
            (Link::Switch, &self.switch),
            (Link::Fuse, &self.fuse),
            (Link::Pack, &self.rated),
        ];
        all.into_iter().filter_map(|(link, rated)| Some((link, &rated.as_ref()?.0))).collect()
    }
}

impl Setup {
    /// The battery on which a device hangs: as it says, or the only one there is.
    pub fn battery_of(&self, device: DeviceId) -> Option<usize> {
        self.devices[device].facts.battery.or((self.batteries.len() == 1).then_some(0))
    }

    /// The battery that feeds the pumps, and the voltage at which the unit acts on it: the one it watches, or the
    /// only one there is. Of several that nobody watches it is not known which.
    pub fn battery_of_pumps(&self) -> Option<(usize, Option<&Volts>)> {
        let watched = self.fail_safe.as_ref().and_then(|unit| unit.low_battery.as_ref());
        match watched {
            Some((battery, below)) => Some((*battery, Some(below))),
            None => (self.batteries.len() == 1).then_some((0, None)),
        }
    }

    /// What may flow out of a battery at once.
    pub fn currents(&self, battery: usize) -> Currents {
        let mut unknown = Vec::new();
        let mut unknown_stalled = Vec::new();
        let name = &self.batteries[battery].name;
        let (mut devices, mut more_held) = (Exact::ZERO, Exact::ZERO);
        for (id, device) in self.devices.iter().enumerate() {
            if self.battery_of(id) != Some(battery) {
                continue;
            }
            let facts = &device.facts;
            let draws = facts.draws.as_ref().map_or(Exact::ZERO, |a| a.0.clone());
            if let Some(stall) = &facts.stall {
                more_held += more(&stall.0, &draws);
            } else if device.kind.runs_a_motor() {
                unknown_stalled.push(Path::of(["devices", &device.name, "stall"]));
            }
            if device.kind.runs_a_motor() && facts.draws.is_none() && self.batteries[battery].draws.is_none()
            {
                unknown.push(Path::of(["devices", &device.name, "draws"]));
            }
            devices += draws;
        }
        // What hangs on it together has the motors in it, unless it is less than they are: then it is the rest.
        let sailing = match &self.batteries[battery].draws {
            Some(together) if together.0 >= devices => together.0.clone(),
            Some(rest) => &devices + &rest.0,
            None => {
                unknown.push(Path::of(["batteries", name, "draws"]));
                devices
            }
        };
        let (mut running, unknown_sailing) = (sailing.clone(), unknown.clone());
        if self.battery_of_pumps().is_some_and(|(feeds, _)| feeds == battery) {
            for (work, pump) in self.pumps() {
                let key = |key: &str| self.emptier_path(work).then(key);
                let current = pump.current.as_ref().map_or(Exact::ZERO, |a| a.0.clone());
                if pump.current.is_none() {
                    unknown.push(key("current"));
                }
                match &pump.stall {
                    Some(Amperes(stall)) => more_held += more(stall, &current),
                    None => unknown_stalled.push(key("stall")),
                }
                running += current;
            }
        }
        let stalled = &running + &more_held;
        Currents { sailing, running, stalled, unknown_sailing, unknown, unknown_stalled }
    }

    /// The pumps, in file order.
    pub fn pumps(&self) -> impl Iterator<Item = (WorkRef, &Pump)> {
        self.tank.emptied_by.iter().filter_map(|(work, emptier)| match emptier {
            Emptier::Pump(pump) => Some((*work, pump)),
            Emptier::Gas(_) => None,
        })
    }
}

/// By how much the one is more than the other.
fn more(held: &Exact, running: &Exact) -> Exact {
    if held > running { held - running } else { Exact::ZERO }
}
