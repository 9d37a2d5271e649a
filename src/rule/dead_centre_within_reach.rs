//! The servo may carry its linkage to a dead centre.

use super::context::Context;
use super::say::{self, Draft};
use super::states::{Place, StateKind};
use crate::finding::{Finding, Gap, Severity};
use crate::physics::linkage::DeadCentre;
use crate::proof::{Answer, Verdict, Zone};
use crate::setup::{DeviceId, Exact, FreeTravel, Input, Linkage, Path};

/// The rule's name.
pub const NAME: &str = "dead-centre-within-reach";

/// Once for each side of each linkage that has a dead centre there, and each state that can differ from
/// piloting.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    for (id, device) in context.setup.devices.iter().enumerate() {
        let Some(linkage) = &device.facts.linkage else { continue };
        for sign in [-1, 1] {
            // Parts that do not even fit at rest are for another rule.
            let Ok(Some(free)) = linkage.free_travel(sign) else { continue };
            for (state, place) in driven_places(context, id) {
                findings.push(judge(context, (id, linkage), (sign, free), &state, &place));
            }
        }
    }
}

/// Where something drives a device, with the name of the state. At power-up nothing does.
fn driven_places(context: &Context, device: DeviceId) -> Vec<(String, Place)> {
    let mut places: Vec<(String, Place)> = vec![("piloting".into(), context.piloting(device))];
    for state in context.states().iter().filter(|s| s.kind != StateKind::PowerUp) {
        let place = &state.places[device];
        if *place != Place::Still && !places.iter().any(|(_, p)| p == place) {
            places.push((state.name.clone(), place.clone()));
        }
    }
    places
}

fn judge(
    context: &Context,
    (id, linkage): (DeviceId, &Linkage),
    (sign, free): (i32, &FreeTravel),
    state: &str,
    place: &Place,
) -> Finding {
    let setup = context.setup;
    let name = &setup.devices[id].name;
    let driven = linkage.driven_name();
    let beyond = |distance: &Exact| {
        context.ask(id, place, &context.everything, sign, &|slack| {
            let edge = distance - slack;
            if sign < 0 { Zone::up_to(-edge) } else { Zone::from(edge) }
        })
    };
    let answer = settled(beyond(&free.surely_free), || free.met_by.as_ref().map(beyond));
    let (in_line, then) = match free.what {
        DeadCentre::Locks => ("rod and lever", "jams or flips over"),
        DeadCentre::Reverses => ("horn and rod", "goes back"),
    };
    let in_line = if driven == "slide" { in_line.replace("lever", "its way") } else { in_line.to_owned() };
    let signed = |distance: &Exact| say::signed_percent(&(distance * Exact::int(i64::from(sign))));
    let slack = setup.slack(id, sign, place.by_unit());
    let short_of = (&free.surely_free - &slack).max(Exact::ZERO);
    let mut draft =
        Draft::new(NAME, Severity::Error, name.clone(), state).on_side(sign).gap("side", Gap::Side(sign)).at(
            Path::of(["devices", name, "linkage"]),
            format!("{in_line} may come to their dead centre from {}", signed(&free.surely_free)),
        );
    draft = match (setup.devices[id].input, place) {
        (Input::Channel(channel), Place::Pilot) => {
            let side = say::way_towards(setup, channel, sign);
            let title = setup.channel_title(channel);
            let draft = draft
                .and_at(say::endpoint_path(setup, channel, side), format!("this is as far as {title} goes"));
            if matches!(answer.verdict, Verdict::Clear) {
                draft
            } else {
                super::windows::advise(context, draft, channel, side)
            }
        }
        _ => draft.help(format!("keep the position that is set short of {}", signed(&short_of))),
    };
    let longer = if driven == "slide" { "rod" } else { "lever" };
    let draft =
        draft.help(format!("or take a shorter horn or a longer {longer}, so that less turn is needed"));
    let side = if sign < 0 { "shorter" } else { "longer" };
    draft.close(
        context,
        &answer,
        &format!(
            "the linkage of {name} may pass a dead centre on the {side} side, where its {driven} {then}"
        ),
        &format!("the linkage of {name} stays short of its dead centre on the {side} side"),
    )
}

/// Clear where even the cautious end of the bounds is out of reach, met where parts within the tolerances
/// surely come there; between the two, which lie a hair apart, nobody can tell.
fn settled(cautious: Answer, certain: impl FnOnce() -> Option<Answer>) -> Answer {
    if matches!(cautious.verdict, Verdict::Clear) {
        return cautious;
    }
    match certain() {
        Some(answer) if !matches!(answer.verdict, Verdict::Clear) => answer,
        _ => Answer {
            verdict: Verdict::Unknown("it comes nearer than the tolerances can be reckoned through".into()),
            ..cautious
        },
    }
}
