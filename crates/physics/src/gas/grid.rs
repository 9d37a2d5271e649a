//! What a boiling liquid is at many temperatures, looked up instead of worked out.
//!
//! A bottle that cools is asked at every step of a blow, and each answer takes a dozen powers. They are worked out
//! once at each quarter of a kelvin that is asked for, with straight lines between: off by h²/8 times the second
//! derivative, for pressures by up to two parts in a hundred thousand (a test holds it), a fiftieth of what the formulas
//! are off.

use super::fluid::{GasAt, Liquid};
use crate::units::Celsius;
use std::sync::OnceLock;

/// Kelvins between two rows, at most.
const STEP: f64 = 0.25;

/// What is looked up at a temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Boiling {
    /// Its gas.
    pub(super) gas: GasAt,
    /// Absolute pressure at which it boils, in pascals.
    pub(super) pressure: f64,
    /// Kelvins by which evaporating one part of a liquid cools the whole, by that part: heat of evaporation over
    /// heat of the liquid.
    pub(super) cools: f64,
}

/// Pressure, virial, heat over heat; `None` where a formula does not answer.
type Row = Option<[f64; 3]>;

struct Grid {
    liquid: Liquid,
    step: f64,
    rows: Vec<OnceLock<Row>>,
}

static GRIDS: [OnceLock<Grid>; Liquid::ALL.len()] = [const { OnceLock::new() }; Liquid::ALL.len()];

/// The liquid at a temperature; `None` where its formulas do not answer.
pub(super) fn boiling(liquid: Liquid, temperature: Celsius) -> Option<Boiling> {
    let grid = GRIDS[liquid as usize].get_or_init(|| Grid::of(liquid));
    let place = (temperature.0 - Liquid::COLDEST.0) / grid.step;
    if !(place >= 0.0 && place <= (grid.rows.len() - 1) as f64) {
        return None;
    }
    let index = (place as usize).min(grid.rows.len() - 2);
    let share = place - index as f64;
    let (a, b) = (grid.row(index)?, grid.row(index + 1)?);
    let [pressure, virial, cools] = std::array::from_fn(|n| a[n] + (b[n] - a[n]) * share);
    Some(Boiling { gas: liquid.gas_of(temperature, pressure, virial), pressure, cools })
}

impl Grid {
    fn of(liquid: Liquid) -> Self {
        let span = liquid.warmest().0 - Liquid::COLDEST.0;
        let count = (span / STEP).ceil();
        let rows = (0..=count as usize).map(|_| OnceLock::new()).collect();
        Self { liquid, step: span / count, rows }
    }

    fn row(&self, index: usize) -> Row {
        *self.rows[index].get_or_init(|| {
            let liquid = self.liquid;
            // The last row lies on the limit, not a bit beyond it.
            let t = Celsius((Liquid::COLDEST.0 + self.step * index as f64).min(liquid.warmest().0));
            let gas = liquid.gas_at(t).ok()?;
            let cools = liquid.heat_of_evaporation(t).ok()?.0 / liquid.heat_capacity(t).ok()?.0;
            Some([liquid.vapour_pressure(t).ok()?.0, gas.virial(), cools])
        })
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn what_is_looked_up_is_what_the_formulas_give_to_two_hundred_thousandths() {
        let near = |got: f64, want: f64| assert!((got / want - 1.0).abs() < 2e-5, "{got} instead of {want}");
        for liquid in Liquid::ALL {
            let most = liquid.warmest().0;
            for n in 0..=997 {
                let t = Celsius(-20.0 + (most + 20.0) * f64::from(n) / 997.0);
                let found = boiling(liquid, t).unwrap();
                let p = liquid.vapour_pressure(t).unwrap();
                near(found.pressure, p.0);
                let heats = liquid.heat_of_evaporation(t).unwrap().0 / liquid.heat_capacity(t).unwrap().0;
                near(found.cools, heats);
                near(found.gas.virial(), liquid.gas_at(t).unwrap().virial());
            }
            assert!(boiling(liquid, Celsius(most + 0.01)).is_none());
            assert!(boiling(liquid, Celsius(-20.01)).is_none());
            assert!(boiling(liquid, Celsius(f64::NAN)).is_none());
        }
    }
}
