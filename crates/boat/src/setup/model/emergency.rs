//! What the owner is told to do in an emergency: steps that can be judged, and texts that cannot.

use super::{ControlId, Side};

/// A line of the owner's emergency.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum EmergencyLine {
    /// A step that names what a hand does.
    Step(EmergencyStep),
    /// The builder's own words.
    Text(String),
}

/// A step of the emergency.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EmergencyStep {
    /// What it asks for.
    pub act: EmergencyAct,
    /// How long it goes on; `None`: it is done once.
    pub until: Option<Until>,
}

/// What a step asks for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum EmergencyAct {
    /// Something that a hand does with the set on.
    Hand(HandStep),
    /// The transmitter is switched off and left off.
    SwitchOff,
}

/// Where a step puts the controls it names, all at once. Those that it does not name may be anywhere.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HandStep {
    /// Ways that are held fully.
    pub hold: Vec<(ControlId, Side)>,
    /// Controls that are let go, or put to where they rest.
    pub rest: Vec<ControlId>,
    /// Settings of switches.
    pub with: Vec<(ControlId, usize)>,
}

/// How long a step goes on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Until {
    /// Until she is at the surface.
    Up,
    /// Until she does not move any more.
    Stopped,
}

impl HandStep {
    /// Every control that it names, those that are held first.
    pub fn controls(&self) -> impl Iterator<Item = ControlId> + '_ {
        let held = self.hold.iter().map(|(control, _)| *control);
        held.chain(self.rest.iter().copied()).chain(self.with.iter().map(|(switch, _)| *switch))
    }
}
