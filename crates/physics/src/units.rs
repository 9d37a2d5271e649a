//! Units of the estimates, each a number in the one unit its name says.
//!
//! The boat file's own quantities are exact fractions, because verdicts rest on them. These are plain
//! floating point: what comes out of a fitted curve is good to three figures, and is printed so.

use std::fmt;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// `value` rounded to `count` figures, in plain decimals without trailing zeros behind the point.
pub fn figures(value: f64, count: usize) -> String {
    if value == 0.0 || !value.is_finite() {
        return if value == 0.0 { "0".into() } else { value.to_string() };
    }
    let rounded = format!("{value:.*e}", count.saturating_sub(1));
    let exponent: i64 = rounded.split_once('e').and_then(|(_, e)| e.parse().ok()).unwrap_or(0);
    let places = (count as i64 - 1 - exponent).max(0) as usize;
    // Reading the rounded text back gives the nearest number to it, so nothing rounds twice.
    let text = format!("{:.places$}", rounded.parse().unwrap_or(value));
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}

/// Like [`figures`], never more than the value: for a limit that is not to be passed upwards.
pub fn figures_below(value: f64, count: usize) -> String {
    one_sided(value, count, f64::floor)
}

/// Like [`figures`], never less than the value: for the most that something comes to.
pub fn figures_above(value: f64, count: usize) -> String {
    one_sided(value, count, f64::ceil)
}

fn one_sided(value: f64, count: usize, whole: fn(f64) -> f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return figures(value, count);
    }
    let places = count as i32 - 1 - libm::log10(value.abs()).floor() as i32;
    let scaled = value * libm::pow(10.0, f64::from(places));
    // A value of so few figures is not moved by what its last bits make of it.
    let near = scaled.round();
    let kept = if (scaled - near).abs() < 1e-9 * scaled.abs() { near } else { whole(scaled) };
    figures(kept / libm::pow(10.0, f64::from(places)), count)
}

macro_rules! unit {
    ($(#[$doc:meta] $name:ident $sign:literal)*) => {$(
        #[$doc]
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
        pub struct $name(pub f64);

        impl $name {
            /// The sign of the unit, as printed behind the number.
            pub const SIGN: &'static str = $sign;
        }

        /// Three figures and the sign, unless a precision asks for another count of figures.
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{} {}", figures(self.0, f.precision().unwrap_or(3)), $sign)
            }
        }
    )*};
}

/// Addition, scaling and ratios, for the units in which they mean something.
macro_rules! linear {
    ($($name:ident)*) => {$(
        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }

        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }
    )*};
}

unit! {
    /// Metres.
    Metres "m"
    /// Square metres.
    SquareMetres "m²"
    /// Cubic metres.
    CubicMetres "m³"
    /// Seconds.
    Seconds "s"
    /// Hertz.
    Hertz "Hz"
    /// Radians.
    Radians "rad"
    /// Kilograms.
    Kilograms "kg"
    /// Kilograms per cubic metre.
    KgPerM3 "kg/m³"
    /// Kilograms per second.
    KgPerSecond "kg/s"
    /// Kilograms per mole.
    KgPerMole "kg/mol"
    /// Cubic metres per second.
    CubicMetresPerSecond "m³/s"
    /// Metres per second.
    MetresPerSecond "m/s"
    /// Newtons.
    Newtons "N"
    /// Pascals: absolute pressure unless a name says gauge.
    Pascals "Pa"
    /// Pascal seconds of dynamic viscosity.
    PascalSeconds "Pa s"
    /// Temperature on the absolute scale.
    Kelvin "K"
    /// Temperature in degrees Celsius (ITS-90).
    Celsius "°C"
    /// A difference of temperatures.
    KelvinApart "K"
    /// Joules per kilogram.
    JoulesPerKg "J/kg"
    /// Joules per kilogram and kelvin.
    JoulesPerKgK "J/(kg K)"
    /// Joules.
    Joules "J"
    /// Watts.
    Watts "W"
    /// Volts.
    Volts "V"
    /// Amperes.
    Amperes "A"
    /// Ampere hours.
    AmpereHours "Ah"
    /// Ohms.
    Ohms "Ω"
    /// Sonic conductance of ISO 6358, in m³/(s Pa).
    SonicConductance "m³/(s Pa)"
}

linear! {
    Metres SquareMetres CubicMetres Seconds Hertz Radians Kilograms KgPerM3 KgPerSecond
    CubicMetresPerSecond MetresPerSecond Newtons Pascals KelvinApart Joules Watts Volts Amperes
    AmpereHours Ohms SonicConductance
}

/// 0 °C in kelvin (definition of the Celsius scale).
pub const ICE_POINT: f64 = 273.15;

impl From<Celsius> for Kelvin {
    fn from(t: Celsius) -> Self {
        Self(t.0 + ICE_POINT)
    }
}

impl From<Kelvin> for Celsius {
    fn from(t: Kelvin) -> Self {
        Self(t.0 - ICE_POINT)
    }
}

impl Metres {
    /// From millimetres.
    pub fn from_millimetres(mm: f64) -> Self {
        Self(mm * 1e-3)
    }

    /// In millimetres.
    pub fn millimetres(self) -> f64 {
        self.0 * 1e3
    }
}

impl CubicMetres {
    /// From litres.
    pub fn from_litres(litres: f64) -> Self {
        Self(litres * 1e-3)
    }

    /// In litres.
    pub fn litres(self) -> f64 {
        self.0 * 1e3
    }
}

impl Kilograms {
    /// From grams.
    pub fn from_grams(grams: f64) -> Self {
        Self(grams * 1e-3)
    }

    /// In grams.
    pub fn grams(self) -> f64 {
        self.0 * 1e3
    }
}

impl Pascals {
    /// From bar.
    pub fn from_bar(bar: f64) -> Self {
        Self(bar * 1e5)
    }

    /// In bar.
    pub fn bar(self) -> f64 {
        self.0 * 1e-5
    }
}

impl CubicMetresPerSecond {
    /// From litres per minute.
    pub fn from_litres_per_minute(flow: f64) -> Self {
        Self(flow / 60_000.0)
    }

    /// In litres per minute.
    pub fn litres_per_minute(self) -> f64 {
        self.0 * 60_000.0
    }
}

impl Radians {
    /// From degrees.
    pub fn from_degrees(degrees: f64) -> Self {
        Self(degrees.to_radians())
    }

    /// In degrees.
    pub fn degrees(self) -> f64 {
        self.0.to_degrees()
    }
}

impl SonicConductance {
    /// From dm³/(s bar), the unit of valve data sheets.
    pub fn from_dm3_per_s_bar(c: f64) -> Self {
        Self(c * 1e-8)
    }

    /// In dm³/(s bar).
    pub fn dm3_per_s_bar(self) -> f64 {
        self.0 * 1e8
    }
}

/// The two ends that the truth is expected between.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Between<T> {
    /// The lesser end.
    pub low: T,
    /// The greater end.
    pub high: T,
}

impl<T: PartialOrd> Between<T> {
    /// Two values in either order.
    pub fn of(one: T, other: T) -> Self {
        if other < one { Self { low: other, high: one } } else { Self { low: one, high: other } }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn three_figures_are_printed_whatever_the_size() {
        for (value, text) in [
            (0.0, "0"),
            (1234.5, "1230"),
            (0.012_345, "0.0123"),
            (9.999, "10"),
            (-4.56, "-4.56"),
            (2.0, "2"),
            (100.0, "100"),
            (0.000_999_6, "0.001"),
            (101_325.0, "101000"),
        ] {
            assert_eq!(figures(value, 3), text);
        }
        assert_eq!(Pascals(101_325.0).to_string(), "101000 Pa");
        assert_eq!(format!("{:.6}", Pascals(101_325.0)), "101325 Pa");
    }

    #[test]
    fn a_limit_is_rounded_to_its_own_side() {
        for (value, below, above) in [
            (24.58, "24", "25"),
            (0.931, "0.93", "0.94"),
            (0.9, "0.9", "0.9"),
            (9.96, "9.9", "10"),
            (1234.0, "1200", "1300"),
            (-1.55, "-1.6", "-1.5"),
            (0.3, "0.3", "0.3"),
        ] {
            assert_eq!((figures_below(value, 2).as_str(), figures_above(value, 2).as_str()), (below, above));
        }
    }

    #[test]
    fn conversions_go_there_and_back() {
        assert_eq!(Kelvin::from(Celsius(20.0)), Kelvin(293.15));
        // 6 l/min are 0.1 l/s.
        assert!((CubicMetresPerSecond::from_litres_per_minute(6.0).0 - 1e-4).abs() < 1e-18);
        // 1 dm³/(s bar) is 1e-3 m³ over 1e5 Pa.
        assert!((SonicConductance::from_dm3_per_s_bar(1.0).0 - 1e-3 / 1e5).abs() < 1e-20);
        assert!((Radians::from_degrees(180.0).0 - std::f64::consts::PI).abs() < 1e-15);
    }
}
