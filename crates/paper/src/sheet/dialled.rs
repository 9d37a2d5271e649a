//! What is set outside the transmitter: the units' own menus, and the batteries they live on.

use super::say::Say;
use crate::labels::text::common;
use crate::labels::text::sheet::{batteries, units_own};
use crate::setup::{Battery, FailSafe, Figure, Notices};
use crate::words::{listed, listed_apart, plain};

/// The unit and every device with something to set, each with all of it.
pub(super) fn units(say: &Say<'_>) -> Vec<[String; 2]> {
    let unit = say.setup.fail_safe.iter();
    let unit = unit.map(|unit| [say.get(units_own::UNIT).to_owned(), listed_apart(of_unit(say, unit))]);
    let devices = say.setup.devices.iter().map(|device| {
        let set = menus(say, &device.facts.dialled);
        [plain(&device.name), listed_apart(set)]
    });
    unit.chain(devices).filter(|[_, set]| !set.is_empty()).collect()
}

fn menus(say: &Say<'_>, dialled: &[(String, String)]) -> Vec<String> {
    let each = dialled.iter().map(|(menu, value)| say.fill(units_own::Menu { menu, value }));
    each.collect()
}

fn of_unit(say: &Say<'_>, unit: &FailSafe) -> Vec<String> {
    let channels = listed(unit.channels.iter().map(|id| say.setup.channels[*id].number.to_string()));
    let mut all = vec![say.fill(units_own::Channels { channels: &channels })];
    all.push(match &unit.notices {
        _ if say.setup.lacks(Figure::Notices) => say.get(units_own::NOTICES_UNKNOWN).to_owned(),
        Notices::NoPulses => say.get(units_own::NO_PULSES).to_owned(),
        Notices::InvalidPulses => say.get(units_own::INVALID_PULSES).to_owned(),
        Notices::Channel { channel, beyond } => say
            .fill(units_own::Preset { channel: &say.channel(*channel), beyond: &say.signed(&beyond.value) }),
    });
    if let Some(wait) = &unit.wait {
        all.push(say.fill(units_own::Wait { time: &say.seconds(&wait.0) }));
    }
    if let Some((battery, below)) = &unit.low_battery {
        let name = say.setup.batteries.get(*battery).map_or_else(String::new, |b| plain(&b.name));
        let volts = say.labels.decimal(&below.0.to_decimal(2));
        let volts = say.labels.fill(common::Volts { number: &volts });
        all.push(say.fill(units_own::Battery { name: &name, volts: &volts }));
    }
    if unit.leak {
        all.push(say.get(units_own::LEAK).to_owned());
    }
    all.extend(menus(say, &unit.dialled));
    all
}

/// Each battery with what is printed on it and what guards its line.
pub(super) fn packs(say: &Say<'_>) -> Vec<[String; 2]> {
    let row = |battery: &Battery| [plain(&battery.name), listed(of_pack(say, battery))];
    say.setup.batteries.iter().map(row).filter(|[_, about]| !about.is_empty()).collect()
}

fn of_pack(say: &Say<'_>, battery: &Battery) -> Vec<String> {
    let mut all = Vec::new();
    if let Some(cells) = battery.cells {
        all.push(say.fill(batteries::Cells { number: &cells.to_string() }));
    }
    all.extend(battery.chemistry.clone());
    if let Some(capacity) = &battery.capacity {
        let number = say.labels.decimal(&capacity.0.to_decimal(2));
        all.push(say.fill(batteries::Capacity { number: &number }));
    }
    if let Some(fuse) = &battery.fuse {
        all.push(say.fill(batteries::Fuse { current: &crate::words::amperes(say.labels, &fuse.0) }));
    }
    all
}
