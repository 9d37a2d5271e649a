//! What is defined and never used: mostly a slip in a name or a number.

use super::super::model::{ChannelId, ControlId};
use super::Reader;
use super::mistakes::Block;
use super::text::{known_are, shown};
use crate::source::{Mistake, Span};
use std::collections::BTreeSet;

/// What something in the file refers to.
#[derive(Default)]
pub(super) struct Uses {
    pub(super) controls: BTreeSet<ControlId>,
    pub(super) channels: BTreeSet<ChannelId>,
    /// Channels that are named and not defined, with every place that names them.
    pub(super) missing: Vec<(String, Vec<Span>)>,
}

impl<'a> Reader<'a> {
    pub(super) fn unused(&mut self, top: &Block<'a>) {
        let mut missing = self.missing_channels();
        let controls = top.get("controls").map(|n| n.entries()).unwrap_or_default();
        for (id, entry) in controls.iter().enumerate() {
            if !self.used.controls.contains(&id) {
                // What only a missing channel would use is no mistake of its own.
                if let Some(first) = missing.first_mut() {
                    first.labels.push((entry.key_span, format!("nothing else uses `{}`", shown(&entry.key))));
                    continue;
                }
                self.mistakes.add(
                    Mistake::at(entry.key_span, format!("nothing uses the control `{}`", shown(&entry.key)), "never named again")
                        .help("name it as the `control` of a channel, in a mix, a `rate`, a `when` or an `unless`, or take it out"),
                );
            }
        }
        for id in 0..self.channel_blocks.len() {
            let Some(block) = self.channel_blocks[id].clone() else {
                continue;
            };
            if !self.channels[id].spare && !self.used.channels.contains(&id) {
                let number = self.numbers[id];
                if let Some(first) = missing.first_mut() {
                    first.labels.push((block.place, "no device listens to this one".to_owned()));
                    continue;
                }
                self.mistakes.add(
                    Mistake::at(
                        block.place,
                        format!("no device listens to channel {number}"),
                        "leads nowhere",
                    )
                    .help(format!("give a device `channel: {number}`, or write `spare: yes` here")),
                );
            }
        }
        missing.into_iter().for_each(|mistake| self.mistakes.add(mistake));
    }

    /// One mistake for each channel that is not defined, with all that names it.
    fn missing_channels(&mut self) -> Vec<Mistake> {
        let known: Vec<String> = self.numbers.iter().map(u8::to_string).collect();
        let help = format!(
            "{}; if this one was forgotten, describe it under `channels`",
            known_are(&known, "channels")
        );
        let mut all = Vec::new();
        for (word, mut places) in std::mem::take(&mut self.used.missing) {
            places.sort();
            let mut places = places.into_iter();
            let Some(first) = places.next() else { continue };
            let message = format!("there is no channel `{}`", shown(&word));
            let mistake = Mistake::at(first, message, "not defined under `channels`").help(help.clone());
            all.push(places.fold(mistake, |mistake, place| mistake.also(place, "named here, too")));
        }
        all
    }
}
