//! Why the fail-safe acts.

use crate::setup::Setup;

/// Why the fail-safe acts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Cause {
    /// The radio link is lost.
    Loss,
    /// The battery that the unit watches is low.
    Battery,
    /// Water in the hull.
    Leak,
    /// Power on with the transmitter off: on the bench or at the surface, so that nothing rises or sinks.
    PowerUp,
}

impl Cause {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Loss, Self::Battery, Self::Leak, Self::PowerUp];

    /// `loss`, `battery`, `leak`, `power-up`: as on the command line and in JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Loss => "loss",
            Self::Battery => "battery",
            Self::Leak => "leak",
            Self::PowerUp => "power-up",
        }
    }

    /// Whether something in this set-up acts on it: a receiver always does on a lost link.
    pub fn applies(self, setup: &Setup) -> bool {
        let unit = setup.fail_safe.as_ref();
        match self {
            Self::Loss | Self::PowerUp => true,
            Self::Battery => unit.is_some_and(|u| u.low_battery.is_some()),
            Self::Leak => unit.is_some_and(|u| u.leak),
        }
    }

    /// Whether the boat is under water when it happens.
    pub fn under_water(self) -> bool {
        self != Self::PowerUp
    }
}
