//! A mix turns a propeller while the speed control is at rest.

use super::context::Context;
use super::motor_runs_on_loss::{band, drives_the_boat};
use super::say::{self, Draft};
use crate::finding::{Finding, Severity};
use crate::proof::{Domain, Zone};
use crate::setup::{ChannelId, ControlId, Device, Exact, Input, Path, Setup};
use std::collections::BTreeSet;

/// The rule's name.
pub const NAME: &str = "turns-at-rest";

/// Once for each speed controller whose channel has mixes.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    for (id, device) in setup.devices.iter().enumerate() {
        let (Some([low, high]), Input::Channel(channel)) = (&device.still_between, device.input) else {
            continue;
        };
        let speed = speed_controls(setup, channel, device);
        let drives = device.kind.runs_a_motor();
        if !drives || device.facts.one_way || setup.channels[channel].mixes.is_empty() || speed.is_empty() {
            continue;
        }
        // Trims are another rule's: here only what is mixed in counts.
        let domain = speed
            .iter()
            .fold(context.everything.clone().with_trims_at_nought(), |domain: Domain, &control| {
                domain.with_position(control, Exact::ZERO)
            });
        let domain = by_intention(setup, channel)
            .into_iter()
            .fold(domain, |domain: Domain, (switch, setting)| domain.without_setting(switch, setting));
        let place = context.piloting(id);
        let under = context.ask(id, &place, &domain, -1, &|slack| Zone::below(low + slack));
        let over = context.ask(id, &place, &domain, 1, &|slack| Zone::above(high - slack));
        let answer = super::context::worse(under, over);
        let severity = if drives_the_boat(setup, device) { Severity::Error } else { Severity::Warning };
        let control = &setup.controls[speed[0]].name;
        findings.push(
            Draft::new(NAME, severity, device.name.clone(), "piloting")
                .at(say::channel_path(setup, channel).then("mixes"), "this reaches the motor without the speed control")
                .and_at(
                    Path::of(["devices", &device.name, "still_between"]),
                    format!("it stands still only from {}", band(device)),
                )
                .name("control", control)
                .help("let the mix work only with a switch (`when`) that is thrown on the water, or make its share so small that it stays within the band")
                .close(
                    context,
                    &answer,
                    &format!("{} may turn with {control} at rest", device.name),
                    &format!("{} stands still with {control} at rest, whatever is mixed in unasked", device.name),
                ),
        );
    }
}

/// Settings that the pilot chooses in order to have a mix of the channel: with them a propeller that
/// turns is what was asked for. A switch that has a mix in every setting leaves no choice.
fn by_intention(setup: &Setup, channel: ChannelId) -> BTreeSet<(ControlId, usize)> {
    let asked: BTreeSet<(ControlId, usize)> =
        setup.channels[channel].mixes.iter().flat_map(|mix| mix.when.iter().copied()).collect();
    let leaves_a_choice = |switch: ControlId| {
        asked.iter().filter(|(other, _)| *other == switch).count() < setup.controls[switch].settings.len()
    };
    asked.iter().copied().filter(|&(switch, _)| leaves_a_choice(switch)).collect()
}

/// The controls that ask for speed: the channel's own, or where mixes alone drive it, those that
/// want what the device does.
fn speed_controls(setup: &Setup, channel: ChannelId, device: &Device) -> Vec<ControlId> {
    if let Some(own) = setup.channels[channel].control {
        return vec![own];
    }
    let does = |control: &&ControlId| {
        setup.controls[**control].wants.iter().flatten().any(|w| device.effects.contains(&Some(*w)))
    };
    let all: Vec<ControlId> = (0..setup.controls.len()).collect();
    all.iter().filter(does).copied().collect()
}
