//! What a lost signal brings about without anybody's help, as far as the file says: which words belong on a page.
//! It proves nothing; the check does.

use crate::setup::{Device, DeviceId, OnLoss, Setup, WithoutPulses};

/// Whether a lost signal surely makes her lighter.
fn raises_alone(setup: &Setup) -> bool {
    setup.surely_engaged().iter().any(|work| setup.work(*work).kind.raises())
}

/// Whether a lost signal brings her up, by a work or because she floats with the motor stopped.
pub(crate) fn comes_up_alone(setup: &Setup) -> bool {
    raises_alone(setup) || setup.boat.floats_when_stopped && motors_stop(setup)
}

/// Whether every motor is known to stop when the signal is lost, and there is one.
pub(crate) fn motors_stop(setup: &Setup) -> bool {
    let devices = setup.devices.iter().enumerate();
    let mut motors = devices.filter(|(_, device)| device.kind.runs_a_motor()).peekable();
    motors.peek().is_some() && motors.all(|(id, motor)| stops(setup, id, motor))
}

fn stops(setup: &Setup, id: DeviceId, motor: &Device) -> bool {
    let Some(channel) = setup.channel_of(id) else { return false };
    let last = setup.fail_safe.as_ref().and_then(|unit| unit.stages.last());
    let by_unit = last.and_then(|stage| stage.set.iter().find(|(c, _)| *c == channel));
    if let Some((_, value)) = by_unit {
        return motor.stands_still_at(value);
    }
    match &setup.receiver.on_loss {
        OnLoss::NoPulses => motor.without_pulses == Some(WithoutPulses::Stops),
        OnLoss::Preset { values, .. } => {
            values.iter().any(|(c, value)| *c == channel && motor.stands_still_at(value))
        }
        OnLoss::Hold | OnLoss::Noise => false,
    }
}
