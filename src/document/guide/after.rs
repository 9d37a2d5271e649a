//! After sailing, and storage.

use super::known::Known;
use super::page::{Chapter, Part, Section};
use crate::document::words::listed;
use crate::setup::{Power, Water};

pub(super) fn chapter(known: &Known<'_>) -> Chapter {
    let say = |key: &str| known.say(&format!("guide.after.{key}"));
    let store = [
        known.fill("guide.after.battery_out", &[("chapter", &super::charging::title(known))]),
        if known.has_bottle() { say("gas_away") } else { String::new() },
        if known.dives() { say("seals") } else { String::new() },
        say("relax"),
        say("papers"),
    ];
    Chapter::new(
        say("title"),
        [
            Section::new(say("order"), [Part::steps(after_each_trip(known))]),
            Section::new(say("store"), [Part::points(store)]).whole(),
        ],
    )
}

fn after_each_trip(known: &Known<'_>) -> Vec<String> {
    let say = |key: &str| known.say(&format!("guide.after.{key}"));
    let (dives, gas) = (known.dives(), !known.gas().is_empty());
    let fittings = &known.setup.fittings;
    let mut all = vec![say(if dives { "surface" } else { "ashore" })];
    all.push(known.fill("guide.after.off", &[("power", &power_off(known))]));
    if gas {
        all.push(say("gas_out"));
    }
    all.push(say("open"));
    if !fittings.couplings.is_empty() {
        let couplings = listed(fittings.couplings.iter().cloned());
        all.push(known.fill("guide.after.couplings", &[("couplings", &couplings)]));
    }
    if !known.sinkers().is_empty() {
        all.push(say("drain"));
    }
    all.push(say(if known.setup.boat.water == Water::Sea { "rinse_salt" } else { "rinse" }));
    if !known.sinkers().is_empty() {
        all.push(say("rinse_tank"));
    }
    if fittings.snorkel.is_some_and(|s| s.float_valve) {
        all.push(say("snorkel"));
    }
    if known.motors().next().is_some() {
        all.push(say("weed"));
    }
    all.push(say("dry"));
    all.push(say("log"));
    if gas {
        all.push(say("blows"));
    }
    all
}

fn power_off(known: &Known<'_>) -> String {
    let fittings = &known.setup.fittings;
    let key = match fittings.power {
        Some(Power::Switch) => "guide.after.off_power.switch",
        Some(Power::RemoteSwitch) => "guide.after.off_power.remote",
        Some(Power::Plug) => "guide.after.off_power.plug",
        None => return String::new(),
    };
    match &fittings.power_at {
        Some(place) => known.fill(&format!("{key}_at"), &[("where", place)]),
        None => known.say(key),
    }
}
