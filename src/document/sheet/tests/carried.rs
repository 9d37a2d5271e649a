//! What she carries beyond her channels, each thing where a fitter comes by it.

use super::{List, motor};
use crate::document::sheet::say::Say;
use crate::document::words::{listed, plain};
use crate::setup::Power;

/// What is looked at before the hull is closed.
pub(super) fn while_open(say: &Say<'_>, list: &mut List<'_>) {
    let fittings = &say.setup.fittings;
    for coupling in &fittings.couplings {
        list.filled("coupling", &[("coupling", coupling)], "");
    }
    if let Some(place) = &fittings.aerial {
        list.filled("aerial", &[("where", place)], "");
    }
    if let Some(snorkel) = fittings.snorkel {
        list.plain(if snorkel.float_valve { "float_valve" } else { "open_snorkel" });
    }
    let taken: Vec<u8> = say.setup.channels.iter().map(|channel| channel.number).collect();
    let unused = (1..=say.setup.transmitter.channels).filter(|number| !taken.contains(number));
    let unused = listed(unused.map(|number| number.to_string()));
    if !unused.is_empty() {
        list.filled("unused", &[("channels", &unused)], "");
    }
}

/// How she is switched on and off.
pub(super) fn power(say: &Say<'_>, list: &mut List<'_>) {
    let fittings = &say.setup.fittings;
    let key = match fittings.power {
        Some(Power::Switch) => "power_switch",
        Some(Power::RemoteSwitch) => "power_remote",
        Some(Power::Plug) => "power_plug",
        None => return,
    };
    let name = say.get(&format!("tests.{key}.name"));
    let power = match &fittings.power_at {
        Some(place) => say.fill("tests.placed", &[("what", name), ("where", place)]),
        None => name.to_owned(),
    };
    list.filled(key, &[("power", &power)], "");
}

/// Each indicator light, with what it means brought about.
pub(super) fn lights(say: &Say<'_>, list: &mut List<'_>) {
    list.group("lights");
    for light in &say.setup.fittings.lights {
        list.filled("light", &[("means", &light.means), ("shows", &light.shows)], "");
    }
}

/// What the servos draw, and what is left for the receiver.
pub(super) fn supply(say: &Say<'_>, list: &mut List<'_>) {
    list.group("supply");
    for device in &say.setup.devices {
        let name = plain(&device.name);
        if let Some(takes) = &device.facts.takes {
            list.filled("takes", &[("device", &name)], say.seconds(&takes.0));
        }
        if let Some(stall) = &device.facts.stall {
            list.filled("stall", &[("device", &name)], say.amount("amperes", &stall.0, 2));
        }
    }
    let supply = &say.setup.receiver.supply;
    if let Some(current) = &supply.current {
        let most = say.amount("amperes", &current.0, 2);
        list.filled("current", &[], say.fill("tests.at_most", &[("value", &most)]));
    }
    if let Some(volts) = &supply.browns_out {
        let least = say.labels.decimal(&volts.0.to_decimal(2));
        let least = say.labels.fill("common.volts", &[("number", &least)]);
        list.filled("browns_out", &[], say.fill("tests.above", &[("value", &least)]));
    }
}

/// Compartment by compartment, then tight, then propellers on.
pub(super) fn closing(say: &Say<'_>, list: &mut List<'_>) {
    list.group("closing");
    let fittings = &say.setup.fittings;
    if !fittings.couplings.is_empty() {
        let couplings = listed(fittings.couplings.iter().cloned());
        list.filled("joined_again", &[("couplings", &couplings)], "");
    }
    for compartment in &fittings.closing {
        list.filled("compartment", &[("compartment", compartment)], "");
    }
    match &fittings.leak_test {
        Some(place) => list.filled("leak_tube", &[("where", place)], ""),
        None if say.setup.dives() => list.plain("leak_dip"),
        None => {}
    }
    if motor(say.setup) {
        list.plain("propellers_on");
    }
}
