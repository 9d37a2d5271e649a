//! What was checked and what was not; the page of settings; whom to ask.

use super::known::Known;
use super::page::{Chapter, Part, Section};
use crate::document::Job;
use crate::document::words::{finer, listed, place, plain, sentence};
use crate::physics::units as physics;
use crate::rule::{acceptance, radio_estimate};
use crate::setup::quantity::Metres;
use crate::setup::{Acceptance, Channel, Exact, Water};

pub(super) fn checked(known: &Known<'_>, job: &Job<'_>) -> Chapter {
    let say = |key: &str| known.say(&format!("guide.limits.{key}"));
    let yes = match (known.draft, known.setup.accept.is_empty()) {
        (true, _) => Part::bold(say("yes_draft")),
        (false, true) => Part::words(say("yes_text")),
        (false, false) => Part::words(say("yes_text_accepted")),
    };
    let accepted = known.setup.accept.iter().map(|a| lived_with(known, job, a));
    let mut no = vec![say("no_figures")];
    if known.dives() {
        no.push(say("no_hull"));
    }
    if known.has_bottle() {
        no.push(say("no_gas"));
    }
    no.push(radio(known).unwrap_or_else(|| say("no_radio")));
    if known.dives() {
        no.push(say("no_weed"));
    }
    let sections = [
        Section::new(say("yes"), [yes]),
        Section::new(say("accepted"), [Part::points(accepted)]),
        Section::new(say("no"), [Part::points(no), Part::bold(say("decides"))]).whole(),
    ];
    Chapter::new(say("title"), sections)
}

/// How deep the radio may reach, where the file states her link's margin and her aerial goes under.
fn radio(known: &Known<'_>) -> Option<String> {
    let setup = known.setup;
    if !known.dives() || setup.boat.aerial_floats {
        return None;
    }
    let estimate = radio_estimate::depth(setup)?;
    let depth = |metres: physics::Metres| {
        let metres = Exact::from_f64(metres.0).unwrap_or(Exact::ZERO);
        known.units.depth(&Metres(metres), known.labels)
    };
    let margin = setup.transmitter.margin.as_ref()?.value.0.to_decimal(0);
    let water = match (setup.boat.water, &setup.boat.conductivity) {
        (Water::Fresh, Some(_)) => "radio_pond",
        (Water::Fresh, None) => "radio_pond_assumed",
        (Water::Sea, _) => "radio_sea",
    };
    let (low, high) = (depth(estimate.ends.low), depth(estimate.ends.high));
    let (depth, water) = (depth(estimate.middle), known.say(&format!("guide.limits.{water}")));
    let margin = known.fill("guide.limits.decibels", &[("number", &margin)]);
    let values = [("depth", &depth), ("low", &low), ("high", &high), ("margin", &margin), ("water", &water)];
    Some(known.fill("guide.limits.radio_depth", &values.map(|(key, value)| (key, value.as_str()))))
}

/// What was found and why it stays so; only the place where nothing of the kind is found any more.
fn lived_with(known: &Known<'_>, job: &Job<'_>, accepted: &Acceptance) -> String {
    let mut found = job.findings.iter().filter(|f| f.accepted.is_some());
    let what = match found.find(|f| acceptance::matches(accepted, f)) {
        Some(finding) => sentence(known.labels, known.setup, finding),
        None => place(known.labels, known.setup, &accepted.about),
    };
    known.fill("guide.limits.accepted_point", &[("what", &what), ("because", &accepted.because)])
}

pub(super) fn settings(known: &Known<'_>, job: &Job<'_>) -> Chapter {
    let say = |key: &str| known.say(&format!("guide.settings.{key}"));
    let intro = if known.draft { "guide.settings.intro_draft" } else { "guide.settings.intro" };
    let intro = known.fill(intro, &[("code", &job.code.to_string())]);
    let spare = known.setup.channels.iter().filter(|channel| channel.spare);
    let spare = listed(spare.map(|channel| channel.number.to_string()));
    let spare = match spare.as_str() {
        "" => String::new(),
        channels => known.fill("guide.settings.spare", &[("channels", channels)]),
    };
    let unknown = known.setup.channels.iter().any(|channel| channel.reverse.is_none());
    let unknown = if unknown { say("reverse_unknown") } else { String::new() };
    let also: Vec<String> = known.setup.channels.iter().filter_map(|c| shaped(known, c)).collect();
    let table = [Part::settings(), Part::words(unknown), Part::words(spare), Part::bold(say("note"))];
    Chapter::new(
        say("title"),
        [
            Section::plain([Part::words(intro)]),
            Section::plain(table).whole(),
            Section::new(say("also"), [Part::points(also)]),
        ],
    )
}

/// What else is set on a channel than its ends.
fn shaped(known: &Known<'_>, channel: &Channel) -> Option<String> {
    let finer = finer(known.labels, known.setup, channel);
    let number = channel.number.to_string();
    let name = channel.name.as_deref().map_or_else(String::new, plain);
    let said = [("number", number.as_str()), ("name", &name), ("settings", &listed(finer.clone()))];
    let key = if name.is_empty() { "guide.settings.shaped_bare" } else { "guide.settings.shaped" };
    (!finer.is_empty()).then(|| known.fill(key, &said))
}

/// `lines` are the workshop's own.
pub(super) fn ask(known: &Known<'_>, job: &Job<'_>, lines: &[String]) -> Chapter {
    let say = |key: &str| known.say(&format!("guide.ask.{key}"));
    let said = [&known.setup.boat.workshop, &known.setup.owner.contact];
    let lines: Vec<String> =
        lines.iter().filter(|line| !said.contains(&&Some((*line).clone()))).cloned().collect();
    let who = listed(said.into_iter().flatten().cloned());
    let who = if who.is_empty() && lines.is_empty() { Part::words(say("nobody")) } else { Part::loud(who) };
    let boat = &known.setup.boat;
    let code = if boat.revision.is_some() || boat.date.is_some() { "code" } else { "code_only" };
    let code = known.fill(&format!("guide.ask.{code}"), &[("code", &job.code.to_string())]);
    let have = [code, say("what"), say("changed"), say("quiet")];
    let parts = [who, Part::bold(lines.join("\n")), Part::words(say("have")), Part::points(have)];
    Chapter::new(say("title"), [Section::plain(parts).whole()])
}
