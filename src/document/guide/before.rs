//! The list to go through before each trip.

use super::known::Known;
use super::page::{Chapter, Part, Section};
use crate::document::words::{frequency as frequency_of, listed, opens_gas, plain, way};
use crate::setup::{ControlId, Line, Power, Side};

pub(super) fn chapter(known: &Known<'_>) -> Chapter {
    let say = |key: &str| known.say(&format!("guide.before.{key}"));
    let head = ["move", "see"].map(|key| say(&format!("head.{key}"))).to_vec();
    let senses = Part::table(head, senses(known));
    let mut look = Vec::new();
    let left_alone = ways(known).into_iter().filter(|(id, side)| opens_gas(known.setup, *id, *side));
    let left_alone = listed(left_alone.map(|way| known.act(way)));
    if !left_alone.is_empty() {
        look.push(Part::bold(known.fill("guide.before.left_alone", &[("ways", &left_alone)])));
    }
    look.extend([Part::words(say("senses_intro")), senses]);
    if known.motors().next().is_some() {
        look.push(Part::bold(say("keep_clear")));
    }
    Chapter::new(
        say("title"),
        [
            Section::plain([Part::words(say("intro"))]),
            Section::new(say("home"), [Part::ticks(at_home(known))]),
            Section::new(say("water"), [Part::ticks(at_the_water(known))]),
            Section::new(say("on"), [Part::ticks(switching_on(known)), Part::bold(say("off"))]),
            Section::new(say("senses"), look),
            fail_safe(known),
        ],
    )
}

fn at_home(known: &Known<'_>) -> Vec<String> {
    let say = |key: &str| known.say(&format!("guide.before.{key}"));
    let fill =
        |key: &str, name: &str, value: &str| known.fill(&format!("guide.before.{key}"), &[(name, value)]);
    let batteries = &known.setup.batteries;
    let mut all: Vec<String> =
        batteries.iter().map(|b| fill("charged", "battery", &plain(&b.name))).collect();
    if all.is_empty() {
        all.push(say("charged_any"));
    }
    all.push(say("transmitter_charged"));
    if known.has_bottle() {
        all.push(say("gas_apart"));
    } else {
        all.extend(closing(known));
    }
    all
}

/// Everything that is joined and shut before she gets wet, and the leak test.
fn closing(known: &Known<'_>) -> Vec<String> {
    let say = |key: &str| known.say(&format!("guide.before.{key}"));
    let fill =
        |key: &str, name: &str, value: &str| known.fill(&format!("guide.before.{key}"), &[(name, value)]);
    let fittings = &known.setup.fittings;
    let mut all = Vec::new();
    if !fittings.couplings.is_empty() {
        all.push(fill("couplings", "couplings", &listed(fittings.couplings.iter().cloned())));
    }
    let wet = known.dives();
    if wet {
        all.push(say("seals"));
    }
    if fittings.closing.is_empty() {
        all.push(say("closed"));
    } else {
        all.push(fill("closing", "order", &listed(fittings.closing.iter().cloned())));
    }
    match &fittings.leak_test {
        Some(place) => {
            let test = if known.has_bottle() { "leak_tube_bank" } else { "leak_test" };
            all.push(fill(test, "where", place));
        }
        None if wet => all.push(say(if known.has_bottle() { "leak_bank" } else { "leak_dip" })),
        None => {}
    }
    all
}

fn at_the_water(known: &Known<'_>) -> Vec<String> {
    let say = |key: &str| known.say(&format!("guide.before.{key}"));
    let mut all = vec![say("spotter"), say(if known.dives() { "look" } else { "look_surface" })];
    match &known.setup.transmitter.frequency {
        Some(frequency) if known.frequency_is_hers() => {
            let frequency = frequency_of(known.labels, frequency);
            all.push(known.fill("guide.before.frequency", &[("frequency", &frequency)]));
        }
        _ => all.push(say("shared")),
    }
    // A filled bottle does not travel in the boat, so she is closed here.
    if known.has_bottle() {
        all.push(say("gas"));
        all.extend(closing(known));
    }
    all
}

fn switching_on(known: &Known<'_>) -> Vec<String> {
    let say = |key: &str| known.say(&format!("guide.before.{key}"));
    let fill =
        |key: &str, name: &str, value: &str| known.fill(&format!("guide.before.{key}"), &[(name, value)]);
    let mut all = Vec::new();
    if let Some(memory) = &known.setup.transmitter.memory {
        all.push(fill("memory", "memory", memory));
    }
    all.push(say("aerial_own"));
    if let Some(place) = &known.setup.fittings.aerial {
        all.push(fill("aerial", "where", place));
    }
    if known.any_trim() {
        all.push(say("trims"));
    }
    let (at_an_end, in_the_middle): (Vec<_>, Vec<_>) =
        known.throttles().into_iter().partition(|id| known.stop_of(*id).is_some());
    for id in at_an_end {
        let (control, way) = (known.control_name(id), known.stop_of(id).unwrap_or_default());
        let said = [("control", control.as_str()), ("way", &way)];
        all.push(known.fill("guide.before.throttle_at_end", &said));
    }
    let throttles = listed(in_the_middle.into_iter().map(|id| known.control_name(id)));
    if !throttles.is_empty() {
        all.push(fill("throttle", "controls", &throttles));
    }
    let safe = listed((0..known.setup.controls.len()).filter_map(|id| known.quiet_setting(id)));
    if !safe.is_empty() {
        all.push(fill("settings", "settings", &safe));
    }
    all.push(say("transmitter_first"));
    all.push(power_on(known));
    all
}

/// How she is switched on, as a line.
fn power_on(known: &Known<'_>) -> String {
    let fittings = &known.setup.fittings;
    let key = match fittings.power {
        Some(Power::Switch) => "guide.before.power.switch",
        Some(Power::RemoteSwitch) => "guide.before.power.remote",
        Some(Power::Plug) => "guide.before.power.plug",
        None => return known.say("guide.before.power.any"),
    };
    match &fittings.power_at {
        Some(place) => known.fill(key, &[("where", place)]),
        None => known.say(&format!("{key}_bare")),
    }
}

/// Every way of every control, as a hand goes through them.
fn ways(known: &Known<'_>) -> Vec<(ControlId, Side)> {
    let controls = known.setup.controls.iter().enumerate();
    let each = controls.flat_map(|(id, control)| {
        let order = if control.line == Line::LeftRight { Side::BOTH } else { [Side::High, Side::Low] };
        order.map(|side| (id, side))
    });
    each.collect()
}

/// Where the hand goes, and what is seen then; a way that may open gas is not moved for a look.
fn senses(known: &Known<'_>) -> Vec<Vec<String>> {
    let mut rows = Vec::new();
    for (id, side) in ways(known) {
        let seen = way(known.labels, known.setup, id, side);
        if !seen.does.is_empty() && !opens_gas(known.setup, id, side) {
            rows.push(vec![known.act((id, side)), seen.does]);
        }
    }
    rows
}

/// The test of the fail-safe, where there is anything to see.
fn fail_safe(known: &Known<'_>) -> Section {
    let say = |key: &str| known.say(&format!("guide.before.{key}"));
    if !known.comes_up_alone() && !known.motors_stop() {
        return Section::default();
    }
    let steps = super::behaviour::lost(known);
    let rows = steps.into_iter().map(|(when, what)| vec![when, what]).collect();
    let table = Part::table(Vec::new(), rows);
    let mut parts = vec![Part::words(say("fail_safe_intro")), table];
    if known.gas_alone() {
        parts.push(Part::words(say("fail_safe_gas")));
    }
    parts.push(Part::words(say("fail_safe_after")));
    Section::new(say("fail_safe"), parts).whole()
}
