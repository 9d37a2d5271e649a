//! The transmitter and its pulses.

use super::{Axis, OrderLines};
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
    pub pulse: Pulse,
    /// The furthest any output can go, either side of rest, as a share of the set's own full pulse.
    pub furthest: Exact,
    /// The finest step of an endpoint.
    pub step: Exact,
    /// What is known of the order in which the set does its sums.
    pub order: OrderLines,
}

/// The set's pulses.
#[derive(Clone, Debug)]
pub struct Pulse {
    /// At rest and at full output.
    pub scale: Axis,
    /// How far a pulse can be off, either side.
    pub accuracy: Micros,
}
