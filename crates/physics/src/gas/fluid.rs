//! Gases that are carried as a liquid: what they are at a temperature.
//!
//! **Assumed:** a pure gas with liquid and vapour both present; mixtures are in [`super::mixture`].
//! **Range:** −20 to 60 °C, carbon dioxide to 25 °C, and never within 5 K of the critical point: above
//! it there is no vapour pressure at all. Pressure and density of the liquid go on to 100 °C, so that
//! the danger of an overfilled vessel can be told.
//! **Uncertainty:** vapour pressure and liquid density 0.1 %, heat of evaporation and of the liquid
//! 0.5 %, density of the vapour 1 % for hydrocarbons and 2.5 % for the rest, all against the equations of
//! state. What is in a can is another matter: technical butane is a mixture, and so is lighter gas.

use super::super::domain::{DomainError, positive, within};
use super::super::units::{
    Celsius, CubicMetres, JoulesPerKg, JoulesPerKgK, Kelvin, KgPerM3, KgPerMole, Kilograms, Pascals,
};
use super::species::{Gas, R};
use super::table::{Constants, LiquidDensity, Term, constants};

/// A gas sold as a liquid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Liquid {
    /// Propane, R290.
    Propane,
    /// n-Butane, R600.
    NButane,
    /// Isobutane, R600a.
    Isobutane,
    /// Dimethyl ether.
    DimethylEther,
    /// 1,1,1,2-Tetrafluoroethane.
    R134a,
    /// 1,1-Difluoroethane.
    R152a,
    /// trans-1,3,3,3-Tetrafluoropropene.
    R1234zeE,
    /// Carbon dioxide.
    CarbonDioxide,
}

/// The warmest, where the heats are asked for.
const WARMEST: f64 = 60.0;
/// The warmest, where only pressure and density of the liquid are.
const HOTTEST: f64 = 100.0;
/// How near the critical temperature the formulas may come, in kelvin.
const CRITICAL_MARGIN: f64 = 5.0;

/// The gas of a liquid at one temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GasAt {
    /// Absolute pressure at which it condenses, in pascals.
    saturated: f64,
    /// By how much a pascal lowers the compressibility, in 1/Pa.
    virial: f64,
    /// Density of the ideal gas by pressure, in kg/(m³ Pa).
    ideal: f64,
}

impl GasAt {
    /// By how much a pascal lowers the compressibility, in 1/Pa.
    pub(super) fn virial(self) -> f64 {
        self.virial
    }

    /// The gas of a mixture by its shares of molecules, which condenses at a pressure: the three constants of the
    /// correlation mixed by Kay's rule (Ind. Eng. Chem. 28:1014, 1936; from memory), fit for gases as like as these.
    pub(super) fn mixed(parts: &[(Liquid, f64)], saturated: Pascals, temperature: Celsius) -> Self {
        let mean = |of: fn(&Constants) -> f64| parts.iter().map(|(l, y)| y * of(l.constants())).sum::<f64>();
        let kelvin = Kelvin::from(temperature).0;
        let virial = virial(mean(|c| c.critical.0), mean(|c| c.critical.1), mean(|c| c.acentric), kelvin);
        Self { saturated: saturated.0, virial, ideal: mean(|c| c.molar_mass) / (R * kelvin) }
    }

    /// Density of the gas at a pressure, denser than the ideal gas by the second virial coefficient:
    /// Pitzer's correlation with the coefficients of Abbott, in Smith and Van Ness, Introduction to
    /// Chemical Engineering Thermodynamics (from memory).
    ///
    /// # Errors
    /// A pressure not above zero and at most the vapour pressure: beyond it, it condenses. One at which the
    /// gas is more than three tenths denser than an ideal one, which is past what one coefficient can say.
    pub fn density(self, pressure: Pascals) -> Result<KgPerM3, DomainError> {
        positive("gas pressure", pressure.0, Pascals::SIGN)?;
        within("gas pressure", pressure.0, 0.0, self.saturated, Pascals::SIGN)?;
        let z = 1.0 + self.virial * pressure.0;
        // Carbon dioxide near saturation gets there.
        within("compressibility of the gas", z, 0.7, 1.0, "")?;
        Ok(KgPerM3(pressure.0 * self.ideal / z))
    }
}

impl GasAt {
    /// By which factor more of it goes through a hole at a pressure before it than of an ideal gas, as it is
    /// denser: the √(1/Z) of API 520, part I (from memory).
    pub fn faster(self, pressure: Pascals) -> f64 {
        // Between two steps of a table the pressure may lie a hair above that of the liquid.
        let pressure = Pascals(pressure.0.min(self.saturated));
        self.density(pressure).map_or(1.0, |rho| (rho.0 / (pressure.0 * self.ideal)).sqrt())
    }
}

impl Liquid {
    /// The coldest temperature answered for.
    pub(super) const COLDEST: Celsius = Celsius(-20.0);

    /// All of them.
    pub const ALL: [Self; 8] = [
        Self::Propane,
        Self::NButane,
        Self::Isobutane,
        Self::DimethylEther,
        Self::R134a,
        Self::R152a,
        Self::R1234zeE,
        Self::CarbonDioxide,
    ];

    fn constants(self) -> &'static Constants {
        constants(self)
    }

    /// Its name as people write it.
    pub fn name(self) -> &'static str {
        self.constants().name
    }

    /// Where its constants were published.
    pub fn source(self) -> &'static str {
        self.constants().source
    }

    /// Whether it burns in air, at room temperature or a little above.
    pub fn flammable(self) -> bool {
        self.constants().flammable
    }

    /// Mass of a mole.
    pub fn molar_mass(self) -> KgPerMole {
        KgPerMole(self.constants().molar_mass)
    }

    /// Its thin vapour as an ideal gas.
    pub fn gas(self) -> Gas {
        Gas { molar_mass: self.molar_mass(), gamma: self.constants().gamma }
    }

    /// Above this temperature it is never a liquid.
    pub fn critical_temperature(self) -> Kelvin {
        Kelvin(self.constants().critical.0)
    }

    /// The warmest temperature for heats and blows.
    pub fn warmest(self) -> Celsius {
        self.limit(WARMEST)
    }

    /// The warmest temperature for pressure and density of the liquid.
    pub fn hottest(self) -> Celsius {
        self.limit(HOTTEST)
    }

    fn limit(self, most: f64) -> Celsius {
        Celsius(most.min(Celsius::from(self.critical_temperature()).0 - CRITICAL_MARGIN))
    }

    /// The distance below the critical temperature, as a share of it: the variable of the correlations.
    fn tau(self, temperature: Celsius, most: f64) -> Result<f64, DomainError> {
        let t = within(
            "temperature of the liquefied gas",
            temperature.0,
            Self::COLDEST.0,
            self.limit(most).0,
            Celsius::SIGN,
        )?;
        Ok(1.0 - Kelvin::from(Celsius(t)).0 / self.constants().critical.0)
    }

    /// Absolute pressure at which liquid and vapour are in balance.
    ///
    /// # Errors
    /// A temperature outside −20 to 100 °C or too near the critical one.
    pub fn vapour_pressure(self, temperature: Celsius) -> Result<Pascals, DomainError> {
        let tau = self.tau(temperature, HOTTEST)?;
        let c = self.constants();
        Ok(Pascals(c.critical.1 * libm::exp(sum(c.vapour_pressure, tau) / (1.0 - tau))))
    }

    /// Density of the boiling liquid.
    ///
    /// # Errors
    /// Those of [`Self::vapour_pressure`].
    pub fn liquid_density(self, temperature: Celsius) -> Result<KgPerM3, DomainError> {
        let tau = self.tau(temperature, HOTTEST)?;
        let c = self.constants();
        Ok(KgPerM3(
            c.critical.2
                * match c.liquid_density {
                    LiquidDensity::Sum(terms) => 1.0 + sum(terms, tau),
                    LiquidDensity::Logarithm(terms) => libm::exp(sum(terms, tau)),
                },
        ))
    }

    /// Heat that a kilogram takes up in boiling away.
    ///
    /// # Errors
    /// A temperature outside −20 °C to [`Self::warmest`].
    pub fn heat_of_evaporation(self, temperature: Celsius) -> Result<JoulesPerKg, DomainError> {
        let (h, n) = self.constants().evaporation;
        Ok(JoulesPerKg(h * libm::pow(self.tau(temperature, WARMEST)?, n)))
    }

    /// Heat that warms a kilogram of the liquid by a kelvin.
    ///
    /// # Errors
    /// A temperature outside −20 °C to [`Self::warmest`].
    pub fn heat_capacity(self, temperature: Celsius) -> Result<JoulesPerKgK, DomainError> {
        let (a, b, d) = self.constants().heat_capacity;
        let tau = self.tau(temperature, WARMEST)?;
        Ok(JoulesPerKgK(a + b / tau + d * tau))
    }

    /// What its gas is at a temperature, at every pressure: worked out once where many are asked for.
    ///
    /// # Errors
    /// A temperature out of range.
    pub fn gas_at(self, temperature: Celsius) -> Result<GasAt, DomainError> {
        let saturated = self.vapour_pressure(temperature)?.0;
        let c = self.constants();
        let virial = virial(c.critical.0, c.critical.1, c.acentric, Kelvin::from(temperature).0);
        Ok(self.gas_of(temperature, saturated, virial))
    }

    /// The gas of which the rest is known.
    pub(super) fn gas_of(self, temperature: Celsius, saturated: f64, virial: f64) -> GasAt {
        let ideal = self.constants().molar_mass / (R * Kelvin::from(temperature).0);
        GasAt { saturated, virial, ideal }
    }

    /// Density of the gas: that of [`GasAt::density`].
    ///
    /// # Errors
    /// Those of [`Self::gas_at`] and [`GasAt::density`].
    pub fn gas_density(self, temperature: Celsius, pressure: Pascals) -> Result<KgPerM3, DomainError> {
        self.gas_at(temperature)?.density(pressure)
    }

    /// Mass of gas that fills `volume` at a temperature and an absolute pressure.
    ///
    /// # Errors
    /// A volume that is not positive, and those of [`Self::gas_density`].
    pub fn mass_of_gas(
        self,
        volume: CubicMetres,
        temperature: Celsius,
        pressure: Pascals,
    ) -> Result<Kilograms, DomainError> {
        positive("gas volume", volume.0, CubicMetres::SIGN)?;
        Ok(Kilograms(volume.0 * self.gas_density(temperature, pressure)?.0))
    }
}

/// By how much a pascal lowers the compressibility, by critical temperature and pressure and acentric factor.
fn virial(critical: f64, pressure: f64, acentric: f64, kelvin: f64) -> f64 {
    let tr = kelvin / critical;
    let simple = 0.083 - 0.422 / libm::pow(tr, 1.6);
    let more = 0.139 - 0.172 / libm::pow(tr, 4.2);
    (simple + acentric * more) / (pressure * tr)
}

fn sum(terms: &[Term], tau: f64) -> f64 {
    terms.iter().map(|(a, t)| a * libm::pow(tau, *t)).sum()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn near(got: f64, want: f64, share: f64) {
        assert!((got / want - 1.0).abs() < share, "{got} instead of {want}");
    }

    #[test]
    fn vapour_pressures_are_those_of_the_tables_for_engineers() {
        // Perry's handbook, 8th ed., DIPPR 101 (run with chemicals 1.5.2), bar at 0, 10, 20, 30 °C. The
        // sources differ by 1.5 % among themselves.
        for (liquid, bars) in [
            (Liquid::Propane, [4.749, 6.373, 8.375, 10.803]),
            (Liquid::Isobutane, [1.577, 2.214, 3.029, 4.051]),
            (Liquid::NButane, [1.034, 1.487, 2.080, 2.839]),
            (Liquid::R152a, [2.641, 3.729, 5.130, 6.900]),
        ] {
            for (t, bar) in [0.0, 10.0, 20.0, 30.0].into_iter().zip(bars) {
                near(liquid.vapour_pressure(Celsius(t)).unwrap().bar(), bar, 0.015);
            }
        }
        // NIOSH pocket guide: n-butane 2.05 atm at 20 °C; OSHA: propane 8.4 atm at 70 °F.
        near(Liquid::NButane.vapour_pressure(Celsius(20.0)).unwrap().0, 2.05 * 101_325.0, 0.005);
        near(Liquid::Propane.vapour_pressure(Celsius(21.1)).unwrap().0, 8.4 * 101_325.0, 0.015);
    }

    #[test]
    fn butane_near_freezing_gives_hardly_more_than_the_air() {
        // CoolProp 8.0.0: 1.03226 bar at 0 °C.
        near(Liquid::NButane.vapour_pressure(Celsius(0.0)).unwrap().bar(), 1.032_26, 5e-4);
    }

    #[test]
    fn half_a_litre_at_depth_weighs_what_the_equations_of_state_say() {
        // check-values section 4, CoolProp: 0.5 l at 2 m of plain water (1.209383 bar) and 10 °C.
        for (liquid, grams) in [
            (Liquid::Isobutane, 1.5516),
            (Liquid::NButane, 1.5605),
            (Liquid::R134a, 2.7015),
            (Liquid::CarbonDioxide, 1.1385),
        ] {
            let p = Pascals(120_938.3);
            let mass = liquid.mass_of_gas(CubicMetres::from_litres(0.5), Celsius(10.0), p).unwrap();
            near(mass.grams(), grams, 0.005);
        }
    }

    #[test]
    fn heats_are_those_at_20_degrees() {
        // check-values section 4, CoolProp: kJ/kg and kJ/(kg K).
        for (liquid, h, c) in [
            (Liquid::Isobutane, 334.326, 2.3982),
            (Liquid::NButane, 366.501, 2.4129),
            (Liquid::R134a, 182.281, 1.4049),
            (Liquid::R152a, 285.321, 1.7765),
        ] {
            near(liquid.heat_of_evaporation(Celsius(20.0)).unwrap().0, h * 1e3, 0.005);
            near(liquid.heat_capacity(Celsius(20.0)).unwrap().0, c * 1e3, 0.005);
        }
    }

    #[test]
    fn above_the_critical_point_there_is_no_vapour_pressure() {
        assert!(Liquid::CarbonDioxide.vapour_pressure(Celsius(35.0)).is_err());
        assert!(Liquid::CarbonDioxide.vapour_pressure(Celsius(25.0)).is_ok());
        assert!(Liquid::Propane.vapour_pressure(Celsius(99.0)).is_err());
        assert!(Liquid::NButane.heat_of_evaporation(Celsius(61.0)).is_err());
        assert!(Liquid::NButane.vapour_pressure(Celsius(-21.0)).is_err());
        assert!(Liquid::NButane.vapour_pressure(Celsius(f64::NAN)).is_err());
    }

    #[test]
    fn gas_that_would_condense_has_no_density() {
        // n-Butane at 10 °C condenses above 1.485 bar; 5 m of water are 1.503.
        assert!(Liquid::NButane.gas_density(Celsius(10.0), Pascals(150_358.0)).is_err());
    }
}
