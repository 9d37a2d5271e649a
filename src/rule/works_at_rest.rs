//! Letting go of a control leaves something engaged.

use super::context::Context;
use super::say::{self, Draft};
use crate::finding::{Finding, Severity};
use crate::setup::Exact;

/// The rule's name.
pub const NAME: &str = "works-at-rest";

/// Once for each work on a channel whose own control returns to rest.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    for (channel, c) in setup.channels.iter().enumerate() {
        let Some(own) = c.control.filter(|&own| setup.controls[own].springs_back) else { continue };
        let domain = context.everything.clone().with_position(own, Exact::ZERO);
        for (work, w) in context.works_on(channel).filter(|(_, w)| !w.kept_on) {
            let place = context.piloting(work.device);
            let held = context.pilot_may_engage(work);
            let answer = context.may_engage(work, &place, &domain, held);
            let name = setup.work_name(work);
            let control = &setup.controls[own];
            let key = if w.releases.is_some() {
                "releases"
            } else if w.from_clicks {
                "clicks"
            } else {
                "from"
            };
            findings.push(
                Draft::new(NAME, Severity::Error, name.clone(), "piloting")
                    .on_side(w.sign)
                    .account_engaging(context, work, &place, &domain, held, &answer)
                    .at(
                        say::work_path(setup, work).then(key),
                        format!("with {} let go the servo may still be here", control.name),
                    )
                    .and_at(
                        say::channel_path(setup, channel),
                        "trim, sub-trim and mixes of this channel count",
                    )
                    .name("control", &control.name)
                    .help("lock or reduce the trim, bring the sub-trim nearer to 0 %, or move the switch or valve away from rest")
                    .help(format!("if it is meant to stay on, write `kept_on: yes` under {name}"))
                    .close(
                        context,
                        &answer,
                        &format!("{} let go may leave {name}, the {}, engaged", control.name, w.kind.name),
                        &format!("{} let go leaves {name} surely off", control.name),
                    ),
            );
        }
    }
}
