//! The steps of `owner.emergency`.

use super::super::keys::boat::STEP;
use super::super::model::{ControlId, EmergencyAct, EmergencyLine, EmergencyStep, HandStep, Side, Until};
use super::Reader;
use super::mistakes::Block;
use super::text::shown;
use crate::source::{Mistake, Node, Span, Value};

/// What can be switched off in an emergency.
pub(in crate::setup) const OFF: &[(&str, ())] = &[("transmitter", ())];

pub(in crate::setup) const UNTIL: &[(&str, Until)] = &[("up", Until::Up), ("stopped", Until::Stopped)];

impl<'a> Reader<'a> {
    /// The lines of the emergency, once the controls are known.
    pub(super) fn emergency(&mut self, node: &'a Node, dives: bool) -> Vec<EmergencyLine> {
        let mut lines = Vec::new();
        for item in self.mistakes.one_or_list(node) {
            if matches!(item.value, Value::Map(_)) {
                lines.extend(self.step(item, dives).map(EmergencyLine::Step));
            } else {
                let text = self.mistakes.text(item, "a line of `emergency`");
                lines.extend(text.map(|text| EmergencyLine::Text(text.to_owned())));
            }
        }
        lines
    }

    fn step(&mut self, node: &'a Node, dives: bool) -> Option<EmergencyStep> {
        let block = self.mistakes.block(node, node.span, "a step of `emergency`", &STEP)?;
        let until = self.mistakes.optional_word(&block, "until", UNTIL);
        if let (Some(Until::Up), Some(node)) = (until, block.get("until").filter(|_| !dives)) {
            self.mistakes.add(
                Mistake::at(
                    node.span,
                    "what does not dive is never waited for until it is up",
                    "up from where?",
                )
                .help("write `until: stopped`"),
            );
        }
        let by_hand = ["hold", "rest", "with"].iter().filter_map(|key| block.get(key)).next();
        match (block.get("switch_off"), by_hand) {
            (Some(_), Some(also)) => {
                self.mistakes.add(
                    Mistake::at(also.span, "with the transmitter off no hand does anything", "one or the other")
                        .help("make two steps of it: `[{hold: tank.blow, until: up}, {switch_off: transmitter, until: up}]`"),
                );
                None
            }
            (Some(_), None) => {
                self.mistakes.optional_word(&block, "switch_off", OFF)?;
                Some(EmergencyStep { act: EmergencyAct::SwitchOff, until })
            }
            (None, _) => {
                let hand = self.hand(&block, node)?;
                Some(EmergencyStep { act: EmergencyAct::Hand(hand), until })
            }
        }
    }

    fn hand(&mut self, block: &Block<'a>, node: &'a Node) -> Option<HandStep> {
        let mut hand = HandStep::default();
        if let Some(node) = block.get("with") {
            hand.with = self.conditions(node, "`with`");
        }
        for item in block.get("hold").map(|node| self.mistakes.one_or_list(node)).unwrap_or_default() {
            let Some(word) = self.mistakes.text(item, "a way to hold") else { continue };
            match self.held(word, item.span)? {
                Held::Way(control, side) => hand.hold.push((control, side)),
                Held::Setting(switch, setting) => hand.with.push((switch, setting)),
            }
        }
        for item in block.get("rest").map(|node| self.mistakes.one_or_list(node)).unwrap_or_default() {
            let Some(word) = self.mistakes.text(item, "a control to let go") else { continue };
            let control = self.control_named(word, item.span)?;
            if self.controls[control].settings.is_empty() {
                hand.rest.push(control);
            } else {
                let setting = shown(&self.controls[control].settings[0]);
                self.mistakes.add(
                    Mistake::at(
                        item.span,
                        format!("the switch `{}` has no place of rest", shown(word)),
                        "a switch",
                    )
                    .help(format!("name the setting: `with: {{{}: {setting}}}`", shown(word))),
                );
            }
        }
        self.named_once(&hand, block);
        if hand.controls().next().is_some() {
            return Some(hand);
        }
        // A key that is none was meant for one of them, and is told already.
        let strange = node.entries().iter().any(|entry| !STEP.names().contains(&entry.key.as_str()));
        if !strange && ["hold", "rest", "with"].iter().all(|key| block.get(key).is_none()) {
            self.mistakes.add(
                Mistake::at(
                    block.place,
                    "a step of `emergency` that asks for nothing",
                    "what is to be done?",
                )
                .help("write `hold: tank.blow`, `rest: speed` or `switch_off: transmitter`"),
            );
        }
        None
    }

    /// Nobody can put one control to two places.
    fn named_once(&mut self, hand: &HandStep, block: &Block<'a>) {
        let mut seen: Vec<ControlId> = Vec::new();
        for control in hand.controls() {
            if seen.contains(&control) {
                let name = shown(&self.controls[control].name);
                self.mistakes.add(
                    Mistake::at(
                        block.place,
                        format!("this step puts `{name}` to two places at once"),
                        "named twice",
                    )
                    .help("name each control once in a step, or make two steps of it"),
                );
                return;
            }
            seen.push(control);
        }
    }

    /// `tank.blow`: a way of a control, or a setting of a switch.
    fn held(&mut self, word: &str, span: Span) -> Option<Held> {
        let ways = |control: &super::super::model::Control| match control.settings.is_empty() {
            true => control.ways.to_vec(),
            false => control.settings.clone(),
        };
        for (id, control) in self.controls.iter().enumerate() {
            let Some(way) = word.strip_prefix(control.name.as_str()).and_then(|rest| rest.strip_prefix('.'))
            else {
                continue;
            };
            let Some(index) = ways(control).iter().position(|known| known == way) else { continue };
            let held = if control.settings.is_empty() {
                Held::Way(id, Side::BOTH[index])
            } else {
                Held::Setting(id, index)
            };
            self.used.controls.insert(id);
            return Some(held);
        }
        let known: Vec<String> = self
            .controls
            .iter()
            .flat_map(|c| ways(c).into_iter().map(move |way| format!("{}.{way}", c.name)))
            .collect();
        if !self.unclear.contains(&true) {
            self.mistakes.not_defined(span, "way", word, &known, "ways");
        }
        None
    }
}

enum Held {
    Way(ControlId, Side),
    Setting(ControlId, usize),
}
