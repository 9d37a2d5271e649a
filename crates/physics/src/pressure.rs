//! Pressure at a depth, and the depth of a pressure.
//!
//! **Assumed:** still water of one density, p = p₀ + ρ g d; gravity and air pressure are the standard
//! ones unless given. **Range:** down to 100 m, deeper than any model goes. **Uncertainty:** standard
//! gravity is right to 0.3 % everywhere on earth; the weather moves the air pressure by 5 %, which is
//! half a metre of water for whatever depends on the absolute pressure.

use super::domain::{DomainError, positive, within};
use super::units::{KgPerM3, Metres, Pascals};

/// Standard gravity in m/s² (3rd CGPM, 1901).
pub const GRAVITY: f64 = 9.806_65;

/// Standard atmosphere (10th CGPM, 1954).
pub const ATMOSPHERE: Pascals = Pascals(101_325.0);

/// The greatest depth answered for.
pub const DEEPEST: Metres = Metres(100.0);

/// Pressure of the water alone at a depth.
///
/// # Errors
/// A depth outside 0 to 100 m, a density that is not positive.
pub fn gauge(density: KgPerM3, depth: Metres) -> Result<Pascals, DomainError> {
    positive("water density", density.0, KgPerM3::SIGN)?;
    within("depth", depth.0, 0.0, DEEPEST.0, Metres::SIGN)?;
    Ok(Pascals(density.0 * GRAVITY * depth.0))
}

/// Pressure of water and standard atmosphere at a depth: what a gas works against.
///
/// # Errors
/// Those of [`gauge`].
pub fn absolute(density: KgPerM3, depth: Metres) -> Result<Pascals, DomainError> {
    Ok(gauge(density, depth)? + ATMOSPHERE)
}

/// The depth at which the water alone has this pressure; negative for a pressure below zero.
///
/// # Errors
/// A density that is not positive.
pub fn depth_of_gauge(density: KgPerM3, pressure: Pascals) -> Result<Metres, DomainError> {
    positive("water density", density.0, KgPerM3::SIGN)?;
    Ok(Metres(pressure.0 / (density.0 * GRAVITY)))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn ten_metres_of_plain_water_are_nearly_one_bar() {
        // 1000 · 9.80665 · 10 = 98 066.5 Pa; plus 101 325 Pa.
        assert!((gauge(KgPerM3(1000.0), Metres(10.0)).unwrap().0 - 98_066.5).abs() < 1e-6);
        assert!((absolute(KgPerM3(1000.0), Metres(10.0)).unwrap().0 - 199_391.5).abs() < 1e-6);
        // 1025 · 9.80665 · 2 = 20 103.6325 Pa.
        assert!((gauge(KgPerM3(1025.0), Metres(2.0)).unwrap().0 - 20_103.632_5).abs() < 1e-6);
    }

    #[test]
    fn a_pressure_leads_back_to_its_depth() {
        let p = gauge(KgPerM3(998.2), Metres(3.7)).unwrap();
        assert!((depth_of_gauge(KgPerM3(998.2), p).unwrap().0 - 3.7).abs() < 1e-12);
    }

    #[test]
    fn the_air_above_and_the_abyss_are_refused() {
        assert!(gauge(KgPerM3(1000.0), Metres(-0.1)).is_err());
        assert!(gauge(KgPerM3(1000.0), Metres(101.0)).is_err());
        assert!(gauge(KgPerM3(0.0), Metres(1.0)).is_err());
    }
}
