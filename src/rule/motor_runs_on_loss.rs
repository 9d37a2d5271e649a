//! The propeller may turn with nobody at the stick.

use super::context::Context;
use super::say::{self, Draft};
use super::states::{Place, StateKind};
use crate::finding::{Finding, Severity};
use crate::proof::{Answer, Domain, Zone};
use crate::setup::{Device, DeviceId, Path, Setup};

/// The rule's name.
pub const NAME: &str = "motor-runs-on-loss";

/// Once for each speed controller that drives the boat and each state it may be left in.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    for (id, device) in setup.devices.iter().enumerate().filter(|(_, d)| drives_the_boat(setup, d)) {
        let ends = context.at_the_end();
        let for_good = ends.iter().any(|(s, _)| s.kind == StateKind::Waiting);
        for state in context.states() {
            // Without a known band only a position that the stick decides is surely outside it.
            if still(setup, device).is_none() && matches!(state.places[id], Place::Fixed { .. }) {
                continue;
            }
            let name = match state.kind {
                StateKind::Waiting if for_good => "lost for good",
                StateKind::Stage(_) | StateKind::PowerUp => &state.name,
                _ => continue,
            };
            findings.push(judge(context, id, device, name, &state.places[id]));
        }
    }
}

/// Whether a device drives the boat; one whose effects are not given is taken to.
pub fn drives_the_boat(setup: &Setup, device: &Device) -> bool {
    device.kind.runs_a_motor()
        && device
            .effects
            .iter()
            .all(|e| e.is_none_or(|e| setup.opposites[e.pair].iter().any(|w| w.starts_with("drives"))))
}

fn judge(context: &Context, id: DeviceId, device: &Device, state: &str, place: &Place) -> Finding {
    let (answer, sign) = outside_band(context, id, device, place, &context.everything);
    let mut draft = Draft::new(NAME, Severity::Error, device.name.clone(), state)
        .on_side(sign)
        .account(context.setup, id, None, sign, place.by_unit())
        .at(Path::of(["devices", &device.name, "still_between"]), "it stands still only in here")
        .and_at(Path::of(["receiver", "on_loss"]), "what reaches it when the link is lost");
    if state.starts_with("stage") {
        draft = draft.and_at(Path::of(["fail_safe", "stages"]), "what the unit sets");
    }
    draft
        .help("let the unit or a preset set this channel to rest, or use a speed controller that stops without pulses")
        .close(
            context,
            &answer,
            &format!("{} may keep running: {state}", device.name),
            &format!("{} stands still: {state}", device.name),
        )
}

/// Whether a device may be outside the band in which it stands still, and on which side it is worse.
pub fn outside_band(
    context: &Context,
    id: DeviceId,
    device: &Device,
    place: &Place,
    domain: &Domain,
) -> (Answer, i32) {
    let [low, high] =
        still(context.setup, device).unwrap_or([crate::setup::Exact::ZERO, crate::setup::Exact::ZERO]);
    let under = context.ask(id, place, domain, -1, &|slack| Zone::below(&low + slack));
    let over = context.ask(id, place, domain, 1, &|slack| Zone::above(&high - slack));
    super::context::worse_side(under, over)
}

/// The band in which a device stands still, if it is known; a one-way controller's is not at rest.
fn still(setup: &Setup, device: &Device) -> Option<[crate::setup::Exact; 2]> {
    if device.facts.one_way {
        return Some(super::one_way_controller::still(setup, device));
    }
    device.still_between.clone()
}

/// The band in words.
pub fn band(device: &Device) -> String {
    device.still_between.as_ref().map_or_else(String::new, |[low, high]| {
        format!("{} to {}", say::signed_percent(low), say::signed_percent(high))
    })
}
