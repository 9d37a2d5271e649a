//! Finding what a name stands for: controls, their ways and settings, channels, effects, works.

use super::super::model::{
    ChannelId, ControlId, ControlKind, DeviceId, Effect, Input, Side, WorkRef, channel_of,
};
use super::Reader;
use super::boat::ALSO_CALLED;
use super::text::{either, known_are, near, shown};
use crate::source::{Mistake, Node, Span};

impl Reader<'_> {
    pub(super) fn control_names(&self) -> Vec<String> {
        self.controls.iter().map(|c| c.name.clone()).collect()
    }

    /// The control of a name, which counts as used from now on.
    pub(super) fn control_named(&mut self, word: &str, span: Span) -> Option<ControlId> {
        let found = self.controls.iter().position(|c| c.name == word);
        match found {
            Some(control) => {
                self.used.controls.insert(control);
            }
            None => {
                // What was probably meant is not to be called unused as well.
                let known = self.control_names();
                self.count_as_used(near(word, &known));
                if known.is_empty() {
                    return None;
                }
                self.mistakes.not_defined(span, "control", word, &known, "controls");
            }
        }
        found
    }

    /// A control that is named, or nearly, in a place that is wrong for another reason.
    pub(super) fn count_as_used(&mut self, word: Option<&str>) {
        let found = self.controls.iter().position(|c| Some(c.name.as_str()) == word);
        self.used.controls.extend(found);
    }

    /// The way of a control by the builder's word for it.
    pub(super) fn way(&mut self, control: ControlId, word: &str, span: Span) -> Option<Side> {
        let ways = self.controls[control].ways.clone();
        if let Some(side) = Side::BOTH.into_iter().find(|side| ways[side.index()] == word) {
            return Some(side);
        }
        if !self.unclear[control] {
            let name = shown(&self.controls[control].name);
            self.mistakes.add(
                Mistake::at(
                    span,
                    format!("`{}` is not a way of `{name}`", shown(word)),
                    match near(word, &ways) {
                        Some(near) => format!("did you mean `{near}`?"),
                        None => "not one of its ways".to_owned(),
                    },
                )
                .help(format!("write {}", either(&ways))),
            );
        }
        None
    }

    /// A switch and one of its settings.
    fn setting(&mut self, control: ControlId, node: &Node) -> Option<usize> {
        let word = self.mistakes.text(node, "a setting")?;
        self.setting_named(control, word, node.span)
    }

    pub(super) fn setting_named(&mut self, control: ControlId, word: &str, span: Span) -> Option<usize> {
        let settings = self.controls[control].settings.clone();
        let found = settings.iter().position(|s| s == word);
        if found.is_none() && !self.unclear[control] {
            let of = format!("settings of `{}`", shown(&self.controls[control].name));
            self.mistakes.not_defined(span, "setting", word, &settings, &of);
        }
        found
    }

    /// A control that has settings.
    pub(super) fn switch_named(&mut self, word: &str, span: Span) -> Option<ControlId> {
        let control = self.control_named(word, span)?;
        if self.controls[control].kind == ControlKind::Switch || self.unclear[control] {
            return Some(control);
        }
        self.mistakes.add(
            Mistake::at(span, format!("`{}` is not a switch", shown(word)), "it has no settings")
                .help("name a control with `kind: switch`"),
        );
        None
    }

    /// `{agility: full, guard: armed}`
    pub(super) fn conditions(&mut self, node: &Node, what: &str) -> Vec<(ControlId, usize)> {
        let Some(block) = self.mistakes.open_block(node, node.span, what) else {
            return Vec::new();
        };
        let mut conditions = Vec::new();
        for entry in block.entries() {
            if let Some(switch) = self.switch_named(&entry.key, entry.key_span)
                && let Some(setting) = self.setting(switch, &entry.value)
            {
                conditions.push((switch, setting));
            }
        }
        conditions
    }

    /// A channel by its number.
    pub(super) fn channel_numbered(&mut self, word: &str, span: Span) -> Option<ChannelId> {
        let found = word.parse().ok().and_then(|n: u8| self.numbers.iter().position(|k| *k == n));
        // With no channels at all, that was said once already.
        if found.is_none() && !self.numbers.is_empty() {
            match self.used.missing.iter_mut().find(|(missing, _)| missing == word) {
                Some((_, places)) if places.contains(&span) => {}
                Some((_, places)) => places.push(span),
                None => self.used.missing.push((word.to_owned(), vec![span])),
            }
        }
        found
    }

    /// An effect by its words.
    pub(super) fn effect(&mut self, node: &Node) -> Option<Effect> {
        let word = self.mistakes.text(node, "an effect")?;
        for (pair, words) in self.opposites.iter().enumerate() {
            if let Some(which) = words.iter().position(|w| w == word) {
                return Some(Effect { pair, which });
            }
        }
        let known: Vec<String> = self.opposites.iter().flatten().cloned().collect();
        let called = ALSO_CALLED.iter().find(|(other, _)| *other == word.to_lowercase());
        let (label, help) = match called.map(|(_, known)| *known).or_else(|| near(word, &known)) {
            Some(known) if called.is_some() => {
                (format!("it is called `{known}` here"), format!("write `{known}`"))
            }
            Some(near) => (format!("did you mean `{near}`?"), format!("write `{near}`")),
            None => ("not on the list".to_owned(), format!("write {}", either(&known))),
        };
        let pair = "or add a pair of your own: `opposites: [[lid lifts, lid drops]]`";
        self.mistakes.add(
            Mistake::at(node.span, format!("the effect `{}` is not known", shown(word)), label)
                .help(format!("{help}, {pair}")),
        );
        None
    }
    /// A work as `gas` or `tank_servo.gas`; with `scope`, only what that channel moves.
    pub(super) fn work(&mut self, node: &Node, scope: Option<ChannelId>) -> Option<WorkRef> {
        let word = self.mistakes.text(node, "the name of a work")?;
        let mut found = Vec::new();
        let mut known = Vec::new();
        for (device, d) in self.devices.iter().enumerate() {
            for (work, w) in d.works.iter().enumerate() {
                let long = format!("{}.{}", d.name, w.name);
                if w.name == word || long == word {
                    found.push((WorkRef { device, work }, long.clone()));
                }
                known.push(w.name.clone());
                if word.contains('.') {
                    known.push(long);
                }
            }
        }
        if found.is_empty() {
            known.sort();
            known.dedup();
            self.mistakes.add(
                Mistake::at(
                    node.span,
                    format!("there is no work `{}`", shown(word)),
                    match near(word, &known) {
                        Some(near) => format!("did you mean `{near}`?"),
                        None => "no device works this".to_owned(),
                    },
                )
                .help(match self.opposites.iter().flatten().any(|effect| effect == word) {
                    true => format!(
                        "`{word}` is an effect, and effects are wanted by a control: write it under `wants` \
                         in `controls`; a channel wants works"
                    ),
                    false => known_are(&known, "works"),
                }),
            );
            return None;
        }
        let here: Vec<_> = match scope {
            Some(channel) => found
                .iter()
                .filter(|(w, _)| channel_of(&self.devices, w.device) == Some(channel))
                .cloned()
                .collect(),
            None => found.clone(),
        };
        match here.as_slice() {
            [(only, _)] => Some(*only),
            // Which channel should move it is wrong or missing, and that is told where it stands.
            [] if found.iter().any(|(w, _)| self.lacks_its_channel(w.device)) => None,
            [] => {
                let number = scope.map_or(0, |channel| self.numbers[channel]);
                let names: Vec<&String> = found.iter().map(|(_, long)| long).collect();
                self.mistakes.add(
                    Mistake::at(
                        node.span,
                        format!("channel {number} does not move the work `{}`", shown(word)),
                        "it hangs on another channel",
                    )
                    .help(format!(
                        "want it where {} is moved, or check that device's `channel`",
                        either(&names)
                    )),
                );
                None
            }
            _ => {
                let names: Vec<&String> = here.iter().map(|(_, long)| long).collect();
                self.mistakes.add(
                    Mistake::at(node.span, format!("`{}` may mean several works", shown(word)), "which one?")
                        .help(format!("write {}", either(&names))),
                );
                None
            }
        }
    }

    /// Whether a device, or the last of those that it is behind, should listen to a channel and does not.
    fn lacks_its_channel(&self, device: DeviceId) -> bool {
        let mut at = device;
        for _ in 0..self.devices.len() {
            match self.devices[at].input {
                Input::Channel(_) => return false,
                Input::Behind(other) => at = other,
                Input::None => return !self.devices[at].kind.works_alone,
            }
        }
        false
    }
}
