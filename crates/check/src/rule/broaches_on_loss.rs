//! With the link lost she drives ahead with her planes at rise.

use super::after_loss::{Held, held, set_by, set_to};
use super::engine::Engine;
use super::motor_runs_on_loss::{drives_the_boat, leaves_band};
use super::say::{self, Draft};
use super::states::State;
use crate::finding::{Severity, Subject};
use crate::question::{Asks, Question};
use crate::setup::{DeviceId, Exact, Path, Setup};

pub(super) const NAME: &str = "broaches-on-loss";

/// From which position on planes count as hard over. Common practice, no source.
const HARD_OVER: i64 = 50;

/// What lifts the bow going ahead.
const RISE: [&str; 2] = ["bow rises", "stern dips"];

/// Once for each state after a loss in which a preset or a stage sets motor and planes.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    for Held { state, device, at } in held(engine, &RISE) {
        let id = device;
        let devices = &engine.setup.devices;
        let device = &devices[id];
        let motors: Vec<DeviceId> =
            (0..devices.len()).filter(|&motor| is_set_ahead(engine.setup, state, motor)).collect();
        let motor = motors
            .iter()
            .find(|&&motor| !engine.holds(&leaves_band(engine, motor, state)))
            .map(|&motor| &devices[motor]);
        let runs = motors.iter().filter(|_| at >= Exact::percent(HARD_OVER));
        let thrown = Asks::Any(runs.map(|&motor| leaves_band(engine, motor, state)).collect());
        let mut draft = Draft::new(NAME, Severity::Warning, Subject::Device(id), state.id)
            .at(set_by(state), format!("sets {} to {} of rise", device.name, say::percent(&at)));
        if let Some(motor) = motor {
            draft = draft
                .and_at(Path::of(["devices", &motor.name]), "and this drives her ahead")
                .name("motor", &motor.name);
        }
        let motor = motor.map_or("the motor", |m| m.name.as_str());
        questions.push(
            draft
                .help("stop the motor, or set the planes to a gentle rise: she is to come up, not to jump out among boats and people")
                .plainly()
                .asks(
                    thrown,
                    format!("{motor} drives her ahead with {} hard at rise {}", device.name, state.id.clause(engine.setup)),
                    format!("{} does not throw her out of the water {}", device.name, state.id.clause(engine.setup)),
                ),
        );
    }
}

fn is_set_ahead(setup: &Setup, state: &State, motor: DeviceId) -> bool {
    let device = &setup.devices[motor];
    drives_the_boat(setup, device)
        && device.still_between.is_some()
        && set_to(setup, state, motor, &["drives ahead"]).is_some()
}
