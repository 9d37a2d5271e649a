//! What she does by herself: on lost signal, low battery, leak.

use serde::Serialize;

use super::{FIXED, Labels, channel_name, listed, plain, signed, work_phrase};
use crate::labels::text::common;
use crate::setup::quantity::Seconds;
use crate::setup::{Device, Exact, Input, OnLoss, Others, Setup, Stage, WithoutPulses};

/// A moment and what happens then.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Step {
    /// When.
    pub(crate) when: String,
    /// What.
    pub(crate) what: String,
    /// The same without positions and what the pilot keeps, where there is little room.
    pub(crate) brief: String,
}

fn step(when: impl Into<String>, what: impl Into<String>) -> Step {
    let what = what.into();
    Step { when: when.into(), brief: what.clone(), what }
}

/// `4 s`
pub(crate) fn seconds(labels: &Labels, value: &Exact) -> String {
    labels.fill(common::Seconds { number: &labels.decimal(&value.to_decimal(Seconds::PLACES)) })
}

/// A time that may not have been given, in seconds.
pub(crate) fn amount(time: Option<&Seconds>) -> Exact {
    time.map_or(Exact::ZERO, |s| s.0.clone())
}

/// The positions set: `motor stops`, `rudder 0 %`.
fn sets(labels: &Labels, setup: &Setup, values: &[(usize, Exact)]) -> String {
    listed(values.iter().map(|(id, value)| {
        let name = channel_name(labels, &setup.channels[*id]);
        let still =
            |d: &Device| d.input == Input::Channel(*id) && d.kind.runs_a_motor() && d.stands_still_at(value);
        if setup.devices.iter().any(still) {
            return labels.fill(common::loss::MotorStill { name: &name });
        }
        format!("{name}{FIXED}{}", signed(labels, value))
    }))
}

fn stage_step(labels: &Labels, setup: &Setup, when: String, stage: &Stage) -> Step {
    let name = plain(&stage.name);
    let text = match &stage.lasts {
        Some(lasts) => {
            labels.fill(common::loss::Lasts { stage: name.as_str(), time: &seconds(labels, &lasts.0) })
        }
        None => labels.fill(common::loss::Stays { stage: &name }),
    };
    let works = listed(setup.engaged_by_stage(stage).iter().map(|w| work_phrase(labels, setup, *w)));
    let all = listed([works.clone(), sets(labels, setup, &stage.set)]);
    let with = |details: &str| match details {
        "" => text.clone(),
        details => labels.fill(common::loss::Details { stage: text.as_str(), details }),
    };
    Step { when, what: with(&all), brief: with(&works) }
}

fn fallen_silent<'a>(labels: &'a Labels, setup: &Setup) -> &'a str {
    let mut motors = setup.devices.iter().filter(|d| d.kind.runs_a_motor()).peekable();
    if motors.peek().is_none() {
        return labels.get(common::loss::NO_PULSES);
    }
    let said: Vec<_> = motors.map(|d| d.without_pulses).collect();
    if said.contains(&Some(WithoutPulses::Stays)) {
        labels.get(common::loss::MOTOR_RUNS)
    } else if said.contains(&None) {
        labels.get(common::loss::MOTOR_ASSUMED)
    } else {
        labels.get(common::loss::MOTOR_STOPS)
    }
}

/// What the receiver does, then each stage of the unit, with the seconds since the signal was lost.
pub(crate) fn loss(labels: &Labels, setup: &Setup) -> Vec<Step> {
    let receiver = &setup.receiver;
    let mut clock = amount(receiver.after.as_ref());
    let what = match &receiver.on_loss {
        OnLoss::NoPulses => fallen_silent(labels, setup).to_owned(),
        OnLoss::Hold => labels.get(common::loss::HOLD).to_owned(),
        OnLoss::Noise => labels.get(common::loss::NOISE).to_owned(),
        OnLoss::Preset { values, others, .. } => {
            let others = labels.get(match others {
                Others::NoPulses => common::loss::OTHERS_NO_PULSES,
                Others::Hold => common::loss::OTHERS_HOLD,
                Others::Noise => common::loss::OTHERS_NOISE,
            });
            let works = listed(setup.engaged_by_preset().iter().map(|w| work_phrase(labels, setup, *w)));
            listed([works, sets(labels, setup, values), others.to_owned()])
        }
    };
    let after = |clock: &Exact| labels.fill(common::loss::After { time: &seconds(labels, clock) });
    let at_once = || labels.get(common::loss::AT_ONCE).to_owned();
    let when = if receiver.after.is_some() { after(&clock) } else { at_once() };
    let alone = setup.fail_safe.is_none() && !matches!(receiver.on_loss, OnLoss::Preset { .. });
    let what = if alone { labels.fill(common::loss::Alone { what: &what }) } else { what };
    let mut steps = vec![step(when, what)];
    if let Some(unit) = &setup.fail_safe {
        clock += amount(unit.wait.as_ref());
        for stage in &unit.stages {
            steps.push(stage_step(labels, setup, after(&clock), stage));
            clock += amount(stage.lasts.as_ref());
        }
    }
    steps
}

/// Low battery and leak.
pub(crate) fn alarms(labels: &Labels, setup: &Setup) -> Vec<Step> {
    let Some(unit) = &setup.fail_safe else {
        return vec![step("", labels.get(common::alarms::NOBODY_ON_EITHER))];
    };
    let brief = unit.stages.first().map_or(labels.get(common::alarms::NOTHING).to_owned(), |s| {
        labels.fill(common::alarms::Same { stage: &plain(&s.name) })
    });
    let same = unit.stages.first().map_or(brief.clone(), |s| {
        let stage = plain(&s.name);
        let yours = listed(
            (0..setup.channels.len())
                .filter(|c| !unit.channels.contains(c))
                .map(|c| channel_name(labels, &setup.channels[c])),
        );
        if yours.is_empty() {
            return brief.clone();
        }
        labels.fill(common::alarms::SameBut { stage: &stage, channels: &yours })
    });
    let acts = |when: String| Step { when, what: same.clone(), brief: brief.clone() };
    let mut steps = Vec::new();
    let battery = unit.low_battery.as_ref().map(|(id, below)| {
        let any = || labels.get(common::alarms::ANY_BATTERY).to_owned();
        let name = setup.batteries.get(*id).map_or_else(any, |b| plain(&b.name));
        let volts = labels.fill(common::Volts { number: &labels.decimal(&below.0.to_decimal(2)) });
        labels.fill(common::alarms::Battery { name: &name, volts: &volts })
    });
    match (battery, unit.leak) {
        (Some(battery), true) => {
            let when = labels.fill(common::alarms::BatteryOrLeak { battery: &battery });
            steps.push(acts(when));
        }
        (Some(battery), false) => {
            steps.push(acts(battery));
            steps.push(step(labels.get(common::alarms::LEAK), labels.get(common::alarms::NOBODY)));
        }
        (None, true) => {
            steps.push(acts(labels.get(common::alarms::LEAK).to_owned()));
            steps.push(step(labels.get(common::alarms::LOW_BATTERY), labels.get(common::alarms::NOBODY)));
        }
        (None, false) => steps.push(step("", labels.get(common::alarms::NOBODY_ON_EITHER))),
    }
    steps
}
