//! The kinds of works: what a servo may work at a point of its travel.

/// What the program knows of a kind of work.
#[derive(Debug)]
pub struct FunctionKind {
    /// As written under `kind:` in the file.
    pub name: &'static str,
    /// What it is, for `lidcard explain`.
    pub about: &'static str,
    /// What else the trade calls it, or what it is told by.
    pub also_called: &'static [&'static str],
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
    /// It switches a pump or blower.
    pub pumps: bool,
    /// It lets a weight go: what it does to the boat it does once, and for good.
    pub drops: bool,
    /// Its word does not say what it is.
    pub nameless: bool,
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

impl FunctionKind {
    /// Whether a surprise from this work is an error, not a warning.
    pub fn is_grave(&self) -> bool {
        self.boat != BoatDoes::Neither || self.lets_go || self.heats
    }

    /// What it is called in a sentence; one whose word says nothing is a function like others.
    pub fn called(&self) -> &'static str {
        if self.nameless { "function" } else { self.name }
    }

    /// The same as one of its kind: `a release`.
    pub fn one(&self) -> String {
        let called = self.called();
        let article = if called.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
        format!("{article} {called}")
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

const fn kind(
    name: &'static str,
    boat: BoatDoes,
    lets_go: bool,
    verb: &'static str,
    about: &'static str,
) -> FunctionKind {
    FunctionKind {
        name,
        about,
        also_called: &[],
        boat,
        lets_go,
        fires: false,
        heats: false,
        emergency: false,
        vents: false,
        pumps: false,
        drops: false,
        nameless: false,
        verb,
    }
}

/// Every kind, in the order in which messages list them.
pub const ALL: &[FunctionKind] = &[
    FunctionKind {
        also_called: &["vent", "venting"],
        vents: true,
        ..kind(
            "vent valve",
            BoatDoes::Sinks,
            false,
            "open",
            "Lets the air out of the tank, so that water comes in, or of an airship the gas: it sinks her.",
        )
    },
    FunctionKind {
        also_called: &["flood", "flooding"],
        ..kind("flood valve", BoatDoes::Sinks, false, "open", "Lets water into the tank: it sinks her.")
    },
    FunctionKind {
        also_called: &["blower"],
        pumps: true,
        ..kind(
            "pump switch",
            BoatDoes::Raises,
            false,
            "switch on",
            "Switches the pump or blower that empties the tank: it raises her.",
        )
    },
    FunctionKind {
        also_called: &["blow", "blowing"],
        ..kind(
            "blow valve",
            BoatDoes::Raises,
            false,
            "open",
            "Lets ordinary gas or air into the tank: it raises her.",
        )
    },
    FunctionKind {
        also_called: &["gas valve", "emergency gas", "gas bottle"],
        emergency: true,
        ..kind(
            "emergency gas valve",
            BoatDoes::Raises,
            false,
            "open",
            "Lets the gas into the tank that is kept for emergencies: it raises her, and no stick may reach it.",
        )
    },
    kind(
        "ballast valve",
        BoatDoes::Raises,
        false,
        "open",
        "Lets ballast out for as long as it is open, water or sand out of a bag: it raises her.",
    ),
    FunctionKind {
        also_called: &["keel", "keel weight", "lead weight", "ballast weight"],
        drops: true,
        ..kind(
            "drop weight",
            BoatDoes::Raises,
            false,
            "drop",
            "Lets a weight go, once: it raises her for good, until somebody hangs a weight in again.",
        )
    },
    FunctionKind {
        also_called: &["hook", "tow hook", "torpedo", "buoy"],
        ..kind("release", BoatDoes::Neither, true, "let go", "Lets something go: a hook, a buoy, a torpedo.")
    },
    FunctionKind {
        also_called: &["firing", "fire", "gun", "igniter"],
        fires: true,
        ..kind(
            "firing contact",
            BoatDoes::Neither,
            true,
            "fire",
            "Fires something: whoever does not expect it is hurt.",
        )
    },
    FunctionKind {
        also_called: &["burner", "boiler", "flame"],
        heats: true,
        ..kind(
            "gas burner",
            BoatDoes::Neither,
            false,
            "burn",
            "Lights or feeds a burner; it must be off when nobody is there.",
        )
    },
    FunctionKind {
        also_called: &["fuel", "fuel tap"],
        heats: true,
        ..kind(
            "fuel valve",
            BoatDoes::Neither,
            false,
            "open",
            "Lets fuel flow; it must be shut when nobody is there.",
        )
    },
    FunctionKind {
        also_called: &["steam", "regulator", "steam valve"],
        heats: true,
        ..kind(
            "steam regulator",
            BoatDoes::Neither,
            false,
            "open",
            "Lets steam to an engine; it must be shut when nobody is there.",
        )
    },
    FunctionKind {
        heats: true,
        ..kind(
            "ignition",
            BoatDoes::Neither,
            false,
            "switch on",
            "Switches an ignition on; it must be off when nobody is there.",
        )
    },
    FunctionKind {
        also_called: &["lamp", "navigation lights"],
        ..kind("light", BoatDoes::Neither, false, "switch on", "Switches a light.")
    },
    FunctionKind {
        also_called: &["horn sound", "siren", "whistle"],
        ..kind("sound", BoatDoes::Neither, false, "sound", "Makes a sound.")
    },
    FunctionKind {
        also_called: &["monitor", "water cannon", "smoke", "smoke generator"],
        nameless: true,
        ..kind(
            "other",
            BoatDoes::Neither,
            false,
            "engage",
            "Anything else; it is taken neither to sink nor to raise her.",
        )
    },
];
