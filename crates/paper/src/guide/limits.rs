//! What was checked and what was not; the page of settings; whom to ask.

use super::known::Known;
use super::page::{Chapter, Part, Section};
use crate::Job;
use crate::labels::text::guide::ask;
use crate::labels::text::guide::limits;
use crate::labels::text::guide::settings;
use crate::physics::units as physics;
use crate::rule::{acceptance, radio_estimate};
use crate::setup::quantity::Metres;
use crate::setup::{Acceptance, Channel, Exact, Water};
use crate::words::{finer, listed, plain, sentence};

pub(super) fn checked(known: &Known<'_>, job: &Job<'_>) -> Chapter {
    let open = known.provisional.to_string();
    let yes = match (known.draft, known.provisional, known.setup.accept.is_empty()) {
        (true, ..) => Part::bold(known.say(limits::YES_DRAFT)),
        (false, 1.., _) => Part::bold(known.fill(limits::YesProvisional { open: &open })),
        (false, 0, true) => Part::words(known.say(limits::YES_TEXT)),
        (false, 0, false) => Part::words(known.say(limits::YES_TEXT_ACCEPTED)),
    };
    let accepted = known.setup.accept.iter().map(|a| lived_with(known, job, a));
    let mut no = vec![known.say(limits::NO_FIGURES)];
    if known.dives() {
        no.push(known.say(limits::NO_HULL));
    }
    if known.has_bottle() {
        no.push(known.say(limits::NO_GAS));
    }
    no.push(radio(known).unwrap_or_else(|| known.say(limits::NO_RADIO)));
    if known.dives() {
        no.push(known.say(limits::NO_WEED));
    }
    let sections = [
        Section::new(known.say(limits::YES), [yes]),
        Section::new(known.say(limits::ACCEPTED), [Part::points(accepted)]),
        Section::new(known.say(limits::NO), [Part::points(no), Part::bold(known.say(limits::DECIDES))])
            .whole(),
    ];
    Chapter::new(known.say(limits::TITLE), sections)
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
        (Water::Fresh, Some(_)) => limits::RADIO_POND,
        (Water::Fresh, None) => limits::RADIO_POND_ASSUMED,
        (Water::Brackish, Some(_)) => limits::RADIO_BRACKISH_MEASURED,
        (Water::Brackish, None) => limits::RADIO_BRACKISH,
        (Water::Sea, _) => limits::RADIO_SEA,
    };
    let (low, high) = (depth(estimate.ends.low), depth(estimate.ends.high));
    let (depth, water) = (depth(estimate.middle), known.say(water));
    let margin = known.fill(limits::Decibels { number: &margin });
    Some(known.fill(limits::RadioDepth {
        depth: &depth,
        low: &low,
        high: &high,
        margin: &margin,
        water: &water,
    }))
}

/// What was found and why it stays so; only the place where nothing of the kind is found any more.
fn lived_with(known: &Known<'_>, job: &Job<'_>, accepted: &Acceptance) -> String {
    let mut found = job.findings.iter().filter(|f| f.accepted.is_some());
    let what = match found.find(|f| acceptance::matches(accepted, f)) {
        Some(finding) => sentence(known.labels, known.setup, finding),
        None => plain(&accepted.about),
    };
    known.fill(limits::AcceptedPoint { what: &what, because: &accepted.because })
}

pub(super) fn settings(known: &Known<'_>, job: &Job<'_>) -> Chapter {
    let code = &job.code.to_string();
    let intro = if known.draft {
        known.fill(settings::IntroDraft { code })
    } else if known.provisional > 0 {
        known.fill(settings::IntroProvisional { code })
    } else {
        known.fill(settings::Intro { code })
    };
    let channels = known.setup.channels.iter().enumerate();
    let spare = channels.filter(|(id, c)| c.spare && known.setup.devices_on(*id).next().is_none());
    let spare = listed(spare.map(|(_, channel)| channel.number.to_string()));
    let spare = match spare.as_str() {
        "" => String::new(),
        channels => known.fill(settings::Spare { channels }),
    };
    let unknown = known.setup.channels.iter().any(|channel| channel.reverse.is_none());
    let unknown = if unknown { known.say(settings::REVERSE_UNKNOWN) } else { String::new() };
    let also: Vec<String> = known.setup.channels.iter().filter_map(|c| shaped(known, c)).collect();
    let table =
        [Part::settings(), Part::words(unknown), Part::words(spare), Part::bold(known.say(settings::NOTE))];
    Chapter::new(
        known.say(settings::TITLE),
        [
            Section::plain([Part::words(intro)]),
            Section::plain(table).whole(),
            Section::new(known.say(settings::ALSO), [Part::points(also)]),
        ],
    )
}

/// What else is set on a channel than its ends.
fn shaped(known: &Known<'_>, channel: &Channel) -> Option<String> {
    let finer = finer(known.labels, known.setup, channel);
    if finer.is_empty() {
        return None;
    }
    let (number, settings) = (&channel.number.to_string(), &listed(finer));
    Some(match channel.name.as_deref() {
        Some(name) => known.fill(settings::Shaped { number, name: &plain(name), settings }),
        None => known.fill(settings::ShapedBare { number, settings }),
    })
}

/// `lines` are the workshop's own.
pub(super) fn ask(known: &Known<'_>, job: &Job<'_>, lines: &[String]) -> Chapter {
    let said = [&known.setup.boat.workshop, &known.setup.owner.contact];
    let lines: Vec<String> =
        lines.iter().filter(|line| !said.contains(&&Some((*line).clone()))).cloned().collect();
    let who = listed(said.into_iter().flatten().cloned());
    let who = if who.is_empty() && lines.is_empty() {
        Part::words(known.say(ask::NOBODY))
    } else {
        Part::loud(who)
    };
    let boat = &known.setup.boat;
    let code = &job.code.to_string();
    let code = if boat.revision.is_some() || boat.date.is_some() {
        known.fill(ask::Code { code })
    } else {
        known.fill(ask::CodeOnly { code })
    };
    let have = [code, known.say(ask::WHAT), known.say(ask::CHANGED), known.say(ask::QUIET)];
    let parts = [who, Part::bold(lines.join("\n")), Part::words(known.say(ask::HAVE)), Part::points(have)];
    Chapter::new(known.say(ask::TITLE), [Section::plain(parts).whole()])
}
