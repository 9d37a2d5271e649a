//! After sailing, and storage.

use super::known::Known;
use super::page::{Chapter, Part, Section};
use crate::labels::text::guide::after;
use crate::setup::{Power, Water};
use crate::words::listed;

pub(super) fn chapter(known: &Known<'_>) -> Chapter {
    let store = [
        known.fill(after::BatteryOut { chapter: &super::charging::title(known) }),
        if known.has_bottle() { known.say(after::GAS_AWAY) } else { String::new() },
        if known.dives() { known.say(after::SEALS) } else { String::new() },
        known.say(after::RELAX),
        known.say(after::PAPERS),
    ];
    Chapter::new(
        known.say(after::TITLE),
        [
            Section::new(known.say(after::ORDER), [Part::steps(after_each_trip(known))]),
            Section::new(known.say(after::STORE), [Part::points(store)]).whole(),
        ],
    )
}

fn after_each_trip(known: &Known<'_>) -> Vec<String> {
    let (dives, gas) = (known.dives(), !known.gas().is_empty());
    let fittings = &known.setup.fittings;
    let mut all = vec![known.say(if dives { after::SURFACE } else { after::ASHORE })];
    all.push(known.fill(after::Off { power: &power_off(known) }));
    if gas {
        all.push(known.say(after::GAS_OUT));
    }
    all.push(known.say(after::OPEN));
    if !fittings.couplings.is_empty() {
        let couplings = listed(fittings.couplings.iter().cloned());
        all.push(known.fill(after::Couplings { couplings: &couplings }));
    }
    if !known.sinkers().is_empty() {
        all.push(known.say(after::DRAIN));
    }
    all.push(known.say(if known.setup.boat.water != Water::Fresh {
        after::RINSE_SALT
    } else {
        after::RINSE
    }));
    if !known.sinkers().is_empty() {
        all.push(known.say(after::RINSE_TANK));
    }
    if fittings.snorkel.is_some_and(|s| s.float_valve) {
        all.push(known.say(after::SNORKEL));
    }
    if known.motors().next().is_some() {
        all.push(known.say(after::WEED));
    }
    all.push(known.say(after::DRY));
    all.push(known.say(after::LOG));
    if gas {
        all.push(known.say(after::BLOWS));
    }
    all
}

fn power_off(known: &Known<'_>) -> String {
    use crate::labels::text::guide::after::off_power;
    let fittings = &known.setup.fittings;
    match (fittings.power, &fittings.power_at) {
        (Some(Power::Switch), Some(place)) => known.fill(off_power::SwitchAt { r#where: place }),
        (Some(Power::Switch), None) => known.say(off_power::SWITCH),
        (Some(Power::RemoteSwitch), Some(place)) => known.fill(off_power::RemoteAt { r#where: place }),
        (Some(Power::RemoteSwitch), None) => known.say(off_power::REMOTE),
        (Some(Power::Plug), Some(place)) => known.fill(off_power::PlugAt { r#where: place }),
        (Some(Power::Plug), None) => known.say(off_power::PLUG),
        (None, _) => String::new(),
    }
}
