//! The section `channels`.

use super::super::exact::Exact;
use super::super::keys::channel::{CHANNEL, MIX, NEED_CONTROL, WANT};
use super::super::model::{Channel, ChannelId, ControlId, Mix, MixOf, Rate, Side, Want};
use super::Reader;
use super::mistakes::Block;
use super::text::shown;
use crate::source::{Entry, Mistake, Node, Value};

impl<'a> Reader<'a> {
    pub(super) fn channels(&mut self, top: &Block<'a>, most: u8) {
        let Some(node) = self.mistakes.require(top, "channels") else {
            return;
        };
        let Some(block) = self.mistakes.open_block(node, node.span, "`channels`") else {
            return;
        };
        if block.entries().is_empty() {
            self.mistakes.add(
                Mistake::at(node.span, "`channels` is empty", "nothing is sent")
                    .help("write for instance `channels: {1: {control: helm}}`"),
            );
        }
        let mut numbered: Vec<(u8, &'a Entry)> = Vec::new();
        for entry in block.entries() {
            let Some(number) = entry.key.parse::<u8>().ok().filter(|n| *n > 0) else {
                self.mistakes.add(
                    Mistake::at(
                        entry.key_span,
                        format!("`{}` is not the number of a channel", shown(&entry.key)),
                        "not a number",
                    )
                    .help("key each channel by its number on the receiver and give it a `name`"),
                );
                continue;
            };
            if number > most {
                let mut mistake = Mistake::at(
                    entry.key_span,
                    format!("the transmitter has {most} channels, there is no channel {number}"),
                    "too high",
                )
                .help("check the number, or `channels` under `transmitter` (8 when left out)");
                if let Some(node) = top.get("transmitter").and_then(|t| t.get("channels")) {
                    mistake = mistake.also(node.span, "as many as are said to be there");
                }
                self.mistakes.add(mistake);
            }
            if let Some((_, first)) = numbered.iter().find(|(n, _)| *n == number) {
                self.mistakes.add(
                    Mistake::at(
                        entry.key_span,
                        format!("channel {number} stands here twice"),
                        "the second time",
                    )
                    .also(first.key_span, "the first time")
                    .help("keep one of the two, or correct its number"),
                );
                continue;
            }
            numbered.push((number, entry));
        }
        numbered.sort_by_key(|(number, _)| *number);
        self.numbers = numbered.iter().map(|(number, _)| *number).collect();
        for (number, entry) in numbered {
            let block =
                self.mistakes.block(&entry.value, entry.key_span, format!("channel {number}"), &CHANNEL);
            let channel = self.channel(number, block.as_ref());
            self.channels.push(channel);
            self.channel_blocks.push(block);
        }
        self.cycles();
        self.measured_pulses();
    }

    fn channel(&mut self, number: u8, block: Option<&Block<'a>>) -> Channel {
        let full = || Rate { switch: None, values: vec![Exact::ONE] };
        let mut channel = Channel {
            number,
            name: None,
            control: None,
            longer: Side::High,
            longer_measured: false,
            reverse: None,
            rate: [full(), full()],
            expo: Exact::ZERO,
            endpoints: [Exact::ONE, Exact::ONE],
            sub_trim: Exact::ZERO,
            mixes: Vec::new(),
            wants: [Vec::new(), Vec::new()],
            measured: Vec::new(),
            slow: None,
            spare: false,
        };
        let Some(block) = block else {
            return channel;
        };
        channel.name = self.mistakes.optional_text(block, "name");
        channel.spare = self.mistakes.yes_no(block, "spare").unwrap_or(false);
        channel.slow = block.get("slow").and_then(|node| self.seconds(node, "`slow`"));
        if let Some(node) = block.get("control")
            && let Some(word) = self.mistakes.text(node, "`control`")
        {
            channel.control = self.control_named(word, node.span);
        }
        if block.get("control").is_none() {
            for key in NEED_CONTROL {
                if let Some(node) = block.get(key) {
                    self.mistakes.add(
                        Mistake::at(
                            node.span,
                            format!("channel {number} has `{key}` but no control"),
                            "nothing to apply it to",
                        )
                        .help(format!("name its control, or leave `{key}` out")),
                    );
                }
            }
        }
        if let Some(node) = block.get("mixes") {
            channel.mixes = self.mixes(node);
        }
        // A channel that only mixes move has the ways of what is mixed in first.
        let mixed = channel.mixes.iter().find_map(|mix| match mix.of {
            MixOf::Control(control) => Some(control),
            MixOf::Channel(_) => None,
        });
        let unread = block.get("control").is_some() && channel.control.is_none();
        let ways = channel.control.or(if unread { None } else { mixed });
        channel.reverse = self.mistakes.yes_no(block, "reverse");
        channel.longer = if channel.reverse == Some(true) { Side::Low } else { Side::High };
        if let Some(node) = block.get("longer")
            && let Some(word) = self.mistakes.text(node, "`longer`")
            && let Some(side) = self.way_of_channel(ways, unread, number, word, node)
        {
            channel.longer = side;
            channel.longer_measured = true;
        }
        if let (Some(node), Some(control)) = (block.get("rate"), channel.control)
            && let Some(rate) = self.rate(node, control, channel.longer)
        {
            channel.rate = rate;
        }
        if let Some(node) = block.get("expo")
            && let Some(expo) = self.percent(node, "`expo`", &Exact::ZERO, &Exact::ONE)
        {
            channel.expo = expo;
        }
        if let Some(node) = block.get("endpoints") {
            let furthest = self.furthest.clone();
            if let Value::Map(entries) = &node.value {
                for entry in entries {
                    let side = self.way_of_channel_key(ways, unread, number, entry);
                    let value = self.percent(&entry.value, "an endpoint", &Exact::ZERO, &furthest);
                    if let (Some(side), Some(value)) = (side, value) {
                        channel.endpoints[side.index()] = value;
                    }
                }
            } else if let Some(value) = self.percent(node, "an endpoint", &Exact::ZERO, &furthest) {
                channel.endpoints = [value.clone(), value];
            }
        }
        if let Some(node) = block.get("sub_trim")
            && let Some(value) = self.signed_share(node, "`sub_trim`", 125)
        {
            channel.sub_trim = value;
        }
        channel
    }

    fn way_of_channel_key(
        &mut self,
        ways: Option<ControlId>,
        unread: bool,
        number: u8,
        entry: &Entry,
    ) -> Option<Side> {
        let node = Node { span: entry.key_span, value: entry.value.value.clone() };
        self.way_of_channel(ways, unread, number, &entry.key, &node)
    }

    fn way_of_channel(
        &mut self,
        ways: Option<ControlId>,
        unread: bool,
        number: u8,
        word: &str,
        node: &Node,
    ) -> Option<Side> {
        if let Some(control) = ways {
            return self.way(control, word, node.span);
        }
        if !unread {
            self.mistakes.add(
                Mistake::at(
                    node.span,
                    format!("channel {number} has no control, so it has no way `{}`", shown(word)),
                    "whose way?",
                )
                .help("name its control, or leave the ways out"),
            );
        }
        None
    }

    fn mixes(&mut self, node: &'a Node) -> Vec<Mix> {
        let example = "mixes: [{add: 15 %, of: helm}]";
        let mut mixes = Vec::new();
        for item in self.mistakes.list(node, "`mixes`", example).unwrap_or_default() {
            let Some(block) = self.mistakes.block(item, item.span, "a mix", &MIX) else {
                continue;
            };
            let add = self.mistakes.require(&block, "add");
            let add = add.and_then(|node| self.percent(node, "`add`", &Exact::int(-2), &Exact::int(2)));
            let of = self.mistakes.require(&block, "of").and_then(|node| self.mix_of(node));
            let when = block.get("when").map(|node| self.conditions(node, "`when`")).unwrap_or_default();
            let with_trim = self.mistakes.yes_no(&block, "with_trim").unwrap_or(false);
            if let (Some(MixOf::Channel(_)), Some(node)) = (of, block.get("with_trim")) {
                self.mistakes.add(
                    Mistake::at(node.span, "a mix of a channel takes no `with_trim`", "does not belong here")
                        .help("leave it out: the channel's signal holds its trim where the set adds it before the endpoint"),
                );
            }
            if let (Some(add), Some(of)) = (add, of) {
                mixes.push(Mix { add, of, when, with_trim });
            }
        }
        mixes
    }

    fn mix_of(&mut self, node: &Node) -> Option<MixOf> {
        let word = self.mistakes.text(node, "`of`")?;
        if let Some(number) = word.strip_prefix("channel ")
            && !self.controls.iter().any(|c| c.name == word)
        {
            let channel = self.channel_numbered(number.trim(), node.span)?;
            self.used.channels.insert(channel);
            return Some(MixOf::Channel(channel));
        }
        self.control_named(word, node.span).map(MixOf::Control)
    }

    /// A channel that is mixed into itself, perhaps by way of others, has no value.
    fn cycles(&mut self) {
        let next = |channel: ChannelId| {
            self.channels[channel].mixes.iter().filter_map(|mix| match mix.of {
                MixOf::Channel(other) => Some(other),
                MixOf::Control(_) => None,
            })
        };
        let mut round = None;
        for start in 0..self.channels.len() {
            let mut reached = vec![false; self.channels.len()];
            let mut open: Vec<ChannelId> = next(start).collect();
            while let Some(channel) = open.pop() {
                if !std::mem::replace(&mut reached[channel], true) {
                    open.extend(next(channel));
                }
            }
            if reached[start] {
                round = Some(start);
                break;
            }
        }
        if let Some(channel) = round {
            let number = self.numbers[channel];
            let of = self.channel_blocks[channel].as_ref().and_then(|b| b.get("mixes"));
            let items = of.map(|n| self.mistakes.one_or_list(n)).unwrap_or_default();
            let place = items
                .iter()
                .filter_map(|item| item.get("of"))
                .find(|n| n.text().is_some_and(|t| t.starts_with("channel ")))
                .or(of);
            if let Some(place) = place {
                self.mistakes.add(
                    Mistake::at(
                        place.span,
                        format!("channel {number} is mixed into itself"),
                        "the mixes run in a circle",
                    )
                    .help("take one of these mixes out, or mix in the control instead of the channel"),
                );
            }
        }
    }

    /// What the ways of channels want, once the devices are known.
    pub(super) fn wanted_works(&mut self) {
        for channel in 0..self.channels.len() {
            let Some(block) = self.channel_blocks[channel].clone() else {
                continue;
            };
            let (Some(node), Some(control)) = (block.get("wants"), self.channels[channel].control) else {
                continue;
            };
            let Some(wants) = self.mistakes.open_block(node, node.span, "`wants`") else {
                continue;
            };
            for entry in wants.entries() {
                let side = self.way(control, &entry.key, entry.key_span);
                for item in self.mistakes.one_or_list(&entry.value) {
                    let want = self.want(item, channel);
                    if let (Some(side), Some(want)) = (side, want) {
                        self.channels[channel].wants[side.index()].push(want);
                    }
                }
            }
        }
    }

    fn want(&mut self, node: &'a Node, channel: ChannelId) -> Option<Want> {
        if !matches!(node.value, Value::Map(_)) {
            return self.work(node, Some(channel)).map(|work| Want { work, needs: Vec::new() });
        }
        let block = self.mistakes.block(node, node.span, "a want", &WANT)?;
        let needs = block.get("needs").map(|node| self.conditions(node, "`needs`")).unwrap_or_default();
        let work = self.mistakes.require(&block, "work")?;
        self.work(work, Some(channel)).map(|work| Want { work, needs })
    }
}
