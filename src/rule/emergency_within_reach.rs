//! The emergency gas valve, or any other reserved work, within the pilot's reach.

use super::context::Context;
use super::say::{self, Draft};
use crate::finding::{Finding, Severity};
use crate::setup::{Input, Reserved};

/// The rule's name.
pub const NAME: &str = "emergency-within-reach";

/// Once for each reserved work.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    for (work, w) in context.works() {
        let domain = match w.reserved {
            Reserved::Unless(switch, setting) => context.everything.clone().without_setting(switch, setting),
            Reserved::Always => context.everything.clone(),
            Reserved::No if w.kind.emergency => context.everything.clone(),
            Reserved::No => continue,
        };
        let place = context.piloting(work.device);
        let answer = context.may_engage(work, &place, &domain, false);
        let name = setup.work_name(work);
        let mut draft = Draft::new(NAME, Severity::Error, name.clone(), "piloting")
            .on_side(w.sign)
            .account_engaging(context, work, &place, &domain, false, &answer);
        let edge = say::signed_percent(&w.from.nearest(w.sign));
        if let Input::Channel(channel) = setup.devices[work.device].input {
            let side = say::way_towards(setup, channel, w.sign);
            draft = draft
                .at(
                    say::endpoint_path(setup, channel, side),
                    format!("this lets {} reach the {}", setup.channel_title(channel), w.kind.name),
                )
                .and_at(say::threshold_path(setup, work), format!("it may {} from {edge}", w.kind.verb));
            if !matches!(answer.verdict, crate::proof::Verdict::Clear) {
                draft = super::windows::advise(context, draft, channel, side);
            }
        } else {
            draft = draft.at(say::threshold_path(setup, work), format!("it may {} from {edge}", w.kind.verb));
        }
        findings.push(draft.close(
            context,
            &answer,
            &format!("piloting can reach {name}, the {}", w.kind.name),
            &format!("piloting never reaches {name}, the {}", w.kind.name),
        ));
    }
}
