//! What a lost signal brings about without anybody's help, as far as the file says: which words belong on a page.
//! It proves nothing; the check does. What the file leaves out counts at its worst here as there.

use super::{Labels, channel_name, effect, listed, plain};
use crate::labels::text::common;
use crate::rule::at_worst;
use crate::setup::{ChannelId, DeviceId, Exact, Figure, OnLoss, Setup, UnitActs, WithoutPulses, WorkRef};

/// Whether something holds whatever the figures are that the file does not give.
fn whatever(setup: &Setup, holds: impl Fn(&Setup) -> bool) -> bool {
    holds(setup) && at_worst(setup).iter().all(holds)
}

/// Whether a lost signal brings her up: by a work, by a piston or a pump that empties her, or because she floats with the
/// motor stopped.
pub(crate) fn comes_up_alone(setup: &Setup) -> bool {
    let raises = |setup: &Setup| setup.surely_engaged().iter().any(|work| setup.work(*work).kind.raises());
    whatever(setup, |there| {
        raises(there) || empties(there) || there.boat.floats_when_stopped && all_stop(there)
    })
}

/// Whether a lost signal surely puts what empties her by its own travel to that side, at one time or another.
fn empties(setup: &Setup) -> bool {
    let (unit, sure) = (setup.fail_safe.as_ref(), setup.unit() == UnitActs::Sure);
    let by_unit = |channel: &ChannelId| sure && unit.is_some_and(|unit| unit.channels.contains(channel));
    let preset = match &setup.receiver.on_loss {
        OnLoss::Preset { values, .. } => values.as_slice(),
        OnLoss::NoPulses | OnLoss::Hold | OnLoss::Noise => &[],
    };
    let preset = preset.iter().filter(|(channel, _)| !by_unit(channel)).map(|set| (set, false));
    let stages = unit.filter(|_| sure).into_iter().flat_map(|unit| &unit.stages);
    let mut all = preset.chain(stages.flat_map(|stage| &stage.set).map(|set| (set, true)));
    all.any(|((channel, at), by_unit)| {
        setup.devices_on(*channel).any(|(id, device)| {
            side_at(setup, id, at, by_unit)
                .is_some_and(|side| device.effects_on(side).any(|seen| setup.effect_words(seen) == "empties"))
        })
    })
}

/// Whether every motor is known to stop when the signal is lost and to be left at rest from then on, and there is one.
pub(crate) fn motors_stop(setup: &Setup) -> bool {
    whatever(setup, all_stop)
}

/// Whether a work is surely off where a preset or a stage puts its device.
pub(crate) fn surely_off(setup: &Setup, work: WorkRef, at: &Exact, by_unit: bool) -> bool {
    whatever(setup, |there| there.surely_off(work, at, by_unit))
}

/// Whether a motor surely stands still where a preset or a stage puts it.
pub(crate) fn stands_still(setup: &Setup, motor: DeviceId, at: &Exact) -> bool {
    whatever(setup, |there| there.devices[motor].stands_still_at(at))
}

/// The side to which a preset or a stage surely moves what is seen of a device: beyond its band of rest, beyond the place
/// at which a piston lets her hang level, else beyond the middle.
fn side_at(setup: &Setup, device: DeviceId, at: &Exact, by_unit: bool) -> Option<i32> {
    let d = &setup.devices[device];
    if setup.lacks(Figure::LevelAt(device)) {
        return None;
    }
    [-1, 1].into_iter().find(|sign| {
        let from = match (&d.still_between, &d.facts.level_at) {
            (Some(band), _) => band[usize::from(*sign > 0)].clone(),
            (None, Some(level)) => level.farthest(*sign),
            (None, None) => Exact::ZERO,
        };
        let off = setup.slack(device, -1, by_unit).max(setup.slack(device, 1, by_unit));
        (at - &from).outward(*sign) > off
    })
}

/// What a preset or a stage makes of a device that is no motor standing still: what is then seen of it, that it goes to
/// its middle, or only that it goes where it is set. What is told of works is told elsewhere.
pub(crate) fn moved(
    labels: &Labels,
    setup: &Setup,
    device: DeviceId,
    at: &Exact,
    by_unit: bool,
) -> Option<String> {
    let d = &setup.devices[device];
    if !d.effects.iter().any(Option::is_some) {
        return None;
    }
    let part = setup.channel_of(device).map(|channel| channel_name(labels, &setup.channels[channel]));
    let part = part.unwrap_or_else(|| plain(&d.name));
    let side = side_at(setup, device, at, by_unit);
    let sure = at_worst(setup).iter().all(|there| side_at(there, device, at, by_unit) == side);
    let seen =
        side.filter(|_| sure).map(|sign| listed(d.effects_on(sign).map(|seen| effect(labels, setup, seen))));
    Some(match seen.filter(|seen| !seen.is_empty()) {
        Some(seen) => labels.fill(common::EffectOn { part: &part, effect: &seen }),
        None if at.is_zero() && d.facts.level_at.is_none() => {
            labels.fill(common::loss::ToTheMiddle { name: &part })
        }
        None => labels.fill(common::loss::AsSet { name: &part }),
    })
}

/// Whether everything that drives or could hurt on a boat is known to be at rest in the end when the signal is lost, and
/// there is any.
pub(crate) fn rests_alone(setup: &Setup) -> bool {
    let hurts = |work: &WorkRef| setup.work(*work).is_dangerous();
    let motors = setup.devices.iter().any(|d| d.kind.runs_a_motor());
    let works: Vec<WorkRef> = setup.works().filter(hurts).collect();
    if !motors && works.is_empty() {
        return false;
    }
    whatever(setup, |there| {
        (!motors || all_stop(there)) && works.iter().all(|work| shut_for_good(there, *work))
    })
}

/// Whether a work is surely off where the last stage, or else the preset, leaves its device.
fn shut_for_good(setup: &Setup, work: WorkRef) -> bool {
    let Some(channel) = setup.channel_of(work.device) else { return false };
    let at = |set: &[(ChannelId, Exact)]| set.iter().find(|(c, _)| *c == channel).map(|(_, at)| at.clone());
    let stages = setup.fail_safe.iter().flat_map(|unit| unit.stages.iter().rev());
    let staged = stages.filter_map(|stage| at(&stage.set)).next();
    let preset = match &setup.receiver.on_loss {
        _ if setup.lacks(Figure::OnLoss) => None,
        OnLoss::Preset { values, .. } => at(values),
        OnLoss::NoPulses | OnLoss::Hold | OnLoss::Noise => None,
    };
    match (staged, preset) {
        (Some(at), _) => setup.surely_off(work, &at, true),
        (None, Some(at)) => setup.surely_off(work, &at, false),
        (None, None) => false,
    }
}

fn all_stop(setup: &Setup) -> bool {
    let mut motors = (0..setup.devices.len()).filter(|id| setup.devices[*id].kind.runs_a_motor()).peekable();
    motors.peek().is_some() && motors.all(|motor| stops(setup, motor))
}

fn stops(setup: &Setup, id: DeviceId) -> bool {
    let motor = &setup.devices[id];
    let Some(channel) = setup.channel_of(id) else { return false };
    let stages = setup.fail_safe.iter().flat_map(|unit| &unit.stages);
    let mut by_unit = stages.flat_map(|stage| &stage.set).filter(|(c, _)| *c == channel).peekable();
    if by_unit.peek().is_some() {
        return by_unit.all(|(_, value)| motor.stands_still_at(value));
    }
    match &setup.receiver.on_loss {
        _ if setup.lacks(Figure::OnLoss) => false,
        OnLoss::NoPulses => motor.without_pulses == Some(WithoutPulses::Stops),
        OnLoss::Preset { values, .. } => {
            values.iter().any(|(c, value)| *c == channel && motor.stands_still_at(value))
        }
        OnLoss::Hold | OnLoss::Noise => false,
    }
}
