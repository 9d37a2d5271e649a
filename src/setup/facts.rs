//! Facts that a file may state beyond what the chain needs; each has a default that changes nothing.

use super::exact::Exact;
use super::quantity::{Amperes, Volts};

/// What a device's file entry may add about the device itself.
#[derive(Clone, Debug, Default)]
pub struct DeviceFacts {
    /// A speed controller that knows one direction only and stops at the end of its range.
    pub one_way: bool,
    /// What a servo draws when it is held fast.
    pub stall: Option<Amperes>,
    /// The most a leveller adds by itself, as a fraction of the axis.
    pub correction: Option<Exact>,
    /// The side to which a leveller moves its output when the bow is high: 0 shorter, 1 longer.
    pub bow_high: Option<usize>,
}

/// What feeds the receiver and its servos.
#[derive(Clone, Debug, Default)]
pub struct Supply {
    /// The volts of the battery that the unit watches below which the receiver gives up.
    pub browns_out: Option<Volts>,
    /// The current that receiver and servos can have together.
    pub current: Option<Amperes>,
}
