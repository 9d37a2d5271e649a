//! Physical quantities as types. Each wraps an [`Exact`] in the one unit its name says.

use super::exact::Exact;

macro_rules! unit {
    ($(#[$doc:meta] $name:ident $sign:literal)*) => {$(
        #[$doc]
        #[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub struct $name(pub Exact);

        impl $name {
            /// The sign of the unit, as printed behind the number.
            pub const SIGN: &'static str = $sign;
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                write!(f, "{} {}", self.0.to_decimal(f.precision().unwrap_or(3) as u32), $sign)
            }
        }
    )*};
}

unit! {
    /// Microseconds of a servo pulse.
    Micros "us"
    /// Seconds.
    Seconds "s"
    /// Volts.
    Volts "V"
    /// Amperes.
    Amperes "A"
    /// Ampere hours.
    AmpereHours "Ah"
    /// Metres.
    Metres "m"
    /// Millimetres.
    Millimetres "mm"
    /// Metres in a second.
    MetresPerSecond "m/s"
    /// Kilograms.
    Kilograms "kg"
    /// Litres.
    Litres "L"
    /// Litres in a minute.
    LitresPerMinute "L/min"
    /// Bar, above the pressure of the air.
    Bar "bar"
    /// Degrees on the Celsius scale.
    Celsius "degC"
    /// Ohms.
    Ohms "ohm"
    /// Decibels.
    Decibels "dB"
    /// Microsiemens per centimetre: how well water conducts.
    MicrosiemensPerCm "uS/cm"
}

impl Seconds {
    /// Places with which times are printed. No clock of a receiver or a unit is finer, and fewer would turn
    /// 1.04 s into another time, which matters where it is held against 1.02 s.
    pub const PLACES: u32 = 3;
}

/// A quantity with the most it can be off, either side.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct About<Q> {
    /// What was measured.
    pub value: Q,
    /// The most it can be off; nought when the file does not say.
    pub off: Q,
}
