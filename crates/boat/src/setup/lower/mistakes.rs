//! Where mistakes are noted while the reading goes on, and the plain kinds of values.

use super::super::keys::{Part, Sort, places};
use super::super::model::{Figure, Path, Unknown};
use super::text::{either, known_are, near, shown};
use super::units::{Quantity, UnitOfMeasure};
use crate::source::{Entry, Mistake, Node, Span, Value};

/// A file that is wrong all over does not need every last line named.
const MOST: usize = 200;

/// The mistakes found so far.
#[derive(Default)]
pub(super) struct Mistakes {
    mistakes: Vec<Mistake>,
    /// Figures that were left out.
    pub(super) unknown: Vec<Unknown>,
}

/// What stands in the place of a figure that nobody has measured: the same as nothing, but said.
pub(in crate::setup) const NOT_MEASURED: &str = "not measured";
/// What stands in the place of something that is not there, on purpose.
pub(super) const NONE: &str = "none";
/// What stands in the place of an accuracy where nothing can be off.
pub(super) const EXACT: &str = "exact";

/// A map that was checked for keys that do not belong in it.
#[derive(Clone)]
pub(super) struct Block<'a> {
    node: &'a Node,
    /// What to underline for the block as a whole: its key.
    pub(super) place: Span,
    /// How to call it in a sentence.
    pub(super) what: String,
    /// What it is a block of; `None` where its keys are names or numbers.
    pub(super) part: Option<&'static Part>,
    /// Keys that are missing, with what stands under the key that was probably meant for them.
    meant: Vec<(String, &'a Node)>,
}

impl<'a> Block<'a> {
    /// What stands under a key. A slip in a key is told once; what hangs on the key is read as if it
    /// were right, so that the slip draws no other mistakes behind it.
    pub(super) fn get(&self, key: &str) -> Option<&'a Node> {
        self.written(key).filter(|_| !self.not_measured(key))
    }

    fn written(&self, key: &str) -> Option<&'a Node> {
        let meant = || self.meant.iter().find(|(missing, _)| *missing == key).map(|(_, node)| *node);
        self.node.get(key).or_else(meant)
    }

    /// Whether the file says of a figure that nobody has measured it.
    pub(super) fn not_measured(&self, key: &str) -> bool {
        let is_figure = || self.part.and_then(|part| part.key(key)).is_some_and(|k| k.sort == Sort::Figure);
        self.written(key).is_some_and(|node| node.text() == Some(NOT_MEASURED)) && is_figure()
    }

    /// Has an entry with an unknown key read as the one that was probably meant.
    pub(super) fn read_as(&mut self, meant: Option<&str>, entry: &'a Entry) {
        self.meant.extend(meant.map(|key| (key.to_owned(), &entry.value)));
    }

    /// A value that a key may have, as on a boat.
    pub(super) fn example(&self, key: &str) -> &'static str {
        self.part.and_then(|part| part.key(key)).map_or("...", |key| key.example)
    }

    pub(super) fn entries(&self) -> &'a [Entry] {
        self.node.entries()
    }
}

/// Where a key belongs that is not known here.
fn elsewhere(key: &str) -> Option<String> {
    let places = places().into_iter().filter(|place| place.key.name == key);
    let above = places.map(|place| match place.path.rsplit_once('.') {
        Some((above, _)) => format!("under `{above}`"),
        None => "at the top of the file".to_owned(),
    });
    let above: Vec<String> = above.collect();
    (!above.is_empty()).then(|| format!("belongs {}", above.join(" or ")))
}

/// How nothing was said here, if nothing was.
fn nothing(node: &Node) -> Option<String> {
    let word = node.text().filter(|_| node.is_empty())?;
    Some(if word.is_empty() { "nothing follows".to_owned() } else { format!("`{word}` stands for nothing") })
}

impl Mistakes {
    pub(super) fn add(&mut self, mistake: Mistake) {
        if !self.mistakes.contains(&mistake) && self.mistakes.len() < MOST * 5 {
            self.mistakes.push(mistake);
        }
    }

    /// A figure was left out that a verdict may hang on.
    pub(super) fn left_out(&mut self, figure: Figure, path: Path, said: bool) {
        self.unknown.push(Unknown { figure, path, said });
    }

    /// Whether that was noted already.
    pub(super) fn lacks(&self, figure: Figure) -> bool {
        self.unknown.iter().any(|unknown| unknown.figure == figure)
    }

    pub(super) fn is_clean(&self) -> bool {
        self.mistakes.is_empty()
    }

    pub(super) fn finish(mut self) -> Vec<Mistake> {
        self.mistakes.sort_by(|a, b| {
            let place = |m: &Mistake| m.labels.first().map(|l| l.0);
            place(a).cmp(&place(b)).then_with(|| a.message.cmp(&b.message))
        });
        self.mistakes.truncate(MOST);
        self.mistakes
    }

    /// A map with the keys of a part and no others; `place` is its key.
    pub(super) fn block<'a>(
        &mut self,
        node: &'a Node,
        place: Span,
        what: impl Into<String>,
        part: &'static Part,
    ) -> Option<Block<'a>> {
        let mut block = self.open_block(node, place, what)?;
        block.part = Some(part);
        let keys = &part.names();
        for entry in block.entries() {
            if !keys.contains(&entry.key.as_str()) {
                if entry.value.is_empty() && entry.key.starts_with(|c: char| c.is_ascii_digit()) {
                    self.add(
                        Mistake::at(
                            entry.key_span,
                            format!("{} has a figure without a key: `{}`", block.what, shown(&entry.key)),
                            "decimals of the figure before it?",
                        )
                        .help("inside braces a comma ends a figure; write a decimal point: `2.5 us`, not `2,5 us`"),
                    );
                    continue;
                }
                let near = near(&entry.key, keys);
                block.read_as(near, entry);
                self.add(
                    Mistake::at(
                        entry.key_span,
                        format!("{} has no key `{}`", block.what, shown(&entry.key)),
                        match near {
                            Some(near) => format!("did you mean `{near}`?"),
                            None => elsewhere(&entry.key).unwrap_or("not known here".to_owned()),
                        },
                    )
                    .help(format!("it takes {}", super::text::all(keys))),
                );
            }
        }
        Some(block)
    }

    /// A map whose keys are names or numbers.
    pub(super) fn open_block<'a>(
        &mut self,
        node: &'a Node,
        place: Span,
        what: impl Into<String>,
    ) -> Option<Block<'a>> {
        let what = what.into();
        if let Value::Map(_) = node.value {
            return Some(Block { node, place, what, part: None, meant: Vec::new() });
        }
        let found = nothing(node).unwrap_or_else(|| "not keys with values".to_owned());
        self.add(
            Mistake::at(node.span, format!("{what} must be a block of keys with values"), found)
                .help("write one `key: value` per line, indented, or `{key: value, key: value}`"),
        );
        None
    }

    /// A section at the top that may be missing.
    pub(super) fn section<'a>(
        &mut self,
        top: &Block<'a>,
        key: &str,
        part: &'static Part,
    ) -> Option<Block<'a>> {
        let node = top.get(key)?;
        self.block(node, node.span, format!("`{key}`"), part)
    }

    /// The value of a key that must be there.
    pub(super) fn require<'a>(&mut self, block: &Block<'a>, key: &str) -> Option<&'a Node> {
        let found = block.get(key);
        if block.not_measured(key) {
            let place = block.written(key).map_or(block.place, |node| node.span);
            self.add(
                Mistake::at(place, format!("{} cannot do without `{key}`", block.what), "it has to be known")
                    .help(format!("measure it and write for instance `{key}: {}`", block.example(key))),
            );
        } else if found.is_none() {
            self.add(
                Mistake::at(
                    block.place,
                    format!("{} lacks the key `{key}`", block.what),
                    format!("no `{key}` here"),
                )
                .help(format!("write for instance `{key}: {}`", block.example(key))),
            );
        }
        found
    }

    /// The items of a list.
    pub(super) fn list<'a>(&mut self, node: &'a Node, what: &str, example: &str) -> Option<&'a [Node]> {
        if let Value::List(items) = &node.value {
            return Some(items);
        }
        self.add(
            Mistake::at(
                node.span,
                format!("{what} must be a list"),
                nothing(node).unwrap_or_else(|| "not a list".to_owned()),
            )
            .help(format!("write for instance `{example}`")),
        );
        None
    }

    /// A list of one thing may be written as the thing.
    pub(super) fn one_or_list<'a>(&mut self, node: &'a Node) -> &'a [Node] {
        match &node.value {
            Value::List(items) => items,
            _ => std::slice::from_ref(node),
        }
    }

    /// Exactly two items.
    pub(super) fn pair<'a>(&mut self, node: &'a Node, what: &str, example: &str) -> Option<[&'a Node; 2]> {
        let items = self.list(node, what, example)?;
        if let [a, b] = items {
            return Some([a, b]);
        }
        self.add(
            Mistake::at(node.span, format!("{what} must have two values"), format!("{} here", items.len()))
                .help(format!("write for instance `{example}`")),
        );
        None
    }

    /// Any text.
    pub(super) fn text<'a>(&mut self, node: &'a Node, what: &str) -> Option<&'a str> {
        match node.text() {
            Some(text) if !node.is_empty() && !text.trim().is_empty() => Some(text.trim()),
            Some(_) => {
                let found = nothing(node).unwrap_or_else(|| "nothing in it".to_owned());
                self.add(
                    Mistake::at(node.span, format!("{what} is empty"), found)
                        .help("write a text, or leave the key out"),
                );
                None
            }
            None => {
                self.add(
                    Mistake::at(node.span, format!("{what} must be one word or text"), "a list or block")
                        .help("write the text behind the key"),
                );
                None
            }
        }
    }

    /// A text under a key that may be missing.
    pub(super) fn optional_text(&mut self, block: &Block<'_>, key: &str) -> Option<String> {
        let node = block.get(key)?;
        self.text(node, &format!("`{key}`")).map(str::to_owned)
    }

    /// One of some words.
    pub(super) fn word<T: Copy>(&mut self, node: &Node, what: &str, words: &[(&str, T)]) -> Option<T> {
        self.word_called(node, what, words, &[])
    }

    /// One of some words, of which people use others as well: each of these with the one that is meant.
    pub(super) fn word_called<T: Copy>(
        &mut self,
        node: &Node,
        what: &str,
        words: &[(&str, T)],
        called: &[(&str, &str)],
    ) -> Option<T> {
        let text = self.text(node, what)?;
        if let Some((_, value)) = words.iter().find(|(word, _)| *word == text) {
            return Some(*value);
        }
        let known: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
        self.add(
            Mistake::at(
                node.span,
                format!("{what} cannot be `{}`", shown(text)),
                match (called.iter().find(|(other, _)| other.eq_ignore_ascii_case(text)), near(text, &known))
                {
                    (Some((_, meant)), _) => format!("it is called `{meant}` here"),
                    (None, Some(near)) => format!("did you mean `{near}`?"),
                    (None, None) => "not one of its words".to_owned(),
                },
            )
            .help(format!("write {}", either(&known))),
        );
        None
    }

    /// One of some words, under a key that may be missing.
    pub(super) fn optional_word<T: Copy>(
        &mut self,
        block: &Block<'_>,
        key: &str,
        words: &[(&str, T)],
    ) -> Option<T> {
        let node = block.get(key)?;
        self.word(node, &format!("`{key}`"), words)
    }

    /// `yes` or `no`.
    pub(super) fn yes_no(&mut self, block: &Block<'_>, key: &str) -> Option<bool> {
        let node = block.get(key)?;
        let text = self.text(node, &format!("`{key}`"))?;
        let (value, label) = match text {
            "yes" | "true" => return Some(true),
            "no" | "false" => return Some(false),
            "on" | "On" | "ON" | "Yes" | "YES" | "True" | "y" => ("yes", "did you mean `yes`?"),
            "off" | "Off" | "OFF" | "No" | "NO" | "False" | "n" => ("no", "did you mean `no`?"),
            _ => ("yes` or `no", "neither yes nor no"),
        };
        self.add(
            Mistake::at(node.span, format!("`{key}` cannot be `{}`", shown(text)), label)
                .help(format!("write `{value}`")),
        );
        None
    }

    /// A whole number within bounds.
    pub(super) fn whole(&mut self, node: &Node, what: &str, low: u32, high: u32) -> Option<u32> {
        let text = self.text(node, what)?;
        match text.parse::<u32>() {
            Ok(value) if (low..=high).contains(&value) => Some(value),
            _ => {
                self.add(
                    Mistake::at(
                        node.span,
                        format!("{what} must be a whole number from {low} to {high}"),
                        format!("`{}` is not", shown(text)),
                    )
                    .help("write digits only, without a unit"),
                );
                None
            }
        }
    }

    /// A quantity in one of some units; the first is what is asked for when the unit is missing.
    pub(super) fn quantity(&mut self, node: &Node, what: &str, units: &[UnitOfMeasure]) -> Option<Quantity> {
        let text = self.text(node, what)?;
        match super::units::parse(text, units) {
            Ok(quantity) => Some(quantity),
            Err(trouble) => {
                self.add(
                    Mistake::at(node.span, format!("{what}: {}", trouble.message), trouble.label)
                        .help(trouble.help),
                );
                None
            }
        }
    }

    /// A quantity without a tolerance.
    pub(super) fn plain(&mut self, node: &Node, what: &str, units: &[UnitOfMeasure]) -> Option<Quantity> {
        let quantity = self.quantity(node, what, units)?;
        if quantity.off.is_some() {
            self.add(
                Mistake::at(node.span, format!("{what} takes no tolerance"), "leave out what follows `±`")
                    .help(format!("write `{} {}`", quantity.value.to_decimal(6), quantity.unit.sign())),
            );
            return None;
        }
        Some(quantity)
    }

    /// A quantity that is not below nought and has no tolerance.
    pub(super) fn amount(&mut self, node: &Node, what: &str, units: &[UnitOfMeasure]) -> Option<Quantity> {
        let quantity = self.plain(node, what, units)?;
        if quantity.value.signum() < 0 {
            self.add(
                Mistake::at(node.span, format!("{what} cannot be below nought"), "negative").help(format!(
                    "write `{} {}`",
                    quantity.value.abs().to_decimal(6),
                    quantity.unit.sign()
                )),
            );
            return None;
        }
        Some(quantity)
    }

    /// Something is named that is not defined.
    pub(super) fn not_defined<S: AsRef<str>>(
        &mut self,
        span: Span,
        what: &str,
        word: &str,
        known: &[S],
        of: &str,
    ) {
        self.add(
            Mistake::at(
                span,
                format!("there is no {what} `{}`", shown(word)),
                match near(word, known) {
                    Some(near) => format!("did you mean `{near}`?"),
                    None => "not defined".to_owned(),
                },
            )
            .help(known_are(known, of)),
        );
    }
}
