//! Prints what `physics` says of water, gas and pumps at many points, as rows `quantity,arguments…,value`
//! with every digit, for `tests/outside/check_gas.py` to compare with other libraries.

use lidcard::physics::domain::DomainError;
use lidcard::physics::gas::air::Bottle;
use lidcard::physics::gas::fluid::Liquid;
use lidcard::physics::gas::liquefied::{Reservoir, condensing_depth, full_of_liquid_at, greatest_fill};
use lidcard::physics::gas::mixture::Mixture;
use lidcard::physics::gas::restriction::{Restriction, critical_ratio};
use lidcard::physics::gas::species::AIR;
use lidcard::physics::pressure;
use lidcard::physics::pump::{PumpCurve, Tank};
use lidcard::physics::radio::SiemensPerMetre;
use lidcard::physics::units::{
    Celsius, CubicMetres, CubicMetresPerSecond, KgPerM3, Kilograms, Metres, Pascals, SonicConductance,
};
use lidcard::physics::water::{Water, practical_salinity};

fn row(quantity: &str, arguments: &[f64], value: f64) {
    let arguments: String = arguments.iter().map(|a| format!("{a:?},")).collect();
    println!("{quantity},{arguments}{value:?}");
}

fn litres(v: f64) -> CubicMetres {
    CubicMetres::from_litres(v)
}

fn water() -> Result<(), DomainError> {
    for t in (0..=40).map(f64::from) {
        for s in [0.0, 1.0, 7.0, 20.0, 35.0, 41.0] {
            let water = Water::sea(Celsius(t), s)?;
            row("water density", &[t, s], water.density().0);
            if s <= 0.0 {
                row("water viscosity", &[t], water.viscosity().0);
            }
            for d in [0.5, 2.0, 10.0] {
                row("pressure", &[t, s, d], pressure::absolute(water.density(), Metres(d))?.0);
            }
        }
    }
    Ok(())
}

fn salts() {
    for t in (0..=35).step_by(5).map(f64::from) {
        for us_per_cm in [100.0, 500.0, 2_000.0, 5_000.0, 12_000.0, 25_000.0, 45_000.0] {
            let salt = practical_salinity(SiemensPerMetre::from_us_per_cm(us_per_cm), Celsius(t));
            row("practical salinity", &[us_per_cm, t], salt);
        }
    }
}

fn liquids() -> Result<(), DomainError> {
    for liquid in Liquid::ALL {
        let name = |quantity: &str| format!("{quantity} {}", liquid.name());
        let most = liquid.hottest().0;
        for t in (-20..=100).step_by(3).map(f64::from).filter(|t| *t <= most) {
            let saturated = liquid.vapour_pressure(Celsius(t))?;
            row(&name("vapour pressure"), &[t], saturated.0);
            row(&name("liquid density"), &[t], liquid.liquid_density(Celsius(t))?.0);
            if t > liquid.warmest().0 {
                continue;
            }
            row(&name("heat of evaporation"), &[t], liquid.heat_of_evaporation(Celsius(t))?.0);
            row(&name("heat capacity"), &[t], liquid.heat_capacity(Celsius(t))?.0);
            for depth in [0.0, 1.0, 2.0, 5.0, 10.0, 20.0] {
                let p = pressure::absolute(KgPerM3(1000.0), Metres(depth))?;
                if p < saturated {
                    row(&name("gas density"), &[t, p.0], liquid.gas_density(Celsius(t), p)?.0);
                }
            }
            if let Some(depth) = condensing_depth(liquid, Celsius(t), KgPerM3(1000.0))? {
                row(&name("condensing depth"), &[t], depth.0);
            }
        }
        row(&name("critical ratio"), &[], critical_ratio(liquid.gas().gamma));
        if let Ok(fill) = greatest_fill(liquid, litres(1.0)) {
            row(&name("greatest fill"), &[], fill.0);
            if let Some(full) = full_of_liquid_at(liquid, litres(1.0), fill)? {
                row(&name("full of liquid"), &[fill.0], full.0);
            }
        }
    }
    Ok(())
}

fn mixtures() -> Result<(), DomainError> {
    for (propane, isobutane) in [(0.1, 0.0), (0.3, 0.0), (0.5, 0.0), (0.3, 0.35), (0.0, 0.5), (0.2, 0.8)] {
        let mixture = Mixture::by_mass(&[
            (Liquid::Propane, propane),
            (Liquid::Isobutane, isobutane),
            (Liquid::NButane, 1.0 - propane - isobutane),
        ])?;
        for t in [0.0, 10.0, 20.0, 30.0] {
            let parts = [propane, isobutane, t];
            row("bubble pressure", &parts, mixture.bubble_pressure(Celsius(t))?.0);
            row("dew pressure", &parts, mixture.dew_pressure(Celsius(t))?.0);
        }
    }
    Ok(())
}

fn blows() -> Result<(), DomainError> {
    for (c, b) in [(0.02, 0.3), (0.1, 0.2), (0.1, 0.5)] {
        let valve = Restriction::iso6358(SonicConductance::from_dm3_per_s_bar(c), b)?;
        for depth in [0.5, 2.0, 5.0] {
            let water = pressure::absolute(KgPerM3(1000.0), Metres(depth))?;
            for bar in [3.0, 8.0] {
                let bottle = Bottle::new(litres(0.2), Pascals::from_bar(bar), Celsius(10.0))?;
                for share in [0.3, 0.9] {
                    let ballast = bottle.displaces(water)?.low * share;
                    let time = bottle.time_to_blow(ballast, water, valve)?;
                    let of = [c, b, water.0, bar * 1e5, ballast.0];
                    row("isothermal blow", &of, time.low.map_or(f64::INFINITY, |t| t.0));
                    row("adiabatic blow", &of, time.high.map_or(f64::INFINITY, |t| t.0));
                }
            }
        }
    }
    for mm in [0.3, 1.0] {
        let hole = Restriction::hole(Metres::from_millimetres(mm), 0.8)?;
        for ratio in [0.1, 0.5, 0.6, 0.9, 0.99] {
            let flow = hole.mass_flow(AIR, Pascals(5e5), Celsius(10.0).into(), Pascals(5e5 * ratio))?;
            row("hole", &[mm, ratio], flow.0);
        }
    }
    for liquid in [Liquid::Isobutane, Liquid::Propane, Liquid::R134a, Liquid::R152a] {
        for t in [5.0, 20.0] {
            let reservoir = Reservoir::new(liquid, litres(0.1), Kilograms(0.03), Celsius(t))?;
            for grams in [0.5, 1.5, 2.5] {
                let cooling = reservoir.cooling(Kilograms::from_grams(grams))?;
                row(&format!("cooling {}", liquid.name()), &[t, grams], cooling.high.0);
            }
        }
    }
    Ok(())
}

fn pumps() -> Result<(), DomainError> {
    let curve = PumpCurve::new(&[
        (Pascals(0.0), CubicMetresPerSecond(6e-5)),
        (Pascals(3e4), CubicMetresPerSecond(5e-5)),
        (Pascals(8e4), CubicMetresPerSecond(0.0)),
    ])?;
    for air in [0.6, 2.0] {
        for outside in [0.0, 1e4, 2e4] {
            let tank = Tank::Shut { air: litres(air), pressure: pressure::ATMOSPHERE };
            let time = curve.time_to_move(litres(0.4), Pascals(outside), tank)?;
            for (exponent, time) in [(1.0, time.low), (1.4, time.high)] {
                row("pump", &[air, outside, exponent], time.map_or(f64::INFINITY, |t| t.0));
            }
        }
    }
    Ok(())
}

fn main() -> Result<(), DomainError> {
    water()?;
    salts();
    liquids()?;
    mixtures()?;
    blows()?;
    pumps()
}
