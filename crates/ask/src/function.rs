//! What a channel can do, and what is asked of each.

/// What hangs on a channel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Device {
    /// A servo that moves something; what is seen at the boat is one of a pair.
    Mover,
    /// A servo that works several things by its travel.
    Worker,
    /// A speed controller.
    Controller,
    /// A pump that runs either way.
    TwoWayPump,
    /// A piston tank.
    Piston,
    /// The input of a levelling unit, with the servo behind it.
    Leveller,
}

/// One line of the table of functions.
#[derive(Debug)]
pub(crate) struct Function {
    /// As it is chosen, and what the channel is called.
    pub(crate) word: &'static str,
    /// As it is told.
    pub(crate) about: &'static str,
    /// What the control is called.
    pub(crate) control: &'static str,
    /// The builder's words for its two ways.
    pub(crate) ways: [&'static str; 2],
    /// What each way is meant to do, in the closed list of effects; what is seen is one of these.
    pub(crate) effects: Option<[&'static str; 2]>,
    /// What hangs on it.
    pub(crate) device: Device,
}

const fn moves(
    word: &'static str,
    about: &'static str,
    control: &'static str,
    ways: [&'static str; 2],
    effects: [&'static str; 2],
    device: Device,
) -> Function {
    Function { word, about, control, ways, effects: Some(effects), device }
}

/// Everything that can be chosen for a channel.
pub(crate) static ALL: &[Function] = &[
    moves("rudder", "turns her", "helm", ["port", "starboard"], ["turns left", "turns right"], Device::Mover),
    moves(
        "bow planes",
        "make her rise or dip",
        "planes",
        ["rise", "dive"],
        ["bow rises", "bow dips"],
        Device::Mover,
    ),
    moves(
        "stern planes",
        "make her rise or dip, straight from the receiver",
        "trim planes",
        ["nose up", "nose down"],
        ["bow rises", "bow dips"],
        Device::Mover,
    ),
    moves(
        "stern override",
        "tells a levelling unit, which moves the stern planes",
        "level",
        ["up", "down"],
        ["bow rises", "bow dips"],
        Device::Leveller,
    ),
    moves(
        "motor",
        "drives her, by a speed controller",
        "speed",
        ["astern", "ahead"],
        ["drives astern", "drives ahead"],
        Device::Controller,
    ),
    Function {
        word: "tank valves",
        about: "a servo whose travel works vent, pump switch, gas valve or some of them",
        control: "tank",
        ways: ["flood", "blow"],
        effects: None,
        device: Device::Worker,
    },
    moves(
        "tank pump",
        "a pump that fills and empties the tank by itself",
        "ballast",
        ["fill", "empty"],
        ["fills", "empties"],
        Device::TwoWayPump,
    ),
    moves(
        "piston tank",
        "a piston that lets water in and pushes it out",
        "ballast",
        ["fill", "empty"],
        ["fills", "empties"],
        Device::Piston,
    ),
    moves(
        "winch",
        "a drum on a speed controller",
        "winch",
        ["out", "in"],
        ["pays out", "hauls in"],
        Device::Controller,
    ),
    moves("lift", "raises and lowers something", "lift", ["down", "up"], ["lowers", "raises"], Device::Mover),
    moves(
        "swing",
        "turns something about, such as a monitor or a crane",
        "swing",
        ["left", "right"],
        ["swings left", "swings right"],
        Device::Mover,
    ),
    moves(
        "flap",
        "opens and shuts something that holds no water",
        "flap",
        ["shut", "open"],
        ["closes", "opens"],
        Device::Mover,
    ),
    Function {
        word: "switch",
        about: "a servo whose travel works a light, a sound, a release or something else",
        control: "switch",
        ways: ["off", "on"],
        effects: None,
        device: Device::Worker,
    },
];

/// The function of a name.
pub(crate) fn named(word: &str) -> Option<&'static Function> {
    ALL.iter().find(|function| function.word == word)
}

/// A thing that the travel of a servo works.
#[derive(Debug)]
pub(crate) struct Work {
    /// What it is called on its servo, and how it is chosen.
    pub(crate) word: &'static str,
    /// Its kind in the boat file.
    pub(crate) kind: &'static str,
    /// It clicks: it is found by several readings.
    pub(crate) clicks: bool,
}

const fn work(word: &'static str, kind: &'static str, clicks: bool) -> Work {
    Work { word, kind, clicks }
}

/// Everything that can be chosen for a servo that works something.
pub(crate) static WORKS: &[Work] = &[
    work("vent", "vent valve", false),
    work("inlet", "flood valve", false),
    work("pump", "pump switch", true),
    work("air", "blow valve", false),
    work("ballast", "ballast valve", false),
    work("gas", "emergency gas valve", false),
    work("weight", "drop weight", false),
    work("hook", "release", false),
    work("light", "light", true),
    work("sound", "sound", true),
    work("other", "other", false),
];
