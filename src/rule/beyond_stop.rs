//! A device may be driven past the point where it binds.

use super::context::Context;
use super::say::{self, Draft};
use super::states::Place;
use crate::finding::{Gap, Severity, Subject};
use crate::question::asks::{Edge, EdgeKind};
use crate::question::{Asks, Question};
use crate::setup::{Input, Path};

/// The rule's name.
pub const NAME: &str = "beyond-stop";

/// Once for each stop of a device and each state that can differ from piloting.
pub fn ask<'a>(context: &Context<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = context.setup;
    for (id, device) in setup.devices.iter().enumerate() {
        for (index, sign) in [(0, -1), (1, 1)] {
            let Some(stop) = &device.stops[index] else { continue };
            // At power-up it rests between its stops by definition.
            for (state, place, over) in context.driven_places(id) {
                let path = Path::of(["devices", &device.name, "stops", &index.to_string()]);
                let edge = format!("it may bind from {}", say::signed_percent(&stop.nearest(sign)));
                let draft = Draft::new(NAME, Severity::Error, Subject::DeviceSide(id, sign), state)
                    .gap("side", Gap::Side(sign));
                let (draft, way) = match (device.input, &place) {
                    (Input::Channel(channel), Place::Pilot) => {
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
                let edge = Edge {
                    sign,
                    at: stop.nearest(sign),
                    touching: false,
                    tolerance: Some(("stop", stop.clone())),
                    surely: None,
                    what: EdgeKind::Stop,
                };
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
}
