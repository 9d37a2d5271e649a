//! What can hang on a channel. One file per kind of device, each a plain record of facts; one line
//! here makes it known to the reader, the rules and the documents.

mod leveller;
mod piston;
mod relay;
mod servo;
mod speed_controller;
mod two_way_pump;
pub mod works;

/// What the program knows of a kind of device.
#[derive(Debug)]
pub struct KindInfo {
    /// As written under `kind:` in the file.
    pub name: &'static str,
    /// What else people call it or what they hang on it; the file takes none of these, a mistake tells the name.
    pub also_called: &'static [&'static str],
    /// What it is, for `lidcard explain`.
    pub about: &'static str,
    /// The keys it takes beside `kind`, `channel`, `behind` and `note`.
    pub keys: &'static [&'static str],
    /// Where it goes when the pulses fail.
    pub when_pulses_fail: PulsesFail,
    /// It has a band around rest in which it does nothing, and ought to be in it at rest.
    pub rests_in_band: bool,
    /// A device behind it gets its output, not the receiver's.
    pub passes_on: bool,
    /// It may be there without a channel.
    pub works_alone: bool,
    /// It fills and empties a tank by itself: which way is which its `effects` say.
    pub moves_water: bool,
}

impl KindInfo {
    /// Whether it goes to a position and stays there: one that fills and empties a tank holds by it as much water as that
    /// lets in, and at one position she hangs level.
    pub fn holds_its_place(&self) -> bool {
        self.when_pulses_fail == PulsesFail::Anywhere && !self.rests_in_band
    }

    /// Whether it is a motor's: it stops without pulses, and has a band in which it stands still.
    pub fn runs_a_motor(&self) -> bool {
        self.when_pulses_fail == PulsesFail::StopsUnlessSaid && self.rests_in_band
    }
}

/// Where a device goes when no pulses reach it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PulsesFail {
    /// It stays or is pushed about: anywhere it could have been.
    Anywhere,
    /// It stops, unless the file says that it stays.
    StopsUnlessSaid,
}

/// Every kind, in the order in which messages list them.
pub const ALL: &[&KindInfo] = &[
    &servo::SERVO,
    &speed_controller::SPEED_CONTROLLER,
    &two_way_pump::TWO_WAY_PUMP,
    &piston::PISTON,
    &leveller::LEVELLER,
    &relay::RELAY,
];
