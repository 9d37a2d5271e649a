//! Nothing brings the boat up when the link is lost.

use super::context::Context;
use super::say::Draft;
use super::states::Place;
use crate::finding::{Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::{BoatKind, Path};

/// The rule's name.
pub const NAME: &str = "no-blow-on-loss";

/// Once for a submarine that does not float up by herself.
pub fn ask<'a>(context: &Context<'a>, questions: &mut Vec<Question<'a>>) {
    let boat = &context.setup.boat;
    if boat.kind != BoatKind::Submarine || boat.floats_when_stopped {
        return;
    }
    let raises = context.states().iter().any(|state| {
        matches!(state.id, StateId::Stage(_) | StateId::Waiting)
            && context.works().filter(|(_, w)| w.kind.raises()).any(|(work, _)| {
                let place = &state.places[work.device];
                let asks = Asks::Misses {
                    function: work,
                    place: place.clone(),
                    over: context.unattended(state),
                    fully: false,
                };
                matches!(place, Place::Fixed { .. }) && context.holds(&asks)
            })
    });
    questions.push(
        Draft::new(NAME, Severity::Warning, Subject::Unit, StateId::LostForGood)
            .at(Path::of(["receiver", "on_loss"]), "no preset and no stage surely raises her")
            .help("add a stage or a preset that surely pumps or blows, or write `floats_when_stopped: yes` under boat if she comes up by herself")
            .fact(
                !raises,
                "when the link is lost nothing surely brings her up",
                "when the link is lost something surely brings her up",
            ),
    );
}
