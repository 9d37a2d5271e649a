//! What she does by herself with power on and no transmitter, read off the proved table of causes and effects.

use super::{listed, plain, time, work_off, work_phrase};
use crate::labels::Labels;
use crate::labels::text::common::{self, power_up};
use crate::question::Engine;
use crate::rule::matrix::{Effect, Mark, Matrix, What, at_power_up};
use crate::setup::{Input, Setup, WorkRef};

/// What comes by itself then.
pub(crate) struct PowerUp {
    /// Each moment with what it does: `after 4 s switches on pump`.
    pub(crate) moments: Vec<String>,
    /// Receiver or unit work something.
    pub(crate) acts: bool,
    /// Among it is something that can hurt.
    pub(crate) hurts: bool,
}

/// Reads it off the table: at each moment what differs from before.
pub(crate) fn power_up(labels: &Labels, engine: &Engine) -> PowerUp {
    let table = at_power_up(engine);
    let mut told = PowerUp { moments: Vec::new(), acts: false, hurts: false };
    let noisy = by_noise(labels, engine, &table, &mut told);
    if !noisy.is_empty() {
        let when = labels.get(common::loss::AT_ONCE);
        told.moments.push(labels.fill(power_up::Moment { when, does: &listed(noisy) }));
    }
    for pair in table.causes.windows(2) {
        let [before, now] = pair else { continue };
        let marks = before.marks.iter().zip(&now.marks);
        let mut changes = Vec::new();
        for (effect, (was, is)) in table.effects.iter().zip(marks) {
            if matches!(is, Mark::May | Mark::Surely) {
                told.acts |= was != is || *is == Mark::Surely;
                told.hurts |= matches!(effect.what, What::Function(work) if can_hurt(engine.setup, work))
                    && (was != is || *is == Mark::Surely);
            }
            if was != is {
                changes.push(phrase(labels, engine.setup, effect, *is));
            }
        }
        if !changes.is_empty() {
            let time = now.begins.as_ref().map_or_else(String::new, |begins| time(labels, begins));
            let when = labels.fill(common::loss::After { time: &time });
            told.moments.push(labels.fill(power_up::Moment { when: &when, does: &listed(changes) }));
        }
    }
    told
}

/// What noise may do as soon as there is power, where a receiver that hears nothing sends it.
fn by_noise(labels: &Labels, engine: &Engine, table: &Matrix, told: &mut PowerUp) -> Vec<String> {
    let setup = engine.setup;
    let Some(first) = table.causes.first() else { return Vec::new() };
    let mut all = Vec::new();
    for (effect, mark) in table.effects.iter().zip(&first.marks) {
        let reached = matches!(setup.devices[effect.device()].input, Input::Channel(channel) if setup.noise_reaches(channel));
        if reached && matches!(mark, Mark::May | Mark::Surely) {
            told.acts = true;
            told.hurts |= match effect.what {
                What::Function(work) => can_hurt(setup, work),
                What::Motor(_) => false,
            };
            all.push(phrase(labels, setup, effect, *mark));
        }
    }
    all
}

fn phrase(labels: &Labels, setup: &Setup, effect: &Effect, mark: Mark) -> String {
    let name = |device: usize| plain(&setup.devices[device].name);
    match (effect.what, mark) {
        (What::Function(work), Mark::Never | Mark::Apart) => work_off(labels, setup, work),
        (What::Motor(device), Mark::Never | Mark::Apart) => {
            labels.fill(power_up::Stops { name: &name(device) })
        }
        (what, mark) => {
            let does = match what {
                What::Function(work) => work_phrase(labels, setup, work),
                What::Motor(device) => labels.fill(power_up::Runs { name: &name(device) }),
            };
            if mark == Mark::May { labels.fill(power_up::Perhaps { does: &does }) } else { does }
        }
    }
}

/// Whether it can hurt a hand in the hull: gas, fire, whatever lets go or is called dangerous.
pub(crate) fn can_hurt(setup: &Setup, work: WorkRef) -> bool {
    let w = setup.work(work);
    setup.lets_gas_out(work) || w.kind.lets_go || w.can_hurt()
}

/// Whether something on board stays open when her power goes, or a piston where it was: she may sink or steam on.
pub(crate) fn stays_open(setup: &Setup) -> bool {
    setup.devices.iter().any(|device| device.kind.moves_water)
        || setup.works().any(|work| {
            let kind = setup.work(work).kind;
            kind.sinks() || kind.raises() || kind.heats
        })
}
