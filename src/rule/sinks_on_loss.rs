//! When the link is lost for good, something that sinks may be engaged.

use super::context::Context;
use super::say::{self, Draft};
use crate::finding::{Finding, Severity};
use crate::setup::Path;

/// The rule's name.
pub const NAME: &str = "sinks-on-loss";

/// Once for each work that sinks and each state that may be the last.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    let ends = context.at_the_end();
    for (work, w) in context.works().filter(|(_, w)| w.kind.sinks()) {
        for (last, state) in &ends {
            let place = &last.places[work.device];
            let answer = context.may_engage(work, place, &context.everything, false);
            let name = setup.work_name(work);
            findings.push(
            Draft::new(NAME, Severity::Error, name.clone(), state)
                .on_side(w.sign)
                .account_engaging(context, work, place, &context.everything, false, &answer)
                .at(
                    say::threshold_path(setup, work),
                    format!("the {} may be open for good after a lost link", w.kind.name),
                )
                .and_at(Path::of(["receiver", "on_loss"]), "what the receiver does decides where it stays")
                .help("a fail-safe unit that is sure to act, or a receiver preset, must put this channel where nothing sinks her")
                .close(
                    context,
                    &answer,
                    &format!("after a lost link {name}, the {}, may stay engaged and she goes down", w.kind.name),
                    &format!("after a lost link {name} is surely off in the end"),
                ),
        );
        }
    }
}
