//! A reservoir of liquefied gas that blows a ballast tank.
//!
//! **Assumed:** vapour is drawn, not liquid; the tank is open to the water below, so that the gas in it
//! has the water's pressure; the depth does not change meanwhile. Two bounds: **isothermal**, the
//! reservoir and the gas stay at the water's temperature (blows with long pauses), and **adiabatic**, all
//! heat of evaporation comes out of the liquid itself and the gas reaches the tank as cold as it left
//! (blows one after the other, a reservoir wrapped in foam).
//! **Range:** that of [`super::fluid`]. **Uncertainty:** masses 1 to 3 %, times what the valve's figures
//! are off. The bounds are far apart on purpose: the metal of the reservoir and the water around it
//! warm the liquid by an amount that only a trial tells. Cooling by the throttle itself is left
//! out: a few kelvin, soon undone by the wet tank.

use super::super::domain::{DomainError, positive};
use super::super::pressure::{self, ATMOSPHERE};
use super::super::units::{
    Between, Celsius, CubicMetres, KelvinApart, KgPerM3, Kilograms, Metres, Pascals, Seconds,
};
use super::fluid::Liquid;
use super::restriction::Restriction;

/// Share of the liquid's volume that a vessel may hold at 50 °C: ADR 4.3.3.2.2, for low-pressure
/// liquefied gases: the greatest mass per litre is 0.95 times the density of the liquid at 50 °C, and
/// there must be vapour left up to 60 °C.
pub const FILL_SHARE: f64 = 0.95;

/// Share of the liquid that evaporates in one step of the adiabatic account.
const STEP: f64 = 1.0 / 2000.0;

/// A reservoir and what is in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reservoir {
    liquid: Liquid,
    volume: CubicMetres,
    charge: Kilograms,
    temperature: Celsius,
}

/// What the adiabatic account has reached.
struct Run {
    liquid: f64,
    temperature: f64,
    displaced: f64,
    seconds: f64,
}

/// Depth below which a gas condenses in the tank instead of blowing it: where the water's absolute
/// pressure equals the vapour pressure at the water's temperature. `None` where it does not even boil at
/// the surface.
///
/// # Errors
/// A temperature out of range, a density that is not positive.
pub fn condensing_depth(
    liquid: Liquid,
    temperature: Celsius,
    density: KgPerM3,
) -> Result<Option<Metres>, DomainError> {
    depth_of(liquid.vapour_pressure(temperature)?, density)
}

/// The depth at which water and atmosphere have this absolute pressure; `None` below one atmosphere.
///
/// # Errors
/// A density that is not positive.
pub fn depth_of(absolute: Pascals, density: KgPerM3) -> Result<Option<Metres>, DomainError> {
    let depth = pressure::depth_of_gauge(density, absolute - ATMOSPHERE)?;
    Ok((depth.0 > 0.0).then_some(depth))
}

/// The greatest mass that a vessel may be filled with: 0.95 of the liquid's density at 50 °C, and never
/// so much that it is full of liquid below 60 °C ([`FILL_SHARE`]).
///
/// Never more, because a liquid hardly gives way: a vessel full to the brim with liquid gains several
/// bar with every kelvin, and bursts in the sun. [`full_of_liquid_at`] says when.
///
/// # Errors
/// A volume that is not positive; a gas too near its critical point at 60 °C, such as carbon dioxide,
/// for which only the cylinder's own stamp says how much.
pub fn greatest_fill(liquid: Liquid, volume: CubicMetres) -> Result<Kilograms, DomainError> {
    positive("reservoir volume", volume.0, CubicMetres::SIGN)?;
    let at_50 = liquid.liquid_density(Celsius(50.0))? * FILL_SHARE;
    let at_60 = liquid.liquid_density(Celsius(60.0))?;
    Ok(Kilograms(volume.0 * at_50.0.min(at_60.0)))
}

/// The temperature at which `charge` has swollen to fill the whole vessel with liquid. `None` where that
/// is beyond what the formulas cover.
///
/// # Errors
/// A volume or charge that is not positive; more charge than fits as a liquid at −20 °C.
pub fn full_of_liquid_at(
    liquid: Liquid,
    volume: CubicMetres,
    charge: Kilograms,
) -> Result<Option<Celsius>, DomainError> {
    positive("reservoir volume", volume.0, CubicMetres::SIGN)?;
    positive("charge", charge.0, Kilograms::SIGN)?;
    let mean = charge.0 / volume.0;
    let (mut cold, mut hot) = (-20.0, liquid.hottest().0);
    if liquid.liquid_density(Celsius(cold))?.0 < mean {
        return Err(DomainError::Inconsistent {
            what: "the charge does not fit into the reservoir even as a cold liquid",
        });
    }
    if liquid.liquid_density(Celsius(hot))?.0 > mean {
        return Ok(None);
    }
    // The density falls with temperature. Fifty halvings leave less than a billionth of a kelvin.
    for _ in 0..50 {
        let middle = 0.5 * (cold + hot);
        if liquid.liquid_density(Celsius(middle))?.0 > mean { cold = middle } else { hot = middle }
    }
    Ok(Some(Celsius(hot)))
}

impl Reservoir {
    /// A reservoir of `volume` with `charge` in it, at the temperature of the water around it.
    ///
    /// # Errors
    /// A volume or charge that is not positive, a temperature out of range, more than the greatest fill,
    /// so little that all of it is vapour; carbon dioxide, whose vapour near saturation these formulas
    /// do not know.
    pub fn new(
        liquid: Liquid,
        volume: CubicMetres,
        charge: Kilograms,
        temperature: Celsius,
    ) -> Result<Self, DomainError> {
        positive("reservoir volume", volume.0, CubicMetres::SIGN)?;
        positive("charge", charge.0, Kilograms::SIGN)?;
        if liquid == Liquid::CarbonDioxide {
            return Err(DomainError::Inconsistent {
                what: "a carbon dioxide cartridge is too near its critical point to be estimated",
            });
        }
        liquid.heat_capacity(temperature)?;
        let most = greatest_fill(liquid, volume)?;
        super::super::domain::within("charge", charge.0, 0.0, most.0, Kilograms::SIGN)?;
        let reservoir = Self { liquid, volume, charge, temperature };
        if reservoir.liquid_mass()? <= 0.0 {
            return Err(DomainError::Inconsistent {
                what: "the charge is so small that the reservoir holds no liquid",
            });
        }
        Ok(reservoir)
    }

    /// What is liquid at the start: of the charge and the rest vapour, by the two densities.
    fn liquid_mass(self) -> Result<f64, DomainError> {
        let rho_liquid = self.liquid.liquid_density(self.temperature)?.0;
        let rho_vapour = self.saturated_vapour()?;
        Ok((self.charge.0 - rho_vapour * self.volume.0) / (1.0 - rho_vapour / rho_liquid))
    }

    fn saturated_vapour(self) -> Result<f64, DomainError> {
        let p = self.liquid.vapour_pressure(self.temperature)?;
        Ok(self.liquid.gas_density(self.temperature, p)?.0)
    }

    /// Absolute pressure in the reservoir before the first blow.
    ///
    /// # Errors
    /// None that [`Self::new`] has not met.
    pub fn pressure(self) -> Result<Pascals, DomainError> {
        self.liquid.vapour_pressure(self.temperature)
    }

    /// Mass of gas for one blow of `ballast` against an absolute pressure, at the water's temperature.
    ///
    /// # Errors
    /// A ballast that is not positive; a water pressure above the vapour pressure: it condenses.
    pub fn mass_for(self, ballast: CubicMetres, water: Pascals) -> Result<Kilograms, DomainError> {
        self.liquid.mass_of_gas(ballast, self.temperature, water)
    }

    /// How far drawing `mass` cools the reservoir: at least not at all (isothermal), at most by all its
    /// heat of evaporation taken from the liquid left (adiabatic).
    ///
    /// # Errors
    /// More than the liquid in it; cooled to below −20 °C, which the formulas do not cover.
    pub fn cooling(self, mass: Kilograms) -> Result<Between<KelvinApart>, DomainError> {
        let liquid = self.liquid_mass()?;
        super::super::domain::within("mass drawn", mass.0, 0.0, liquid * 0.999, Kilograms::SIGN)?;
        let steps = (mass.0 / (liquid * STEP)).ceil().max(1.0);
        let dm = mass.0 / steps;
        let mut run = self.start()?;
        for _ in 0..steps as u32 {
            self.evaporate(&mut run, dm)?;
        }
        Ok(Between { low: KelvinApart(0.0), high: KelvinApart(self.temperature.0 - run.temperature) })
    }

    /// Whole blows of `ballast` against an absolute pressure that the charge holds. Low: adiabatic, all
    /// at once; the reservoir gets colder until the gas would condense. High: isothermal, until reservoir
    /// and water are even.
    ///
    /// # Errors
    /// A ballast or water pressure that is not positive.
    pub fn blows(self, ballast: CubicMetres, water: Pascals) -> Result<Between<u32>, DomainError> {
        positive("ballast volume", ballast.0, CubicMetres::SIGN)?;
        positive("water pressure", water.0, Pascals::SIGN)?;
        if self.pressure()? <= water {
            return Ok(Between { low: 0, high: 0 });
        }
        let each = self.mass_for(ballast, water)?;
        let stays = self.liquid.gas_density(self.temperature, water)?.0 * self.volume.0;
        let high = (self.charge.0 - stays).max(0.0) / each.0;
        let low = self.quick_blow(f64::INFINITY, water, None)?.displaced / ballast.0;
        // The two bounds cross where the charge is nearly all vapour; the isothermal one is the plain one.
        Ok(Between { low: low.min(high) as u32, high: high as u32 })
    }

    /// Time for the first blow of `ballast` through `valve` against `water`. Low: isothermal, high:
    /// adiabatic. `None` where the charge does not suffice or condenses.
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
        let p1 = self.pressure()?;
        if p1 <= water {
            return Ok(Between { low: None, high: None });
        }
        let mass = self.mass_for(ballast, water)?.0;
        let t1 = self.temperature.0 + super::super::units::ICE_POINT;
        let denser = self.liquid.gas_at(self.temperature)?.faster(p1);
        let flow = valve.flow(self.liquid.gas(), p1.0, t1, water.0) * denser;
        let low = (mass <= self.liquid_mass()? && flow > 0.0).then(|| Seconds(mass / flow));
        let run = self.quick_blow(ballast.0, water, Some(valve))?;
        let high = (low.is_some() && run.displaced >= ballast.0).then_some(Seconds(run.seconds));
        Ok(Between { low, high })
    }

    fn start(self) -> Result<Run, DomainError> {
        Ok(Run { liquid: self.liquid_mass()?, temperature: self.temperature.0, displaced: 0.0, seconds: 0.0 })
    }

    /// Takes `dm` out of the liquid and its heat of evaporation with it: dT = h dm / (c m), by the
    /// midpoint rule.
    fn evaporate(self, run: &mut Run, dm: f64) -> Result<(), DomainError> {
        let slope = |t: f64, m: f64| -> Result<f64, DomainError> {
            let h = self.liquid.heat_of_evaporation(Celsius(t))?.0;
            Ok(h / (self.liquid.heat_capacity(Celsius(t))?.0 * m))
        };
        let half = run.temperature - 0.5 * dm * slope(run.temperature, run.liquid)?;
        run.temperature -= dm * slope(half, run.liquid - 0.5 * dm)?;
        run.liquid -= dm;
        // Past the edge of the fits the next step would say so, but the caller reads the state first.
        self.liquid.vapour_pressure(Celsius(run.temperature)).map(|_| ())
    }

    /// Evaporates step by step without heat from outside until `volume` is displaced, the gas would
    /// condense, the formulas end, or the liquid does.
    fn quick_blow(self, volume: f64, water: Pascals, valve: Option<Restriction>) -> Result<Run, DomainError> {
        let mut run = self.start()?;
        let dm = run.liquid * STEP;
        while run.displaced < volume && run.liquid > 2.0 * dm {
            let t = Celsius(run.temperature);
            let p1 = self.liquid.vapour_pressure(t)?;
            if p1 <= water {
                break;
            }
            let per_kg = 1.0 / self.liquid.gas_density(t, water)?.0;
            // The last step is cut to what is missing.
            let part = (dm * per_kg).min(volume - run.displaced) / per_kg;
            if let Some(valve) = valve {
                let t1 = t.0 + super::super::units::ICE_POINT;
                let denser = self.liquid.gas_at(t)?.faster(p1);
                run.seconds += part / (valve.flow(self.liquid.gas(), p1.0, t1, water.0) * denser);
            }
            run.displaced += part * per_kg;
            if self.evaporate(&mut run, part).is_err() {
                // Colder than the fits reach: what was displaced so far stands as the lower bound.
                break;
            }
        }
        Ok(run)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::units::SonicConductance;

    fn near(got: f64, want: f64, share: f64) {
        assert!((got / want - 1.0).abs() < share, "{got} instead of {want}");
    }

    fn litres(v: f64) -> CubicMetres {
        CubicMetres::from_litres(v)
    }

    #[test]
    fn butane_condenses_below_the_depth_of_its_vapour_pressure() {
        // check-values section 4, CoolProp, water of 1000 kg/m³.
        for (t, d) in [(5.0, 2.337_50), (10.0, 4.805_63), (15.0, 7.629_65), (20.0, 10.842_11)] {
            let depth = condensing_depth(Liquid::NButane, Celsius(t), KgPerM3(1000.0)).unwrap();
            near(depth.unwrap().0, d, 0.003);
        }
        // At −2 °C it does not boil at the surface.
        assert_eq!(condensing_depth(Liquid::NButane, Celsius(-2.0), KgPerM3(1000.0)).unwrap(), None);
    }

    #[test]
    fn the_greatest_fill_is_that_of_packing_instruction_p200() {
        // P200 table (from memory): kg per litre.
        for (liquid, kg) in [
            (Liquid::Isobutane, 0.49),
            (Liquid::NButane, 0.52),
            (Liquid::Propane, 0.43),
            (Liquid::R134a, 1.05),
            (Liquid::R152a, 0.79),
        ] {
            near(greatest_fill(liquid, litres(1.0)).unwrap().0, kg, 0.015);
        }
        assert!(greatest_fill(Liquid::CarbonDioxide, litres(1.0)).is_err());
    }

    #[test]
    fn a_vessel_filled_nine_tenths_when_cool_is_full_of_liquid_in_the_sun() {
        // check-values section 10, CoolProp: filled at 15 °C to 90 or 80 % by volume, vapour above; the
        // density of that vapour in kg/m³ from section 4.
        for (liquid, share, vapour, t) in [
            (Liquid::Isobutane, 0.9, 6.8308, 56.91),
            (Liquid::NButane, 0.9, 4.5490, 62.10),
            (Liquid::Propane, 0.9, 15.8129, 45.04),
            (Liquid::R134a, 0.8, 23.7584, 69.47),
            (Liquid::R152a, 0.8, 13.6469, 75.89),
        ] {
            let mean = liquid.liquid_density(Celsius(15.0)).unwrap().0 * share + vapour * (1.0 - share);
            let full = full_of_liquid_at(liquid, litres(1.0), Kilograms(mean * 1e-3)).unwrap().unwrap();
            assert!((full.0 - t).abs() < 0.1, "{liquid:?}: {}", full.0);
        }
        assert!(full_of_liquid_at(Liquid::Propane, litres(1.0), Kilograms(0.6)).is_err());
    }

    #[test]
    fn a_tenth_drawn_at_once_cools_by_a_dozen_kelvin() {
        // dT = h dm/(c m), integrated: h/c · ln(10/9), with h and c halfway down, at 12.5 °C, between the
        // rows of CoolProp: isobutane 342.1 kJ/kg / 2.353 kJ/(kg K) · 0.10536 = 15.32 K.
        let vapour = 7.9134e-3 * 0.03;
        let liquid = 0.010;
        let charge = Kilograms(liquid * (1.0 - 7.9134 / 556.859) + vapour);
        let small = Reservoir::new(Liquid::Isobutane, litres(0.03), charge, Celsius(20.0)).unwrap();
        let cooling = small.cooling(Kilograms(0.001)).unwrap();
        near(cooling.high.0, 15.32, 0.003);
        assert!(cooling.low.0 <= 0.0);
        assert!(small.cooling(Kilograms(0.011)).is_err());
    }

    #[test]
    fn a_warm_reservoir_holds_mass_over_mass_blows() {
        // 30 g isobutane at 10 °C, 0.3 l at 2 m: 0.6 · 1.5516 = 0.931 g each (check values). What stays in
        // the reservoir is 100 ml of 3.10 g/l, 0.31 g: 29.69 / 0.931 = 31.9.
        let reservoir =
            Reservoir::new(Liquid::Isobutane, litres(0.1), Kilograms::from_grams(30.0), Celsius(10.0))
                .unwrap();
        let blows = reservoir.blows(litres(0.3), Pascals(120_938.3)).unwrap();
        assert_eq!(blows.high, 31);
        // In quick succession it freezes itself: from 10 °C to −7 °C (1.21 bar) is 17 K, which takes
        // 1 − exp(−17 c/h) = 11 % of 29.6 g of liquid, 3.2 g; gas so cold is 3 % denser: 3.2/0.96 = 3.3.
        assert_eq!(blows.low, 3);
    }

    #[test]
    fn the_first_blow_takes_mass_over_flow_and_longer_if_it_cools() {
        let reservoir =
            Reservoir::new(Liquid::Isobutane, litres(0.1), Kilograms::from_grams(30.0), Celsius(10.0))
                .unwrap();
        let valve = Restriction::iso6358(SonicConductance::from_dm3_per_s_bar(0.1), 0.3).unwrap();
        let time = reservoir.time_to_blow(litres(0.5), Pascals(120_938.3), valve).unwrap();
        // p1 = 2.20614 bar, ratio 0.5482, past critical by 0.3546: root 0.9350. C ρ0 p1 √(T0/T1) root =
        // 1e-9 · 1.185 · 220 614 · 1.0175 · 0.9350 = 2.4871e-4 kg/s for air, times √M Ψ of isobutane over
        // air = √(58.1222/28.96546) · 0.6272/0.6847 = 1.2976: 3.227e-4 kg/s, and by the root of 1/Z = 1.0772 more, as the saturated vapour is
        // 5.867 kg/m³ (CoolProp) and an ideal gas 5.447: 3.349e-4 kg/s. 1.5516 g: 4.633 s.
        near(time.low.unwrap().0, 4.633, 0.005);
        let (low, high) = (time.low.unwrap(), time.high.unwrap());
        assert!(high > low && high.0 < 2.0 * low.0, "{low} {high}");
    }

    #[test]
    fn gas_that_condenses_blows_nothing() {
        let cold =
            Reservoir::new(Liquid::NButane, litres(0.1), Kilograms::from_grams(30.0), Celsius(5.0)).unwrap();
        let water = Pascals(150_358.0);
        assert_eq!(cold.blows(litres(0.5), water).unwrap(), Between { low: 0, high: 0 });
        let valve = Restriction::iso6358(SonicConductance::from_dm3_per_s_bar(0.1), 0.3).unwrap();
        let time = cold.time_to_blow(litres(0.5), water, valve).unwrap();
        assert_eq!(time, Between { low: None, high: None });
    }

    #[test]
    fn an_overfilled_or_empty_reservoir_is_refused() {
        let of = |grams: f64| {
            Reservoir::new(Liquid::Isobutane, litres(0.1), Kilograms::from_grams(grams), Celsius(10.0))
        };
        assert!(of(50.0).is_err());
        assert!(of(49.0).is_ok());
        assert!(of(0.5).is_err());
        assert!(of(-1.0).is_err());
        let cartridge =
            Reservoir::new(Liquid::CarbonDioxide, litres(0.02), Kilograms::from_grams(12.0), Celsius(10.0));
        assert!(cartridge.is_err());
    }
}
