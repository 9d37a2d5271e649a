//! Diving and surfacing with the limits; for a boat that stays on the water, how to sail her.

use super::known::Known;
use super::page::{Chapter, Part, Section};
use crate::labels::text::guide::diving;
use crate::labels::text::guide::sailing;
use crate::rehearsal::{Cause, Start, rehearse};
use crate::setup::{Emptier, Pump, Snorkel, Water, WorkRef};
use crate::words::{Dives, channel_name, dives, plain, seconds, within_reach};

pub(super) fn chapter(known: &Known<'_>) -> Chapter {
    if !known.dives() {
        return sailing(known);
    }
    Chapter::new(
        known.say(diving::TITLE),
        [
            Section::plain([Part::words(known.say(diving::INTRO))]),
            Section::new(known.say(diving::HOW), [Part::points(how(known))]),
            Section::new(known.say(diving::DOWN), [Part::steps(down(known))]).whole(),
            Section::new(known.say(diving::UP), [Part::steps(up(known))]).whole(),
            Section::new(known.say(diving::LIMITS), [Part::points(limits(known))]).whole(),
            Section::new(known.say(diving::SNORKEL), [Part::points(snorkel(known))]).whole(),
        ],
    )
}

fn how(known: &Known<'_>) -> Vec<String> {
    let mut all = Vec::new();
    let by_hand = |work: WorkRef| Some((known.work_name(work), known.act_of(&known.worked_by(work))?));
    let sinks = known.sinkers().into_iter().filter_map(by_hand);
    all.extend(sinks.map(|(work, act)| known.fill(diving::Sinks { work: &work, act: &act })));
    let raises = known.raisers().into_iter().filter_map(by_hand);
    all.extend(raises.map(|(work, act)| known.fill(diving::Raises { work: &work, act: &act })));
    let fills = water(known, "fills").into_iter();
    all.extend(fills.map(|(work, act)| known.fill(diving::Sinks { work: &work, act: &act })));
    let empties = water(known, "empties").into_iter();
    all.extend(empties.map(|(work, act)| known.fill(diving::Raises { work: &work, act: &act })));
    if known.sinkers().is_empty() && known.setup.boat.floats_when_stopped {
        all.push(known.say(diving::DYNAMIC));
    }
    if let (Some(up), Some(down)) = (rises(known), dips(known)) {
        all.push(known.fill(diving::Planes { up: &up, down: &down }));
    }
    let out_of_reach = !known.draft && within_reach(known.labels, known.setup).is_empty();
    for work in known.gas() {
        let key = if out_of_reach && known.worked_by(work).is_empty() && known.gas_alone() {
            diving::GAS
        } else {
            diving::GAS_YOURS
        };
        all.push(known.say(key));
    }
    all
}

/// What fills or empties her by its own travel and not by a work, and the hand that moves it so.
fn water(known: &Known<'_>, word: &str) -> Option<(String, String)> {
    let setup = known.setup;
    let does = |d: &crate::setup::Device| {
        [-1, 1].iter().any(|sign| d.effects_on(*sign).any(|effect| setup.effect_words(effect) == word))
    };
    let device = setup.devices.iter().position(does)?;
    let channel = setup.channel_of(device).map(|c| channel_name(known.labels, &setup.channels[c]));
    let name = channel.unwrap_or_else(|| plain(&setup.devices[device].name));
    Some((name, known.act_of(&known.ways_that(&[word]))?))
}

fn rises(known: &Known<'_>) -> Option<String> {
    known.act_of(&known.ways_that(&["bow rises", "stern dips"]))
}

fn dips(known: &Known<'_>) -> Option<String> {
    known.act_of(&known.ways_that(&["bow dips", "stern rises"]))
}

fn down(known: &Known<'_>) -> Vec<String> {
    let mut all = vec![known.say(diving::STOP)];
    for work in known.sinkers() {
        all.extend(
            known.act_of(&known.worked_by(work)).map(|act| known.fill(diving::TakeWeight { act: &act })),
        );
    }
    all.extend(water(known, "fills").map(|(_, act)| known.fill(diving::Fill { act: &act })));
    if known.motors().next().is_some() {
        all.push(known.say(diving::AHEAD));
    }
    all.extend(dips(known).map(|act| known.fill(diving::Dip { act: &act })));
    all
}

fn up(known: &Known<'_>) -> Vec<String> {
    let mut all = Vec::new();
    if dips(known).is_some() {
        all.push(known.say(diving::STOP_DIVING));
    }
    all.extend(rises(known).map(|act| known.fill(diving::Rise { act: &act })));
    for work in known.raisers() {
        all.extend(known.act_of(&known.worked_by(work)).map(|act| known.fill(diving::Empty { act: &act })));
    }
    all.extend(water(known, "empties").map(|(_, act)| known.fill(diving::Empty { act: &act })));
    all.push(known.say(diving::FULL_STOP));
    all
}

fn limits(known: &Known<'_>) -> Vec<String> {
    let depth = known.setup.boat.depth_limit.as_ref().map(|d| known.units.depth(d, known.labels));
    let mut all =
        vec![depth.map_or_else(
            || known.say(diving::DEPTH_NONE),
            |depth| known.fill(diving::Depth { depth: &depth }),
        )];
    let lost = rehearse(known.setup, Cause::Loss, &Start::default());
    match dives(known.setup, Some(&lost)) {
        Dives::ToTheLimit => {}
        Dives::EndAt(end) => {
            let depth = known.units.depth(&end, known.labels);
            all.push(known.fill(diving::DivesEnd { depth: &depth }));
        }
        Dives::Never => all.push(known.say(diving::DIVES_NEVER)),
    }
    all.extend([
        known.say(match known.setup.boat.water {
            Water::Fresh => diving::FRESH,
            Water::Brackish => diving::BRACKISH,
            Water::Sea => diving::SEA,
        }),
        known.say(diving::SIGHT),
        known.say(diving::RESERVE),
    ]);
    all.extend(breath(known, lost.blows));
    all.extend(duties(known));
    all
}

/// When she has to come up and breathe, if she blows with the air in her hull.
fn breath(known: &Known<'_>, blows: Option<u32>) -> Option<String> {
    let from_hull = known.setup.pumps().any(|(_, pump)| !known.setup.through_snorkel(pump));
    Some(match blows {
        None if from_hull => known.say(diving::BREATH_UNKNOWN),
        None => return None,
        Some(0) => known.say(diving::BREATH_NONE),
        Some(1) => known.say(diving::BREATH_ONE),
        Some(blows) => {
            let [count, before] = [blows, blows - 1].map(|n| n.to_string());
            known.fill(diving::Breaths { before: &before, count: &count })
        }
    })
}

/// How long each pump may run, where that has an end.
fn duties(known: &Known<'_>) -> impl Iterator<Item = String> {
    known.setup.tank.emptied_by.iter().filter_map(|(work, emptier)| {
        let Emptier::Pump(Pump { duty: Some(duty), .. }) = emptier else { return None };
        let (name, time) = (known.work_name(*work), seconds(known.labels, &duty.0));
        Some(known.fill(diving::Duty { work: &name, time: &time }))
    })
}

fn snorkel(known: &Known<'_>) -> Vec<String> {
    let Some(Snorkel { float_valve }) = known.setup.fittings.snorkel else { return Vec::new() };
    let mut pumps = known.setup.tank.emptied_by.iter().filter_map(|(_, emptier)| match emptier {
        Emptier::Pump(pump) => Some(known.setup.through_snorkel(pump)),
        Emptier::Gas(_) => None,
    });
    // The first that breathes through the snorkel makes it a matter of where its head is.
    let from_hull = pumps.clone().next().is_some() && !pumps.any(|through_snorkel| through_snorkel);
    let used = if from_hull { diving::SNORKEL_HULL } else { diving::SNORKEL_USE };
    vec![known.say(used), known.say(if float_valve { diving::SNORKEL_FLOAT } else { diving::SNORKEL_OPEN })]
}

fn sailing(known: &Known<'_>) -> Chapter {
    let mut all = vec![known.say(sailing::NEAR), known.say(sailing::START)];
    let astern = known.act_of(&known.ways_that(&["drives astern"]));
    all.extend(astern.map(|act| known.fill(sailing::Stop { act: &act })));
    all.push(known.say(sailing::RESERVE));
    let parts = [Part::words(known.say(sailing::INTRO)), Part::points(all)];
    Chapter::new(known.say(sailing::TITLE), [Section::plain(parts).whole()])
}
