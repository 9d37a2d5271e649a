//! What a lost signal brings about without anybody's help, as far as the file says: which words belong on a page.
//! It proves nothing; the check does. What the file leaves out counts at its worst here as there.

use crate::rule::at_worst;
use crate::setup::{DeviceId, Exact, Figure, OnLoss, Setup, WithoutPulses, WorkRef};

/// Whether something holds whatever the figures are that the file does not give.
fn whatever(setup: &Setup, holds: impl Fn(&Setup) -> bool) -> bool {
    holds(setup) && at_worst(setup).iter().all(holds)
}

/// Whether a lost signal brings her up, by a work or because she floats with the motor stopped.
pub(crate) fn comes_up_alone(setup: &Setup) -> bool {
    let raises = |setup: &Setup| setup.surely_engaged().iter().any(|work| setup.work(*work).kind.raises());
    whatever(setup, |there| raises(there) || there.boat.floats_when_stopped && all_stop(there))
}

/// Whether every motor is known to stop when the signal is lost, and there is one.
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

fn all_stop(setup: &Setup) -> bool {
    let mut motors = (0..setup.devices.len()).filter(|id| setup.devices[*id].kind.runs_a_motor()).peekable();
    motors.peek().is_some() && motors.all(|motor| stops(setup, motor))
}

fn stops(setup: &Setup, id: DeviceId) -> bool {
    let motor = &setup.devices[id];
    let Some(channel) = setup.channel_of(id) else { return false };
    let last = setup.fail_safe.as_ref().and_then(|unit| unit.stages.last());
    let by_unit = last.and_then(|stage| stage.set.iter().find(|(c, _)| *c == channel));
    if let Some((_, value)) = by_unit {
        return motor.stands_still_at(value);
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
