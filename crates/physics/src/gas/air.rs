//! A bottle of compressed air that blows a ballast tank.
//!
//! **Assumed:** ideal gas; the tank is open to the water below through a port wide enough that the gas
//! in it has the water's pressure; the depth does not change meanwhile. Two bounds: the **isothermal**
//! one, all air at the water's temperature all the time (a slow blow), and the **adiabatic** one, no heat
//! enters from anywhere (a quick blow). In the adiabatic one the bottle cools as it empties and its air
//! reaches the tank by throttling: from the first law for bottle and tank together,
//! dU = −p dV, the volume displaced is (p₁−p) V₁ / (γ p) instead of (p₁−p) V₁ / p.
//! **Range:** up to 20 bar absolute; above it the ideal gas is more than 1 % off, and the bottle is no
//! hobby matter. **Uncertainty:** the truth lies between the bounds, in a small wet bottle nearer to the
//! isothermal one; beyond that 1 % of the gas law and what the valve's figures are off.

use super::super::domain::{DomainError, positive, within};
use super::super::integrate::simpson;
use super::super::units::{Between, CubicMetres, Kelvin, Pascals, Seconds};
use super::restriction::Restriction;
use super::species::AIR;

/// A bottle of air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bottle {
    volume: CubicMetres,
    pressure: Pascals,
    temperature: Kelvin,
}

/// The highest absolute pressure of air answered for, in bar: up to here real air is up to 1 % denser than an
/// ideal gas, so that a bottle holds rather more than is reckoned.
pub(super) const MOST_AIR: f64 = 20.0;

/// Pairs of intervals in the integral over the volume displaced.
const PAIRS: u32 = 200;

impl Bottle {
    /// A bottle of `volume` at an **absolute** `pressure`, at the temperature of the water around it.
    ///
    /// # Errors
    /// A volume that is not positive, a pressure outside 0 to 20 bar, a temperature outside 250 to
    /// 330 K.
    pub fn new(
        volume: CubicMetres,
        pressure: Pascals,
        temperature: impl Into<Kelvin>,
    ) -> Result<Self, DomainError> {
        let temperature = temperature.into();
        positive("bottle volume", volume.0, CubicMetres::SIGN)?;
        positive("bottle pressure", pressure.0, Pascals::SIGN)?;
        within("bottle pressure", pressure.bar(), 0.0, MOST_AIR, "bar")?;
        within("bottle temperature", temperature.0, 250.0, 330.0, Kelvin::SIGN)?;
        Ok(Self { volume, pressure, temperature })
    }

    /// Volume of water that the whole charge displaces against an absolute pressure, until bottle and
    /// water are even. Low: adiabatic, high: isothermal. Zero where the bottle has less than the water.
    ///
    /// # Errors
    /// A water pressure that is not positive.
    pub fn displaces(self, water: Pascals) -> Result<Between<CubicMetres>, DomainError> {
        positive("water pressure", water.0, Pascals::SIGN)?;
        let isothermal = self.volume * ((self.pressure - water) / water).max(0.0);
        Ok(Between { low: isothermal / AIR.gamma, high: isothermal })
    }

    /// How often the charge blows a ballast of `ballast`, whole blows only, against `water`.
    ///
    /// # Errors
    /// A ballast or water pressure that is not positive.
    pub fn blows(self, ballast: CubicMetres, water: Pascals) -> Result<Between<u32>, DomainError> {
        positive("ballast volume", ballast.0, CubicMetres::SIGN)?;
        let volume = self.displaces(water)?;
        // A charge that fills the tank to the last drop counts, whatever the last bit of a quotient says.
        let whole = |v: CubicMetres| (v / ballast + 1e-9) as u32;
        Ok(Between { low: whole(volume.low), high: whole(volume.high) })
    }

    /// Time to blow `ballast` through `valve` against `water`. Low: isothermal, high: adiabatic. `None`
    /// where the charge does not suffice.
    ///
    /// # Errors
    /// A ballast or water pressure that is not positive.
    pub fn time_to_blow(
        self,
        ballast: CubicMetres,
        water: Pascals,
        valve: Restriction,
    ) -> Result<Between<Option<Seconds>>, DomainError> {
        positive("ballast volume", ballast.0, CubicMetres::SIGN)?;
        positive("water pressure", water.0, Pascals::SIGN)?;
        Ok(Between {
            low: self.time_with(ballast, water, valve, 1.0),
            high: self.time_with(ballast, water, valve, AIR.gamma),
        })
    }

    /// The time with bottle pressure following m^`exponent`: 1 isothermal, γ adiabatic. In both the tank
    /// grows by R T₁ dm / p with T₁ the temperature in the bottle.
    fn time_with(
        self,
        ballast: CubicMetres,
        water: Pascals,
        valve: Restriction,
        exponent: f64,
    ) -> Option<Seconds> {
        let all = (self.pressure.0 - water.0) * self.volume.0 / (exponent * water.0);
        // The last drop counts, as in `blows`.
        if ballast.0 > all * (1.0 + 1e-9) {
            return None;
        }
        // Near even pressures the flow goes as the root of what remains. Integrating over that root
        // keeps the integrand finite: dV = 2 u du, flow ∝ u.
        let per_root = |u: f64| {
            let left = (u * u).max(1e-12 * all);
            let p1 = water.0 * (1.0 + exponent * left / self.volume.0);
            let t1 = self.temperature.0 * libm::pow(p1 / self.pressure.0, (exponent - 1.0) / exponent);
            let flow = valve.flow(AIR, p1, t1, water.0) * AIR.specific_constant() * t1 / water.0;
            2.0 * left.sqrt() / flow
        };
        Some(Seconds(simpson((all - ballast.0).max(0.0).sqrt(), all.sqrt(), PAIRS, per_root)))
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::units::{Celsius, Metres, SonicConductance};

    fn bottle() -> Bottle {
        // 20 ml at 7 bar over the atmosphere.
        Bottle::new(CubicMetres(20e-6), Pascals(801_325.0), Celsius(10.0)).unwrap()
    }

    #[test]
    fn boyle_gives_the_isothermal_bound() {
        // 20 ml at 8.01325 bar to 2 m of fresh water of 20 °C, 1.209031 bar: 132.518 ml in all, of which
        // 112.518 ml leave the bottle (check-values section 4). 112.518 / 1.4 = 80.37.
        let volume = bottle().displaces(Pascals(120_938.3)).unwrap();
        assert!((volume.high.litres() - 0.112_518).abs() < 1e-6, "{}", volume.high.litres());
        assert!((volume.low.litres() - 0.080_37).abs() < 1e-5);
    }

    #[test]
    fn blows_are_whole_ones() {
        let blows = |ml: f64| bottle().blows(CubicMetres(ml * 1e-6), Pascals(120_938.3)).unwrap();
        assert_eq!(blows(30.0), Between { low: 2, high: 3 });
        assert_eq!(blows(120.0), Between { low: 0, high: 0 });
    }

    #[test]
    fn a_choked_isothermal_blow_takes_the_closed_form() {
        // Choked, p = p0 exp(-t/τ), τ = V / (C ρ0 √(T0/T) R_s T): until the bottle has fallen from 8 to
        // 4 bar it takes τ ln 2, and (8-4) V / p of water has gone.
        let c = SonicConductance::from_dm3_per_s_bar(0.01);
        let start = Bottle::new(CubicMetres(1e-3), Pascals(8e5), Kelvin(293.15)).unwrap();
        let tau = 1e-3 / (c.0 * 1.185 * AIR.specific_constant() * 293.15);
        let valve = Restriction::iso6358(c, 0.3).unwrap();
        let time = start.time_to_blow(CubicMetres(4e-3), Pascals(1e5), valve).unwrap();
        assert!((time.low.unwrap().0 / (tau * libm::log(2f64)) - 1.0).abs() < 1e-6);
    }

    #[test]
    fn a_choked_adiabatic_blow_takes_the_closed_form() {
        // check-values section 4: 1 l, hole of 1 mm, from 8 to 2 bar absolute: 8.886235 s isothermal,
        // 7.019457 s adiabatic. Downstream so low that all of it is choked: water at 1 bar.
        let start = Bottle::new(CubicMetres(1e-3), Pascals(8e5), Kelvin(293.15)).unwrap();
        let hole = Restriction::hole(Metres(1e-3), 1.0).unwrap();
        let time =
            |litres: f64| start.time_to_blow(CubicMetres::from_litres(litres), Pascals(1e5), hole).unwrap();
        // Displaced until the bottle has 2 bar: 6 l isothermal, 6/1.4 l adiabatic.
        assert!((time(6.0).low.unwrap().0 / 8.886_235 - 1.0).abs() < 1e-4);
        assert!((time(6.0 / 1.4).high.unwrap().0 / 7.019_457 - 1.0).abs() < 1e-4);
    }

    #[test]
    fn the_last_drop_takes_a_finite_time_and_one_more_never_comes() {
        let water = Pascals(120_938.3);
        let valve = Restriction::iso6358(SonicConductance::from_dm3_per_s_bar(0.02), 0.3).unwrap();
        let all = bottle().displaces(water).unwrap();
        let time = bottle().time_to_blow(all.high, water, valve).unwrap();
        assert!(time.low.unwrap().0.is_finite() && time.high.is_none());
        let more = bottle().time_to_blow(all.high * 1.001, water, valve).unwrap();
        assert_eq!(more, Between { low: None, high: None });
    }

    #[test]
    fn high_pressure_bottles_are_refused() {
        assert!(Bottle::new(CubicMetres(1e-3), Pascals::from_bar(21.0), Celsius(10.0)).is_err());
        assert!(Bottle::new(CubicMetres(0.0), Pascals::from_bar(5.0), Celsius(10.0)).is_err());
        assert!(Bottle::new(CubicMetres(1e-3), Pascals::from_bar(5.0), Celsius(-60.0)).is_err());
    }
}
