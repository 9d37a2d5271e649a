//! Nothing brings the boat up when the link is lost.

use super::context::Context;
use super::say::Draft;
use super::states::{Place, StateKind};
use crate::finding::{Finding, Severity};
use crate::proof::Verdict;
use crate::setup::{BoatKind, Path};

/// The rule's name.
pub const NAME: &str = "no-blow-on-loss";

/// Once for a submarine that does not float up by herself.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let boat = &context.setup.boat;
    if boat.kind != BoatKind::Submarine || boat.floats_when_stopped {
        return;
    }
    let raises = context.states().iter().any(|state| {
        matches!(state.kind, StateKind::Stage(_) | StateKind::Waiting)
            && context.works().filter(|(_, w)| w.kind.raises()).any(|(work, _)| {
                let place = &state.places[work.device];
                matches!(place, Place::Fixed { .. })
                    && matches!(
                        context.may_miss(work, place, &context.everything, false).verdict,
                        Verdict::Clear
                    )
            })
    });
    findings.push(
        Draft::new(NAME, Severity::Warning, "fail_safe".into(), "lost for good")
            .at(Path::of(["receiver", "on_loss"]), "no preset and no stage surely raises her")
            .help("add a stage or a preset that surely pumps or blows, or write `floats_when_stopped: yes` under boat if she comes up by herself")
            .close_plain(
                !raises,
                "when the link is lost nothing surely brings her up",
                "when the link is lost something surely brings her up",
            ),
    );
}
