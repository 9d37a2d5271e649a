//! At rest a speed controller creeps or a leveller is overridden.

use super::context::Context;
use super::motor_runs_on_loss::band;
use super::say::{self, Draft};
use crate::finding::{Finding, Severity};
use crate::proof::Zone;
use crate::setup::{Exact, Input};

/// The rule's name.
pub const NAME: &str = "neutral-missed";

/// Once for each device with a band around rest.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    for (id, device) in setup.devices.iter().enumerate() {
        let (Some([low, high]), Input::Channel(channel)) = (&device.still_between, device.input) else {
            continue;
        };
        // The stop of a one-way controller is not at rest; it has a rule of its own.
        if device.facts.one_way {
            continue;
        }
        let mut domain = context.everything.clone().with_all_at_rest(setup);
        if let Some(own) = setup.channels[channel].control {
            domain = domain.with_position(own, Exact::ZERO);
        }
        let place = context.piloting(id);
        let under = context.ask(id, &place, &domain, -1, &|slack| Zone::below(low + slack));
        let over = context.ask(id, &place, &domain, 1, &|slack| Zone::above(high - slack));
        let (answer, sign) = super::context::worse_side(under, over);
        findings.push(
            Draft::new(NAME, Severity::Warning, device.name.clone(), "piloting")
                .on_side(sign)
                .account(setup, id, None, sign, place.by_unit())
                .at(
                    crate::setup::Path::of(["devices", &device.name, "still_between"]),
                    format!("at rest the output may lie outside {}", band(device)),
                )
                .and_at(say::channel_path(setup, channel), "trim and sub-trim of this channel count")
                .help("lock the trim of this control, set the sub-trim so that rest lies in the middle of the band, or teach the device its rest anew")
                .close(
                    context,
                    &answer,
                    &format!("with all controls at rest {} may not be still", device.name),
                    &format!("with all controls at rest {} is still", device.name),
                ),
        );
    }
}
