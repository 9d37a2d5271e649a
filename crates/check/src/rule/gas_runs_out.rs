//! A full bottle does not empty the tank once at the depth limit in the coldest water.

use super::engine::Engine;
use super::estimate::{bottles, coldest_at_limit, lacking, least_ready, metres, warn, where_she_dives};
use super::say::Draft;
use crate::finding::{Finding, Severity, StateId, Subject};
use crate::physics::gas::air::Bottle;
use crate::physics::gas::fluid::Liquid;
use crate::physics::gas::liquefied::Reservoir;
use crate::physics::gas::supply::{Charge, Heat, Supply};
use crate::physics::pressure::ATMOSPHERE;
use crate::physics::units::{Between, Celsius, CubicMetres, Kilograms, Pascals};
use crate::setup::{GasKind, Path};

pub(super) const NAME: &str = "gas-runs-out";

/// Once for each bottle whose size and charge the file tells with tank, water and depth limit.
pub(super) fn apply(engine: &Engine, findings: &mut Vec<Finding>) {
    let setup = engine.setup;
    for (work, gas, path) in bottles(setup).filter(|_| setup.dives()) {
        let (fill, given) = match &gas.kind {
            GasKind::Liquefied(_) => ("charge", gas.charge.is_some()),
            GasKind::Air => ("pressure", gas.pressure.is_some()),
        };
        let tank = (Path::of(["tank", "volume"]), setup.tank.volume.is_some());
        let of_boat = where_she_dives(setup).into_iter().chain([tank]);
        let of_bottle = [(path.then("bottle"), gas.bottle.is_some()), (path.then(fill), given)];
        let missing = lacking(of_boat.chain(of_bottle));
        if !missing.is_empty() {
            let draft = Draft::new(NAME, Severity::Warning, Subject::Function(work), StateId::Piloting);
            findings.push(draft.close_unsaid(missing, "a full bottle empties the tank once"));
        }
    }
    let (Some(limit), Some(tank)) = (coldest_at_limit(setup), &setup.tank.volume) else { return };
    let tank = CubicMetres::from_litres((&tank.value.0 + &tank.off.0).to_f64());
    let temperature = limit.water.temperature();
    for (work, gas, path) in bottles(setup) {
        let Some(volume) = gas.bottle.as_ref().map(|v| CubicMetres::from_litres(v.0.to_f64())) else {
            continue;
        };
        let (blows, key): (Option<Between<u32>>, _) =
            match (least_ready(gas, temperature), &gas.charge, &gas.pressure) {
                (Some(liquid), Some(charge), _) => {
                    let charge = Kilograms((&charge.value.0 - &charge.off.0).to_f64());
                    let full = Reservoir::new(liquid, volume, charge, temperature).ok();
                    // Gas that does not blow at that depth at all is for another rule.
                    let pushes = |full: &Reservoir| full.pressure().is_ok_and(|p| p > limit.absolute);
                    let blows = full.filter(pushes).and_then(|full| full.blows(tank, limit.absolute).ok());
                    let blows = blows.or_else(|| {
                        let p = vapour_alone(liquid, volume, charge, temperature)?;
                        Bottle::new(volume, p, temperature)
                            .and_then(|full| full.blows(tank, limit.absolute))
                            .ok()
                    });
                    (blows, "charge")
                }
                (None, _, Some(gauge)) => {
                    let absolute = Pascals::from_bar((&gauge.value.0 - &gauge.off.0).to_f64()) + ATMOSPHERE;
                    let full = Bottle::new(volume, absolute, temperature);
                    (full.and_then(|full| full.blows(tank, limit.absolute)).ok(), "pressure")
                }
                _ => continue,
            };
        if blows.is_none_or(|blows| blows.high > 0) {
            continue;
        }
        let name = setup.work_name(work);
        let draft = Draft::new(NAME, Severity::Warning, Subject::Function(work), StateId::Piloting)
            .at(path.then(key), "a full bottle holds this")
            .and_at(Path::of(["tank", "volume"]), "it has to push this out")
            .and_at(Path::of(["boat", "depth_limit"]), "from as deep as this")
            .help(
                "take a larger bottle, a smaller tank or a lesser depth; weigh the bottle before every trip",
            );
        let message = format!(
            "{name}: a full bottle is estimated not to empty the tank even once, at {} in water of {temperature}",
            metres(limit.depth.0)
        );
        let assumed = "vapour is drawn, nothing is lost on the way, and the bottle stays as warm as the water: in one go \
                       it grows cold and gives less";
        findings.push(warn(draft, true, assumed, &message));
    }
}

/// The pressure of a charge too small for any of it to stay liquid; `None` where some does.
fn vapour_alone(
    liquid: Liquid,
    volume: CubicMetres,
    mass: Kilograms,
    temperature: Celsius,
) -> Option<Pascals> {
    let charge = Charge { mass, bottle: Some(volume) };
    let full = Supply::liquefied(liquid, Some(charge), temperature, Heat::FromWater).ok()?;
    let pressure = full.state(Kilograms(0.0)).0;
    (pressure < liquid.vapour_pressure(temperature).ok()?).then_some(pressure)
}
