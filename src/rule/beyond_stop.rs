//! A device may be driven past the point where it binds.

use super::context::Context;
use super::say::{self, Draft};
use super::states::Place;
use crate::finding::{Finding, Gap, Severity};
use crate::proof::{Verdict, Zone};
use crate::setup::{Input, Path};

/// The rule's name.
pub const NAME: &str = "beyond-stop";

/// Once for each stop of a device and each state that can differ from piloting.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    for (id, device) in setup.devices.iter().enumerate() {
        let mut places: Vec<(String, Place)> = vec![("piloting".into(), context.piloting(id))];
        for state in context.states() {
            let place = &state.places[id];
            if *place != Place::Still && !places.iter().any(|(_, p)| p == place) {
                places.push((state.name.clone(), place.clone()));
            }
        }
        for (index, sign) in [(0, -1), (1, 1)] {
            let Some(stop) = &device.stops[index] else { continue };
            for (state, place) in &places {
                if state == "power-up" {
                    // By definition it rests between its stops then.
                    continue;
                }
                let answer = context.ask(id, place, &context.everything, sign, &|slack| {
                    let edge = stop.nearest(sign);
                    if sign < 0 { Zone::below(edge + slack) } else { Zone::above(edge - slack) }
                });
                let path = Path::of(["devices", &device.name, "stops", &index.to_string()]);
                let edge = format!("it may bind from {}", say::signed_percent(&stop.nearest(sign)));
                let mut draft = Draft::new(NAME, Severity::Error, device.name.clone(), state)
                    .on_side(sign)
                    .gap("side", Gap::Side(sign))
                    .account(setup, id, Some(("stop".into(), stop)), sign, place.by_unit());
                draft = match (device.input, place) {
                    (Input::Channel(channel), Place::Pilot) => {
                        let side = say::way_towards(setup, channel, sign);
                        let d = draft
                            .at(
                                say::endpoint_path(setup, channel, side),
                                format!(
                                    "this lets {} drive {} past its stop",
                                    setup.channel_title(channel),
                                    device.name
                                ),
                            )
                            .and_at(path, edge);
                        if matches!(answer.verdict, Verdict::Clear) {
                            d
                        } else {
                            super::windows::advise(context, d, channel, side)
                        }
                    }
                    _ => draft.at(path, edge).help(
                        "bring the position that is set nearer to rest, or give the mechanism more room",
                    ),
                };
                findings.push(draft.close(
                    context,
                    &answer,
                    &format!("{} may be driven past its stop on the {} side", device.name, side_word(sign)),
                    &format!("{} stays within its stop on the {} side", device.name, side_word(sign)),
                ));
            }
        }
    }
}

fn side_word(sign: i32) -> &'static str {
    if sign < 0 { "shorter" } else { "longer" }
}
