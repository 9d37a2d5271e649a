//! The receiver's preset engages something that sinks, or something reserved.

use super::context::Context;
use super::say::{self, Draft};
use super::states::{Place, StateKind};
use crate::finding::{Finding, Severity};
use crate::setup::{Input, OnLoss, Path, Reserved};

/// The rule's name.
pub const NAME: &str = "waiting-engages";

/// Once for each work that a preset must leave alone.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    let OnLoss::Preset { works: named, .. } = &setup.receiver.on_loss else { return };
    let Some(waiting) = context.states().iter().find(|s| s.kind == StateKind::Waiting) else { return };
    for (work, w) in context.works() {
        let reserved = w.kind.emergency || w.reserved != Reserved::No;
        if !(w.kind.sinks() || (reserved && !named.contains(&work))) {
            continue;
        }
        let place = &waiting.places[work.device];
        if !matches!(place, Place::Fixed { .. }) {
            continue;
        }
        let Input::Channel(channel) = setup.devices[work.device].input else { continue };
        let answer = context.may_engage(work, place, &context.everything, false);
        let name = setup.work_name(work);
        let number = setup.channels[channel].number.to_string();
        findings.push(
            Draft::new(NAME, Severity::Error, name.clone(), &waiting.name)
                .on_side(w.sign)
                .account_engaging(context, work, place, &context.everything, false, &answer)
                .at(Path::of(["receiver", "on_loss", &number]), format!("this preset may engage {name}"))
                .and_at(
                    say::threshold_path(setup, work),
                    format!("may be engaged from {}", say::signed_percent(&w.from.nearest(w.sign))),
                )
                .help("store another preset; after any change of reverse or of the transmitter store it anew and measure it")
                .close(
                    context,
                    &answer,
                    &format!("the receiver's preset may engage {name}, the {}", w.kind.name),
                    &format!("the receiver's preset leaves {name} surely off"),
                ),
        );
    }
}
