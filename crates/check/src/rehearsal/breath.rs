//! How often a boat that blows with the air in her hull can do so before she has to breathe.

use super::body::water_at;
use super::solve::PART;
use super::volts::gives_up_at;
use crate::physics::pressure;
use crate::physics::units::{Celsius, CubicMetres, Metres};
use crate::setup::{Emptier, Pump, Setup};

/// More than this need not be counted.
const MANY: u32 = 99;
/// The warmth of water of which the file says nothing: its density hardly counts here.
const COOL: f64 = 10.0;

/// How often half of the tank can be blown and vented, one time after another and each from the deepest place,
/// before the pump gives up or the hull has nothing left: every blow takes out of the hull what fills that part
/// at the pressure there, and the vent gives it to the water (Boyle, at the water's temperature). With every
/// tolerance at its bad end. `None` where no pump breathes the hull's air, or the file tells too little.
pub(super) fn blows(setup: &Setup, deepest: Option<Metres>) -> Option<u32> {
    let pumps = setup.tank.emptied_by.iter().filter_map(|(_, by)| match by {
        Emptier::Pump(pump) if !setup.through_snorkel(pump) => Some(pump),
        _ => None,
    });
    // Which of them she is left with nobody says.
    pumps.filter_map(|pump| of(setup, pump, deepest)).min()
}

fn of(setup: &Setup, pump: &Pump, deepest: Option<Metres>) -> Option<u32> {
    let limit = setup.boat.depth_limit.as_ref().map(|d| Metres(d.0.to_f64()));
    let depth = deepest.into_iter().chain(limit).reduce(|a, b| if b > a { b } else { a })?;
    let (air, tank) = (setup.hull.air.as_ref()?, setup.tank.volume.as_ref()?);
    let air = CubicMetres::from_litres((&air.value.0 - &air.off.0).to_f64());
    let tank = CubicMetres::from_litres((&tank.value.0 + &tank.off.0).to_f64());
    let coldest = setup.hull.water.as_ref().map_or(COOL, |[cold, _]| cold.0.to_f64());
    let water = water_at(setup, Celsius(coldest)).ok()?.density();
    let (gauge, absolute) = (pressure::gauge(water, depth).ok()?, pressure::absolute(water, depth).ok()?);
    // After the n-th blow the hull has p₀ - n p V / A; what the pump works against then must stay below what
    // it gives up at.
    let left_over = gives_up_at(setup, pump)?.0 - gauge.0;
    let each = absolute.0 * PART * tank.0 / air.0;
    // The last pascal of the hull is no air to pump.
    let most = left_over.min(pressure::ATMOSPHERE.0 * 0.9);
    Some(((most / each).max(0.0) as u32).min(MANY))
}
