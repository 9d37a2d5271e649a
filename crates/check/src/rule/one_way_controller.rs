//! A controller that knows one direction only runs at half speed while its control is at rest.

use super::engine::Engine;
use super::motor_runs_on_loss::band as band_words;
use super::say::{self, Draft};
use crate::finding::{Severity, StateId, Subject};
use crate::proof::Domain;
use crate::question::{Asks, Question};
use crate::setup::{Control, ControlKind, Device, Exact, Input, Path, Setup, Side};

pub(super) const NAME: &str = "one-way-controller";

/// Once for each one-way controller on a channel that a hand moves.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (id, device) in setup.devices.iter().enumerate().filter(|(_, d)| d.facts.one_way) {
        let Input::Channel(channel) = device.input else { continue };
        let hands = engine.hands_on(channel);
        let Some(&(first, towards)) = hands.first() else { continue };
        let band = still(setup, device);
        let stop_sign = (&band[0] + &band[1]).signum();
        let springs = |control: &Control| control.springs_back && control.kind != ControlKind::Switch;
        // Where the hand leaves it when nobody wants to drive: the middle for what springs there,
        // else the end of the travel on the side of the stop.
        let over = hands.iter().fold(
            engine.everything.clone().with_trims_at_nought().with_all_at_rest(setup),
            |over: Domain, &(control, sign)| {
                let left_at = if springs(&setup.controls[control]) {
                    Exact::ZERO
                } else {
                    Side::of_sign(sign * stop_sign).position()
                };
                over.with_position(control, left_at)
            },
        );
        // With a band around rest one of two things that the file says is wrong, wherever an endpoint is set.
        let rests = device.still_between.as_ref();
        let rests = rests.is_some_and(|[low, high]| low.signum() < 0 && high.signum() > 0);
        let control = &setup.controls[first];
        let switch = match Side::of_sign(towards * stop_sign) {
            Side::Low => control.settings.first(),
            Side::High => control.settings.last(),
        };
        let where_left = match switch {
            Some(setting) => format!("set to {setting}"),
            None if springs(control) => "at rest".to_owned(),
            None => "right back".to_owned(),
        };
        let help = if rests {
            "leave `one_way` out: it is for a controller that stands still at one end of its range only"
        } else if springs(control) {
            "use a controller with a stop in the middle, or a control that stays where it is left with its stop at one end"
        } else {
            "raise the endpoint on the side of the stop until the motor stands still"
        };
        questions.push(
            Draft::new(NAME, Severity::Error, Subject::Device(id), StateId::Piloting)
                .at(
                    Path::of(["devices", &device.name, "one_way"]),
                    match &device.still_between {
                        Some(_) => format!("stands still only from {}", band_words(device)),
                        None => "stands still only at the end of the shorter pulses".to_owned(),
                    },
                )
                .and_at(
                    say::channel_path(setup, channel),
                    if rests {
                        format!("and {} has its rest there", control.name)
                    } else {
                        format!("{} {where_left} ends up elsewhere", control.name)
                    },
                )
                .sentence(match switch {
                    _ if rests => "rests",
                    Some(_) => "set_to",
                    None if springs(control) => "at_rest",
                    None => "right_back",
                })
                .name("control", &control.name)
                .name("setting", switch.map_or("", String::as_str))
                .help(help)
                .asks(
                    if rests {
                        Asks::Fact(true)
                    } else {
                        Asks::Leaves { device: id, place: engine.piloting(id), over, band }
                    },
                    if rests {
                        format!("{} cannot know one direction only and stand still around rest", device.name)
                    } else {
                        format!(
                            "{} runs with {} {where_left}: it knows one direction only",
                            device.name, control.name
                        )
                    },
                    format!("{} stands still with {} {where_left}", device.name, control.name),
                ),
        );
    }
}

/// Where it stands still. Unless the file says, from -90 % to beyond every pulse.
pub(super) fn still(setup: &Setup, device: &Device) -> [Exact; 2] {
    device.still_between.clone().unwrap_or_else(|| {
        let [shorter, _] = setup.furthest();
        [shorter - Exact::ONE, Exact::percent(-90)]
    })
}
