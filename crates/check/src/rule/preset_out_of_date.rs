//! The receiver's presets were stored before something was changed in the set.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Severity, StateId, Subject};
use crate::question::Question;
use crate::setup::{OnLoss, Path};

pub(super) const NAME: &str = "preset-out-of-date";

/// Once for each preset of which the file says what the set showed when it was stored.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    let OnLoss::Preset { values, .. } = &setup.receiver.on_loss else { return };
    for stored in &setup.receiver.presets.stored_with {
        if !values.iter().any(|(channel, _)| *channel == stored.channel) {
            continue;
        }
        let now = &setup.channels[stored.channel];
        let number = now.number.to_string();
        let word = |reversed: bool| if reversed { "yes" } else { "no" };
        let mut changes = Vec::new();
        // A set shows no reverse until somebody flips it.
        let reverse = now.reverse.unwrap_or(false);
        if let Some(then) = stored.reverse.filter(|&then| then != reverse) {
            changes.push(("reverse", word(then).to_owned(), word(reverse).to_owned()));
        }
        if let Some(then) = stored.sub_trim.as_ref().filter(|&then| *then != now.sub_trim) {
            let (then, now) = (say::signed_percent(then), say::signed_percent(&now.sub_trim));
            changes.push(("sub_trim", then, now));
        }
        let mut draft =
            Draft::new(NAME, Severity::Warning, Subject::Channel(stored.channel), StateId::Waiting)
                .at(
                    Path::of(["receiver", "stored_with", &number]),
                    "what the set showed when this was stored",
                )
                .and_at(
                    Path::of(["receiver", "on_loss", &number]),
                    "a pulse that no later change in the set moves",
                );
        for (key, _, _) in &changes {
            draft = draft.and_at(say::channel_path(setup, stored.channel).then(key), "changed since");
        }
        let told: Vec<String> =
            changes.iter().map(|(key, then, now)| format!("`{key}` was {then} and is {now}")).collect();
        let title = setup.channel_title(stored.channel);
        questions.push(
            draft
                .help("store the preset anew, measure it with the transmitter off, and bring `on_loss` and `stored_with` up to date")
                .fact(
                    !changes.is_empty(),
                    format!("the preset of {title} was stored with other settings: {}", told.join(", ")),
                    format!("the preset of {title} was stored with today's settings"),
                ),
        );
    }
}
