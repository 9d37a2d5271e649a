//! A control that must never be touched by mistake sits beside one that is always in use.

use super::engine::Engine;
use super::say::Draft;
use crate::finding::{Severity, StateId, Subject};
use crate::question::Question;
use crate::setup::{ControlId, Path, Reserved};
use std::collections::BTreeSet;

pub(super) const NAME: &str = "emergency-beside-busy";

/// Once for each control that lets something go or guards it, where the file says where it sits.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    let mut held_dear: BTreeSet<ControlId> = BTreeSet::new();
    for (function, w) in engine.works() {
        let guard = match w.reserved {
            Reserved::Unless(switch, _) => Some(switch),
            _ => None,
        };
        if !(w.kind.emergency || w.kind.lets_go || w.facts.dangerous || guard.is_some())
            || !engine.pilot_may_engage(function)
        {
            continue;
        }
        held_dear.extend(guard);
        if let Some(channel) = setup.channel_of(function.device) {
            held_dear.extend(engine.hands_on(channel).into_iter().map(|(control, _)| control));
        }
    }
    for &id in &held_dear {
        let control = &setup.controls[id];
        let Some(place) = control.at.as_deref().map(plain) else { continue };
        let beside = setup.controls.iter().enumerate().find(|(other, c)| {
            !held_dear.contains(other) && c.at.as_deref().map(plain).as_ref() == Some(&place)
        });
        let mut draft = Draft::new(NAME, Severity::Warning, Subject::Control(id), StateId::Piloting)
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
        questions.push(
            draft
                .help("move it to a corner of the set where nothing else is, cover it, or put a guard switch elsewhere in front of it")
                .fact(beside.is_some(), &broken, format!("{} sits by itself", control.name)),
        );
    }
}

/// Without capitals and doubled spaces.
fn plain(at: &str) -> String {
    at.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}
