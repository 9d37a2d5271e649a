//! The transmitter and its pulses.

use super::OrderLines;
use crate::radio::Region;
use crate::setup::exact::Exact;
use crate::setup::quantity::{About, Decibels, Micros};

/// The transmitter.
#[derive(Clone, Debug)]
pub struct Transmitter {
    /// Which set.
    pub name: Option<String>,
    /// The stored model to select before sailing.
    pub memory: Option<String>,
    /// Which frequency table applies.
    pub region: Option<Region>,
    /// Frequency with its usual unit, for printing.
    pub frequency: Option<String>,
    /// The same in hertz.
    pub hertz: Option<i64>,
    /// What the signal may lose before the link breaks: aerial just above the water, as far off as she is sailed.
    pub margin: Option<About<Decibels>>,
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
