//! `measured` of a channel: pulses with one way held fully, of its own control or of one that is mixed in.

use super::super::model::{ChannelId, ControlId, Measured, MixOf, Side};
use super::super::quantity::Micros;
use super::Reader;
use super::text::shown;
use super::units::UnitOfMeasure;
use crate::source::{Entry, Mistake};

impl Reader<'_> {
    /// Once all channels are known, for one may be mixed into another.
    pub(super) fn measured_pulses(&mut self) {
        for channel in 0..self.channels.len() {
            let block = self.channel_blocks[channel].as_ref();
            let Some(node) = block.and_then(|block| block.get("measured")) else { continue };
            // Of a channel whose control could not be read nothing is known.
            if self.channels[channel].control.is_none() && block.is_some_and(|b| b.get("control").is_some()) {
                continue;
            }
            let Some(measured) = self.mistakes.open_block(node, node.span, "`measured`") else { continue };
            let controls = self.controls_of(channel);
            let mut all: Vec<(usize, Measured)> = Vec::new();
            for entry in measured.entries() {
                let what = "a measured pulse";
                let way = self.measured_way(channel, &controls, entry);
                let Some(pulse) = self.mistakes.plain(&entry.value, what, &[UnitOfMeasure::Micros]) else {
                    continue;
                };
                let Some((at, side)) = way.filter(|_| self.position(&entry.value, what, None).is_some())
                else {
                    continue;
                };
                let (control, pulse, key) = (controls[at], Micros(pulse.value), entry.key.clone());
                if all.iter().any(|(_, known)| (known.control, known.side) == (control, side)) {
                    self.mistakes.add(
                        Mistake::at(entry.key_span, "a pulse was measured of this way already", "twice")
                            .help("keep one of the two"),
                    );
                    continue;
                }
                all.push((at, Measured { control, side, pulse, key }));
            }
            all.sort_by_key(|(at, of)| (*at, of.side.index()));
            self.channels[channel].measured = all.into_iter().map(|(_, of)| of).collect();
        }
    }

    /// The controls that move a channel: its own, those that are mixed in, then those of channels that are.
    fn controls_of(&self, channel: ChannelId) -> Vec<ControlId> {
        let mut found: Vec<ControlId> = Vec::new();
        let mut channels = vec![channel];
        let mut next = 0;
        while let Some(of) = channels.get(next).map(|&at| &self.channels[at]) {
            next += 1;
            let mut controls: Vec<ControlId> = of.control.into_iter().collect();
            for mix in &of.mixes {
                match mix.of {
                    MixOf::Control(control) => controls.push(control),
                    // A circle of mixes is told elsewhere.
                    MixOf::Channel(other) if !channels.contains(&other) => channels.push(other),
                    MixOf::Channel(_) => {}
                }
            }
            for control in controls {
                if !found.contains(&control) {
                    found.push(control);
                }
            }
        }
        found
    }

    /// `starboard`, or where two controls have such a way `helm.starboard`: the control's place and the side.
    fn measured_way(
        &mut self,
        channel: ChannelId,
        controls: &[ControlId],
        entry: &Entry,
    ) -> Option<(usize, Side)> {
        let number = self.numbers[channel];
        let mut named: Vec<(usize, Side)> = Vec::new();
        for (at, &control) in controls.iter().enumerate() {
            let of = &self.controls[control];
            let whole = |way: &String| format!("{}.{way}", of.name) == entry.key;
            let fits = |side: &Side| of.ways[side.index()] == entry.key || whole(&of.ways[side.index()]);
            named.extend(Side::BOTH.into_iter().filter(fits).map(|side| (at, side)));
        }
        match named.as_slice() {
            // Its own control's way is meant before any other.
            [one] => Some(*one),
            [first @ (0, _), ..] if self.channels[channel].control.is_some() => Some(*first),
            [] if controls.is_empty() => {
                self.mistakes.add(
                    Mistake::at(
                        entry.key_span,
                        format!("channel {number} has no control, so it has no way `{}`", shown(&entry.key)),
                        "whose way?",
                    )
                    .help("name its control, or leave `measured` out"),
                );
                None
            }
            [] => match controls {
                [only] => self.way(*only, &entry.key, entry.key_span).map(|side| (0, side)),
                _ => {
                    let known: Vec<String> =
                        controls.iter().flat_map(|&control| self.controls[control].ways.clone()).collect();
                    if controls.iter().all(|&control| !self.unclear[control]) {
                        let of = format!("ways of what moves channel {number}");
                        self.mistakes.not_defined(entry.key_span, "way", &entry.key, &known, &of);
                    }
                    None
                }
            },
            [(at, _), ..] => {
                let of = shown(&self.controls[controls[*at]].name);
                self.mistakes.add(
                    Mistake::at(
                        entry.key_span,
                        format!(
                            "several controls that move channel {number} have a way `{}`",
                            shown(&entry.key)
                        ),
                        "whose way?",
                    )
                    .help(format!("say whose: `{of}.{}`", shown(&entry.key))),
                );
                None
            }
        }
    }
}
