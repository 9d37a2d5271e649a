//! With the link lost she drives ahead with her planes at rise.

use super::after_loss::{Held, held, set_by, set_to};
use super::context::Context;
use super::motor_runs_on_loss::{drives_the_boat, outside_band};
use super::say::{self, Draft};
use super::states::State;
use crate::finding::{Finding, Severity};
use crate::proof::Verdict;
use crate::setup::{Device, Exact, Path};

/// The rule's name.
pub const NAME: &str = "broaches-on-loss";

/// From which position on planes count as hard over. Common practice, no source.
const HARD_OVER: i64 = 50;

/// What lifts the bow going ahead.
const RISE: [&str; 2] = ["bow rises", "stern dips"];

/// Once for each state after a loss in which a preset or a stage sets motor and planes.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    for Held { state, device, at } in held(context, &RISE) {
        let motor = context.setup.devices.iter().find(|motor| runs_ahead(context, state, motor));
        // A device may bear any name, so that no name can stand for there being none.
        let thrown = motor.is_some() && at >= Exact::percent(HARD_OVER);
        let mut draft = Draft::new(NAME, Severity::Warning, device.name.clone(), &state.name)
            .at(set_by(state), format!("sets {} to {} of rise", device.name, say::percent(&at)));
        if let Some(motor) = motor {
            draft = draft
                .and_at(Path::of(["devices", &motor.name]), "and this drives her ahead")
                .name("motor", &motor.name);
        }
        let motor = motor.map_or("the motor", |m| m.name.as_str());
        findings.push(
            draft
                .help("stop the motor, or set the planes to a gentle rise: she is to come up, not to jump out among boats and people")
                .close_plain(
                    thrown,
                    &format!("{}: {motor} drives her ahead with {} hard at rise", state.name, device.name),
                    &format!("{}: {} does not throw her out of the water", state.name, device.name),
                ),
        );
    }
}

fn runs_ahead(context: &Context, state: &State, motor: &Device) -> bool {
    let setup = context.setup;
    if !drives_the_boat(setup, motor) || motor.still_between.is_none() {
        return false;
    }
    if set_to(setup, state, motor, &["drives ahead"]).is_none() {
        return false;
    }
    setup.devices.iter().position(|d| d.name == motor.name).is_some_and(|id| {
        let (answer, _) = outside_band(context, id, motor, &state.places[id], &context.everything);
        matches!(answer.verdict, Verdict::Met(_))
    })
}
