//! What she carries beyond her channels, each thing where a fitter comes by it.

use super::list::List;
use super::{motor, points};
use crate::labels::text::sheet::tests;
use crate::labels::text::sheet::units;
use crate::labels::{Text, text};
use crate::setup::Power;
use crate::sheet::say::Say;
use crate::words::{listed, plain};

/// What is looked at before the hull is closed.
pub(super) fn while_open(say: &Say<'_>, list: &mut List<'_>) {
    let fittings = &say.setup.fittings;
    for coupling in &fittings.couplings {
        list.add(say.fill(tests::coupling::Do { coupling }), say.get(tests::coupling::SEE), "");
    }
    if let Some(place) = &fittings.aerial {
        list.add(say.fill(tests::aerial::Do { r#where: place }), say.get(tests::aerial::SEE), "");
    }
    if let Some(snorkel) = fittings.snorkel {
        list.plain(if snorkel.float_valve {
            [tests::float_valve::DO, tests::float_valve::SEE]
        } else {
            [tests::open_snorkel::DO, tests::open_snorkel::SEE]
        });
    }
    let taken: Vec<u8> = say.setup.channels.iter().map(|channel| channel.number).collect();
    let unused = (1..=say.setup.transmitter.channels).filter(|number| !taken.contains(number));
    let unused = listed(unused.map(|number| number.to_string()));
    if !unused.is_empty() {
        list.add(say.fill(tests::unused::Do { channels: &unused }), say.get(tests::unused::SEE), "");
    }
}

/// How she is switched on and off.
pub(super) fn power(say: &Say<'_>, list: &mut List<'_>) {
    let fittings = &say.setup.fittings;
    let placed = |what: Text| match &fittings.power_at {
        Some(place) => say.fill(tests::Placed { what: say.get(what), r#where: place }),
        None => say.get(what).to_owned(),
    };
    match fittings.power {
        Some(Power::Switch) => {
            let power = &placed(tests::power_switch::NAME);
            let what = say.fill(tests::power_switch::Do { power });
            list.add(what, say.get(tests::power_switch::SEE), "");
        }
        Some(Power::RemoteSwitch) => {
            let power = &placed(tests::power_remote::NAME);
            let what = say.fill(tests::power_remote::Do { power });
            list.add(what, say.get(tests::power_remote::SEE), "");
        }
        Some(Power::Plug) => {
            let power = &placed(tests::power_plug::NAME);
            let what = say.fill(tests::power_plug::Do { power });
            list.add(what, say.get(tests::power_plug::SEE), "");
        }
        None => {}
    }
}

/// Each indicator light, with what it means brought about.
pub(super) fn lights(say: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::lights::TITLE, Some(tests::lights::BEFORE));
    for light in &say.setup.fittings.lights {
        list.add(
            say.fill(tests::light::Do { means: &light.means }),
            say.fill(tests::light::See { shows: &light.shows }),
            "",
        );
    }
}

/// What the servos draw, and what is left for the receiver.
pub(super) fn supply(say: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::supply::TITLE, None);
    for device in &say.setup.devices {
        let name = plain(&device.name);
        if let Some(takes) = &device.facts.takes {
            list.add(
                say.fill(tests::takes::Do { device: &name }),
                say.get(tests::takes::SEE),
                say.seconds(&takes.0),
            );
        }
        if let Some(stall) = &device.facts.stall {
            // Whoever holds a screw that turns loses a finger.
            let what = match device.kind.runs_a_motor() {
                true => say.fill(tests::stall::Motor { device: &name }),
                false => say.fill(tests::stall::Do { device: &name }),
            };
            list.add(
                what,
                say.get(tests::stall::SEE),
                say.amount(|say, number| say.fill(units::Amperes { number }), &stall.0, 2),
            );
        }
    }
    let supply = &say.setup.receiver.supply;
    if let Some(current) = &supply.current {
        let most = say.amount(|say, number| say.fill(units::Amperes { number }), &current.0, 2);
        list.step([tests::current::DO, tests::current::SEE], say.fill(tests::AtMost { value: &most }));
    }
    if let Some(volts) = &supply.browns_out {
        let least = say.labels.decimal(&volts.0.to_decimal(2));
        let least = say.labels.fill(text::common::Volts { number: &least });
        list.step([tests::browns_out::DO, tests::browns_out::SEE], say.fill(tests::Above { value: &least }));
    }
}

/// Compartment by compartment, then tight, then propellers on.
pub(super) fn closing(say: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::closing::TITLE, None);
    list.gate = super::read::Gate::All;
    let fittings = &say.setup.fittings;
    if !fittings.couplings.is_empty() {
        let couplings = listed(fittings.couplings.iter().cloned());
        list.add(
            say.fill(tests::joined_again::Do { couplings: &couplings }),
            say.get(tests::joined_again::SEE),
            "",
        );
    }
    for compartment in &fittings.closing {
        list.add(say.fill(tests::compartment::Do { compartment }), say.get(tests::compartment::SEE), "");
    }
    match &fittings.leak_test {
        Some(place) => {
            list.add(say.fill(tests::leak_tube::Do { r#where: place }), say.get(tests::leak_tube::SEE), "")
        }
        None if say.setup.dives() => list.plain([tests::leak_dip::DO, tests::leak_dip::SEE]),
        None => {}
    }
    points::closed(say, list);
    if motor(say.setup) {
        list.plain([tests::propellers_on::DO, tests::propellers_on::SEE]);
    }
}
