//! Nothing brings the boat up when the link is lost.

use super::context::Context;
use super::say::Draft;
use super::states::{Place, State};
use crate::finding::{Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::{BoatKind, DeviceId, Path, Unit};

/// The rule's name.
pub const NAME: &str = "no-blow-on-loss";

/// Once for a submarine that does not float up by herself.
pub fn ask<'a>(context: &Context<'a>, questions: &mut Vec<Question<'a>>) {
    let boat = &context.setup.boat;
    if boat.kind != BoatKind::Submarine || boat.floats_when_stopped {
        return;
    }
    let raises = |state: &State| raises(context, state);
    let waiting = context.states().iter().any(|state| state.id == StateId::Waiting && raises(state));
    let stage = context.states().iter().any(|state| matches!(state.id, StateId::Stage(_)) && raises(state));
    let stays_waiting = context.at_the_end().iter().any(|(_, named)| *named == StateId::LostForGood);
    // What a preset does until a unit takes over does not last; a unit that hands her back leaves her to it again.
    let raised = match context.unit {
        Unit::Absent => waiting,
        Unit::Sure => stage || (stays_waiting && waiting),
        // Whether the unit notices or not she has to come up.
        Unit::Unsure => waiting && (stage || hands_back(context)),
    };
    questions.push(
        Draft::new(NAME, Severity::Warning, Subject::Unit, StateId::LostForGood)
            .at(Path::of(["receiver", "on_loss"]), "no preset and no stage surely raises her")
            .help("add a stage or a preset that surely pumps or blows, or write `floats_when_stopped: yes` under boat if she comes up by herself")
            .fact(
                !raised,
                "when the link is lost nothing surely brings her up",
                "when the link is lost something surely brings her up",
            ),
    );
}

/// Whether the last stage of the unit ends, so that the receiver has her again.
pub fn hands_back(context: &Context) -> bool {
    let unit = context.setup.fail_safe.as_ref();
    unit.is_some_and(|unit| unit.stages.last().is_some_and(|stage| stage.lasts.is_some()))
}

/// Whether a figure of the file surely works something in a state that makes her lighter.
fn raises(context: &Context, state: &State) -> bool {
    let mut pumps = super::after_loss::emptying(context.setup).into_iter();
    let mut works = context.works().filter(|(_, w)| w.kind.raises());
    pumps.any(|(device, sign)| empties(context, device, sign, state))
        || works.any(|(function, _)| {
            let place = &state.places[function.device];
            let over = context.unattended(state);
            let asks = Asks::Misses { function, place: place.clone(), over, fully: false };
            matches!(place, Place::Fixed { .. }) && context.holds(&asks)
        })
}

/// Whether a figure of the file surely runs a pump behind a controller that empties her tank. One of which the
/// band of rest is not known runs nowhere surely.
fn empties(context: &Context, device: DeviceId, sign: i32, state: &State) -> bool {
    let d = &context.setup.devices[device];
    let (Some(band), true) = (&d.still_between, d.kind.runs_a_motor() && !d.facts.one_way) else {
        return false;
    };
    let needed = band[usize::from(sign > 0)].abs();
    let place = &state.places[device];
    let asks =
        Asks::FallsShort { device, place: place.clone(), over: context.unattended(state), sign, needed };
    matches!(place, Place::Fixed { .. }) && context.holds(&asks)
}
