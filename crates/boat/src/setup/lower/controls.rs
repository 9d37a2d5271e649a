//! The section `controls`.

use super::super::exact::Exact;
use super::super::keys::control::CONTROL;
use super::super::model::{Control, ControlKind, Figure, Line, Path, Side};
use super::super::unknown;
use super::Reader;
use super::mistakes::{Block, NONE};
use super::text::{either, shown};
use crate::source::{Entry, Mistake};

pub(in crate::setup) const KINDS: &[(&str, ControlKind)] = &[
    ("stick", ControlKind::Stick),
    ("buttons", ControlKind::Buttons),
    ("switch", ControlKind::Switch),
    ("slider", ControlKind::Slider),
    ("knob", ControlKind::Knob),
];

/// What people write for them.
const ALSO_CALLED: &[(&str, &str)] = &[
    ("button", "buttons"),
    ("joystick", "stick"),
    ("lever", "slider"),
    ("toggle", "switch"),
    ("dial", "knob"),
    ("pot", "knob"),
];

/// Whether it springs back.
pub(in crate::setup) const RESTS: &[(&str, bool)] =
    &[("centre", true), ("center", true), ("where left", false)];

impl<'a> Reader<'a> {
    pub(super) fn controls(&mut self, top: &Block<'a>) {
        let example = "{helm: {at: right stick, ways: {left: port, right: starboard}}}";
        let Some(node) = self.mistakes.require(top, "controls") else {
            return;
        };
        let Some(block) = self.mistakes.open_block(node, node.span, "`controls`") else {
            return;
        };
        if block.entries().is_empty() {
            self.mistakes.add(
                Mistake::at(node.span, "`controls` is empty", "nothing to move")
                    .help(format!("write for instance `controls: {example}`")),
            );
        }
        for entry in block.entries() {
            let control = Control {
                name: entry.key.clone(),
                at: None,
                kind: ControlKind::Stick,
                line: Line::LeftRight,
                ways: [String::new(), String::new()],
                settings: Vec::new(),
                home: 0,
                springs_back: true,
                trim: [Exact::ZERO, Exact::ZERO],
                wants: [Vec::new(), Vec::new()],
                wants_said: false,
            };
            self.controls.push(control);
            self.unclear.push(true);
            self.trim_micros.push(None);
            self.control(entry);
        }
        self.same_place(block.entries());
    }

    fn control(&mut self, entry: &'a Entry) {
        let id = self.controls.len() - 1;
        let what = format!("the control `{}`", shown(&entry.key));
        let Some(block) = self.mistakes.block(&entry.value, entry.key_span, what, &CONTROL) else {
            return;
        };
        self.controls[id].at = self.mistakes.optional_text(&block, "at");
        let kind =
            block.get("kind").and_then(|node| self.mistakes.word_called(node, "`kind`", KINDS, ALSO_CALLED));
        let guess = if block.get("settings").is_some() && block.get("ways").is_none() {
            ControlKind::Switch
        } else {
            ControlKind::Stick
        };
        let kind = kind.unwrap_or(guess);
        self.controls[id].kind = kind;
        self.controls[id].springs_back = matches!(kind, ControlKind::Stick | ControlKind::Buttons);
        if let Some(springs) = self.mistakes.optional_word(&block, "rests", RESTS) {
            self.controls[id].springs_back = springs;
        }
        let clear =
            if kind == ControlKind::Switch { self.settings(id, &block) } else { self.ways(id, &block) };
        self.unclear[id] = !clear;
        if let Some(node) = block.get("trim")
            && node.text() != Some("locked")
            && let Some((trim, micros)) = self.share_or_micros(node, "`trim`", unknown::MOST_TRIM)
        {
            self.controls[id].trim = [trim.clone(), trim];
            self.trim_micros[id] = micros;
        }
        self.controls[id].wants_said = block.get("wants").is_some();
        if kind == ControlKind::Stick && block.get("trim").is_none() {
            let path = Path::of(["controls", &entry.key, "trim"]);
            self.mistakes.left_out(Figure::Trim(id), path, block.not_measured("trim"));
        }
        if let Some(node) = block.get("wants").filter(|node| node.text() != Some(NONE))
            && let Some(wants) = self.mistakes.open_block(node, node.span, "`wants`")
        {
            for entry in wants.entries() {
                let side = self.way(id, &entry.key, entry.key_span);
                for item in self.mistakes.one_or_list(&entry.value) {
                    if let (Some(effect), Some(side)) = (self.effect(item), side) {
                        self.controls[id].wants[side.index()].push(effect);
                    }
                }
            }
            self.wants_agree(id, &wants);
        }
    }

    /// A trim in microseconds is a share of the full travel of the side to which it moves a pulse. Where a
    /// control moves channels that run opposite ways, the longer trim of the two.
    pub(super) fn trims_in_micros(&mut self) {
        for (id, micros) in self.trim_micros.iter().enumerate() {
            let Some(micros) = micros else { continue };
            let own: Vec<Side> =
                self.channels.iter().filter(|c| c.control == Some(id)).map(|c| c.longer).collect();
            for side in Side::BOTH {
                let shares =
                    own.iter().map(|longer| self.set.width(micros, if *longer == side { 1 } else { -1 }));
                if let Some(most) = shares.max() {
                    self.controls[id].trim[side.index()] = most;
                }
            }
        }
    }

    /// Both ways cannot want the same.
    fn wants_agree(&mut self, id: usize, wants: &Block<'_>) {
        let [low, high] = &self.controls[id].wants;
        if let Some(both) = low.iter().find(|effect| high.contains(effect)) {
            let words = shown(&self.opposites[both.pair][both.which]);
            self.mistakes.add(
                Mistake::at(
                    wants.place,
                    format!("both ways want `{words}`"),
                    "one of them must want the opposite",
                )
                .help("give each way the effect that the pilot expects there"),
            );
        }
    }

    fn settings(&mut self, id: usize, block: &Block<'_>) -> bool {
        for key in ["ways", "trim"] {
            if let Some(node) = block.get(key) {
                self.mistakes.add(
                    Mistake::at(node.span, format!("a switch has no `{key}`"), "does not belong here")
                        .help("a switch takes `settings: [first, second]`; its ways are the first and the last of them"),
                );
            }
        }
        let example = "settings: [gentle, full]";
        let Some(node) = self.mistakes.require(block, "settings") else {
            return false;
        };
        let Some(items) = self.mistakes.list(node, "`settings`", example) else {
            return false;
        };
        let mut settings: Vec<String> = Vec::new();
        for item in items {
            let Some(word) = self.mistakes.text(item, "a setting") else {
                return false;
            };
            if settings.iter().any(|s| s == word) {
                self.mistakes.add(
                    Mistake::at(
                        item.span,
                        format!("the setting `{}` stands here twice", shown(word)),
                        "the second time",
                    )
                    .help("give each setting its own word"),
                );
                return false;
            }
            settings.push(word.to_owned());
        }
        let (Some(first), Some(last), true) = (settings.first(), settings.last(), settings.len() > 1) else {
            self.mistakes.add(
                Mistake::at(
                    node.span,
                    "a switch needs two settings or more",
                    format!("{} here", settings.len()),
                )
                .help(format!("write for instance `{example}`")),
            );
            return false;
        };
        self.controls[id].ways = [first.clone(), last.clone()];
        self.controls[id].line = Line::LowerUpper;
        if let Some(node) = block.get("home") {
            let words: Vec<(&str, usize)> =
                settings.iter().enumerate().map(|(n, s)| (s.as_str(), n)).collect();
            self.controls[id].home = self.mistakes.word(node, "`home`", &words).unwrap_or(0);
        }
        self.controls[id].settings = settings;
        true
    }

    fn ways(&mut self, id: usize, block: &Block<'_>) -> bool {
        for key in ["settings", "home"] {
            let Some(node) = block.get(key) else { continue };
            self.mistakes.add(
                Mistake::at(node.span, format!("only a switch has `{key}`"), "does not belong here")
                    .help("write `kind: switch`, or `ways` instead of `settings`"),
            );
        }
        let example = "{left: port, right: starboard}";
        let Some(node) = self.mistakes.require(block, "ways") else {
            return false;
        };
        let Some(ways) = self.mistakes.open_block(node, node.span, "`ways`") else {
            return false;
        };
        let lines = [Line::LeftRight, Line::TowardsAway, Line::LowerUpper];
        let keys: Vec<&str> = ways.entries().iter().map(|e| e.key.as_str()).collect();
        let line =
            lines.into_iter().find(|line| keys.len() == 2 && line.words().iter().all(|w| keys.contains(w)));
        let Some(line) = line else {
            let known: Vec<&str> = lines.iter().flat_map(|l| l.words()).collect();
            let odd = ways.entries().iter().find(|e| !known.contains(&e.key.as_str()));
            let (span, message) = match odd {
                Some(e) => (e.key_span, format!("the hand does not go `{}`", shown(&e.key))),
                None if keys.len() == 1 => {
                    (node.span, format!("`{}` is one end of a movement only", keys[0]))
                }
                None => {
                    (node.span, format!("{} are not the two ends of one movement", super::text::all(&keys)))
                }
            };
            let message = if keys.is_empty() { "`ways` is empty".to_owned() } else { message };
            let near = odd.and_then(|e| super::text::near(&e.key, &known));
            self.mistakes.add(
                Mistake::at(span, message, near.map_or("not a pair of ways".to_owned(), |n| format!("did you mean `{n}`?")))
                    .help(if keys.len() == 1 {
                        "name the other end as well; where the hand cannot go there, as with a single button, give it a word such as `none` and the endpoint 0 % on its channel"
                    } else {
                        "name exactly `left` and `right`, or `towards` and `away`, or `lower` and `upper`, each with your word for it"
                    }),
            );
            return false;
        };
        let mut words = [String::new(), String::new()];
        for side in Side::BOTH {
            let Some(node) = ways.get(line.words()[side.index()]) else {
                return false;
            };
            let Some(word) = self.mistakes.text(node, "a way") else {
                return false;
            };
            word.clone_into(&mut words[side.index()]);
        }
        if words[0] == words[1] {
            self.mistakes.add(
                Mistake::at(
                    node.span,
                    format!("both ways are called {}", either(&words[..1])),
                    "two words are needed",
                )
                .help(format!("write for instance `ways: {example}`")),
            );
            return false;
        }
        self.controls[id].line = line;
        self.controls[id].ways = words;
        true
    }

    /// A hand cannot move two controls along the same line of the same stick.
    fn same_place(&mut self, entries: &[Entry]) {
        for (second, b) in self.controls.iter().enumerate() {
            for (first, a) in self.controls.iter().enumerate().take(second) {
                let same = a.at.is_some() && a.at == b.at && a.line == b.line;
                if same && !self.unclear[first] && !self.unclear[second] {
                    let at = shown(a.at.as_deref().unwrap_or(""));
                    let span = |e: &Entry| e.value.get("at").map_or(e.key_span, |n| n.span);
                    self.mistakes.add(
                        Mistake::at(
                            span(&entries[second]),
                            format!(
                                "`{}` and `{}` are the same movement of `{at}`",
                                shown(&a.name),
                                shown(&b.name)
                            ),
                            "taken already",
                        )
                        .also(span(&entries[first]), "the first one")
                        .help("check `at` and `ways` of both"),
                    );
                }
            }
        }
    }
}
