//! Mixtures of propane and the butanes: what is in most cans.
//!
//! **Assumed:** Raoult's law: each part adds its own vapour pressure times its share of the molecules
//! of the liquid. **Range:** these three only, which are like enough for it; a mixture with a
//! fluorocarbon or an ether is not, and is refused.
//! **Uncertainty:** within 5 % of the mixture models for these three, mostly too high, the more so
//! the warmer. Far greater is what no law helps against: the lighter part boils off first, so that a
//! can gives less pressure with every blow. What is left near the end has the pressure of the heaviest
//! part, and a depth is safe to rely on only if that one would still blow there.

use super::super::domain::{DomainError, within};
use super::super::units::{Celsius, KgPerMole, Pascals};
use super::fluid::Liquid;

/// A liquid mixture by mass, as labels give it.
#[derive(Clone, Debug, PartialEq)]
pub struct Mixture {
    /// Each part with its share of the molecules.
    moles: Vec<(Liquid, f64)>,
}

impl Mixture {
    /// A mixture from shares of mass that add up to one.
    ///
    /// # Errors
    /// No part, a part other than propane, n-butane and isobutane, one named twice, a share outside 0
    /// to 1, a sum off one by more than 0.001.
    pub fn by_mass(parts: &[(Liquid, f64)]) -> Result<Self, DomainError> {
        for (i, (liquid, share)) in parts.iter().enumerate() {
            within("share of a mixture", *share, 0.0, 1.0, "")?;
            if !matches!(liquid, Liquid::Propane | Liquid::NButane | Liquid::Isobutane) {
                return Err(DomainError::Inconsistent {
                    what: "Raoult's law holds for propane, n-butane and isobutane with each other only",
                });
            }
            if parts[..i].iter().any(|(other, _)| other == liquid) {
                return Err(DomainError::Inconsistent { what: "a part of the mixture is named twice" });
            }
        }
        if (parts.iter().map(|(_, share)| share).sum::<f64>() - 1.0).abs() > 1e-3 {
            return Err(DomainError::Inconsistent { what: "the shares of a mixture have to add up to one" });
        }
        Ok(Self { moles: shares(parts.iter().map(|(l, share)| (*l, share / l.molar_mass().0))) })
    }

    /// Each part with its share of the molecules of the liquid.
    pub fn liquid(&self) -> &[(Liquid, f64)] {
        &self.moles
    }

    /// Each part with its share of the molecules of the vapour above the liquid: always richer in the
    /// lighter one, which is why the liquid gets heavier.
    ///
    /// # Errors
    /// A temperature out of range.
    pub fn vapour(&self, temperature: Celsius) -> Result<Vec<(Liquid, f64)>, DomainError> {
        let partial = self.partial(temperature)?;
        Ok(shares(partial.into_iter()))
    }

    /// Mean mass of a mole of that vapour.
    ///
    /// # Errors
    /// A temperature out of range.
    pub fn vapour_molar_mass(&self, temperature: Celsius) -> Result<KgPerMole, DomainError> {
        Ok(KgPerMole(self.vapour(temperature)?.iter().map(|(l, y)| y * l.molar_mass().0).sum()))
    }

    /// Absolute pressure of the charge as filled: the most it ever has at this temperature.
    ///
    /// # Errors
    /// A temperature out of range.
    pub fn bubble_pressure(&self, temperature: Celsius) -> Result<Pascals, DomainError> {
        Ok(Pascals(self.partial(temperature)?.iter().map(|(_, p)| p).sum()))
    }

    /// Absolute pressure above which a gas of the whole mixture begins to condense.
    ///
    /// # Errors
    /// A temperature out of range.
    pub fn dew_pressure(&self, temperature: Celsius) -> Result<Pascals, DomainError> {
        let mut sum = 0.0;
        for (liquid, share) in &self.moles {
            sum += share / liquid.vapour_pressure(temperature)?.0;
        }
        Ok(Pascals(1.0 / sum))
    }

    /// Absolute pressure of the heaviest part alone: what the last of the charge has.
    ///
    /// # Errors
    /// A temperature out of range.
    pub fn last_pressure(&self, temperature: Celsius) -> Result<Pascals, DomainError> {
        let mut least = f64::INFINITY;
        for (liquid, share) in &self.moles {
            if *share > 0.0 {
                least = least.min(liquid.vapour_pressure(temperature)?.0);
            }
        }
        Ok(Pascals(least))
    }

    fn partial(&self, temperature: Celsius) -> Result<Vec<(Liquid, f64)>, DomainError> {
        let each = |(l, x): &(Liquid, f64)| Ok((*l, x * l.vapour_pressure(temperature)?.0));
        self.moles.iter().map(each).collect()
    }
}

/// Amounts scaled to a sum of one.
fn shares(amounts: impl Iterator<Item = (Liquid, f64)>) -> Vec<(Liquid, f64)> {
    let amounts: Vec<_> = amounts.collect();
    let sum: f64 = amounts.iter().map(|(_, n)| n).sum();
    amounts.into_iter().map(|(l, n)| (l, n / sum)).collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn can() -> Mixture {
        Mixture::by_mass(&[(Liquid::NButane, 0.7), (Liquid::Propane, 0.3)]).unwrap()
    }

    #[test]
    fn seventy_thirty_by_mass_is_worked_by_hand() {
        // Moles in 1 kg: 0.7/0.0581222 = 12.0436 and 0.3/0.0440956 = 6.8034; shares 0.63902, 0.36098.
        // At 10 °C: 0.63902 · 1.48452 + 0.36098 · 6.36602 = 3.24663 bar.
        let p = can().bubble_pressure(Celsius(10.0)).unwrap();
        assert!((p.bar() - 3.2466).abs() < 2e-3, "{}", p.bar());
        // Vapour: propane 2.29799 / 3.24663 = 0.70781 of the molecules.
        let vapour = can().vapour(Celsius(10.0)).unwrap();
        assert!((vapour[1].1 - 0.7078).abs() < 5e-4);
        // Dew: 1 / (0.63902/1.48452 + 0.36098/6.36602) = 2.0527 bar.
        assert!((can().dew_pressure(Celsius(10.0)).unwrap().bar() - 2.0527).abs() < 2e-3);
    }

    #[test]
    fn one_part_alone_is_that_part() {
        let pure = Mixture::by_mass(&[(Liquid::Isobutane, 1.0)]).unwrap();
        let p = Liquid::Isobutane.vapour_pressure(Celsius(5.0)).unwrap();
        for got in [pure.bubble_pressure(Celsius(5.0)), pure.dew_pressure(Celsius(5.0))] {
            assert!((got.unwrap() / p - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn the_pressure_falls_from_the_first_blow_to_the_last() {
        let t = Celsius(10.0);
        let (first, dew) = (can().bubble_pressure(t).unwrap(), can().dew_pressure(t).unwrap());
        assert!(first > dew && dew > can().last_pressure(t).unwrap());
    }

    #[test]
    fn mixtures_beyond_raoult_are_refused() {
        assert!(Mixture::by_mass(&[]).is_err());
        assert!(Mixture::by_mass(&[(Liquid::NButane, 0.5), (Liquid::R134a, 0.5)]).is_err());
        assert!(Mixture::by_mass(&[(Liquid::NButane, 0.5), (Liquid::NButane, 0.5)]).is_err());
        assert!(Mixture::by_mass(&[(Liquid::NButane, 0.5), (Liquid::Propane, 0.4)]).is_err());
        assert!(Mixture::by_mass(&[(Liquid::NButane, 1.5), (Liquid::Propane, -0.5)]).is_err());
    }
}
