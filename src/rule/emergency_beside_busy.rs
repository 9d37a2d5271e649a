//! A control that must never be touched by mistake sits beside one that is always in use.

use super::context::Context;
use super::say::Draft;
use crate::finding::{Finding, Severity};
use crate::setup::{ControlId, Path, Reserved};
use std::collections::BTreeSet;

/// The rule's name.
pub const NAME: &str = "emergency-beside-busy";

/// Once for each control that lets something go or guards it, where the file says where it sits.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    let mut held_dear: BTreeSet<ControlId> = BTreeSet::new();
    for (work, w) in context.works() {
        let guard = match w.reserved {
            Reserved::Unless(switch, _) => Some(switch),
            _ => None,
        };
        if !(w.kind.emergency || w.kind.lets_go || w.facts.dangerous || guard.is_some())
            || !context.pilot_may_engage(work)
        {
            continue;
        }
        held_dear.extend(guard);
        held_dear.extend(setup.channel_of(work.device).and_then(|c| setup.channels[c].control));
    }
    for &id in &held_dear {
        let control = &setup.controls[id];
        let Some(place) = control.at.as_deref().map(plain) else { continue };
        let beside = setup.controls.iter().enumerate().find(|(other, c)| {
            !held_dear.contains(other) && c.at.as_deref().map(plain).as_ref() == Some(&place)
        });
        let mut draft = Draft::new(NAME, Severity::Warning, control.name.clone(), "piloting")
            .at(Path::of(["controls", &control.name]), "must not be touched by mistake");
        let mut broken = String::new();
        if let Some((_, busy)) = beside {
            draft = draft.name("other", &busy.name).and_at(
                Path::of(["controls", &busy.name]),
                "sits at the same place and is in use all the time",
            );
            broken = format!(
                "{} sits beside {}: the hand that seeks the one finds the other",
                control.name, busy.name
            );
        }
        findings.push(
            draft
                .help("move it to a corner of the set where nothing else is, cover it, or put a guard switch elsewhere in front of it")
                .close_plain(beside.is_some(), &broken, &format!("{} sits by itself", control.name)),
        );
    }
}

/// Without capitals and doubled spaces.
fn plain(at: &str) -> String {
    at.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}
