//! The list to go through before each trip.

use super::known::Known;
use super::page::{Chapter, Part, Section};
use crate::labels::text::guide::before;
use crate::question::Engine;
use crate::setup::{ControlId, Line, Power, Side, WorkRef};
use crate::words::{self, frequency as frequency_of, listed, opens_gas, plain, way};

pub(super) fn chapter(known: &Known<'_>) -> Chapter {
    let head = [before::head::MOVE, before::head::SEE].map(|text| known.say(text)).to_vec();
    let senses = Part::table(head, senses(known));
    let mut look = Vec::new();
    let left_alone = ways(known).into_iter().filter(|(id, side)| opens_gas(known.setup, *id, *side));
    let left_alone = listed(left_alone.map(|way| known.act(way)));
    if !left_alone.is_empty() {
        look.push(Part::bold(known.fill(before::LeftAlone { ways: &left_alone })));
    }
    // Said before anything moves.
    if known.motors().next().is_some() || !known.works_that(|kind| kind.heats).is_empty() {
        look.push(Part::bold(known.say(before::KEEP_CLEAR)));
    }
    look.extend([Part::words(known.say(before::SENSES_INTRO)), senses]);
    let mut switched_on = vec![Part::ticks(switching_on(known)), Part::bold(known.say(before::OFF))];
    switched_on.extend(words::never_off(known.labels, known.setup).map(Part::bold));
    let (why, order) = order(known);
    switched_on.extend(why);
    let trial = fail_safe(known);
    // Gas that is lost each time is gas that is missing on the day: that trial comes before the bottle is in.
    let (dry, wet) =
        if known.gas_alone() { (trial, Section::default()) } else { (Section::default(), trial) };
    Chapter::new(
        known.say(before::TITLE),
        [
            Section::plain([Part::words(known.say(before::INTRO))]),
            Section::new(known.say(before::HOME), [Part::ticks(at_home(known))]),
            order,
            dry,
            hot(known),
            Section::new(known.say(before::WATER), [Part::ticks(at_the_water(known))]),
            Section::new(known.say(before::ON), switched_on),
            Section::new(known.say(before::SENSES), look),
            wet,
        ],
    )
}

fn at_home(known: &Known<'_>) -> Vec<String> {
    let batteries = &known.setup.batteries;
    let mut all: Vec<String> =
        batteries.iter().map(|b| known.fill(before::Charged { battery: &plain(&b.name) })).collect();
    if all.is_empty() {
        all.push(known.say(before::CHARGED_ANY));
    }
    all.push(known.say(before::TRANSMITTER_CHARGED));
    if known.has_bottle() {
        all.push(known.say(before::GAS_APART));
    } else {
        all.extend(closing(known));
    }
    all
}

/// Everything that is joined and shut before she gets wet, and the leak test.
fn closing(known: &Known<'_>) -> Vec<String> {
    let fittings = &known.setup.fittings;
    let mut all = Vec::new();
    if !fittings.couplings.is_empty() {
        all.push(known.fill(before::Couplings { couplings: &listed(fittings.couplings.iter().cloned()) }));
    }
    let wet = known.dives();
    if wet {
        all.push(known.say(before::SEALS));
    }
    if fittings.closing.is_empty() {
        all.push(known.say(before::CLOSED));
    } else {
        all.push(known.fill(before::Closing { order: &listed(fittings.closing.iter().cloned()) }));
    }
    match &fittings.leak_test {
        Some(place) if known.has_bottle() => {
            all.push(known.fill(before::LeakTubeBank { r#where: place }));
        }
        Some(place) => all.push(known.fill(before::LeakTest { r#where: place })),
        None if wet => {
            all.push(known.say(if known.has_bottle() { before::LEAK_BANK } else { before::LEAK_DIP }))
        }
        None => {}
    }
    all
}

fn at_the_water(known: &Known<'_>) -> Vec<String> {
    let mut all = vec![
        known.say(before::SPOTTER),
        known.say(if known.dives() { before::LOOK } else { before::LOOK_SURFACE }),
    ];
    match &known.setup.transmitter.frequency {
        Some(frequency) if known.frequency_is_hers() => {
            let frequency = frequency_of(known.labels, frequency);
            all.push(known.fill(before::Frequency { frequency: &frequency }));
        }
        _ => all.push(known.say(before::SHARED)),
    }
    let hung = listed(known.works_that(|kind| kind.drops).into_iter().map(|work| known.work_name(work)));
    if !hung.is_empty() {
        all.push(known.fill(before::Weight { works: &hung }));
    }
    // A filled bottle does not travel in the boat, so she is closed here.
    if known.has_bottle() {
        all.push(known.say(before::GAS));
        all.extend(closing(known));
    }
    all
}

fn switching_on(known: &Known<'_>) -> Vec<String> {
    let mut all = Vec::new();
    if let Some(memory) = &known.setup.transmitter.memory {
        all.push(known.fill(before::Memory { memory }));
    }
    all.push(known.say(before::AERIAL_OWN));
    if let Some(place) = &known.setup.fittings.aerial {
        all.push(known.fill(before::Aerial { r#where: place }));
    }
    if known.any_trim() {
        all.push(known.say(before::TRIMS));
    }
    let (at_an_end, in_the_middle): (Vec<_>, Vec<_>) =
        known.throttles().into_iter().partition(|id| known.stop_of(*id).is_some());
    for id in at_an_end {
        let (control, way) = (known.control_name(id), known.stop_of(id).unwrap_or_default());
        all.push(known.fill(before::ThrottleAtEnd { control: &control, way: &way }));
    }
    let throttles = listed(in_the_middle.into_iter().map(|id| known.control_name(id)));
    if !throttles.is_empty() {
        all.push(known.fill(before::Throttle { controls: &throttles }));
    }
    let safe = listed((0..known.setup.controls.len()).filter_map(|id| known.quiet_setting(id)));
    if !safe.is_empty() {
        all.push(known.fill(before::Settings { settings: &safe }));
    }
    all.push(known.say(before::TRANSMITTER_FIRST));
    all.push(power_on(known));
    all
}

/// Why the transmitter comes first: a line, or where it can hurt somebody a warning.
fn order(known: &Known<'_>) -> (Option<Part>, Section) {
    let alone = words::power_up(known.labels, &Engine::new(known.setup));
    let does = &alone.moments.join("; ");
    if alone.hurts {
        return (None, Section::signal("warning", known.fill(before::OrderWarning { does })));
    }
    let why = alone.acts.then(|| Part::words(known.fill(before::OrderWhy { does })));
    (why, Section::default())
}

/// How she is switched on, as a line.
fn power_on(known: &Known<'_>) -> String {
    use crate::labels::text::guide::before::power;
    let fittings = &known.setup.fittings;
    match (fittings.power, &fittings.power_at) {
        (Some(Power::Switch), Some(place)) => known.fill(power::Switch { r#where: place }),
        (Some(Power::Switch), None) => known.say(power::SWITCH_BARE),
        (Some(Power::RemoteSwitch), Some(place)) => known.fill(power::Remote { r#where: place }),
        (Some(Power::RemoteSwitch), None) => known.say(power::REMOTE_BARE),
        (Some(Power::Plug), Some(place)) => known.fill(power::Plug { r#where: place }),
        (Some(Power::Plug), None) => known.say(power::PLUG_BARE),
        (None, _) => known.say(power::ANY),
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
    if !known.comes_up_alone() && !known.rests_alone() || known.failed() {
        return Section::default();
    }
    let steps = super::behaviour::lost(known);
    let rows = steps.into_iter().map(|(when, what)| vec![when, what]).collect();
    let table = Part::table(Vec::new(), rows);
    let [intro, after] = match known.gas_alone() {
        true => [before::FAIL_SAFE_GAS, before::FAIL_SAFE_AFTER_GAS],
        false => [before::FAIL_SAFE_INTRO, before::FAIL_SAFE_AFTER],
    };
    let dropped = known.dropped_alone();
    let drops =
        (!dropped.is_empty()).then(|| Part::bold(known.fill(before::FailSafeDrops { works: &dropped })));
    let told = [Part::words(known.say(intro)), table, Part::words(known.say(after))];
    Section::new(known.say(before::FAIL_SAFE), drops.into_iter().chain(told)).whole()
}

/// What burns, scalds or is shot off, where there is any.
fn hot(known: &Known<'_>) -> Section {
    let named = |works: Vec<WorkRef>| listed(works.into_iter().map(|work| known.work_name(work)));
    let heats = named(known.works_that(|kind| kind.heats));
    let fires = named(known.works_that(|kind| kind.fires));
    let mut all = Vec::new();
    if !heats.is_empty() {
        all.push(known.fill(before::Heats { works: &heats }));
    }
    if !fires.is_empty() {
        all.push(known.fill(before::Fires { works: &fires }));
    }
    Section::signals("warning", all)
}
