//! What she does by herself: on lost signal, low battery, leak; and how she is brought up.

use serde::Serialize;

use super::{FIXED, channel_name, dives, listed, plain, signed, work_phrase};
use crate::setup::quantity::Seconds;
use crate::setup::{Exact, FailSafe, OnLoss, Others, Setup, Stage, WithoutPulses};

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

fn seconds(value: &Exact) -> String {
    format!("{}{FIXED}s", value.to_decimal(1))
}

fn amount(time: Option<&Seconds>) -> Exact {
    time.map_or(Exact::ZERO, |s| s.0.clone())
}

fn sets(setup: &Setup, values: &[(usize, Exact)]) -> String {
    listed(
        values
            .iter()
            .map(|(id, value)| format!("{}{FIXED}{}", channel_name(&setup.channels[*id]), signed(value))),
    )
}

fn stage_text(setup: &Setup, stage: &Stage) -> String {
    let mut text = plain(&stage.name);
    match &stage.lasts {
        Some(lasts) => text.push_str(&format!(" for {}", seconds(&lasts.0))),
        None => text.push_str(", until she hears the transmitter again"),
    }
    let works = listed(stage.works.iter().map(|w| work_phrase(setup, *w)));
    let details = listed([works, sets(setup, &stage.set)]);
    if details.is_empty() { text } else { format!("{text}: {details}") }
}

fn fallen_silent(setup: &Setup) -> &'static str {
    let mut motors = setup.devices.iter().filter(|d| d.kind.runs_a_motor()).peekable();
    if motors.peek().is_none() {
        return "no pulses: servos stay where they are";
    }
    let said: Vec<_> = motors.map(|d| d.without_pulses).collect();
    if said.contains(&Some(WithoutPulses::Stays)) {
        "no pulses: servos stay, the motor may run on"
    } else if said.contains(&None) {
        "no pulses: servos stay, the motor stops (assumed)"
    } else {
        "no pulses: servos stay, the motor stops"
    }
}

/// What the receiver does, then each stage of the unit, with the seconds since the signal was lost.
pub(crate) fn loss(setup: &Setup) -> Vec<Step> {
    let receiver = &setup.receiver;
    let mut clock = amount(receiver.after.as_ref());
    let what = match &receiver.on_loss {
        OnLoss::NoPulses => fallen_silent(setup).to_owned(),
        OnLoss::Hold => "everything stays as it was".to_owned(),
        OnLoss::Noise => "nothing is certain: servos may run anywhere".to_owned(),
        OnLoss::Preset { values, others, works } => {
            let others = match others {
                Others::NoPulses => "the others get no pulses",
                Others::Hold => "the others stay as they were",
                Others::Noise => "the others may do anything",
            };
            let works = listed(works.iter().map(|w| work_phrase(setup, *w)));
            listed([works, sets(setup, values), others.to_owned()])
        }
    };
    let when =
        if receiver.after.is_some() { format!("after {}", seconds(&clock)) } else { "at once".to_owned() };
    let alone = setup.fail_safe.is_none() && !matches!(receiver.on_loss, OnLoss::Preset { .. });
    let what = if alone { format!("{what}; nothing on board acts") } else { what };
    let mut steps = vec![step(when, what)];
    if let Some(unit) = &setup.fail_safe {
        clock += amount(unit.wait.as_ref());
        for stage in &unit.stages {
            steps.push(step(format!("after {}", seconds(&clock)), stage_text(setup, stage)));
            clock += amount(stage.lasts.as_ref());
        }
    }
    steps
}

/// Low battery and leak.
pub(crate) fn alarms(setup: &Setup) -> Vec<Step> {
    let Some(unit) = &setup.fail_safe else {
        return vec![step("", "nothing on board acts on either")];
    };
    let same = unit.stages.first().map_or("nothing".to_owned(), |s| {
        let name = plain(&s.name);
        let yours = listed(
            (0..setup.channels.len())
                .filter(|c| !unit.channels.contains(c))
                .map(|c| channel_name(&setup.channels[c])),
        );
        let yours = if yours.is_empty() { String::new() } else { format!("; you keep {yours}") };
        format!("{name}, as on lost signal{yours}")
    });
    let mut steps = Vec::new();
    let battery = unit.low_battery.as_ref().map(|(id, below)| {
        let name = setup.batteries.get(*id).map_or("battery".to_owned(), |b| plain(&b.name));
        format!("{name} battery below {}{FIXED}V", below.0.to_decimal(2))
    });
    match (battery, unit.leak) {
        (Some(battery), true) => steps.push(step(format!("{battery}, or a leak"), same)),
        (Some(battery), false) => {
            steps.push(step(battery, same));
            steps.push(step("leak", "nothing on board acts on it"));
        }
        (None, true) => {
            steps.push(step("leak", same));
            steps.push(step("low battery", "nothing on board acts on it"));
        }
        (None, false) => steps.push(step("", "nothing on board acts on either")),
    }
    steps
}

/// How to bring her up: the owner's words, else what the set-up itself promises.
pub(crate) fn emergency(setup: &Setup) -> Vec<String> {
    if !setup.owner.emergency.is_empty() {
        return setup.owner.emergency.clone();
    }
    if !dives(setup) {
        return Vec::new();
    }
    let by_unit = setup.fail_safe.as_ref().and_then(|unit| raising_after(setup, unit));
    let by_preset = || {
        let OnLoss::Preset { works, .. } = &setup.receiver.on_loss else {
            return None;
        };
        works.iter().any(|w| setup.work(*w).kind.raises()).then(|| amount(setup.receiver.after.as_ref()))
    };
    if let Some(after) = by_unit.or_else(by_preset) {
        return vec![format!("Switch the transmitter off: after {} she blows by herself.", seconds(&after))];
    }
    if setup.boat.floats_when_stopped {
        return vec!["Stop the motor and let go of the sticks: she floats up by herself.".to_owned()];
    }
    vec!["None fitted: nothing on board brings her up by itself. Keep her shallow and near.".to_owned()]
}

fn raising_after(setup: &Setup, unit: &FailSafe) -> Option<Exact> {
    let mut clock = amount(setup.receiver.after.as_ref()) + amount(unit.wait.as_ref());
    for stage in &unit.stages {
        if stage.works.iter().any(|w| setup.work(*w).kind.raises()) {
            return Some(clock);
        }
        clock += amount(stage.lasts.as_ref());
    }
    None
}
