//! Figures of water, gas and hull that cannot be worked out, or cannot be those of a boat.

use super::engine::Engine;
use super::say::Draft;
use crate::finding::{Finding, Severity, StateId, Subject};
use crate::setup::Path;

pub(super) const NAME: &str = "estimate-refused";

/// Once, for a boat of which a rehearsal leaves something out although the file gives it: what is left out
/// is not judged, and nobody is to take that for a good sign.
pub(super) fn apply(engine: &Engine, findings: &mut Vec<Finding>) {
    let refused: Vec<String> = engine.refused().iter().map(ToString::to_string).collect();
    if refused.is_empty() {
        return;
    }
    findings.push(
        Draft::new(NAME, Severity::Warning, Subject::Hull, StateId::LostForGood)
            .at(Path::of(["hull"]), "with these figures, those of the tank and the depth limit")
            .help(
                "look for a slip of the unit or of the point; what is right and still refused stays unjudged",
            )
            .close_plain(
                true,
                &format!(
                    "what a lost link does in time and water cannot be worked out in full: {}",
                    refused.join("; ")
                ),
                "",
            ),
    );
}
