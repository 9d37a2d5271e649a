//! What needs water under her, and gas, which comes last: the figures of hull and tank.

use super::List;
use crate::document::sheet::faults::Tried;
use crate::document::sheet::say::Say;
use crate::document::words::plain;
use crate::setup::{Emptier, Gas, GasKind, Pump, Water, WorkRef};

/// Her weight, her tank and what empties it.
pub(super) fn in_water(say: &Say<'_>, list: &mut List<'_>) {
    list.group("in_water");
    let setup = say.setup;
    if let Some(weight) = &setup.hull.weight {
        list.filled("weight", &[], say.weight(weight));
    }
    if let Some(heavy) = &setup.hull.heavy {
        let water = match setup.boat.water {
            Water::Fresh => say.get("tests.fresh"),
            Water::Sea => say.get("tests.sea"),
        };
        list.filled("heavy", &[("water", water)], say.weight(heavy));
    }
    if let Some(volume) = &setup.tank.volume {
        list.filled("volume", &[], say.volume(volume));
    }
    for (work, emptier) in &setup.tank.emptied_by {
        if let Emptier::Pump(pump) = emptier {
            pump_tests(say, list, *work, pump);
        }
    }
    if setup.fittings.snorkel.is_some_and(|snorkel| snorkel.float_valve) {
        list.plain("float_under");
    }
    if setup.boat.floats_when_stopped {
        list.plain("floats");
    }
    // What gas has a part in waits for the gas.
    if !setup.has_bottle() {
        list.faults(Tried::Afloat);
    }
}

fn pump_tests(say: &Say<'_>, list: &mut List<'_>, work: WorkRef, pump: &Pump) {
    let name = work_name(say, work);
    let pumped = [("work", name.as_str())];
    let volume = say.setup.tank.volume.as_ref();
    match volume.and_then(|volume| say.time_to_empty(volume, pump)) {
        Some(time) => list.filled("empties", &pumped, time),
        None => list.filled("flow", &pumped, say.free_flow(pump).unwrap_or_default()),
    }
    if let Some(start) = &pump.starts_in {
        list.filled("starts", &pumped, say.seconds(&start.0));
    }
    if let Some(current) = &pump.current {
        list.filled("pump_current", &pumped, say.amount("amperes", &current.0, 2));
    }
    if let Some(duty) = pump.duty.as_ref().or(say.setup.work(work).facts.longest.as_ref()) {
        let most = say.seconds(&duty.0);
        list.filled("duty", &pumped, say.fill("tests.at_most", &[("value", &most)]));
    }
}

/// The gas, when everything else is signed.
pub(super) fn gas(say: &Say<'_>, list: &mut List<'_>) {
    list.group("gas");
    for (work, emptier) in &say.setup.tank.emptied_by {
        if let Emptier::Gas(gas) = emptier {
            bottle(say, list, *work, gas);
        }
    }
    if say.setup.has_bottle() {
        for step in ["gas_in", "gas_closed", "gas_weigh", "gas_blow"] {
            list.plain(step);
        }
        list.faults(Tried::Afloat);
    }
}

fn bottle(say: &Say<'_>, list: &mut List<'_>, work: WorkRef, gas: &Gas) {
    let name = work_name(say, work);
    if let Some(hole) = &gas.hole {
        list.filled("hole", &[("work", &name)], say.amount("millimetres", &hole.0, 2));
    }
    match (&gas.kind, &gas.charge, &gas.pressure) {
        (GasKind::Liquefied(_), Some(charge), _) => list.filled("charge", &[], say.weight(charge)),
        (GasKind::Air, _, Some(pressure)) => list.filled("filled", &[], say.pressure(pressure)),
        _ => {}
    }
}

/// `pump (tank servo)`
fn work_name(say: &Say<'_>, work: WorkRef) -> String {
    format!("{} ({})", plain(&say.setup.work(work).name), plain(&say.setup.devices[work.device].name))
}
