//! Nobody measured which way lengthens the pulse.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Severity, StateId, Subject};
use crate::question::Question;

pub(super) const NAME: &str = "sense-not-measured";

/// Once for each channel with a control.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (channel, c) in setup.channels.iter().enumerate() {
        let Some(own) = c.control else { continue };
        let way = &setup.controls[own].ways[c.longer.index()];
        let title = setup.channel_title(channel);
        questions.push(
            Draft::new(NAME, Severity::Warning, Subject::Way(channel, c.longer), StateId::Piloting)
                .at(
                    say::channel_path(setup, channel),
                    format!("`longer` is missing; {way} is assumed to lengthen the pulse"),
                )
                .place("channel", Subject::Channel(channel))
                .help(format!(
                    "hold {way} with a pulse meter or the set's servo monitor on this channel; if the pulse gets longer write `longer: {way}`, else the other way"
                ))
                .fact(
                    !c.longer_measured,
                    format!("nobody measured which way of {title} lengthens the pulse"),
                    format!("{title}: {way} lengthens the pulse, as measured"),
                ),
        );
    }
}
