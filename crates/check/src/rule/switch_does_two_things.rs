//! A switch that works something grave also changes how something else feels.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Severity, StateId, Subject};
use crate::question::Question;
use crate::setup::{ChannelId, ControlId, Path, Reserved, WorkRef};

pub(super) const NAME: &str = "switch-does-two-things";

/// Once for each switch that works or guards something grave.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (id, control) in setup.controls.iter().enumerate().filter(|(_, c)| !c.settings.is_empty()) {
        let Some((function, on)) = grave_on(engine, id) else { continue };
        let what = setup.work_name(function);
        let other = (0..setup.channels.len()).find(|&c| c != on && chooses_feel(engine, c, id));
        let mut draft = Draft::new(NAME, Severity::Warning, Subject::Control(id), StateId::Piloting)
            .at(Path::of(["controls", &control.name]), "one switch, two things")
            .and_at(say::channel_path(setup, on), format!("here it decides about {what}"));
        let mut broken = String::new();
        if let Some(other) = other {
            let title = setup.channel_title(other);
            draft = draft
                .and_at(say::channel_path(setup, other), "here it chooses a rate or a mix")
                .place("work", Subject::Function(function))
                .place("channel", Subject::Channel(other));
            broken = format!("{} decides about {what} and about the feel of {title}", control.name);
        }
        questions.push(
            draft
                .help("give one of the two a switch of its own; if it is meant so, accept it and say why")
                .fact(other.is_some(), &broken, format!("{} decides about {what} only", control.name)),
        );
    }
}

/// Something grave that a switch works or guards, and on which channel.
fn grave_on(engine: &Engine, switch: ControlId) -> Option<(WorkRef, ChannelId)> {
    let setup = engine.setup;
    engine.works().find_map(|(work, w)| {
        let channel = setup.channel_of(work.device)?;
        let guards = matches!(w.reserved, Reserved::Unless(guard, _) if guard == switch);
        let works = engine.hands_on(channel).iter().any(|&(control, _)| control == switch)
            && (w.kind.is_grave() || w.can_hurt())
            && engine.pilot_may_engage(work);
        (guards || works).then_some((work, channel))
    })
}

/// Whether a switch chooses a rate or a mix of a channel that works nothing grave itself.
fn chooses_feel(engine: &Engine, channel: ChannelId, switch: ControlId) -> bool {
    let c = &engine.setup.channels[channel];
    let chooses = c.rate.iter().any(|rate| rate.switch == Some(switch))
        || c.mixes.iter().any(|mix| mix.when.iter().any(|when| when.0 == switch));
    chooses && !engine.works_on(channel).any(|(_, w)| w.kind.is_grave() || w.can_hurt())
}
