//! One output of the receiver feeds several devices, and nobody says that its lead is split on purpose.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Severity, StateId, Subject};
use crate::question::Question;
use crate::setup::{Device, Path};

pub(super) const NAME: &str = "output-feeds-several";

/// How a lead says that it is split, in the languages of the documents: a word of it begins so, or is this letter
/// (common practice, no source: what a lead with one plug at one end and two at the other is called).
const SPLIT: [&str; 2] = ["split", "geteilt"];
const LETTER: &str = "y";

/// Once for each output with more than one device.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (id, channel) in setup.channels.iter().enumerate() {
        let devices: Vec<&Device> = setup.devices_on(id).map(|(_, device)| device).collect();
        let Some((first, others)) = devices.split_first().filter(|(_, others)| !others.is_empty()) else {
            continue;
        };
        let names = devices.iter().map(|device| device.name.as_str()).collect::<Vec<_>>().join(", ");
        let split = devices.iter().any(|device| says_split(device));
        let mut draft = Draft::new(NAME, Severity::Warning, Subject::Channel(id), StateId::Piloting)
            .at(Path::of(["devices", &first.name, "channel"]), "one output")
            .and_at(say::channel_path(setup, id), "every pulse of it goes to all of them");
        for device in others {
            draft = draft.and_at(Path::of(["devices", &device.name, "channel"]), "the same once more");
        }
        let number = channel.number;
        questions.push(
            draft
                .name("devices", &names)
                .help("if one of them hangs on another output, write that one's number")
                .help("if the lead is split on purpose, say so under one of them: `lead: split, with ...`")
                .fact(
                    !split,
                    format!("{names} hang on the one output {number}, and no lead says that it is split"),
                    format!("{names} hang on output {number} by a lead that is split on purpose"),
                ),
        );
    }
}

fn says_split(device: &Device) -> bool {
    let lead = device.facts.lead.as_deref().unwrap_or_default().to_lowercase();
    let mut words = lead.split(|letter: char| !letter.is_alphanumeric());
    words.any(|word| word == LETTER || SPLIT.iter().any(|split| word.starts_with(split)))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::says_split;
    use crate::setup::lower;
    use crate::source::Source;

    fn said(lead: &str) -> bool {
        let text = include_str!("../../../../boats/sprat.yaml");
        let text =
            text.replace("kind: servo, channel: 1,", &format!("kind: servo, channel: 1, lead: \"{lead}\","));
        let setup = lower::lower(&Source::from_text("sprat", &text).unwrap()).unwrap();
        says_split(&setup.devices[0])
    }

    #[test]
    fn a_lead_says_that_it_is_split_in_the_words_of_either_language_and_not_by_chance() {
        for lead in
            ["split, with the lamp", "Y lead", "orange, Y-lead to port", "geteilt mit dem Licht", "Y-Kabel"]
        {
            assert!(said(lead), "{lead}");
        }
        for lead in ["yellow", "orange to port", "by the keel"] {
            assert!(!said(lead), "{lead}");
        }
    }
}
