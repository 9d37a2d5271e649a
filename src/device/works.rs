//! The kinds of works: what a servo may work at a point of its travel.

/// What the program knows of a kind of work.
#[derive(Debug)]
pub struct WorkKind {
    /// As written under `kind:` in the file.
    pub name: &'static str,
    /// What it does to the boat.
    pub boat: BoatDoes,
    /// It gives off something that can hurt or be lost: fires or releases.
    pub lets_go: bool,
    /// It fires: whoever does not expect it is hurt.
    pub fires: bool,
    /// It heats, burns or drives for as long as it is engaged, and must be off when nobody is there.
    pub heats: bool,
    /// Emergency gas: never within the pilot's reach.
    pub emergency: bool,
    /// It lets the air out of a tank.
    pub vents: bool,
    /// The verb in a sentence: "the gas valve may *open*".
    pub verb: &'static str,
}

/// What a work does to the boat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BoatDoes {
    /// Makes her heavier.
    Sinks,
    /// Makes her lighter.
    Raises,
    /// Neither.
    Neither,
}

impl WorkKind {
    /// Whether a surprise from this work is an error, not a warning.
    pub fn is_grave(&self) -> bool {
        self.boat != BoatDoes::Neither || self.lets_go || self.heats
    }

    /// Whether it makes her heavier.
    pub fn sinks(&self) -> bool {
        self.boat == BoatDoes::Sinks
    }

    /// Whether it makes her lighter.
    pub fn raises(&self) -> bool {
        self.boat == BoatDoes::Raises
    }
}

const fn kind(name: &'static str, boat: BoatDoes, lets_go: bool, verb: &'static str) -> WorkKind {
    WorkKind { name, boat, lets_go, fires: false, heats: false, emergency: false, vents: false, verb }
}

/// Every kind, in the order in which messages list them.
pub const ALL: &[WorkKind] = &[
    WorkKind { vents: true, ..kind("vent valve", BoatDoes::Sinks, false, "open") },
    kind("flood valve", BoatDoes::Sinks, false, "open"),
    kind("pump switch", BoatDoes::Raises, false, "switch on"),
    kind("blow valve", BoatDoes::Raises, false, "open"),
    WorkKind { emergency: true, ..kind("emergency gas valve", BoatDoes::Raises, false, "open") },
    kind("release", BoatDoes::Neither, true, "let go"),
    WorkKind { fires: true, ..kind("firing contact", BoatDoes::Neither, true, "fire") },
    WorkKind { heats: true, ..kind("gas burner", BoatDoes::Neither, false, "burn") },
    WorkKind { heats: true, ..kind("fuel valve", BoatDoes::Neither, false, "open") },
    WorkKind { heats: true, ..kind("steam regulator", BoatDoes::Neither, false, "open") },
    WorkKind { heats: true, ..kind("ignition", BoatDoes::Neither, false, "switch on") },
    kind("light", BoatDoes::Neither, false, "switch on"),
    kind("sound", BoatDoes::Neither, false, "sound"),
    kind("other", BoatDoes::Neither, false, "engage"),
];
