//! The servo may carry its linkage to a dead centre.

use super::engine::Engine;
use super::say::{self, Draft};
use super::states::PulsePlace;
use crate::finding::{Gap, Severity, StateId, Subject};
use crate::physics::linkage::DeadCentre;
use crate::proof::Domain;
use crate::question::asks::{Edge, EdgeKind};
use crate::question::{Asks, Question};
use crate::setup::{DeviceId, Exact, FreeTravel, Input, Linkage, Path};

pub(super) const NAME: &str = "dead-centre-within-reach";

/// Once for each side of each linkage that has a dead centre there, and each state that can differ from
/// piloting.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    for (id, device) in engine.setup.devices.iter().enumerate() {
        let Some(linkage) = &device.facts.linkage else { continue };
        for sign in [-1, 1] {
            // Parts that do not even fit at rest are for another rule.
            let Some(free) = linkage.before_dead_centre(sign) else { continue };
            for driven in engine.driven_places(id) {
                questions.push(question(engine, (id, linkage), (sign, &free), driven));
            }
        }
    }
}

fn question<'a>(
    engine: &Engine<'a>,
    (id, linkage): (DeviceId, &Linkage),
    (sign, free): (i32, &FreeTravel),
    (state, place, over): (StateId, PulsePlace, Domain),
) -> Question<'a> {
    let setup = engine.setup;
    let name = &setup.devices[id].name;
    let driven = linkage.driven_name();
    let (in_line, then) = match free.what {
        DeadCentre::Locks => ("rod and lever", "jams or flips over"),
        DeadCentre::Reverses => ("horn and rod", "goes back"),
    };
    let in_line = if driven == "slide" { in_line.replace("lever", "its way") } else { in_line.to_owned() };
    let signed = |distance: &Exact| distance * Exact::int(i64::from(sign));
    let slack = setup.slack(id, sign, place.by_unit());
    let short_of = (&free.surely_free - &slack).max(Exact::ZERO);
    let mut draft = Draft::new(NAME, Severity::Error, Subject::DeviceSide(id, sign), state)
        .gap("side", Gap::Side(sign))
        .at(
            Path::of(["devices", name, "linkage"]),
            format!(
                "{in_line} may come to their dead centre from {}",
                say::signed_percent(&signed(&free.surely_free))
            ),
        );
    let mut way = None;
    draft = match (setup.devices[id].input, &place) {
        (Input::Channel(channel), PulsePlace::Pilot) => {
            let side = say::way_towards(setup, channel, sign);
            way = Some((channel, side));
            let title = setup.channel_title(channel);
            draft.and_at(say::endpoint_path(setup, channel, side), format!("this is as far as {title} goes"))
        }
        _ => draft.help(format!(
            "keep the position that is set short of {}",
            say::signed_percent(&signed(&short_of))
        )),
    };
    let longer = if driven == "slide" { "rod" } else { "lever" };
    let side = if sign < 0 { "shorter" } else { "longer" };
    let edge = Edge {
        sign,
        at: signed(&free.surely_free),
        touching: true,
        tolerance: None,
        surely: Some(free.met_by.as_ref().map(signed)),
        what: EdgeKind::DeadCentre,
    };
    draft
        .help(format!("or take a shorter horn or a longer {longer}, so that less turn is needed"))
        .asks(
            Asks::Passes { device: id, place, over, edge },
            format!(
                "the linkage of {name} may pass a dead centre on the {side} side, where its {driven} {then}"
            ),
            format!("the linkage of {name} stays short of its dead centre on the {side} side"),
        )
        .cured_by(way)
}
