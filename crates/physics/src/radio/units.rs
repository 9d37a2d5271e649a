//! Units that only radio has.

/// Electrical conductivity of water.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct SiemensPerMetre(pub f64);

impl SiemensPerMetre {
    /// From microsiemens per centimetre, the unit of a pond keeper's meter: 10 000 make one S/m.
    pub fn from_us_per_cm(value: f64) -> Self {
        Self(value * 1e-4)
    }
}

/// Decibels.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Decibels(pub f64);

/// Decibels lost in each metre.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct DecibelsPerMetre(pub f64);
