//! Stand-in while the real one is being written.
use crate::finding::{Finding, WayWindows};
use crate::setup::{Exact, Setup};

/// How far a channel's output goes in one order of operations.
#[derive(Clone, Debug)]
pub struct ChannelReach {
    /// Number.
    pub channel: u8,
    /// Open lines.
    pub order: Vec<(String, String)>,
    /// Lowest.
    pub low: Exact,
    /// Highest.
    pub high: Exact,
}
/// All rules.
pub fn check(_setup: &Setup) -> Vec<Finding> {
    vec![]
}
/// Windows.
pub fn endpoints(_setup: &Setup) -> Vec<WayWindows> {
    vec![]
}
/// Reach.
pub fn reach(_setup: &Setup) -> Vec<ChannelReach> {
    vec![]
}
