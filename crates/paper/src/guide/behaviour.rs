//! What the boat does by herself, when, and why.

use super::known::Known;
use super::page::{Chapter, Part, Section};
use crate::labels::text::common;
use crate::labels::text::guide::alone;
use crate::setup::{
    ChannelId, ControlId, Exact, Figure, Input, OnLoss, Others, Side, WithoutPulses, WorkRef,
};
use crate::words::{
    Noise, alarms_afloat, channel_name, listed, moved, noise, plain, seconds, stands_still, stays_open,
    surely_off, when, work_off, work_phrase,
};

pub(super) fn chapter(known: &Known<'_>) -> Chapter {
    let rows = lost(known).into_iter().map(|(when, what)| vec![when, what]).collect();
    let mut why = Vec::new();
    let failed = known.failed().then(|| Part::bold(known.say(alone::FAILED)));
    // An airship that lets water go rises as well, and nobody fetches her from a surface.
    if known.dives() && known.comes_up_alone() && !known.failed() {
        why.push(known.say(alone::WHY_RAISE));
    }
    if known.rests_alone() && !known.failed() {
        why.push(known.say(alone::WHY_STOP));
    }
    if why.is_empty() && known.nothing_acts() {
        why.push(known.say(if known.dives() { alone::WHY_NOTHING } else { alone::WHY_NOTHING_SURFACE }));
    }
    why.push(known.say(alone::AGAIN));
    if known.gas_alone() {
        why.push(known.say(alone::GAS_USED));
    }
    let dropped = known.dropped_alone();
    if !dropped.is_empty() {
        why.push(known.fill(alone::WeightGone { works: &dropped }));
    }
    let lights = known.setup.fittings.lights.iter().map(|l| vec![l.shows.clone(), l.means.clone()]).collect();
    Chapter::new(
        known.say(alone::TITLE),
        [
            Section::new(
                known.say(alone::LOST),
                failed.into_iter().chain([
                    Part::words(known.say(alone::LOST_INTRO)),
                    Part::table(Vec::new(), rows),
                    Part::points(why),
                ]),
            ),
            Section::new(known.say(alone::ALARMS), alarm_parts(known)),
            Section::new(known.say(alone::POWER), power_gone(known)),
            Section::new(known.say(alone::LEVEL), level(known)),
            Section::new(known.say(alone::LIGHTS), [Part::table(Vec::new(), lights)]),
        ],
    )
}

fn alarm_parts(known: &Known<'_>) -> Vec<Part> {
    let mut parts = vec![Part::points(alarms_afloat(known.labels, known.setup))];
    if known.setup.fail_safe.as_ref().is_some_and(|unit| unit.leak || unit.low_battery.is_some()) {
        parts.push(Part::words(known.say(alone::WHY_ALARM)));
        if known.has_bottle() {
            parts.push(Part::words(known.say(alone::ALARM_GAS)));
        }
    }
    parts
}

/// Without power nothing acts, and nothing shuts.
fn power_gone(known: &Known<'_>) -> Vec<Part> {
    let text = if stays_open(known.setup) { alone::POWER_GONE_OPEN } else { alone::POWER_GONE };
    vec![Part::words(known.say(text))]
}

fn level(known: &Known<'_>) -> Vec<Part> {
    let mut lines = Vec::new();
    for (id, unit) in known.levellers() {
        lines.push(match listed(known.behind(id)).as_str() {
            "" => known.say(alone::LEVELLER_BARE),
            what => known.fill(alone::Leveller { what }),
        });
        if let Input::Channel(_) = unit.input
            && let Some(control) = known.driven_by(id)
        {
            let acts = listed(both(control).into_iter().map(|way| known.act(way)));
            lines.push(known.fill(alone::Override { acts: &acts }));
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
    let mut all = vec![(when(labels, &setup.receiver_acts()), at_receiver(known))];
    let Some(unit) = &setup.fail_safe else { return all };
    for (stage, begins) in unit.stages.iter().zip(setup.stages_begin()) {
        let details = listed(doings(known, &stage.set, &setup.engaged_by_stage(stage), true));
        // Where nothing is known of what it does, its name is all there is to say.
        let what = &if details.is_empty() { plain(&stage.name) } else { details };
        let what = match &stage.lasts {
            Some(lasts) => known.fill(alone::Lasts { time: &seconds(labels, &lasts.0), what }),
            None => known.fill(alone::Stays { what }),
        };
        all.push((when(labels, &begins), what));
    }
    all
}

fn at_receiver(known: &Known<'_>) -> String {
    match &known.setup.receiver.on_loss {
        _ if known.setup.lacks(Figure::OnLoss) => known.say(common::loss::NOT_KNOWN),
        OnLoss::NoPulses => {
            let motors = known.motors().map(|(id, motor)| {
                let name = &motor_name(known, id);
                match motor.without_pulses {
                    Some(WithoutPulses::Stops) => known.fill(alone::Stops { name }),
                    _ => known.fill(alone::MayRun { name }),
                }
            });
            listed(
                [known.say(alone::SILENT)].into_iter().chain(motors).chain([known.say(alone::OTHERS_SILENT)]),
            )
        }
        OnLoss::Hold => known.say(alone::HOLD),
        OnLoss::Noise => match noise(known.labels, known.setup) {
            Noise::Nothing => known.say(alone::HOLD),
            Noise::Everything => known.say(alone::NOISE),
            Noise::Some(channels) => known.fill(common::loss::SomeNoise { channels: &channels }),
        },
        OnLoss::Preset { values, others, .. } => {
            let rest = known.say(match others {
                Others::NoPulses => alone::OTHERS_SILENT,
                Others::Hold => alone::OTHERS_HOLD,
                Others::Noise if matches!(noise(known.labels, known.setup), Noise::Nothing) => {
                    alone::OTHERS_HOLD
                }
                Others::Noise => alone::OTHERS_NOISE,
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
            let name = &motor_name(known, id);
            all.push(if stands_still(setup, id, value) {
                known.fill(alone::Stops { name })
            } else if motor.stands_still_at(value) {
                known.fill(alone::MayRun { name })
            } else {
                known.fill(alone::Runs { name })
            });
        }
    }
    for (device, d) in setup.devices.iter().enumerate() {
        let value = set.iter().find(|(c, _)| Input::Channel(*c) == d.input).map(|(_, value)| value);
        let Some(value) = value else { continue };
        for work in (0..d.works.len()).map(|work| WorkRef { device, work }) {
            if !works.contains(&work) && surely_off(setup, work, value, by_unit) {
                all.push(work_off(known.labels, setup, work));
            }
        }
    }
    for (device, d) in setup.devices.iter().enumerate().filter(|(_, d)| !d.kind.runs_a_motor()) {
        let value = set.iter().find(|(c, _)| Input::Channel(*c) == d.input).map(|(_, value)| value);
        all.extend(value.and_then(|value| moved(known.labels, setup, device, value, by_unit)));
    }
    all
}
