//! What a bottle gives while it is drawn from: pressure and temperature by the mass drawn so far.
//!
//! **Assumed:** as in [`super::air`] and [`super::liquefied`]: gas alone leaves the bottle; the gas in the
//! tank has the water's pressure and arrives as warm as it left the bottle. [`Heat`] tells the two bounds.
//! Of a mixture the composition is that of the fresh charge. **Range** and **uncertainty:** those of
//! [`super::air`], [`super::liquefied`], [`super::mixture`] and [`super::restriction`].

use super::super::domain::{DomainError, positive, within};
use super::super::units::{
    Celsius, CubicMetres, Kelvin, KgPerM3, KgPerMole, KgPerSecond, Kilograms, Pascals,
};
use super::air::MOST_AIR;
use super::fluid::{GasAt, Liquid};
use super::grid::boiling;
use super::mixture::Mixture;
use super::restriction::{Nozzle, Restriction};
use super::species::{AIR, Gas};

/// Where the heat comes from that a gas takes up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Heat {
    /// From the water: everything keeps its temperature.
    FromWater,
    /// From the gas and the liquid themselves: the bottle cools as far as it can.
    FromItself,
}

/// How much of a liquefied gas a bottle holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Charge {
    /// Liquid and vapour together.
    pub mass: Kilograms,
    /// Volume of the bottle; without it the vapour at the end counts for nothing.
    pub bottle: Option<CubicMetres>,
}

/// A bottle, as far as blowing goes.
#[derive(Clone, Debug, PartialEq)]
pub struct Supply {
    gas: Gas,
    nozzle: Nozzle,
    gives: Gives,
    /// All that is in it; `None`: taken never to end.
    charge: Option<f64>,
}

#[derive(Clone, Debug, PartialEq)]
enum Gives {
    /// Air, or vapour without liquid: pressure and temperature fall with the power of what is left.
    Thins { pressure: f64, temperature: f64, exponent: f64 },
    /// A liquid that boils at one temperature until it is gone, then its vapour thins out. `until` is below
    /// nought where there is no liquid to begin with and the vapour does not fill the bottle either. The
    /// pressure of vapour alone is taken to rise evenly up to that of the liquid: below it, where the gas is
    /// nearer to an ideal one, that is too little, on the careful side.
    Boils { vapour: Option<GasAt>, pressure: f64, temperature: f64, until: f64 },
    /// A liquid that cools: pressure and temperature at even steps of mass; nothing after the last.
    Cools { liquid: Liquid, step: f64, points: Vec<[f64; 2]> },
}

/// Steps in which a liquid is followed while it cools.
const STEPS: u32 = 500;

impl Supply {
    /// A bottle of air of a volume at an **absolute** pressure, as warm as the water.
    ///
    /// # Errors
    /// A volume, pressure or temperature that is not positive; more than 20 bar, above which the gas law of
    /// [`super::air`] is no longer within 1 % and nothing of it was checked.
    pub fn air(
        bottle: CubicMetres,
        pressure: Pascals,
        temperature: Celsius,
        heat: Heat,
    ) -> Result<Self, DomainError> {
        positive("bottle volume", bottle.0, CubicMetres::SIGN)?;
        within("absolute pressure of air in a bottle", pressure.bar(), 0.0, MOST_AIR, "bar")?;
        let temperature = Kelvin::from(temperature);
        let mass = AIR.mass(bottle, pressure, temperature)?;
        let exponent = if heat == Heat::FromWater { 1.0 } else { AIR.gamma };
        let gives = Gives::Thins { pressure: pressure.0, temperature: temperature.0, exponent };
        Ok(Self::with(AIR, gives, Some(mass.0)))
    }

    /// A liquefied gas; without a charge it never ends and cannot cool.
    ///
    /// # Errors
    /// A temperature out of range, a charge that is not positive.
    pub fn liquefied(
        liquid: Liquid,
        charge: Option<Charge>,
        temperature: Celsius,
        heat: Heat,
    ) -> Result<Self, DomainError> {
        let pressure = liquid.vapour_pressure(temperature)?;
        let vapour = liquid.gas_at(temperature)?;
        let saturated = vapour.density(pressure)?;
        liquid.heat_capacity(temperature)?;
        let until = until(charge, saturated)?;
        let gives = match (charge, heat) {
            (Some(charge), Heat::FromItself) if until > 0.0 => {
                let filled = charge.bottle.map_or(0.0, |v| saturated.0 * v.0);
                let rho = liquid.liquid_density(temperature)?.0;
                let boils = (charge.mass.0 - filled) / (1.0 - saturated.0 / rho);
                cooling(liquid, boils.min(charge.mass.0), temperature)?
            }
            (Some(charge), Heat::FromItself) => Gives::Thins {
                pressure: pressure.0 * charge.mass.0 / (charge.mass.0 - until),
                temperature: Kelvin::from(temperature).0,
                exponent: liquid.gas().gamma,
            },
            _ => Gives::Boils {
                vapour: Some(vapour),
                pressure: pressure.0,
                temperature: Kelvin::from(temperature).0,
                until,
            },
        };
        Ok(Self::with(liquid.gas(), gives, charge.map(|c| c.mass.0)))
    }

    fn with(gas: Gas, gives: Gives, charge: Option<f64>) -> Self {
        Self { gas, nozzle: Nozzle::of(gas), gives, charge }
    }

    /// A mixture as freshly filled, at the water's temperature.
    ///
    /// # Errors
    /// A temperature out of range, a charge that is not positive.
    pub fn mixture(
        mixture: &Mixture,
        charge: Option<Charge>,
        temperature: Celsius,
    ) -> Result<Self, DomainError> {
        let pressure = mixture.bubble_pressure(temperature)?;
        let vapour = mixture.vapour(temperature)?;
        let molar_mass = KgPerMole(vapour.iter().map(|(l, y)| y * l.molar_mass().0).sum());
        // Heats at constant pressure add up by molecules: cp/R = γ/(γ-1).
        let cp: f64 = vapour.iter().map(|(l, y)| y * l.gas().gamma / (l.gas().gamma - 1.0)).sum();
        let gas = Gas { molar_mass, gamma: cp / (cp - 1.0) };
        let kelvin = Kelvin::from(temperature);
        let vapour = GasAt::mixed(&vapour, pressure, temperature);
        let until = until(charge, vapour.density(pressure)?)?;
        let gives = Gives::Boils { vapour: Some(vapour), pressure: pressure.0, temperature: kelvin.0, until };
        Ok(Self::with(gas, gives, charge.map(|c| c.mass.0)))
    }

    /// All that is in it, if that is known.
    pub fn charge(&self) -> Option<Kilograms> {
        self.charge.map(Kilograms)
    }

    /// Absolute pressure and temperature in the bottle when a mass has been drawn.
    pub fn state(&self, drawn: Kilograms) -> (Pascals, Kelvin) {
        let m = drawn.0.max(0.0);
        let left = self.charge.map_or(1.0, |all| (1.0 - m / all).max(0.0));
        match &self.gives {
            Gives::Thins { pressure, temperature, exponent } => {
                // Below a ten-thousandth nothing moves any more, and the temperature keeps a meaning.
                let left = left.max(1e-4);
                let cold = if *exponent > 1.0 { libm::pow(left, exponent - 1.0) } else { 1.0 };
                (Pascals(pressure * left * cold), Kelvin(temperature * cold))
            }
            Gives::Boils { pressure, temperature, until, .. } => {
                let all = self.charge.unwrap_or(f64::INFINITY);
                let thin = if m <= *until { 1.0 } else { ((all - m) / (all - until)).max(0.0) };
                (Pascals(pressure * thin), Kelvin(*temperature))
            }
            Gives::Cools { step, points, .. } => {
                let place = m / step;
                let index = place as usize;
                match points.get(index).zip(points.get(index + 1)) {
                    Some((a, b)) => {
                        let share = place - index as f64;
                        (Pascals(a[0] + (b[0] - a[0]) * share), Kelvin(a[1] + (b[1] - a[1]) * share))
                    }
                    None => (Pascals(0.0), Kelvin(points.last().map_or(f64::NAN, |p| p[1]))),
                }
            }
        }
    }

    /// What flows through a valve against an absolute pressure of the water, and the volume that a
    /// kilogram of it takes up there, in m³/kg. Nothing flows against as much pressure as there is.
    pub fn flow(&self, drawn: Kilograms, valve: Restriction, water: Pascals) -> (KgPerSecond, f64) {
        let (p, t) = self.state(drawn);
        if p <= water {
            return (KgPerSecond(0.0), 0.0);
        }
        let vapour = match &self.gives {
            Gives::Boils { vapour, .. } => *vapour,
            Gives::Cools { liquid, .. } => boiling(*liquid, Celsius::from(t)).map(|there| there.gas),
            Gives::Thins { .. } => None,
        };
        let ideal = self.gas.specific_constant() * t.0 / water.0;
        let volume = vapour.and_then(|v| v.density(water).ok()).map_or(ideal, |rho| 1.0 / rho.0);
        let denser = vapour.map_or(1.0, |v| v.faster(p));
        (KgPerSecond(valve.flow_at(self.nozzle, p.0, t.0, water.0) * denser), volume)
    }
}

/// How much can be drawn while there is still liquid; below nought by as much as saturated vapour lacks.
fn until(charge: Option<Charge>, vapour: KgPerM3) -> Result<f64, DomainError> {
    let Some(charge) = charge else { return Ok(f64::INFINITY) };
    positive("charge", charge.mass.0, Kilograms::SIGN)?;
    let filled = charge.bottle.map_or(0.0, |v| vapour.0 * v.0);
    Ok(charge.mass.0 - filled)
}

/// dT = h dm / (c m) by the midpoint rule, as in [`super::liquefied`], until the formulas end or two
/// steps of liquid are left.
fn cooling(liquid: Liquid, mass: f64, temperature: Celsius) -> Result<Gives, DomainError> {
    let step = mass / f64::from(STEPS);
    let (mut t, mut m) = (temperature.0, mass);
    // Outside what the formulas answer for, the first point has to say so.
    let mut points = vec![[liquid.vapour_pressure(temperature)?.0, Kelvin::from(temperature).0]];
    let mut here = boiling(liquid, temperature);
    while m > 2.0 * step {
        let Some(half) = here.map(|here| t - 0.5 * step * here.cools / m) else { break };
        let Some(between) = boiling(liquid, Celsius(half)) else { break };
        t -= step * between.cools / (m - 0.5 * step);
        m -= step;
        here = boiling(liquid, Celsius(t));
        let Some(next) = here else { break };
        points.push([next.pressure, Kelvin::from(Celsius(t)).0]);
    }
    Ok(Gives::Cools { liquid, step, points })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::super::air::Bottle;
    use super::super::liquefied::Reservoir;
    use super::*;
    use crate::units::{Between, Metres, Seconds};

    fn litres(v: f64) -> CubicMetres {
        CubicMetres::from_litres(v)
    }

    fn hole() -> Restriction {
        Restriction::hole(Metres::from_millimetres(0.6), 0.8).unwrap()
    }

    const WATER: Pascals = Pascals(120_938.3);

    /// Time to displace a volume against one pressure, by small steps of mass.
    fn time(supply: &Supply, volume: f64) -> f64 {
        let (mut drawn, mut filled, mut seconds) = (0.0, 0.0, 0.0);
        let dm = 1e-7;
        while filled < volume {
            let (flow, per_kg) = supply.flow(Kilograms(drawn + dm / 2.0), hole(), WATER);
            assert!(flow.0 > 0.0);
            drawn += dm;
            filled += dm * per_kg;
            seconds += dm / flow.0;
        }
        seconds
    }

    fn near(got: f64, want: f64, share: f64) {
        assert!((got / want - 1.0).abs() < share, "{got} instead of {want}");
    }

    #[test]
    fn air_at_one_depth_takes_the_time_that_the_integral_over_the_volume_gives() {
        let bottle = Bottle::new(litres(0.2), Pascals::from_bar(6.0), Celsius(10.0)).unwrap();
        let Between { low: Some(Seconds(low)), high: Some(Seconds(high)) } =
            bottle.time_to_blow(litres(0.3), WATER, hole()).unwrap()
        else {
            panic!("it suffices")
        };
        for (heat, want) in [(Heat::FromWater, low), (Heat::FromItself, high)] {
            let supply = Supply::air(litres(0.2), Pascals::from_bar(6.0), Celsius(10.0), heat).unwrap();
            near(time(&supply, 0.3e-3), want, 2e-3);
        }
    }

    #[test]
    fn a_liquid_at_one_depth_takes_the_time_of_the_reservoir() {
        let (kg, volume) = (Kilograms::from_grams(12.0), litres(0.05));
        let reservoir = Reservoir::new(Liquid::Isobutane, volume, kg, Celsius(10.0)).unwrap();
        let Between { low: Some(Seconds(low)), high: Some(Seconds(high)) } =
            reservoir.time_to_blow(litres(0.2), WATER, hole()).unwrap()
        else {
            panic!("it suffices")
        };
        let charge = Charge { mass: kg, bottle: Some(volume) };
        for (heat, want) in [(Heat::FromWater, low), (Heat::FromItself, high)] {
            let supply = Supply::liquefied(Liquid::Isobutane, Some(charge), Celsius(10.0), heat).unwrap();
            near(time(&supply, 0.2e-3), want, 2e-3);
        }
    }

    #[test]
    fn when_the_liquid_is_gone_the_vapour_thins_out_and_then_there_is_nothing() {
        let charge = Charge { mass: Kilograms::from_grams(1.0), bottle: Some(litres(0.05)) };
        let supply =
            Supply::liquefied(Liquid::Isobutane, Some(charge), Celsius(20.0), Heat::FromWater).unwrap();
        let full = supply.state(Kilograms(0.0)).0;
        assert_eq!(supply.state(Kilograms(0.0005)).0, full);
        let thin = supply.state(Kilograms(0.0009)).0;
        assert!(thin.0 < 0.5 * full.0 && thin.0 > 0.0);
        assert!(supply.state(Kilograms(0.001)).0.0.abs() < 1e-6);
        assert!(supply.flow(Kilograms(0.001), hole(), WATER).0.0.abs() < 1e-12);
        let endless = Supply::liquefied(Liquid::Isobutane, None, Celsius(20.0), Heat::FromItself).unwrap();
        assert_eq!(endless.state(Kilograms(1.0)).0, full);
    }

    #[test]
    fn too_little_for_any_liquid_has_less_pressure_than_the_liquid_would() {
        // 0.2 g of R134a in 60 mL at 8 °C by the law of ideal gases: 0.2/102.03 mol, 76.4 kPa. An even rise
        // to the saturated vapour is lower by what that vapour is denser than an ideal one, about an eighth.
        let bottle = Some(litres(0.06));
        let charge = |grams: f64| Some(Charge { mass: Kilograms::from_grams(grams), bottle });
        let at_first = |grams: f64, heat: Heat| {
            let supply = Supply::liquefied(Liquid::R134a, charge(grams), Celsius(8.0), heat).unwrap();
            supply.state(Kilograms(0.0)).0.0
        };
        for heat in [Heat::FromWater, Heat::FromItself] {
            near(at_first(0.2, heat), 76.4e3, 0.13);
            assert!(at_first(0.2, heat) < 76.4e3);
            let pressures = [0.2, 0.5, 1.0, 1.2, 1.5, 40.0].map(|grams| at_first(grams, heat));
            assert!(pressures.is_sorted(), "{pressures:?}");
        }
    }

    #[test]
    fn air_beyond_what_was_checked_is_refused() {
        let of = |bar: f64| Supply::air(litres(0.1), Pascals::from_bar(bar), Celsius(10.0), Heat::FromWater);
        // 19 bar on the gauge are 20.01 bar.
        assert!(of(20.0).is_ok() && of(20.013_25).is_err() && of(2000.0).is_err());
    }

    #[test]
    fn butane_in_cold_deep_water_does_not_come_out() {
        // At 5 °C it condenses below 2.34 m (check-values section 4).
        let supply = Supply::liquefied(Liquid::NButane, None, Celsius(5.0), Heat::FromWater).unwrap();
        let at = |depth: f64| supply.flow(Kilograms(0.0), hole(), Pascals(101_325.0 + 9806.65 * depth)).0.0;
        assert!(at(2.3) > 0.0 && at(2.4).abs() < 1e-12);
    }

    #[test]
    fn a_mixture_has_its_bubble_pressure_until_the_liquid_is_gone() {
        let mixture = Mixture::by_mass(&[(Liquid::NButane, 0.7), (Liquid::Propane, 0.3)]).unwrap();
        let supply = Supply::mixture(&mixture, None, Celsius(10.0)).unwrap();
        near(supply.state(Kilograms(1.0)).0.bar(), 3.2466, 1e-3);
    }
}
