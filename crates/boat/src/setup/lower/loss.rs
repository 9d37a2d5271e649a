//! The sections `receiver` and `fail_safe`: what happens when the link is lost.

use super::super::exact::Exact;
use super::super::facts::{Presets, StoredWith, Supply};
use super::super::keys::loss::{FAIL_SAFE, LOW_BATTERY, NOTICES, PRESET, RECEIVER, STAGE, STORED};
use super::super::model::{
    ChannelId, FailSafe, Figure, Notices, OnLoss, Others, Path, Receiver, Stage, UntilItActs, WorkRef,
};
use super::super::quantity::{Micros, Seconds, Volts};
use super::super::unknown;
use super::Reader;
use super::dialled::dialled;
use super::dive::current;
use super::mistakes::{Block, EXACT, NOT_MEASURED};
use super::text::{all, shown};
use super::transmitter::off_at_most;
use super::units::{UnitOfMeasure, says_off};
use crate::source::{Entry, Mistake, Node, Value};

/// What a unit makes of its channels before it acts.
pub(in crate::setup) const UNTIL_IT_ACTS: &[(&str, UntilItActs)] =
    &[("holds", UntilItActs::Holds), ("passes", UntilItActs::Passes)];

pub(in crate::setup) const OTHERS: &[(&str, Others)] =
    &[("no pulses", Others::NoPulses), ("hold", Others::Hold), ("noise", Others::Noise)];

impl<'a> Reader<'a> {
    pub(super) fn receiver(&mut self, top: &Block<'a>) -> Receiver {
        let mut receiver = Receiver {
            on_loss: OnLoss::NoPulses,
            after: None,
            supply: Supply::default(),
            presets: Presets::default(),
        };
        let Some(block) = self.mistakes.section(top, "receiver", &RECEIVER) else {
            return receiver;
        };
        receiver.after = block.get("after").and_then(|node| self.wait(node, "`after`"));
        receiver.supply.browns_out = block
            .get("browns_out")
            .and_then(|node| self.mistakes.amount(node, "`browns_out`", &[UnitOfMeasure::Volts]))
            .map(|q| Volts(q.value));
        receiver.supply.current = current(&mut self.mistakes, &block, "supply");
        if let Some(node) = block.get("on_loss") {
            receiver.on_loss = self.on_loss(node);
        }
        if let Some(node) = block.get("presets") {
            let items = self.mistakes.list(node, "`presets`", "presets: [3]").unwrap_or_default();
            // An output may be able to and have nothing plugged in.
            let outputs = items.iter().filter_map(|item| self.mistakes.whole(item, "an output", 1, 99));
            receiver.presets.outputs = Some(outputs.collect());
        }
        if let Some(node) = block.get("stored_with") {
            receiver.presets.stored_with = self.stored_with(node);
        }
        receiver
    }

    /// `{4: {reverse: yes, sub_trim: 0 %}}`
    fn stored_with(&mut self, node: &'a Node) -> Vec<StoredWith> {
        let Some(block) = self.mistakes.open_block(node, node.span, "`stored_with`") else {
            return Vec::new();
        };
        let mut all = Vec::new();
        for entry in block.entries() {
            let channel = self.channel_numbered(&entry.key, entry.key_span);
            let what = format!("what was stored for channel {}", shown(&entry.key));
            let Some(stored) = self.mistakes.block(&entry.value, entry.key_span, what, &STORED) else {
                continue;
            };
            let reverse = self.mistakes.yes_no(&stored, "reverse");
            let sub_trim = stored.get("sub_trim").and_then(|node| self.signed_share(node, "`sub_trim`", 125));
            all.extend(channel.map(|channel| StoredWith { channel, reverse, sub_trim }));
        }
        all
    }

    pub(super) fn seconds(&mut self, node: &Node, what: &str) -> Option<Seconds> {
        self.mistakes.amount(node, what, &[UnitOfMeasure::Seconds]).map(|q| Seconds(q.value))
    }

    fn wait(&mut self, node: &Node, what: &str) -> Option<Seconds> {
        let wait = self.seconds(node, what)?;
        if wait.0 > Exact::int(unknown::MOST_WAIT) {
            self.mistakes.add(
                Mistake::at(
                    node.span,
                    format!("{what} of {wait}"),
                    format!("more than {} s", unknown::MOST_WAIT),
                )
                .help("it is told in seconds; nothing that waits for so long saves a boat"),
            );
        }
        Some(wait)
    }

    fn on_loss(&mut self, node: &'a Node) -> OnLoss {
        let Value::Map(entries) = &node.value else {
            return match self.mistakes.word(node, "`on_loss`", OTHERS) {
                Some(Others::Hold) => OnLoss::Hold,
                Some(Others::Noise) => OnLoss::Noise,
                _ => OnLoss::NoPulses,
            };
        };
        let (mut values, mut works, mut others) = (Vec::new(), Vec::new(), Others::Hold);
        for entry in entries {
            match entry.key.as_str() {
                "works" => works = self.work_list(&entry.value),
                "others" => {
                    others = self.mistakes.word(&entry.value, "`others`", OTHERS).unwrap_or(others);
                }
                _ => values.extend(self.setting_of_channel(entry, &PRESET.names())),
            }
        }
        OnLoss::Preset { values, others, works }
    }

    /// `4: +100 %`
    fn setting_of_channel(&mut self, entry: &'a Entry, words: &[&str]) -> Option<(ChannelId, Exact)> {
        if entry.key.parse::<u32>().is_err() {
            let or =
                if words.is_empty() { String::new() } else { format!(", or {}", super::text::either(words)) };
            self.mistakes.add(
                Mistake::at(
                    entry.key_span,
                    format!("`{}` is not the number of a channel", shown(&entry.key)),
                    "not a number",
                )
                .help(format!("write the number of a channel and a position: `4: +100 %`{or}")),
            );
            return None;
        }
        let channel = self.channel_numbered(&entry.key, entry.key_span);
        let position = self.set_position(&entry.value, "a position");
        Some((channel?, position?))
    }

    fn work_list(&mut self, node: &'a Node) -> Vec<WorkRef> {
        let items = self.mistakes.one_or_list(node);
        items.iter().filter_map(|item| self.work(item, None)).collect()
    }

    pub(super) fn fail_safe(&mut self, top: &Block<'a>) -> Option<FailSafe> {
        let block = self.mistakes.section(top, "fail_safe", &FAIL_SAFE)?;
        let mut unit = FailSafe {
            channels: Vec::new(),
            notices: Notices::NoPulses,
            tells_noise: true,
            tried: block.get("tried").and_then(|node| self.mistakes.text(node, "`tried`")).map(str::to_owned),
            until_it_acts: block
                .get("until_it_acts")
                .and_then(|node| self.mistakes.word(node, "`until_it_acts`", UNTIL_IT_ACTS)),
            accuracy: None,
            wait: None,
            stages: Vec::new(),
            low_battery: None,
            leak: self.mistakes.yes_no(&block, "leak").unwrap_or(false),
            dialled: dialled(&mut self.mistakes, &block),
        };
        // A channel that is not understood may be the one that a stage sets.
        let mut all_known = false;
        if let Some(node) = self.mistakes.require(&block, "channels") {
            let items = self.mistakes.list(node, "`channels`", "channels: [3, 5]");
            all_known = items.is_some();
            for item in items.unwrap_or_default() {
                all_known &= self.unit_channel(&mut unit, item).is_some();
            }
        }
        if let Some(node) = block.get("notices") {
            unit.notices = self.notices(node);
        }
        match block.get("accuracy") {
            Some(node) if node.text() == Some(EXACT) => unit.accuracy = Some(Micros(Exact::ZERO)),
            Some(_) => {}
            None => {
                let path = Path::of(["fail_safe", "accuracy"]);
                self.mistakes.left_out(Figure::UnitAccuracy, path, block.not_measured("accuracy"));
            }
        }
        if let Some(node) = block.get("accuracy").filter(|node| node.text() != Some(EXACT))
            && let Some(quantity) =
                self.mistakes.amount(node, "`accuracy`", &[UnitOfMeasure::Micros, UnitOfMeasure::Percent])
        {
            self.hangs_on_axis(node, quantity.unit);
            let accuracy = Micros(match quantity.unit {
                UnitOfMeasure::Micros => quantity.value,
                // The wider side of the scale, so that nothing is promised that is not kept.
                _ => quantity.value / Exact::int(100) * self.axis.span(-1).max(self.axis.span(1)),
            });
            off_at_most(&mut self.mistakes, node, &accuracy, unknown::MOST_UNIT_OFF);
            unit.accuracy = Some(accuracy);
        }
        unit.wait = block.get("wait").and_then(|node| self.wait(node, "`wait`"));
        if let Some(node) = self.mistakes.require(&block, "stages") {
            let items = self.mistakes.list(node, "`stages`", "stages: [{name: rest, set: {3: 0 %}}]");
            if let Some([]) = items {
                self.mistakes.add(
                    Mistake::at(node.span, "a unit without stages does nothing", "empty")
                        .help("write at least one: `stages: [{name: rest, set: {3: 0 %}}]`"),
                );
            }
            let items = items.unwrap_or_default();
            for (index, item) in items.iter().enumerate() {
                let stage = self.stage(item, index + 1 == items.len(), &unit, all_known);
                unit.stages.extend(stage);
            }
        }
        if let Some(node) = block.get("low_battery") {
            unit.low_battery = self.low_battery(node);
        }
        Some(unit)
    }

    fn unit_channel(&mut self, unit: &mut FailSafe, item: &Node) -> Option<ChannelId> {
        let word = self.mistakes.text(item, "a channel")?;
        let channel = self.channel_numbered(word, item.span)?;
        self.used.channels.insert(channel);
        if unit.channels.contains(&channel) {
            self.mistakes.add(
                Mistake::at(
                    item.span,
                    format!("channel {} runs through the unit twice", shown(word)),
                    "the second time",
                )
                .help("name each channel once"),
            );
        } else {
            unit.channels.push(channel);
        }
        Some(channel)
    }

    fn notices(&mut self, node: &'a Node) -> Notices {
        if !matches!(node.value, Value::Map(_)) {
            match node.text() {
                Some("no pulses") => {}
                Some("invalid pulses") => return Notices::InvalidPulses,
                _ => self.mistakes.add(
                    Mistake::at(node.span, "`notices` does not say what the unit watches for", "not known")
                        .help("write `no pulses`, `invalid pulses` where it tells noise from a signal, or `{channel: 7, beyond: +80 %}` where it watches for a preset"),
                ),
            }
            return Notices::NoPulses;
        }
        let Some(block) = self.mistakes.block(node, node.span, "`notices`", &NOTICES) else {
            return Notices::NoPulses;
        };
        let channel = self
            .mistakes
            .require(&block, "channel")
            .and_then(|node| self.mistakes.text(node, "`channel`").map(|word| (word, node.span)))
            .and_then(|(word, span)| self.channel_numbered(word, span));
        self.used.channels.extend(channel);
        let beyond = self.mistakes.require(&block, "beyond").and_then(|node| {
            let beyond = self.position(node, "`beyond`", None)?;
            if let Some(text) = node.text().filter(|text| !says_off(text)) {
                let path = Path::of(["fail_safe", "notices", "beyond"]);
                self.mistakes.left_out(Figure::UnitTolerance, path, text.ends_with(NOT_MEASURED));
            }
            if beyond.value.is_zero() {
                self.mistakes.add(
                    Mistake::at(node.span, "`beyond` lies at rest, on neither side", "which side?")
                        .help("write the threshold with its sign: `beyond: +80 %`"),
                );
            }
            Some(beyond)
        });
        match (channel, beyond) {
            (Some(channel), Some(beyond)) => Notices::Channel { channel, beyond },
            _ => Notices::NoPulses,
        }
    }

    fn stage(&mut self, item: &'a Node, last: bool, unit: &FailSafe, all_known: bool) -> Option<Stage> {
        let block = self.mistakes.block(item, item.span, "a stage", &STAGE)?;
        let place = item.entry("name").map_or(block.place, |e| e.value.span);
        let name = self.mistakes.require(&block, "name").and_then(|node| self.mistakes.text(node, "`name`"));
        let name = name.unwrap_or_default().to_owned();
        if unit.stages.iter().any(|stage| stage.name == name && !name.is_empty()) {
            self.mistakes.add(
                Mistake::at(place, format!("two stages are called `{}`", shown(&name)), "the second one")
                    .help("give each stage a name of its own"),
            );
        }
        let lasts = block.get("lasts").and_then(|node| self.seconds(node, "`lasts`"));
        if block.get("lasts").is_none() && !last {
            self.mistakes.add(
                Mistake::at(
                    place,
                    format!("the stage `{}` does not say how long it lasts", shown(&name)),
                    "no `lasts` here",
                )
                .help(
                    "write for instance `lasts: 14 s`; only the last stage may hold until the signal returns",
                ),
            );
        }
        let mut set = Vec::new();
        if let Some(node) = block.get("set")
            && let Some(settings) = self.mistakes.open_block(node, node.span, "`set`")
        {
            for entry in settings.entries() {
                let Some((channel, position)) = self.setting_of_channel(entry, &[]) else {
                    continue;
                };
                if all_known && !unit.channels.contains(&channel) {
                    let known: Vec<String> =
                        unit.channels.iter().map(|c| self.numbers[*c].to_string()).collect();
                    self.mistakes.add(
                        Mistake::at(
                            entry.key_span,
                            format!("channel {} does not run through the unit", shown(&entry.key)),
                            "the unit cannot set it",
                        )
                        .help(format!("its `channels` are {}", all(&known))),
                    );
                }
                set.push((channel, position));
            }
        }
        let works = block.get("works").map(|node| self.work_list(node)).unwrap_or_default();
        Some(Stage { name, lasts, set, works })
    }

    fn low_battery(&mut self, node: &'a Node) -> Option<(usize, Volts)> {
        let block = self.mistakes.block(node, node.span, "`low_battery`", &LOW_BATTERY)?;
        let battery = self.mistakes.require(&block, "battery").and_then(|node| self.battery_named(node));
        let below = self
            .mistakes
            .require(&block, "below")
            .and_then(|node| self.mistakes.amount(node, "`below`", &[UnitOfMeasure::Volts]));
        Some((battery?, Volts(below?.value)))
    }
    /// The battery of a name, by index.
    pub(super) fn battery_named(&mut self, node: &'a Node) -> Option<usize> {
        let word = self.mistakes.text(node, "`battery`")?;
        let found = self.batteries.iter().position(|name| name == word);
        if found.is_none() {
            let known: Vec<&str> = self.batteries.iter().map(String::as_str).collect();
            self.mistakes.not_defined(node.span, "battery", word, &known, "batteries");
        }
        found
    }
}
