//! Something that heats, fires or is called dangerous may go on when the link is lost.

use super::context::Context;
use super::say::{self, Draft};
use super::states::{Place, StateKind};
use crate::finding::{Finding, Severity};
use crate::setup::{Path, Reserved};

/// The rule's name.
pub const NAME: &str = "burns-on-after-loss";

/// Once for each such work and each state in which a lost link may leave her.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    for (work, w) in context.works() {
        let runs_on = w.kind.heats || w.facts.dangerous;
        if !(runs_on || w.kind.lets_go) {
            continue;
        }
        for (state, name) in context.at_the_end() {
            let place = &state.places[work.device];
            // What fires or lets go does so once: holding it where it was does nothing new. A
            // reserved work is the business of the rules about presets and stages.
            let fires = matches!(place, Place::Fixed { .. }) && w.reserved == Reserved::No;
            if !(runs_on || fires) {
                continue;
            }
            let held = context.pilot_may_engage(work);
            let answer = context.may_engage(work, place, &context.everything, held);
            let title = setup.work_name(work);
            let path = match state.kind {
                StateKind::Stage(index) => Path::of(["fail_safe", "stages", &index.to_string()]),
                _ => Path::of(["receiver", "on_loss"]),
            };
            findings.push(
                Draft::new(NAME, Severity::Error, title.clone(), name)
                    .on_side(w.sign)
                    .account_engaging(context, work, place, &context.everything, held, &answer)
                    .at(path, "what reaches it when the link is lost")
                    .and_at(
                        say::threshold_path(setup, work),
                        format!("may be engaged from {}", say::signed_percent(&w.from.nearest(w.sign))),
                    )
                    .help("set this channel to where it is surely off, by a preset or by a stage; for fire, steam and fuel have a tap or switch to hand as well")
                    .close(
                        context,
                        &answer,
                        &format!("{title}, the {}, may go on with the link lost: {name}", w.kind.name),
                        &format!("{title} is off with the link lost: {name}"),
                    ),
            );
        }
    }
}
