//! What the boat does by herself, when, and why.

use super::known::Known;
use super::page::{Chapter, Part, Section};
use crate::document::words::{alarms, amount, channel_name, listed, plain, seconds, work_off, work_phrase};
use crate::setup::{ChannelId, ControlId, Exact, Input, OnLoss, Others, Side, WithoutPulses, WorkRef};

pub(super) fn chapter(known: &Known<'_>) -> Chapter {
    let say = |key: &str| known.say(&format!("guide.alone.{key}"));
    let rows = lost(known).into_iter().map(|(when, what)| vec![when, what]).collect();
    let mut why = Vec::new();
    if known.comes_up_alone() {
        why.push(say("why_raise"));
    }
    if known.motors_stop() {
        why.push(say("why_stop"));
    }
    if why.is_empty() && known.nothing_acts() {
        why.push(say(if known.dives() { "why_nothing" } else { "why_nothing_surface" }));
    }
    why.push(say("again"));
    if known.gas_alone() {
        why.push(say("gas_used"));
    }
    let lights = known.setup.fittings.lights.iter().map(|l| vec![l.shows.clone(), l.means.clone()]).collect();
    Chapter::new(
        say("title"),
        [
            Section::new(
                say("lost"),
                [Part::words(say("lost_intro")), Part::table(Vec::new(), rows), Part::points(why)],
            ),
            Section::new(say("alarms"), alarm_parts(known)),
            Section::new(say("level"), level(known)),
            Section::new(say("lights"), [Part::table(Vec::new(), lights)]),
        ],
    )
}

fn alarm_parts(known: &Known<'_>) -> Vec<Part> {
    let line = |step: crate::document::words::Step| match step.when.as_str() {
        "" => step.what,
        when => known.fill("guide.alone.alarm_whole", &[("when", when), ("what", &step.what)]),
    };
    let lines = alarms(known.labels, known.setup).into_iter().map(line);
    let mut parts = vec![Part::points(lines)];
    if known.setup.fail_safe.as_ref().is_some_and(|unit| unit.leak || unit.low_battery.is_some()) {
        parts.push(Part::words(known.say("guide.alone.why_alarm")));
        if known.has_bottle() {
            parts.push(Part::words(known.say("guide.alone.alarm_gas")));
        }
    }
    parts
}

fn level(known: &Known<'_>) -> Vec<Part> {
    let mut lines = Vec::new();
    for (id, unit) in known.levellers() {
        lines.push(match listed(known.behind(id)).as_str() {
            "" => known.say("guide.alone.leveller_bare"),
            what => known.fill("guide.alone.leveller", &[("what", what)]),
        });
        if let Input::Channel(_) = unit.input
            && let Some(control) = known.driven_by(id)
        {
            let acts = listed(both(control).into_iter().map(|way| known.act(way)));
            lines.push(known.fill("guide.alone.override", &[("acts", &acts)]));
        }
    }
    vec![Part::points(lines)]
}

fn both(control: ControlId) -> [(ControlId, Side); 2] {
    Side::BOTH.map(|side| (control, side))
}

/// When something happens after a lost signal, and what, in plain words.
pub(super) fn lost(known: &Known<'_>) -> Vec<(String, String)> {
    let (labels, setup) = (known.labels, known.setup);
    let after = |clock: &Exact| known.fill("common.loss.after", &[("time", &seconds(labels, clock))]);
    let mut clock = amount(setup.receiver.after.as_ref());
    let when = if clock.is_zero() { known.say("common.loss.at_once") } else { after(&clock) };
    let mut all = vec![(when, at_receiver(known))];
    let Some(unit) = &setup.fail_safe else { return all };
    clock += amount(unit.wait.as_ref());
    for stage in &unit.stages {
        let name = plain(&stage.name);
        let head = match &stage.lasts {
            Some(lasts) => {
                let said = [("stage", name.as_str()), ("time", &seconds(labels, &lasts.0))];
                known.fill("common.loss.lasts", &said)
            }
            None => known.fill("common.loss.stays", &[("stage", &name)]),
        };
        let details = listed(doings(known, &stage.set, &setup.engaged_by_stage(stage), true));
        let what = match details.as_str() {
            "" => head,
            details => known.fill("common.loss.details", &[("stage", &head), ("details", details)]),
        };
        all.push((after(&clock), what));
        clock += amount(stage.lasts.as_ref());
    }
    all
}

fn at_receiver(known: &Known<'_>) -> String {
    let say = |key: &str| known.say(&format!("guide.alone.{key}"));
    match &known.setup.receiver.on_loss {
        OnLoss::NoPulses => {
            let motors = known.motors().map(|(id, motor)| {
                let key = match motor.without_pulses {
                    Some(WithoutPulses::Stops) => "guide.alone.stops",
                    _ => "guide.alone.may_run",
                };
                known.fill(key, &[("name", &motor_name(known, id))])
            });
            listed([say("silent")].into_iter().chain(motors).chain([say("others_silent")]))
        }
        OnLoss::Hold => say("hold"),
        OnLoss::Noise => say("noise"),
        OnLoss::Preset { values, others, .. } => {
            let rest = say(match others {
                Others::NoPulses => "others_silent",
                Others::Hold => "others_hold",
                Others::Noise => "others_noise",
            });
            let all_set = values.len() == known.setup.channels.len();
            let rest = (!all_set).then_some(rest);
            let works = known.setup.engaged_by_preset();
            listed(doings(known, values, &works, false).into_iter().chain(rest))
        }
    }
}

fn motor_name(known: &Known<'_>, device: usize) -> String {
    let channel = known.setup.channel_of(device).map(|c| &known.setup.channels[c]);
    let own = || plain(&known.setup.devices[device].name);
    channel.map_or_else(own, |channel| channel_name(known.labels, channel))
}

/// What set positions do: works engaged, motors, and works that are surely off.
fn doings(known: &Known<'_>, set: &[(ChannelId, Exact)], works: &[WorkRef], by_unit: bool) -> Vec<String> {
    let setup = known.setup;
    let mut all: Vec<String> = works.iter().map(|w| work_phrase(known.labels, setup, *w)).collect();
    for (id, motor) in known.motors() {
        let value = set.iter().find(|(c, _)| Some(*c) == setup.channel_of(id)).map(|(_, value)| value);
        if let Some(value) = value {
            let key = if motor.stands_still_at(value) { "guide.alone.stops" } else { "guide.alone.runs" };
            all.push(known.fill(key, &[("name", &motor_name(known, id))]));
        }
    }
    for (device, d) in setup.devices.iter().enumerate() {
        let value = set.iter().find(|(c, _)| Input::Channel(*c) == d.input).map(|(_, value)| value);
        let Some(value) = value else { continue };
        for work in (0..d.works.len()).map(|work| WorkRef { device, work }) {
            if !works.contains(&work) && setup.surely_off(work, value, by_unit) {
                all.push(work_off(known.labels, setup, work));
            }
        }
    }
    all
}
