//! A speed controller takes for its rest whatever it hears first.

use super::context::Context;
use super::say::Draft;
use crate::finding::{Finding, Severity};
use crate::setup::{Input, Path};

/// The rule's name.
pub const NAME: &str = "rest-learned-wrongly";

/// Once for each speed controller that learns its rest at power-up.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    for device in setup.devices.iter().filter(|d| d.facts.learns_rest) {
        let Input::Channel(channel) = device.input else { continue };
        let Some(own) = setup.channels[channel].control else { continue };
        let control = &setup.controls[own];
        findings.push(
            Draft::new(NAME, Severity::Warning, device.name.clone(), "power-up")
                .at(Path::of(["devices", &device.name, "learns_rest"]), "the first pulse counts as rest")
                .and_at(Path::of(["controls", &control.name]), "stays where it was left")
                .name("control", &control.name)
                .help("use a control that springs to its middle, or a controller whose rest is taught once and stays; else put the check of this control on the lid card")
                .close_plain(
                    !control.springs_back,
                    &format!("{} learns its rest from {}, wherever that was left", device.name, control.name),
                    &format!("{} learns its rest from {}, which springs to the middle", device.name, control.name),
                ),
        );
    }
}
