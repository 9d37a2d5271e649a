//! What is defined and never used: mostly a slip in a name or a number.

use super::super::model::{ChannelId, ControlId};
use super::Reader;
use super::pad::Block;
use super::text::shown;
use crate::source::Mistake;
use std::collections::BTreeSet;

/// What something in the file refers to.
#[derive(Default)]
pub(super) struct Uses {
    pub(super) controls: BTreeSet<ControlId>,
    pub(super) channels: BTreeSet<ChannelId>,
}

impl<'a> Reader<'a> {
    pub(super) fn unused(&mut self, top: &Block<'a>) {
        let controls = top.get("controls").map(|n| n.entries()).unwrap_or_default();
        for (id, entry) in controls.iter().enumerate() {
            if !self.used.controls.contains(&id) {
                self.pad.add(
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
                self.pad.add(
                    Mistake::at(
                        block.place,
                        format!("no device listens to channel {number}"),
                        "leads nowhere",
                    )
                    .help(format!("give a device `channel: {number}`, or write `spare: yes` here")),
                );
            }
        }
    }
}
