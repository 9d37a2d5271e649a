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
    /// Metres.
    Metres "m"
}
