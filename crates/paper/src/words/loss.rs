//! What she does by herself: on lost signal, low battery, leak.

use super::{Labels, plain};
use crate::labels::text::common;
use crate::setup::quantity::Seconds;
use crate::setup::{Exact, FailSafe, Setup, When, WithoutPulses};

/// `4 s`
pub(crate) fn seconds(labels: &Labels, value: &Exact) -> String {
    labels.fill(common::Seconds { number: &labels.decimal(&value.to_decimal(Seconds::PLACES)) })
}

/// The time of a moment, as what follows `after` or `from`: where a delay before it is not given that is said.
pub(crate) fn time(labels: &Labels, when: &When) -> String {
    when.seconds().map_or_else(|| labels.get(common::loss::TIME_UNKNOWN).to_owned(), |s| seconds(labels, s))
}

/// `at once`, `after 4 s`
pub(crate) fn when(labels: &Labels, when: &When) -> String {
    match when.seconds() {
        Some(seconds) if seconds.is_zero() => labels.get(common::loss::AT_ONCE).to_owned(),
        _ => labels.fill(common::loss::After { time: &time(labels, when) }),
    }
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
