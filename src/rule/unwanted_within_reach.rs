//! A way of a control can engage a work that it is not there for.

use super::context::Context;
use super::say::{self, Draft};
use crate::finding::{Finding, Severity};
use crate::proof::Verdict;
use crate::setup::{Reserved, Side};

/// The rule's name.
pub const NAME: &str = "unwanted-within-reach";

/// Once for each way of a channel and each work on it that the way does not want.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    for channel in 0..setup.channels.len() {
        let Some(own) = setup.channels[channel].control else { continue };
        for side in Side::BOTH {
            let domain = context.everything.clone().with_side(own, side);
            for (work, w) in context.works_on(channel) {
                if w.kind.emergency || w.reserved != Reserved::No || context.wants(channel, side, work) {
                    continue;
                }
                let severity = if w.kind.is_grave() { Severity::Error } else { Severity::Warning };
                let place = context.piloting(work.device);
                let answer = context.may_engage(work, &place, &domain, false);
                let name = setup.work_name(work);
                let way = &setup.controls[own].ways[side.index()];
                let driving = say::way_towards(setup, channel, w.sign);
                let mut draft = Draft::new(NAME, severity, name.clone(), "piloting")
                    .on_side(w.sign)
                    .place("way", say::way_name(setup, channel, side))
                    .account_engaging(context, work, &place, &domain, false, &answer)
                    .at(
                        say::endpoint_path(setup, channel, driving),
                        format!("{way} can take the output past this work's threshold"),
                    )
                    .and_at(
                        say::threshold_path(setup, work),
                        format!("may {} from {}", w.kind.verb, say::signed_percent(&w.from.nearest(w.sign))),
                    );
                if driving == side {
                    draft = draft
                        .help(format!("if {way} is meant to work it, say so: wants: {{{way}: {}}}", w.name));
                }
                if !matches!(answer.verdict, Verdict::Clear) {
                    draft = super::windows::advise(context, draft, channel, driving);
                }
                findings.push(draft.close(
                    context,
                    &answer,
                    &format!(
                        "with {way} {name}, a {}, may {}, which {way} does not want",
                        w.kind.name, w.kind.verb
                    ),
                    &format!("{way} never reaches {name}"),
                ));
            }
        }
    }
}
