//! Diving and surfacing with the limits; for a boat that stays on the water, how to sail her.

use super::known::Known;
use super::page::{Chapter, Part, Section};
use crate::document::words::{Dives, dives, seconds, within_reach};
use crate::setup::{Emptier, Pump, Snorkel, Water};

pub(super) fn chapter(known: &Known<'_>) -> Chapter {
    if !known.dives() {
        return sailing(known);
    }
    let say = |key: &str| known.say(&format!("guide.diving.{key}"));
    Chapter::new(
        say("title"),
        [
            Section::plain([Part::words(say("intro"))]),
            Section::new(say("how"), [Part::points(how(known))]),
            Section::new(say("down"), [Part::steps(down(known))]).whole(),
            Section::new(say("up"), [Part::steps(up(known))]).whole(),
            Section::new(say("limits"), [Part::points(limits(known))]).whole(),
            Section::new(say("snorkel"), [Part::points(snorkel(known))]).whole(),
        ],
    )
}

fn how(known: &Known<'_>) -> Vec<String> {
    let mut all = Vec::new();
    for (works, key) in [(known.sinkers(), "guide.diving.sinks"), (known.raisers(), "guide.diving.raises")] {
        for work in works {
            if let Some(act) = known.act_of(&known.worked_by(work)) {
                all.push(known.fill(key, &[("work", &known.work_name(work)), ("act", &act)]));
            }
        }
    }
    if known.sinkers().is_empty() && known.setup.boat.floats_when_stopped {
        all.push(known.say("guide.diving.dynamic"));
    }
    if let (Some(up), Some(down)) = (rises(known), dips(known)) {
        all.push(known.fill("guide.diving.planes", &[("up", &up), ("down", &down)]));
    }
    let out_of_reach = !known.draft && within_reach(known.labels, known.setup).is_empty();
    for work in known.gas() {
        let key = if out_of_reach && known.worked_by(work).is_empty() && known.gas_alone() {
            "guide.diving.gas"
        } else {
            "guide.diving.gas_yours"
        };
        all.push(known.say(key));
    }
    all
}

fn rises(known: &Known<'_>) -> Option<String> {
    known.act_of(&known.ways_that(&["bow rises", "stern dips"]))
}

fn dips(known: &Known<'_>) -> Option<String> {
    known.act_of(&known.ways_that(&["bow dips", "stern rises"]))
}

fn down(known: &Known<'_>) -> Vec<String> {
    let fill = |key: &str, act: &str| known.fill(&format!("guide.diving.{key}"), &[("act", act)]);
    let mut all = vec![known.say("guide.diving.stop")];
    for work in known.sinkers() {
        all.extend(known.act_of(&known.worked_by(work)).map(|act| fill("take_weight", &act)));
    }
    if known.motors().next().is_some() {
        all.push(known.say("guide.diving.ahead"));
    }
    all.extend(dips(known).map(|act| fill("dip", &act)));
    all
}

fn up(known: &Known<'_>) -> Vec<String> {
    let fill = |key: &str, act: &str| known.fill(&format!("guide.diving.{key}"), &[("act", act)]);
    let mut all = Vec::new();
    if dips(known).is_some() {
        all.push(known.say("guide.diving.stop_diving"));
    }
    all.extend(rises(known).map(|act| fill("rise", &act)));
    for work in known.raisers() {
        all.extend(known.act_of(&known.worked_by(work)).map(|act| fill("empty", &act)));
    }
    all.push(known.say("guide.diving.full_stop"));
    all
}

fn limits(known: &Known<'_>) -> Vec<String> {
    let say = |key: &str| known.say(&format!("guide.diving.{key}"));
    let depth = known.setup.boat.depth_limit.as_ref().map(|d| known.units.depth(d, known.labels));
    let mut all =
        vec![depth.map_or_else(
            || say("depth_none"),
            |depth| known.fill("guide.diving.depth", &[("depth", &depth)]),
        )];
    match dives(known.setup, None) {
        Dives::ToTheLimit => {}
        Dives::EndAt(end) => {
            let depth = known.units.depth(&end, known.labels);
            all.push(known.fill("guide.diving.dives_end", &[("depth", &depth)]));
        }
        Dives::Never => all.push(say("dives_never")),
    }
    all.extend([
        say(match known.setup.boat.water {
            Water::Fresh => "fresh",
            Water::Sea => "sea",
        }),
        say("sight"),
        say("reserve"),
    ]);
    all.extend(duties(known));
    all
}

/// How long each pump may run, where that has an end.
fn duties(known: &Known<'_>) -> impl Iterator<Item = String> {
    known.setup.tank.emptied_by.iter().filter_map(|(work, emptier)| {
        let Emptier::Pump(Pump { duty: Some(duty), .. }) = emptier else { return None };
        let (name, time) = (known.work_name(*work), seconds(known.labels, &duty.0));
        Some(known.fill("guide.diving.duty", &[("work", &name), ("time", &time)]))
    })
}

fn snorkel(known: &Known<'_>) -> Vec<String> {
    let say = |key: &str| known.say(&format!("guide.diving.{key}"));
    let Some(Snorkel { float_valve }) = known.setup.fittings.snorkel else { return Vec::new() };
    let mut pumps = known.setup.tank.emptied_by.iter().filter_map(|(_, emptier)| match emptier {
        Emptier::Pump(pump) => Some(known.setup.through_snorkel(pump)),
        Emptier::Gas(_) => None,
    });
    // The first that breathes through the snorkel makes it a matter of where its head is.
    let from_hull = pumps.clone().next().is_some() && !pumps.any(|through_snorkel| through_snorkel);
    let used = if from_hull { "snorkel_hull" } else { "snorkel_use" };
    vec![say(used), say(if float_valve { "snorkel_float" } else { "snorkel_open" })]
}

fn sailing(known: &Known<'_>) -> Chapter {
    let say = |key: &str| known.say(&format!("guide.sailing.{key}"));
    let mut all = vec![say("near"), say("start")];
    let astern = known.act_of(&known.ways_that(&["drives astern"]));
    all.extend(astern.map(|act| known.fill("guide.sailing.stop", &[("act", &act)])));
    all.push(say("reserve"));
    let parts = [Part::words(say("intro")), Part::points(all)];
    Chapter::new(say("title"), [Section::plain(parts).whole()])
}
