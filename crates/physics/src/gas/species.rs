//! The ideal gas, and what tells one gas from another.
//!
//! **Assumed:** p V = n R T. **Range:** air below about 20 bar is within 1 % of it. **Uncertainty:** the
//! vapour over a liquid is up to 10 % denser than this; [`super::fluid`] corrects that.

use super::super::domain::{DomainError, positive};
use super::super::units::{CubicMetres, Kelvin, KgPerM3, KgPerMole, Kilograms, Pascals};

/// Molar gas constant in J/(mol K), exact since the SI of 2019.
pub const R: f64 = 8.314_462_618_153_24;

/// What an ideal gas needs to be told from another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gas {
    /// Mass of a mole.
    pub molar_mass: KgPerMole,
    /// Ratio of specific heats, at 20 °C and low pressure.
    pub gamma: f64,
}

/// Dry air: molar mass of CIPM-2007, Picard and others, Metrologia 45:149 (2008) (from memory).
pub const AIR: Gas = Gas { molar_mass: KgPerMole(0.028_965_46), gamma: 1.4 };

impl Gas {
    /// The gas constant of a kilogram of it, in J/(kg K).
    pub fn specific_constant(self) -> f64 {
        R / self.molar_mass.0
    }

    /// Density as an ideal gas.
    ///
    /// # Errors
    /// A pressure or temperature that is not positive.
    pub fn density(self, pressure: Pascals, temperature: Kelvin) -> Result<KgPerM3, DomainError> {
        positive("gas pressure", pressure.0, Pascals::SIGN)?;
        positive("gas temperature", temperature.0, Kelvin::SIGN)?;
        Ok(KgPerM3(pressure.0 / (self.specific_constant() * temperature.0)))
    }

    /// Mass that fills `volume`, as an ideal gas.
    ///
    /// # Errors
    /// A volume, pressure or temperature that is not positive.
    pub fn mass(
        self,
        volume: CubicMetres,
        pressure: Pascals,
        temperature: Kelvin,
    ) -> Result<Kilograms, DomainError> {
        positive("gas volume", volume.0, CubicMetres::SIGN)?;
        Ok(Kilograms(volume.0 * self.density(pressure, temperature)?.0))
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::units::Celsius;

    #[test]
    fn a_gram_of_air_fills_what_the_gas_law_says() {
        // R · 293.15 / (0.02896546 · 101 325) = 0.830 5 m³/kg (check values: 0.830476 l/g).
        let rho = AIR.density(Pascals(101_325.0), Celsius(20.0).into()).unwrap().0;
        assert!((1.0 / rho - 0.830_476).abs() < 2e-5, "{}", 1.0 / rho);
    }

    #[test]
    fn vacuum_and_absolute_zero_are_refused() {
        assert!(AIR.density(Pascals(0.0), Kelvin(293.0)).is_err());
        assert!(AIR.density(Pascals(1e5), Kelvin(0.0)).is_err());
        assert!(AIR.mass(CubicMetres(-1.0), Pascals(1e5), Kelvin(293.0)).is_err());
    }
}
