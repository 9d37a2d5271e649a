//! What was checked and what was not; the page of settings; whom to ask.

use super::known::Known;
use super::page::{Chapter, Part, Section};
use crate::document::Job;
use crate::document::words::listed;

pub(super) fn checked(known: &Known<'_>) -> Chapter {
    let say = |key: &str| known.say(&format!("guide.limits.{key}"));
    let yes = match (known.draft, known.setup.accept.is_empty()) {
        (true, _) => Part::bold(say("yes_draft")),
        (false, true) => Part::words(say("yes_text")),
        (false, false) => Part::words(say("yes_text_accepted")),
    };
    let accepted = known.setup.accept.iter().map(|a| format!("{}: {}", a.about, a.because));
    let mut no = vec![say("no_figures")];
    if known.dives() {
        no.push(say("no_hull"));
    }
    if !known.gas().is_empty() {
        no.push(say("no_gas"));
    }
    no.push(say("no_radio"));
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

pub(super) fn settings(known: &Known<'_>, job: &Job<'_>) -> Chapter {
    let say = |key: &str| known.say(&format!("guide.settings.{key}"));
    let intro = if known.draft { "guide.settings.intro_draft" } else { "guide.settings.intro" };
    let intro = known.fill(intro, &[("code", &job.code.to_string())]);
    let idle = |id: &usize| {
        !known.setup.devices.iter().enumerate().any(|(d, _)| known.setup.channel_of(d) == Some(*id))
    };
    let spare = (0..known.setup.channels.len()).filter(idle);
    let spare = listed(spare.map(|id| known.setup.channels[id].number.to_string()));
    let spare = match spare.as_str() {
        "" => String::new(),
        channels => known.fill("guide.settings.spare", &[("channels", channels)]),
    };
    let parts = [Part::words(intro), Part::settings(), Part::words(spare), Part::bold(say("note"))];
    Chapter::new(say("title"), [Section::plain(parts)])
}

pub(super) fn ask(known: &Known<'_>, job: &Job<'_>) -> Chapter {
    let say = |key: &str| known.say(&format!("guide.ask.{key}"));
    let who = [&known.setup.boat.workshop, &known.setup.owner.contact].into_iter().flatten().cloned();
    let who = listed(who);
    let who = if who.is_empty() { Part::words(say("nobody")) } else { Part::loud(who) };
    let boat = &known.setup.boat;
    let code = if boat.revision.is_some() || boat.date.is_some() { "code" } else { "code_only" };
    let code = known.fill(&format!("guide.ask.{code}"), &[("code", &job.code.to_string())]);
    let have = [code, say("what"), say("changed"), say("quiet")];
    let parts = [who, Part::words(say("have")), Part::points(have)];
    Chapter::new(say("title"), [Section::plain(parts).whole()])
}
