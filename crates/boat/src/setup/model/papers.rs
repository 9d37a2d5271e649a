//! What is printed or accepted, and has no part in any signal.

use super::{EmergencyLine, EmergencyStep};
use crate::language::Language;
use crate::setup::quantity::{About, AmpereHours, Amperes, Ohms};

/// A battery.
#[derive(Clone, Debug)]
pub struct Battery {
    /// Name in the file.
    pub name: String,
    /// Cells in series.
    pub cells: Option<u32>,
    /// Chemistry as written.
    pub chemistry: Option<String>,
    /// What is printed on it.
    pub capacity: Option<AmpereHours>,
    /// What the whole pack with its leads and plugs sets against a current.
    pub resistance: Option<About<Ohms>>,
    /// What hangs on it draws together, servos at work and motors running included, pumps not.
    pub draws: Option<Amperes>,
    /// What the cells may give for long.
    pub rated: Option<Amperes>,
    /// What its plug may carry for long.
    pub plug: Option<Amperes>,
    /// What the switch in its line may carry.
    pub switch: Option<Amperes>,
    /// At which current the fuse in its line gives way sooner or later.
    pub fuse: Option<Amperes>,
}

/// What the owner is told.
#[derive(Clone, Debug, Default)]
pub struct Owner {
    /// What to do in an emergency, one step a line.
    pub emergency: Vec<EmergencyLine>,
    /// What the owner has yet to do before she is as the file says, one step a line.
    pub left_to_owner: Vec<String>,
    /// Whom to ask.
    pub contact: Option<String>,
    /// The language of what is printed for the owner; English where nobody said.
    pub language: Option<Language>,
}

impl Owner {
    /// The builder's own words for an emergency, with their places in the list.
    pub fn texts(&self) -> impl Iterator<Item = (usize, &str)> {
        self.emergency.iter().enumerate().filter_map(|(index, line)| match line {
            EmergencyLine::Text(text) => Some((index, text.as_str())),
            EmergencyLine::Step(_) => None,
        })
    }

    /// The steps of the emergency that can be judged, with their places in the list.
    pub fn steps(&self) -> impl Iterator<Item = (usize, &EmergencyStep)> {
        self.emergency.iter().enumerate().filter_map(|(index, line)| match line {
            EmergencyLine::Step(step) => Some((index, step)),
            EmergencyLine::Text(_) => None,
        })
    }
}

/// How the lid card is to be printed.
#[derive(Clone, Debug, Default)]
pub struct CardOptions {
    /// Width and height in millimetres.
    pub size: Option<[f64; 2]>,
}

/// A finding that the builder has thought about and lives with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Acceptance {
    /// Name of the rule.
    pub rule: String,
    /// What the finding is about, as the report names it.
    pub about: String,
    /// In which state of the boat, as a report prints it; without one in those that its rule has always
    /// judged.
    pub state: Option<String>,
    /// Why it is accepted, on one line.
    pub because: String,
    /// The lid card is to tell the owner.
    pub on_card: bool,
}
