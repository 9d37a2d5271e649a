//! What she does by herself: on lost signal, low battery, leak.

use serde::Serialize;

use super::{Labels, channel_name, listed, plain};
use crate::labels::text::common;
use crate::setup::quantity::Seconds;
use crate::setup::{Exact, FailSafe, Setup, WithoutPulses};

/// A moment and what happens then.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Step {
    /// When.
    pub(crate) when: String,
    /// What.
    pub(crate) what: String,
}

fn step(when: impl Into<String>, what: impl Into<String>) -> Step {
    Step { when: when.into(), what: what.into() }
}

/// `4 s`
pub(crate) fn seconds(labels: &Labels, value: &Exact) -> String {
    labels.fill(common::Seconds { number: &labels.decimal(&value.to_decimal(Seconds::PLACES)) })
}

/// A time that may not have been given, in seconds.
pub(crate) fn amount(time: Option<&Seconds>) -> Exact {
    time.map_or(Exact::ZERO, |s| s.0.clone())
}

pub(super) fn fallen_silent<'a>(labels: &'a Labels, setup: &Setup) -> &'a str {
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

/// `main battery below 6.6 V`, where the unit acts on it.
pub(super) fn battery_below(labels: &Labels, setup: &Setup, unit: &FailSafe) -> Option<String> {
    unit.low_battery.as_ref().map(|(id, below)| {
        let any = || labels.get(common::alarms::ANY_BATTERY).to_owned();
        let name = setup.batteries.get(*id).map_or_else(any, |b| plain(&b.name));
        let volts = labels.fill(common::Volts { number: &labels.decimal(&below.0.to_decimal(2)) });
        labels.fill(common::alarms::Battery { name: &name, volts: &volts })
    })
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
    let acts = |when: String| Step { when, what: same.clone() };
    let mut steps = Vec::new();
    let battery = battery_below(labels, setup, unit);
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
