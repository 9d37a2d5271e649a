//! A device may be driven past the point where it binds.

use super::after_loss::AGAINST_NOISE;
use super::engine::Engine;
use super::say::{self, Draft};
use super::states::PulsePlace;
use crate::finding::{Gap, Severity, StateId, Subject};
use crate::proof::Domain;
use crate::question::asks::{Edge, EdgeKind};
use crate::question::{Asks, Question};
use crate::setup::{Device, DeviceId, Input, Path, Toleranced};

pub(super) const NAME: &str = "beyond-stop";

/// Once for each stop of a device and each state that can differ from piloting; once for the boat where noise
/// drives what it will.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    let mut noisy = Vec::new();
    for (id, device) in setup.devices.iter().enumerate() {
        for (index, sign) in [(0, -1), (1, 1)] {
            let Some(stop) = &device.stops[index] else { continue };
            // At power-up it rests between its stops by definition.
            for (state, place, over) in engine.driven_places(id) {
                if is_noise(device, &place) {
                    noisy.push((device.name.as_str(), place, over, edge_of(stop, sign), id));
                    continue;
                }
                let path = Path::of(["devices", &device.name, "stops", &index.to_string()]);
                let edge = format!("it may bind from {}", say::signed_percent(&stop.nearest(sign)));
                let draft = Draft::new(NAME, Severity::Error, Subject::DeviceSide(id, sign), state)
                    .gap("side", Gap::Side(sign));
                let (draft, way) = match (device.input, &place) {
                    (Input::Channel(channel), PulsePlace::Pilot) => {
                        let side = say::way_towards(setup, channel, sign);
                        let title = setup.channel_title(channel);
                        let label = format!("this lets {title} drive {} past its stop", device.name);
                        let draft = draft.at(say::endpoint_path(setup, channel, side), label);
                        (draft.and_at(path, edge), Some((channel, side)))
                    }
                    _ => {
                        let help =
                            "bring the position that is set nearer to rest, or give the mechanism more room";
                        (draft.at(path, edge).help(help), None)
                    }
                };
                let edge = edge_of(stop, sign);
                let side = if sign < 0 { "shorter" } else { "longer" };
                questions.push(
                    draft
                        .asks(
                            Asks::Passes { device: id, place, over, edge },
                            format!("{} may be driven past its stop on the {side} side", device.name),
                            format!("{} stays within its stop on the {side} side", device.name),
                        )
                        .cured_by(way),
                );
            }
        }
    }
    if !noisy.is_empty() {
        questions.push(noise(engine, noisy));
    }
}

fn edge_of(stop: &Toleranced, sign: i32) -> Edge {
    Edge {
        sign,
        at: stop.nearest(sign),
        touching: false,
        tolerance: Some(("stop", stop.clone())),
        surely: None,
        what: EdgeKind::Stop,
    }
}

/// Whether any pulse may come to a device that is plugged into the receiver.
fn is_noise(device: &Device, place: &PulsePlace) -> bool {
    matches!((device.input, place), (Input::Channel(_), PulsePlace::Within(..)))
}

/// A servo, where noise drives it, and a stop of it.
type Driven<'a> = (&'a str, PulsePlace, Domain, Edge, DeviceId);

/// Noise drives every servo it comes to against its stops, or none: one finding for the boat.
fn noise<'a>(engine: &Engine<'a>, noisy: Vec<Driven>) -> Question<'a> {
    let mut names: Vec<&str> = Vec::new();
    let mut all = Vec::new();
    for (name, place, over, edge, device) in noisy {
        let asks = Asks::Passes { device, place, over, edge };
        if !engine.holds(&asks) && !names.contains(&name) {
            names.push(name);
        }
        all.push(asks);
    }
    let told = match names.as_slice() {
        [] => String::new(),
        [one] => format!("{one} past its stop"),
        [most @ .., last] => format!("{} and {last} past their stops", most.join(", ")),
    };
    let devices = names.join(", ");
    Draft::new(NAME, Severity::Warning, Subject::Receiver, StateId::Waiting)
        .at(Path::of(["receiver", "on_loss"]), "any pulse may come then")
        .sentence("noise")
        .name("devices", &devices)
        .help(AGAINST_NOISE)
        .plainly()
        .asks(
            Asks::Any(all),
            format!("on a lost link noise may drive {told}"),
            "noise drives nothing past its stops",
        )
}
