//! What needs water under her, and gas, which comes last: the figures of hull and tank.

use super::alone::alone;
use super::list::List;
use crate::labels::text::sheet::tests;
use crate::labels::text::sheet::units;
use crate::setup::{Emptier, Gas, GasKind, Pump, Water, WorkRef};
use crate::sheet::faults::Tried;
use crate::sheet::say::Say;
use crate::words::plain;

/// Her weight, her tank and what empties it.
pub(super) fn in_water(say: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::in_water::TITLE, Some(tests::in_water::BEFORE));
    let setup = say.setup;
    if let Some(weight) = &setup.hull.weight {
        list.step([tests::weight::DO, tests::weight::SEE], say.weight(weight));
    }
    if let Some(heavy) = &setup.hull.heavy {
        let water = match setup.hull.weighed_in.unwrap_or(setup.boat.water) {
            Water::Fresh => say.get(tests::FRESH),
            Water::Brackish => say.get(tests::BRACKISH),
            Water::Sea => say.get(tests::SEA),
        };
        list.add(say.fill(tests::heavy::Do { water }), say.get(tests::heavy::SEE), say.weight(heavy));
    }
    if let Some(volume) = &setup.tank.volume {
        list.step([tests::volume::DO, tests::volume::SEE], say.volume(volume));
    }
    for (work, emptier) in &setup.tank.emptied_by {
        if let Emptier::Pump(pump) = emptier {
            pump_tests(say, list, *work, pump);
        }
    }
    if setup.fittings.snorkel.is_some_and(|snorkel| snorkel.float_valve) {
        list.plain([tests::float_under::DO, tests::float_under::SEE]);
    }
    if setup.boat.floats_when_stopped {
        list.plain([tests::floats::DO, tests::floats::SEE]);
    }
    // What gas has a part in waits for the gas.
    if !setup.has_bottle() {
        list.faults(Tried::Afloat);
        alone(say, list);
    }
}

fn pump_tests(say: &Say<'_>, list: &mut List<'_>, work: WorkRef, pump: &Pump) {
    let name = work_name(say, work);
    let volume = say.setup.tank.volume.as_ref();
    match volume.and_then(|volume| say.time_to_empty(volume, pump)) {
        Some(time) => {
            list.add(say.fill(tests::empties::Do { work: &name }), say.get(tests::empties::SEE), time)
        }
        None => list.add(
            say.fill(tests::flow::Do { work: &name }),
            say.get(tests::flow::SEE),
            say.free_flow(pump).unwrap_or_default(),
        ),
    }
    if let Some(start) = &pump.starts_in {
        list.add(
            say.fill(tests::starts::Do { work: &name }),
            say.get(tests::starts::SEE),
            say.seconds(&start.0),
        );
    }
    if let Some(current) = &pump.current {
        list.add(
            say.fill(tests::pump_current::Do { work: &name }),
            say.get(tests::pump_current::SEE),
            say.amount(|say, number| say.fill(units::Amperes { number }), &current.0, 2),
        );
    }
    if let Some(duty) = pump.duty.as_ref().or(say.setup.work(work).facts.longest.as_ref()) {
        let most = say.seconds(&duty.0);
        list.add(
            say.fill(tests::duty::Do { work: &name }),
            say.get(tests::duty::SEE),
            say.fill(tests::AtMost { value: &most }),
        );
    }
}

/// The gas, when everything else is signed.
pub(super) fn gas(say: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::gas::TITLE, Some(tests::gas::BEFORE));
    list.gate = super::read::Gate::All;
    for (work, emptier) in &say.setup.tank.emptied_by {
        if let Emptier::Gas(gas) = emptier {
            bottle(say, list, *work, gas);
        }
    }
    if say.setup.has_bottle() {
        list.plain([tests::gas_in::DO, tests::gas_in::SEE]);
        list.plain([tests::gas_closed::DO, tests::gas_closed::SEE]);
        list.plain([tests::gas_weigh::DO, tests::gas_weigh::SEE]);
        list.plain([tests::gas_blow::DO, tests::gas_blow::SEE]);
        list.faults(Tried::Afloat);
        alone(say, list);
    }
}

fn bottle(say: &Say<'_>, list: &mut List<'_>, work: WorkRef, gas: &Gas) {
    let name = work_name(say, work);
    if let Some(hole) = &gas.hole {
        list.add(
            say.fill(tests::hole::Do { work: &name }),
            say.get(tests::hole::SEE),
            say.amount(|say, number| say.fill(units::Millimetres { number }), &hole.0, 2),
        );
    }
    match (&gas.kind, &gas.charge, &gas.pressure) {
        (GasKind::Liquefied(_), Some(charge), _) => {
            list.step([tests::charge::DO, tests::charge::SEE], say.weight(charge))
        }
        (GasKind::Air, _, Some(pressure)) => {
            list.step([tests::filled::DO, tests::filled::SEE], say.pressure(pressure))
        }
        _ => {}
    }
}

/// `pump (tank servo)`
fn work_name(say: &Say<'_>, work: WorkRef) -> String {
    format!("{} ({})", plain(&say.setup.work(work).name), plain(&say.setup.devices[work.device].name))
}
