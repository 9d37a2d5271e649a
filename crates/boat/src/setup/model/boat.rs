//! The boat and the job.

use crate::setup::quantity::{About, Metres, MicrosiemensPerCm, Seconds};

/// The boat and the job.
#[derive(Clone, Debug, Default)]
pub struct Boat {
    /// Name, as it is printed.
    pub name: String,
    /// What sort of model.
    pub kind: BoatKind,
    /// The workshop's job number.
    pub reference: Option<String>,
    /// Revision of the set-up.
    pub revision: Option<String>,
    /// Date of the set-up, `YYYY-MM-DD`, a real date.
    pub date: Option<String>,
    /// Who fitted her out.
    pub workshop: Option<String>,
    /// Fresh, brackish or sea water.
    pub water: Water,
    /// How well the fresh water she sails in conducts, for estimates.
    pub conductivity: Option<About<MicrosiemensPerCm>>,
    /// How deep she may go.
    pub depth_limit: Option<Metres>,
    /// She comes up by herself when the motor stops.
    pub floats_when_stopped: bool,
    /// The receiver's aerial is kept above the water while she is under.
    pub aerial_floats: bool,
    /// How long she takes from a lost trim to the depth limit.
    pub sinks_in: Option<Seconds>,
}

/// What sort of model.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum BoatKind {
    /// Goes under.
    #[default]
    Submarine,
    /// Stays on the water.
    Surface,
    /// Anything else that works by radio.
    Other,
}

impl BoatKind {
    /// Every kind with its word in the boat file.
    pub const ALL: &[(&str, Self)] =
        &[("submarine", Self::Submarine), ("surface", Self::Surface), ("other", Self::Other)];

    /// Its word in the boat file.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, kind)| *kind == self).map_or("", |(word, _)| word)
    }
}

/// What she floats in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Water {
    /// Lakes, pools.
    #[default]
    Fresh,
    /// Estuaries, lagoons, seas with little salt.
    Brackish,
    /// The sea.
    Sea,
}
