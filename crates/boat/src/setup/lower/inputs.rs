//! What moves a device: a channel of its own, or a device that it is behind.

use super::super::model::{DeviceId, Input};
use super::Reader;
use super::mistakes::Block;
use super::text::{either, shown};
use crate::device::{self, KindInfo};
use crate::source::{Entry, Mistake};

impl Reader<'_> {
    pub(super) fn input(
        &mut self,
        block: &Block<'_>,
        kind: Option<&'static KindInfo>,
        names: &[String],
    ) -> Input {
        match (block.get("channel"), block.get("behind")) {
            (Some(channel), Some(behind)) => {
                let channel = channel.text().and_then(|word| self.channel_numbered(word, channel.span));
                self.used.channels.extend(channel);
                self.mistakes.add(
                    Mistake::at(
                        behind.span,
                        "a device has either a `channel` or a device it is `behind`",
                        "both are given",
                    )
                    .help("leave one of the two out"),
                );
                Input::None
            }
            (Some(node), None) => {
                let Some(word) = self.mistakes.text(node, "`channel`") else {
                    return Input::None;
                };
                match self.channel_numbered(word, node.span) {
                    Some(channel) => {
                        self.used.channels.insert(channel);
                        Input::Channel(channel)
                    }
                    None => Input::None,
                }
            }
            (None, Some(node)) => {
                let Some(word) = self.mistakes.text(node, "`behind`") else {
                    return Input::None;
                };
                match names.iter().position(|name| name == word) {
                    Some(other) => Input::Behind(other),
                    None => {
                        self.mistakes.not_defined(node.span, "device", word, names, "devices");
                        Input::None
                    }
                }
            }
            (None, None) => {
                if kind.is_some_and(|kind| !kind.works_alone) {
                    self.mistakes.add(
                        Mistake::at(
                            block.place,
                            format!("{} lacks the key `channel`", block.what),
                            "nothing moves it",
                        )
                        .help("write for instance `channel: 1`, or `behind:` with the name of a leveller"),
                    );
                }
                Input::None
            }
        }
    }

    /// Devices may stand behind others that pass a signal on, but not in a circle.
    pub(super) fn behind_one_another(&mut self, entries: &[Entry]) {
        for id in 0..self.devices.len() {
            let Input::Behind(other) = self.devices[id].input else {
                continue;
            };
            let Some(node) = entries[id].value.get("behind") else {
                continue;
            };
            let (name, front) = (shown(&self.devices[id].name), self.devices[other].clone());
            if self.in_circle(id) {
                self.mistakes.add(
                    Mistake::at(node.span, format!("`{name}` is behind itself"), "runs in a circle")
                        .help("give the first device of the row a `channel`"),
                );
            } else if !front.kind.passes_on && entries[other].value.get("kind").is_some() {
                let passing: Vec<&str> = device::ALL.iter().filter(|k| k.passes_on).map(|k| k.name).collect();
                self.mistakes.add(
                    Mistake::at(
                        node.span,
                        format!("`{}` is a {} and passes nothing on", shown(&front.name), front.kind.name),
                        "nothing can be behind it",
                    )
                    .help(format!("a device can be behind a {}", either(&passing))),
                );
            }
        }
    }

    fn in_circle(&self, id: DeviceId) -> bool {
        let mut at = id;
        for _ in 0..self.devices.len() {
            match self.devices[at].input {
                Input::Behind(other) if other == id => return true,
                Input::Behind(other) => at = other,
                _ => return false,
            }
        }
        false
    }
}
