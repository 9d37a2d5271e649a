//! A controller that knows one direction only runs at half speed while its control is at rest.

use super::context::Context;
use super::motor_runs_on_loss::band;
use super::say::{self, Draft};
use crate::finding::{Finding, Severity};
use crate::proof::Zone;
use crate::setup::{ControlKind, Device, Exact, Input, Path, Setup, Side};

/// The rule's name.
pub const NAME: &str = "one-way-controller";

/// Once for each one-way controller on a channel with a control of its own.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    for (id, device) in setup.devices.iter().enumerate().filter(|(_, d)| d.facts.one_way) {
        let Input::Channel(channel) = device.input else { continue };
        let Some(own) = setup.channels[channel].control else { continue };
        let control = &setup.controls[own];
        let [low, high] = still(setup, device);
        // Where the hand leaves it when nobody wants to drive: the middle for what springs there,
        // else the end of the travel on the side of the stop.
        let springs = control.springs_back && control.kind != ControlKind::Switch;
        let stop_sign = (&low + &high).signum();
        let left_at = if springs {
            Exact::ZERO
        } else {
            Side::of_sign(setup.channels[channel].longer.sign() * stop_sign).position()
        };
        let domain = context
            .everything
            .clone()
            .with_trims_at_nought()
            .with_all_at_rest(setup)
            .with_position(own, left_at);
        let place = context.piloting(id);
        let under = context.ask(id, &place, &domain, -1, &|slack| Zone::below(&low + slack));
        let over = context.ask(id, &place, &domain, 1, &|slack| Zone::above(&high - slack));
        let answer = super::context::worse(under, over);
        let where_left = if springs { "at rest" } else { "right back" };
        let help = if springs {
            "use a controller with a stop in the middle, or a control that stays where it is left with its stop at one end"
        } else {
            "raise the endpoint on the side of the stop until the motor stands still"
        };
        findings.push(
            Draft::new(NAME, Severity::Error, device.name.clone(), "piloting")
                .at(
                    Path::of(["devices", &device.name, "one_way"]),
                    match &device.still_between {
                        Some(_) => format!("stands still only from {}", band(device)),
                        None => "stands still only at the end of the shorter pulses".to_owned(),
                    },
                )
                .and_at(
                    say::channel_path(setup, channel),
                    format!("{} {where_left} ends up elsewhere", control.name),
                )
                .sentence(if springs { "at_rest" } else { "right_back" })
                .name("control", &control.name)
                .help(help)
                .close(
                    context,
                    &answer,
                    &format!(
                        "{} runs with {} {where_left}: it knows one direction only",
                        device.name, control.name
                    ),
                    &format!("{} stands still with {} {where_left}", device.name, control.name),
                ),
        );
    }
}

/// Where it stands still. Unless the file says, from -90 % to beyond every pulse.
pub fn still(setup: &Setup, device: &Device) -> [Exact; 2] {
    device
        .still_between
        .clone()
        .unwrap_or_else(|| [-&setup.transmitter.furthest - Exact::ONE, Exact::percent(-90)])
}
