//! The section `devices`.

use super::super::exact::Exact;
use super::super::facts::DeviceFacts;
use super::super::keys::device::{ALSO, CORRECTS, DEVICE, EFFECTS};
use super::super::model::{
    Allowance, ControlId, Device, DeviceId, Effect, Figure, Input, Path, Toleranced, WithoutPulses,
};
use super::super::quantity::{Micros, Seconds};
use super::super::unknown;
use super::Reader;
use super::dialled::dialled;
use super::dive::{current, rating};
use super::mistakes::{Block, NONE, NOT_MEASURED};
use super::positions::Linkage;
use super::text::{all, near, shown};
use super::units::says_off;
use super::works::SIGNALS;
use crate::device::{self, KindInfo};
use crate::source::{Entry, Mistake, Node, Value};

/// What a leveller does while she goes astern; whether it is off.
pub(in crate::setup) const ASTERN: &[(&str, bool)] = &[("off", true), ("corrects", false)];
/// Towards which side it moves its output then.
pub(in crate::setup) const TOWARDS: &[(&str, usize)] = &[("shorter", 0), ("longer", 1)];

/// What every kind of device takes.
pub(in crate::setup) const COMMON: &[&str] = &["kind", "channel", "behind", "note", "lead", "dialled"];

pub(in crate::setup) const WITHOUT_PULSES: &[(&str, WithoutPulses)] =
    &[("stops", WithoutPulses::Stops), ("stays", WithoutPulses::Stays)];

/// What a relay or an electronic switch does without pulses.
pub(in crate::setup) const SWITCH_WITHOUT_PULSES: &[(&str, WithoutPulses)] =
    &[("off", WithoutPulses::Stops), ("stays", WithoutPulses::Stays), ("on", WithoutPulses::On)];

impl<'a> Reader<'a> {
    pub(super) fn devices(&mut self, top: &Block<'a>) {
        let Some(node) = self.mistakes.require(top, "devices") else {
            return;
        };
        let Some(block) = self.mistakes.open_block(node, node.span, "`devices`") else {
            return;
        };
        let names: Vec<String> = block.entries().iter().map(|e| e.key.clone()).collect();
        for entry in block.entries() {
            self.device(entry, &names);
        }
        self.behind_one_another(block.entries());
    }

    fn device(&mut self, entry: &'a Entry, names: &[String]) {
        let id = self.devices.len();
        self.devices.push(Device {
            name: entry.key.clone(),
            kind: device::ALL[0],
            input: Input::None,
            accuracy: Allowance { axis: Exact::ZERO, micros: Micros(Exact::ZERO) },
            stops: [None, None],
            still_between: None,
            without_pulses: None,
            effects: [None, None],
            effects_said: false,
            works: Vec::new(),
            role: None,
            limits: None,
            note: None,
            facts: DeviceFacts::default(),
        });
        let what = format!("the device `{}`", shown(&entry.key));
        let Some(mut block) = self.mistakes.open_block(&entry.value, entry.key_span, what) else {
            return;
        };
        block.part = Some(&DEVICE);
        let kinds: Vec<(&str, &'static KindInfo)> = device::ALL.iter().map(|k| (k.name, *k)).collect();
        // Without a kind the keys come first: one of them may be a slip for it.
        let kind_given = block.get("kind").is_some();
        if !kind_given {
            self.device_keys(&mut block, None);
        }
        let called: Vec<(&str, &str)> =
            device::ALL.iter().flat_map(|k| k.also_called.iter().map(|other| (*other, k.name))).collect();
        let kind = self
            .mistakes
            .require(&block, "kind")
            .and_then(|node| self.mistakes.word_called(node, "`kind`", &kinds, &called));
        if let Some(kind) = kind {
            self.devices[id].kind = kind;
        }
        if kind_given {
            self.device_keys(&mut block, kind);
        }
        self.devices[id].input = self.input(&block, kind, names);
        self.devices[id].note = self.mistakes.optional_text(&block, "note");
        self.devices[id].facts = self.facts(&block);
        self.devices[id].facts.lead = self.mistakes.optional_text(&block, "lead");
        self.devices[id].facts.dialled = dialled(&mut self.mistakes, &block);
        let linkage = self.linkage(&block);
        self.devices[id].facts.linkage =
            block.get("linkage").and_then(|node| self.driven_by_rod(node, linkage.turn.as_ref()));
        self.devices[id].facts.turn.clone_from(&linkage.turn);
        let slowest = Exact::ratio(unknown::MOST_SECONDS, 2);
        if let Some((node, (per_axis, "speed"))) = block.get("speed").zip(self.devices[id].facts.per_axis())
            && per_axis > slowest
        {
            let seconds = (per_axis * Exact::int(2)).to_decimal(1);
            self.mistakes.add(
                Mistake::at(
                    node.span,
                    format!("by `speed` and `turn` it needs {seconds} s from one end to the other"),
                    format!("more than {} s", unknown::MOST_SECONDS),
                )
                .help("`speed` is the time for 60 degrees, `turn` how far it turns from rest at 100 %"),
            );
        }
        if let Some(node) = block.get("accuracy") {
            self.accuracy(id, node, &linkage);
        }
        if let Some(node) = block.get("stops") {
            self.stops(id, node, &linkage);
        }
        if let Some(node) = block.get("still_between") {
            self.devices[id].still_between =
                self.band(node, "`still_between`", "still_between: [-4 %, +4 %]");
        }
        if let Some(node) = block.get("limits") {
            self.devices[id].limits = self.band(node, "`limits`", "limits: [-90 %, +90 %]");
        }
        let words = match kind {
            Some(kind) if !kind.runs_a_motor() => SWITCH_WITHOUT_PULSES,
            _ => WITHOUT_PULSES,
        };
        self.devices[id].without_pulses = self.mistakes.optional_word(&block, "without_pulses", words);
        self.devices[id].role = self.mistakes.optional_text(&block, "role");
        if let Some(node) = block.get("effects") {
            self.effects(id, node);
        }
        if let Some(node) = block.get("level_at") {
            self.level_at(id, node, &linkage);
        }
        if let Some(node) = block.get("works") {
            self.works(id, node, &linkage);
        }
        self.left_out_of(id, &block);
        if let Some(node) = block.get("linkage") {
            self.left_out_of_linkage(id, node);
        }
    }

    /// What the file does not say of a device although a verdict may hang on it.
    fn left_out_of(&mut self, id: DeviceId, block: &Block<'a>) {
        let device = &self.devices[id];
        let path = Path::of(["devices", &device.name]);
        let takes = |key: &str| device.kind.keys.contains(&key);
        // A unit that listens to no channel corrects all the same.
        if takes("corrects") && device.facts.bow_high.is_none() {
            self.mistakes.left_out(
                Figure::Corrects(id),
                path.then("corrects"),
                block.not_measured("corrects"),
            );
        }
        if device.input == Input::None {
            return;
        }
        let mut wanted = vec![("accuracy", Figure::Accuracy(id))];
        if takes("stops") && !device.kind.runs_a_motor() {
            let of_side = |side: usize| match block.get("stops") {
                Some(Node { value: Value::List(items), .. }) => {
                    items.get(side).is_some_and(|item| item.text() == Some(NOT_MEASURED))
                }
                Some(_) => false,
                None => true,
            };
            let sides: Vec<usize> = [0, 1].into_iter().filter(|side| of_side(*side)).collect();
            let said = block.not_measured("stops") || block.get("stops").is_some();
            for side in sides {
                self.mistakes.left_out(Figure::Stop(id, side), path.then("stops"), said);
            }
        }
        if let Some(Node { value: Value::List(items), .. }) = block.get("stops") {
            for (side, item) in items.iter().enumerate().take(2) {
                let text = item.text().unwrap_or_default();
                if ![NONE, NOT_MEASURED].contains(&text) && !says_off(text) {
                    let said = text.ends_with(NOT_MEASURED);
                    self.mistakes.left_out(Figure::StopTolerance(id, side), path.then("stops"), said);
                }
            }
        }
        self.left_out_of_level(id, block, &path);
        let device = &self.devices[id];
        if takes("learns_rest") && block.get("learns_rest").is_none() {
            let said = block.not_measured("learns_rest");
            self.mistakes.left_out(Figure::LearnsRest(id), path.then("learns_rest"), said);
        }
        if takes("correction") && device.overrides() && device.facts.correction.is_none() {
            wanted.push(("correction", Figure::Correction(id)));
        }
        if device.kind.rests_in_band && !device.facts.one_way {
            wanted.push(("still_between", Figure::StillBetween(id)));
        }
        if device.facts.one_way {
            wanted.push(("still_between", Figure::StillAtEnd(id)));
        }
        if takes("without_pulses") {
            wanted.push(("without_pulses", Figure::WithoutPulses(id)));
        }
        for (key, figure) in wanted {
            if block.get(key).is_none() {
                self.mistakes.left_out(figure, path.then(key), block.not_measured(key));
            }
        }
    }

    /// Where she hangs level, of what fills and empties her by its position.
    fn left_out_of_level(&mut self, id: DeviceId, block: &Block<'a>, path: &Path) {
        let Some(towards) = self.holds_water(id) else { return };
        let text = block.get("level_at").and_then(Node::text);
        let path = path.then("level_at");
        if self.devices[id].facts.level_at.is_none() {
            let value = unknown::level_at_best(&self.axis, &self.set, towards);
            self.devices[id].facts.level_at = Some(Toleranced { value, off: Exact::ZERO });
            self.mistakes.left_out(Figure::LevelAt(id), path, block.not_measured("level_at"));
        } else if text.is_some_and(|text| !says_off(text)) {
            let said = text.is_some_and(|text| text.ends_with(NOT_MEASURED));
            self.mistakes.left_out(Figure::LevelTolerance(id), path, said);
        }
    }

    /// The side on which a device empties her that holds its place, and so holds by it as much water as that lets in.
    fn holds_water(&self, id: DeviceId) -> Option<i32> {
        let device = &self.devices[id];
        let does = |sign: i32, word: &str| {
            device.effects_on(sign).any(|effect| self.opposites[effect.pair][effect.which] == word)
        };
        let side = [-1, 1].into_iter().find(|sign| does(*sign, "empties") || does(-sign, "fills"));
        side.filter(|_| device.kind.holds_its_place())
    }

    fn level_at(&mut self, id: DeviceId, node: &Node, linkage: &Linkage) {
        let Some(level) = self.position(node, "`level_at`", Some(linkage)) else { return };
        if self.holds_water(id).is_none() {
            self.mistakes.add(
                Mistake::at(
                    node.span,
                    "`level_at` needs to know which way it fills her",
                    "neither side fills or empties",
                )
                .help("write what was seen: `effects: {longer: empties, shorter: fills}`"),
            );
        }
        let most = Exact::percent(unknown::MOST_LEVEL);
        let most = self.axis.share_from(&self.set, &most, level.value.signum());
        if level.value.abs() > most {
            self.mistakes.add(
                Mistake::at(
                    node.span,
                    "`level_at` lies where no pulse of the set comes to",
                    format!("beyond {} % of the axis", (most * Exact::int(100)).to_decimal(1)),
                )
                .help("it is the position at which she hangs level in the water, as it was read there"),
            );
        }
        self.devices[id].facts.level_at = Some(level);
    }

    fn facts(&mut self, block: &Block<'a>) -> DeviceFacts {
        let bow_high = block
            .get("corrects")
            .and_then(|node| self.mistakes.block(node, node.span, "`corrects`", &CORRECTS))
            .and_then(|corrects| self.mistakes.require(&corrects, "bow high"))
            .and_then(|node| self.mistakes.word(node, "`bow high`", TOWARDS));
        DeviceFacts {
            one_way: self.mistakes.yes_no(block, "one_way").unwrap_or(false),
            stall: current(&mut self.mistakes, block, "stall"),
            draws: current(&mut self.mistakes, block, "draws"),
            rated: rating(&mut self.mistakes, block),
            battery: block.get("battery").and_then(|node| self.battery_named(node)),
            correction: block
                .get("correction")
                .and_then(|node| self.share_of_axis(node, "`correction`", unknown::MOST_CORRECTION)),
            bow_high,
            also: block.get("also").map(|node| self.also(node)).unwrap_or_default(),
            off_astern: self.mistakes.optional_word(block, "astern", ASTERN).unwrap_or(false),
            signal: self.mistakes.optional_word(block, "signal", SIGNALS),
            lead: None,
            dialled: Vec::new(),
            linkage: None,
            takes: block.get("takes").and_then(|node| self.takes(node)),
            speed: self.speed(block),
            turn: None,
            module_mixes: block.get("module_mixes").map(|node| self.module_mixes(node)).unwrap_or_default(),
            level_at: None,
            learns_rest: self.mistakes.yes_no(block, "learns_rest").unwrap_or(false),
        }
    }

    fn takes(&mut self, node: &Node) -> Option<Seconds> {
        let takes = self.seconds(node, "`takes`")?;
        if takes.0 > Exact::int(unknown::MOST_SECONDS) {
            self.mistakes.add(
                Mistake::at(
                    node.span,
                    format!("`takes` says {takes} from one end to the other"),
                    format!("more than {} s", unknown::MOST_SECONDS),
                )
                .help("it is the time of one way, from -100 % to +100 %, in seconds"),
            );
        }
        Some(takes)
    }

    /// What its maker says of how slow it is, unless that was measured.
    fn speed(&mut self, block: &Block<'a>) -> Option<Seconds> {
        let node = block.get("speed")?;
        if let Some(takes) = block.get("takes") {
            self.mistakes.add(
                Mistake::at(node.span, "a servo has either `takes` or `speed`", "both are given")
                    .also(takes.span, "measured")
                    .help("keep `takes`: it was read on the boat, under load"),
            );
        }
        self.seconds(node, "`speed`")
    }

    /// Further effects: one or a list on each side.
    fn also(&mut self, node: &'a Node) -> [Vec<Effect>; 2] {
        let Some(block) = self.mistakes.block(node, node.span, "`also`", &ALSO) else {
            return Default::default();
        };
        ["shorter", "longer"].map(|key| {
            let items = block.get(key).map(|node| self.mistakes.one_or_list(node)).unwrap_or_default();
            items.iter().filter_map(|item| self.effect(item)).collect()
        })
    }

    fn module_mixes(&mut self, node: &'a Node) -> Vec<ControlId> {
        let items = self.mistakes.one_or_list(node);
        items
            .iter()
            .filter_map(|item| {
                let word = self.mistakes.text(item, "the name of a control")?;
                self.control_named(word, item.span)
            })
            .collect()
    }

    fn device_keys(&mut self, block: &mut Block<'_>, kind: Option<&'static KindInfo>) {
        let mut known: Vec<&str> = COMMON.to_vec();
        match kind {
            Some(kind) => known.extend(kind.keys),
            None => {
                for key in device::ALL.iter().flat_map(|k| k.keys) {
                    if !known.contains(key) {
                        known.push(key);
                    }
                }
            }
        }
        for entry in block.entries() {
            let key = entry.key.as_str();
            if known.contains(&key) {
                continue;
            }
            let takers: Vec<&str> =
                device::ALL.iter().filter(|k| k.keys.contains(&key)).map(|k| k.name).collect();
            let (message, label) = match kind {
                Some(kind) if !takers.is_empty() => (
                    format!("a {} takes no `{key}`", kind.name),
                    format!("belongs to a {}", takers.join(" or a ")),
                ),
                _ => {
                    let near = near(key, &known);
                    block.read_as(near, entry);
                    (
                        format!("{} has no key `{}`", block.what, shown(key)),
                        near.map_or("not known here".to_owned(), |n| format!("did you mean `{n}`?")),
                    )
                }
            };
            self.mistakes
                .add(Mistake::at(entry.key_span, message, label).help(format!("it takes {}", all(&known))));
        }
    }

    fn effects(&mut self, id: DeviceId, node: &Node) {
        self.devices[id].effects_said = true;
        if node.text() == Some(NONE) {
            return;
        }
        let Some(block) = self.mistakes.block(node, node.span, "`effects`", &EFFECTS) else {
            return;
        };
        let [shorter, longer] = ["shorter", "longer"].map(|key| {
            let items = block.get(key).map(|node| self.mistakes.one_or_list(node)).unwrap_or_default();
            items.iter().filter_map(|item| self.effect(item)).collect::<Vec<_>>()
        });
        if shorter.iter().any(|effect| longer.contains(effect)) {
            let place = block.get("shorter").map_or(node.span, |n| n.span);
            self.mistakes.add(
                Mistake::at(place, "a longer and a shorter pulse cannot do the same", "the same effect")
                    .help("watch the device on the bench: one of the two must be the opposite"),
            );
            return;
        }
        for (key, side) in [("shorter", &shorter), ("longer", &longer)] {
            let opposite = side.iter().any(|one| side.iter().any(|two| one.pair == two.pair && one != two));
            if let (true, Some(node)) = (opposite, block.get(key)) {
                self.mistakes.add(
                    Mistake::at(node.span, "nothing does two opposites at once", "one of them")
                        .help("watch the boat on the bench and keep the one that is seen"),
                );
            }
        }
        // What a list names after the first is what else is seen.
        for (side, effects) in [shorter, longer].into_iter().enumerate() {
            let mut effects = effects.into_iter();
            self.devices[id].effects[side] = effects.next();
            self.devices[id].facts.also[side].splice(0..0, effects);
        }
    }
}
