//! What the file does not say, and what could be told if it did.

use crate::setup::Path;
use std::fmt;

/// Something that could be told with one more key in the file.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Missing {
    /// What could be told.
    pub wanted: Wanted,
    /// The key to write.
    pub path: Path,
}

/// What could be told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Wanted {
    /// How deep she goes and when she is up. Without it there is no track at all.
    Depth,
    /// How heavy she is in the water with her tank full; without it she is taken to hang level.
    Weight,
    /// What an emptier moves; without it, it is taken to move nothing.
    Flow,
    /// Whether the gas lasts; without it, it is taken to last.
    Lasts,
    /// How long each zone is touched; without it a servo is taken to jump.
    Passing,
    /// When it all begins; without it no time that comes after it is told, and no depth.
    Delay,
    /// When a pump begins to move water; without it, at once.
    Starts,
    /// By how much less a pump may move than its curve says; without it, by nothing.
    Spread,
    /// Whether the air in the hull suffices; without it, it is taken to.
    Air,
    /// What a pump moves on a low battery; without it, it is taken to move as much as is written.
    Volts,
    /// What the water weighs that leaks in; without it, nothing.
    Leak,
    /// What a loss does that finds her diving; without it she is level at the start.
    Diving,
    /// What it takes out of the battery.
    Charge,
    /// Whether a pump may run for so long.
    Duty,
    /// Whether the bottle is too full, and the gas enough.
    Bottle,
    /// What the unit does about this cause: nothing acts on it.
    Acting,
}

impl fmt::Display for Wanted {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Depth => "how deep she goes and when she is up",
            Self::Weight => "how heavy she is with her tank full, taken to hang level",
            Self::Flow => "what it moves, taken to be nothing",
            Self::Lasts => "whether the gas lasts, taken to last",
            Self::Passing => "how long each zone is touched, the servo taken to jump",
            Self::Delay => {
                "when anything comes after it, and how deep she is by then, neither of which is told"
            }
            Self::Starts => "how long a pump takes to start, taken to be no time",
            Self::Spread => "how much less it may move, taken to be as written",
            Self::Air => "whether the air in the hull suffices, taken to suffice",
            Self::Volts => "what a pump still moves on a low battery, taken to be as written",
            Self::Leak => "what the water weighs that leaks in, taken to be nothing",
            Self::Diving => "what happens to her while she is diving, taken to be level",
            Self::Charge => "what it takes out of the battery",
            Self::Duty => "whether it may run for so long",
            Self::Bottle => "whether the bottle is filled too far",
            Self::Acting => "what is done about it, as nothing watches for it",
        })
    }
}

/// Gathers what is missing, each once, in order of importance.
#[derive(Clone, Debug, Default)]
pub(super) struct Wants(Vec<Missing>);

impl Wants {
    pub(super) fn note(&mut self, wanted: Wanted, path: Path) {
        let missing = Missing { wanted, path };
        if !self.0.contains(&missing) {
            self.0.push(missing);
        }
    }

    pub(super) fn add(&mut self, others: &Self) {
        others.0.iter().for_each(|missing| self.note(missing.wanted, missing.path.clone()));
    }

    /// The value, noted as missing where there is none.
    pub(super) fn need<T>(
        &mut self,
        value: Option<T>,
        wanted: Wanted,
        path: impl FnOnce() -> Path,
    ) -> Option<T> {
        if value.is_none() {
            self.note(wanted, path());
        }
        value
    }

    pub(super) fn into_list(mut self) -> Vec<Missing> {
        self.0.sort();
        self.0
    }
}
