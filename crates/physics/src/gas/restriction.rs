//! Mass flow through a valve, a nozzle or a hole.
//!
//! **Assumed:** steady flow of gas alone: liquid carried along by a bottle lying on its side is not
//! covered. The ideal gas law holds upstream. **Range:** any ratio of pressures; no flow backwards.
//! **Uncertainty:** ISO 6358 values of a data sheet about 5 %; an orifice with a guessed coefficient
//! 20 %; a vapour near condensing a few per cent more (common practice, no source).

use super::super::domain::{DomainError, not_negative, positive, within};
use super::super::units::{Kelvin, KgPerM3, KgPerSecond, Metres, Pascals, SonicConductance, SquareMetres};
use super::species::{AIR, Gas};

/// Density of the reference air of ISO 6358 and ISO 8778 (100 kPa, 20 °C, 65 % humidity).
pub const REFERENCE_DENSITY: KgPerM3 = KgPerM3(1.185);

/// Temperature of that reference air.
pub const REFERENCE_TEMPERATURE: Kelvin = Kelvin(293.15);

/// What stands in the way of the gas.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Restriction {
    /// A component with the two figures of ISO 6358.
    Iso6358 {
        /// Sonic conductance C.
        conductance: SonicConductance,
        /// Critical pressure ratio b.
        critical_ratio: f64,
    },
    /// A hole or nozzle.
    Orifice {
        /// Its area.
        area: SquareMetres,
        /// Discharge coefficient: near 1 for a rounded nozzle, about 0.6 to 0.85 for a sharp hole.
        coefficient: f64,
    },
}

impl Restriction {
    /// A component with sonic conductance C and critical ratio b.
    ///
    /// # Errors
    /// C not positive, b outside 0 to 0.99.
    pub fn iso6358(conductance: SonicConductance, critical_ratio: f64) -> Result<Self, DomainError> {
        positive("sonic conductance", conductance.0, SonicConductance::SIGN)?;
        within("critical pressure ratio", critical_ratio, 0.0, 0.99, "")?;
        Ok(Self::Iso6358 { conductance, critical_ratio })
    }

    /// A round hole.
    ///
    /// # Errors
    /// A diameter that is not positive, a coefficient not above 0 and at most 1.
    pub fn hole(diameter: Metres, coefficient: f64) -> Result<Self, DomainError> {
        positive("diameter of the hole", diameter.0, Metres::SIGN)?;
        positive("discharge coefficient", coefficient, "")?;
        within("discharge coefficient", coefficient, 0.0, 1.0, "")?;
        let area = SquareMetres(std::f64::consts::FRAC_PI_4 * diameter.0 * diameter.0);
        Ok(Self::Orifice { area, coefficient })
    }

    /// Mass flow of `gas` from `upstream` to `downstream`, both absolute. None where downstream is the
    /// higher.
    ///
    /// Component: ISO 6358-1:2013, q = C ρ₀ p₁ √(T₀/T₁), below the critical ratio constant, above it
    /// times √(1 − ((r−b)/(1−b))²) (from memory; the same law read in public code). The standard speaks
    /// of air; for another gas the flow is scaled as that of an ideal nozzle. Orifice: isentropic flow of
    /// an ideal gas, choked below r* = (2/(γ+1))^(γ/(γ−1)), as in any text on gas dynamics.
    ///
    /// # Errors
    /// A temperature or upstream pressure that is not positive, a negative downstream pressure.
    pub fn mass_flow(
        self,
        gas: Gas,
        upstream: Pascals,
        temperature: Kelvin,
        downstream: Pascals,
    ) -> Result<KgPerSecond, DomainError> {
        positive("upstream pressure", upstream.0, Pascals::SIGN)?;
        positive("gas temperature", temperature.0, Kelvin::SIGN)?;
        not_negative("downstream pressure", downstream.0, Pascals::SIGN)?;
        Ok(KgPerSecond(self.flow(gas, upstream.0, temperature.0, downstream.0)))
    }

    /// [`Self::mass_flow`] without units and checks, for the integrals.
    pub(super) fn flow(self, gas: Gas, p1: f64, t1: f64, p2: f64) -> f64 {
        self.flow_at(Nozzle::of(gas), p1, t1, p2)
    }

    /// The same, with what hangs on the gas alone worked out beforehand.
    pub(super) fn flow_at(self, nozzle: Nozzle, p1: f64, t1: f64, p2: f64) -> f64 {
        let gas = nozzle.gas;
        let ratio = p2 / p1;
        if p1 <= 0.0 || ratio >= 1.0 {
            return 0.0;
        }
        match self {
            Self::Iso6358 { conductance, critical_ratio: b } => {
                let choked = conductance.0 * REFERENCE_DENSITY.0 * p1 * (REFERENCE_TEMPERATURE.0 / t1).sqrt();
                let past = ((ratio - b) / (1.0 - b)).max(0.0);
                choked * (1.0 - past * past).sqrt() * nozzle.choked / nozzle.air
            }
            Self::Orifice { area, coefficient } => {
                let g = gas.gamma;
                let speed = if ratio <= nozzle.critical {
                    nozzle.choked
                } else {
                    // r^(2/γ) − r^((γ+1)/γ) with the power taken once, and by its definition: it is a small one.
                    let density = libm::exp(libm::log(ratio) / g);
                    let drop = density * (density - ratio);
                    (2.0 * g / (g - 1.0) * drop / gas.specific_constant()).sqrt()
                };
                coefficient * area.0 * p1 / t1.sqrt() * speed
            }
        }
    }

    /// What several components in a row conduct together, with the critical ratio of the last: the rule
    /// 1/C² = Σ 1/Cᵢ² for air.
    ///
    /// # Errors
    /// No component, or a conductance that is not positive.
    pub fn in_series(conductances: &[SonicConductance]) -> Result<SonicConductance, DomainError> {
        if conductances.is_empty() {
            return Err(DomainError::Inconsistent { what: "a row of no valves conducts nothing known" });
        }
        let mut sum = 0.0;
        for c in conductances {
            positive("sonic conductance", c.0, SonicConductance::SIGN)?;
            sum += libm::pow(c.0, -2.0);
        }
        Ok(SonicConductance(libm::pow(sum, -0.5)))
    }
}

/// The ratio of pressures below which an ideal nozzle is choked.
pub fn critical_ratio(gamma: f64) -> f64 {
    libm::pow(2.0 / (gamma + 1.0), gamma / (gamma - 1.0))
}

/// What an ideal nozzle does to a gas whatever the pressures are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Nozzle {
    gas: Gas,
    critical: f64,
    choked: f64,
    /// What air would be choked to.
    air: f64,
}

impl Nozzle {
    pub(super) fn of(gas: Gas) -> Self {
        Self { gas, critical: critical_ratio(gas.gamma), choked: choked_number(gas), air: choked_number(AIR) }
    }
}

/// Choked mass flow per area, pressure and root of temperature, in √(kg K/J).
fn choked_number(gas: Gas) -> f64 {
    let g = gas.gamma;
    (g / gas.specific_constant()).sqrt() * libm::pow(2.0 / (g + 1.0), (g + 1.0) / (2.0 * (g - 1.0)))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::units::KgPerMole;

    fn near(got: f64, want: f64, share: f64) {
        assert!((got / want - 1.0).abs() < share, "{got} instead of {want}");
    }

    fn bar(p: f64) -> Pascals {
        Pascals::from_bar(p)
    }

    #[test]
    fn a_component_passes_what_iso_6358_examples_say() {
        // C, b, p1, p2 in bar absolute, T1, flow in g/s: worked examples of check-values section 4; the
        // first is a public one: C = 1e-8, 700 to 100 kPa: 0.008295 kg/s.
        for (c, b, p1, p2, t, flow) in [
            (1.0, 0.35, 7.0, 1.0, 293.15, 8.295),
            (1.0, 0.3, 7.0, 6.0, 293.15, 5.021_826),
            (1.0, 0.3, 7.0, 5.0, 283.15, 6.803_295),
            (1.0, 0.4, 2.0, 1.2, 288.15, 2.253_760),
            (1.0, 0.25, 6.0, 5.7, 293.15, 2.552_568),
        ] {
            let valve = Restriction::iso6358(SonicConductance::from_dm3_per_s_bar(c), b).unwrap();
            near(valve.mass_flow(AIR, bar(p1), Kelvin(t), bar(p2)).unwrap().0, flow * 1e-3, 1e-6);
        }
    }

    #[test]
    fn a_hole_passes_what_the_ideal_nozzle_does() {
        // d = 0.5 mm, Cd = 1, 3 to 1.1 bar absolute, 293.15 K: check-values section 4, own script.
        let hole = Restriction::hole(Metres(0.5e-3), 1.0).unwrap();
        let isobutane = Gas { molar_mass: KgPerMole(0.058_122_2), gamma: 1.094 };
        for (gas, flow) in [(AIR, 0.139_041), (isobutane, 0.180_383)] {
            near(hole.mass_flow(gas, bar(3.0), Kelvin(293.15), bar(1.1)).unwrap().0, flow * 1e-3, 2e-5);
        }
        // The critical ratio of air, 0.528, is in every text.
        near(critical_ratio(1.4), 0.528_282, 1e-6);
    }

    #[test]
    fn both_laws_are_continuous_where_choking_begins_and_end_at_equal_pressures() {
        let hole = Restriction::hole(Metres(1e-3), 0.8).unwrap();
        let valve = Restriction::iso6358(SonicConductance::from_dm3_per_s_bar(1.0), 0.3).unwrap();
        for (way, ratio) in [(hole, critical_ratio(1.4)), (valve, 0.3)] {
            let just = |r: f64| way.flow(AIR, 5e5, 290.0, 5e5 * r);
            near(just(ratio + 1e-9), just(ratio - 1e-9), 1e-6);
            assert!(just(1.0) <= 0.0 && just(1.2) <= 0.0 && just(0.999) > 0.0);
        }
    }

    #[test]
    fn two_equal_valves_in_a_row_pass_seven_tenths() {
        let c = SonicConductance::from_dm3_per_s_bar(2.0);
        // 2 / √2.
        near(Restriction::in_series(&[c, c]).unwrap().dm3_per_s_bar(), std::f64::consts::SQRT_2, 1e-12);
        assert!(Restriction::in_series(&[]).is_err());
    }

    #[test]
    fn impossible_valves_are_refused() {
        assert!(Restriction::iso6358(SonicConductance(0.0), 0.3).is_err());
        assert!(Restriction::iso6358(SonicConductance(1e-8), 1.0).is_err());
        assert!(Restriction::hole(Metres(1e-3), 1.1).is_err());
        assert!(Restriction::hole(Metres(-1e-3), 0.8).is_err());
    }
}
