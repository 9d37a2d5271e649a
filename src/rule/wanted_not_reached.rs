//! A way held fully does not surely engage what it is there for.

use super::context::Context;
use super::say::{self, Draft};
use crate::finding::{BROKEN, Finding, Severity};
use crate::proof::Verdict;
use crate::setup::Side;

/// The rule's name.
pub const NAME: &str = "wanted-not-reached";

/// Once for each way of a channel and each work it wants.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    for channel in 0..setup.channels.len() {
        let Some(own) = setup.channels[channel].control else { continue };
        for side in Side::BOTH {
            for want in &setup.channels[channel].wants[side.index()] {
                let work = want.work;
                let w = setup.work(work);
                let domain =
                    context.everything.clone().with_position(own, side.position()).with_settings(&want.needs);
                let place = context.piloting(work.device);
                let answer = context.may_miss(work, &place, &domain, true);
                let name = setup.work_name(work);
                let way = &setup.controls[own].ways[side.index()];
                let (sentence, what, threshold) = match &w.full {
                    Some(full) => ("not_fully", "fully engaged", full),
                    None => (BROKEN, "engaged", &w.from),
                };
                let key = match (&w.full, w.from_clicks) {
                    (Some(_), _) => "full",
                    (None, true) => "clicks",
                    (None, false) => "from",
                };
                let mut draft = Draft::new(NAME, Severity::Error, name.clone(), "piloting")
                    .on_side(w.sign)
                    .sentence(sentence)
                    .place("way", say::way_name(setup, channel, side))
                    .account_missing(context, work, &place, (&domain, true), &answer)
                    .at(
                        say::endpoint_path(setup, channel, side),
                        format!("{way} held fully does not surely reach {name}"),
                    )
                    .and_at(
                        say::work_path(setup, work).then(key),
                        format!(
                            "surely {what} only from {}",
                            say::signed_percent(&threshold.farthest(w.sign))
                        ),
                    );
                if !matches!(answer.verdict, Verdict::Clear) {
                    draft = super::windows::advise(context, draft, channel, side);
                }
                findings.push(draft.close(
                    context,
                    &answer,
                    &format!("{way} held fully may leave {name}, the {}, not {what}", w.kind.name),
                    &format!("{way} held fully has {name} surely {what}"),
                ));
            }
        }
    }
}
