//! How the cause finds hand and boat.

use crate::chain::Inputs;
use crate::physics::units::Metres;

/// How the cause finds hand and boat. The default: sticks at rest in the nominal case and wherever piloting
/// leaves the servo farthest away in the worst; at the depth limit.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Start {
    /// Where everything stands that a hand can move, in every case; a finding's witness is such a place.
    pub hand: Option<Inputs>,
    /// How deep she is; `None`: at `boat.depth_limit`.
    pub depth: Option<Metres>,
}
