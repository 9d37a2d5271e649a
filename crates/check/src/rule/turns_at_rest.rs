//! A mix turns a propeller while the speed control is at rest.

use super::engine::Engine;
use super::motor_runs_on_loss::{band, drives_the_boat};
use super::say::{self, Draft};
use crate::finding::{Severity, StateId, Subject};
use crate::proof::Domain;
use crate::question::{Asks, Question};
use crate::setup::{ChannelId, ControlId, Device, Exact, Input, Path, Setup};
use std::collections::BTreeSet;

pub(super) const NAME: &str = "turns-at-rest";

/// Once for each speed controller whose channel has mixes.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (id, device) in setup.devices.iter().enumerate() {
        let (Some(still), Input::Channel(channel)) = (&device.still_between, device.input) else { continue };
        let speed = speed_controls(setup, channel, device);
        let drives = device.kind.runs_a_motor();
        if !drives || device.facts.one_way || setup.channels[channel].mixes.is_empty() || speed.is_empty() {
            continue;
        }
        // Trims are another rule's: here only what is mixed in counts.
        let over =
            speed.iter().fold(engine.everything.clone().with_trims_at_nought(), |over: Domain, &control| {
                over.with_position(control, Exact::ZERO)
            });
        let over = by_intention(setup, channel)
            .into_iter()
            .fold(over, |over: Domain, (switch, setting)| over.without_setting(switch, setting));
        let severity = if drives_the_boat(setup, device) { Severity::Error } else { Severity::Warning };
        let control = &setup.controls[speed[0]].name;
        questions.push(
            Draft::new(NAME, severity, Subject::Device(id), StateId::Piloting)
                .at(say::channel_path(setup, channel).then("mixes"), "this reaches the motor without the speed control")
                .and_at(
                    Path::of(["devices", &device.name, "still_between"]),
                    format!("it stands still only from {}", band(device)),
                )
                .name("control", control)
                .help("let the mix work only with a switch (`when`) that is thrown on the water, or make its share so small that it stays within the band; where she is meant to turn on the spot accept it in writing")
                .asks(
                    Asks::Leaves { device: id, place: engine.piloting(id), over, band: still.clone() },
                    format!("{} may turn with {control} at rest", device.name),
                    format!("{} stands still with {control} at rest, whatever is mixed in unasked", device.name),
                ),
        );
    }
}

/// Settings that the pilot chooses in order to have a mix of the channel: with them a propeller that
/// turns is what was asked for. The setting of a switch that nobody threw is not chosen.
fn by_intention(setup: &Setup, channel: ChannelId) -> BTreeSet<(ControlId, usize)> {
    let mixes = setup.channels[channel].mixes.iter();
    mixes
        .flat_map(|mix| mix.when.iter().copied())
        .filter(|&(switch, setting)| setting != setup.controls[switch].home)
        .collect()
}

/// The controls that ask for speed: the channel's own, or where mixes alone drive it, those that
/// want what the device does.
fn speed_controls(setup: &Setup, channel: ChannelId, device: &Device) -> Vec<ControlId> {
    if let Some(own) = setup.channels[channel].control {
        return vec![own];
    }
    let does = |control: &&ControlId| {
        setup.controls[**control]
            .wants
            .iter()
            .flatten()
            .any(|want| device.all_effects().any(|(_, e)| e == *want))
    };
    let all: Vec<ControlId> = (0..setup.controls.len()).collect();
    all.iter().filter(does).copied().collect()
}
