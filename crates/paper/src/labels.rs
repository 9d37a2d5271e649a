//! What the documents say, apart from what they show: the texts of one language, read from a file
//! and held to the English ones, so that no page can lack a text half way down.

mod built_in;
#[macro_use]
mod gaps;
// Each name and gap stands for what a label says: read it there.
#[allow(missing_docs)]
pub mod text;

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use crate::language::{self, Language};
use crate::setup::{BoatKind, Setup};
use crate::source::{Node, Source, Span, Value, line_column};

pub use gaps::{Gaps, Text, Words};

/// The texts of one language, each by its path such as `card.head.name`.
#[derive(Clone, Debug)]
pub struct Labels {
    /// What it says where nothing else is told.
    language: Language,
    /// Whether it speaks of a model that is no boat.
    dry: bool,
    /// What is said in place of it.
    own: BTreeMap<String, String>,
}

/// What a workshop cannot reword: the marks of a draft, the signal words, and the cautions and
/// instructions by which somebody could come to harm if they were softened. A section stands for all in it.
pub const KEPT: &[&str] = &[
    "card.depth",
    "card.no_dives",
    "card.off_order_acts",
    "card.off_order_dives",
    "card.off_order_dives_acts",
    "card.no_motor",
    "common.depth_and_dive",
    "common.no_dives",
    "common.draft",
    "common.draft_across",
    "common.draft_failed",
    "common.failed",
    "common.failed_across",
    "common.provisional",
    "common.provisional_across",
    "common.emergency",
    "common.gas",
    "common.may",
    "common.never_off",
    "common.within_reach",
    "common.within_reach_bare",
    "guide.words",
    "guide.before.keep_clear",
    "guide.before.order_warning",
    "guide.before.fail_safe_intro",
    "guide.before.fail_safe_gas",
    "guide.before.fires",
    "guide.before.heats",
    "plan.off",
    "service.rules",
    "service.batteries",
    "guide.before.fail_safe_after",
    "guide.before.senses_intro",
    "guide.before.leak_tube_bank",
    "guide.before.left_alone",
    "guide.diving.depth",
    "guide.diving.depth_none",
    "guide.diving.dives_end",
    "guide.diving.dives_never",
    "guide.diving.fresh",
    "guide.diving.sea",
    "guide.diving.snorkel_open",
    "guide.alone.alarm_gas",
    "guide.alone.why_nothing",
    "guide.alone.why_nothing_surface",
    "guide.emergency",
    "guide.charging",
    "guide.left",
    "sheet.unjudged",
    "guide.limits",
    "guide.settings.title",
    "guide.settings.intro",
    "guide.settings.intro_draft",
    "guide.settings.intro_provisional",
    "guide.settings.note",
    "sheet.cautions",
    "sheet.time.about",
    "sheet.time.beyond",
    "sheet.time.beyond_all",
    "sheet.tests.gas_out",
    "sheet.tests.unloaded",
    "sheet.tests.propellers_off",
    "sheet.tests.open",
    "form.no_check",
    "form.open",
    "handover.verdict",
    "handover.cautions",
    "practice.banner",
    "practice.caution",
    "practice.drills.fetch",
];

/// Sections whose keys are words of the boat file or of a table of ours: their texts are asked for by the
/// word. All other texts have a name of their own in [`text`].
pub const WORDS: &[&str] = &[
    "card.acts",
    "card.verbs",
    "card.works",
    "common.effects",
    "common.hands",
    "common.may",
    "common.not",
    "common.parts",
    "common.places",
    "common.verbs",
    "common.works",
    "form.kinds",
    "sheet.axes.kinds",
    "sheet.regions",
    "sheet.unjudged.benches",
];

/// What is wrong with a labels file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LabelFault {
    /// It cannot be read as YAML.
    Unreadable(String),
    /// English has this label, the file has not.
    Missing(String),
    /// The file has this label, English has not.
    Unknown(String),
    /// A label that a workshop cannot reword.
    Kept(String),
    /// A label that holds no text.
    NotText(String),
    /// A label whose text lacks a placeholder that the English text has, or has one of its own.
    Placeholder {
        /// Path of the label.
        label: String,
        /// The placeholder, without its braces.
        name: String,
        /// It is lacking, not superfluous.
        lacking: bool,
    },
}

/// A labels file that cannot be used, and where.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LabelError {
    /// Name of the file.
    pub name: String,
    /// All of it.
    pub text: String,
    /// The place; the section that should hold it where a label is missing.
    pub span: Span,
    /// What is wrong there.
    pub fault: LabelFault,
}

impl fmt::Display for LabelFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unreadable(why) => f.write_str(why),
            Self::Missing(label) => write!(f, "the label `{label}` is missing"),
            Self::Unknown(label) => write!(f, "there is no label `{label}`"),
            Self::Kept(label) => write!(
                f,
                "the label `{label}` is a mark or a caution and stays as it is: take it out of this file"
            ),
            Self::NotText(label) => write!(f, "the label `{label}` is not a text"),
            Self::Placeholder { label, name, lacking: true } => {
                write!(f, "the label `{label}` does not say `{{{name}}}`")
            }
            Self::Placeholder { label, name, lacking: false } => {
                write!(f, "the label `{label}` cannot say `{{{name}}}`: nothing fills it in")
            }
        }
    }
}

impl fmt::Display for LabelError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (line, column) = line_column(&self.text, self.span.start);
        write!(f, "{}:{line}:{column}: {}", self.name, self.fault)
    }
}

impl std::error::Error for LabelError {}

/// A text of a labels file with its place.
#[derive(Debug)]
struct Found {
    text: String,
    span: Span,
}

impl Labels {
    /// The labels of a language that is built in.
    pub fn of(language: Language) -> Self {
        Self { language, dry: false, own: BTreeMap::new() }
    }

    /// The same as they speak of the model of this set-up: of a boat, or of one that is none.
    pub fn speaking_of(self, setup: &Setup) -> Self {
        self.speaking_of_a(setup.boat.kind)
    }

    /// The same as they speak of any model of a kind.
    pub fn speaking_of_a(self, kind: BoatKind) -> Self {
        Self { dry: kind == BoatKind::Other, ..self }
    }

    /// The English ones.
    pub fn english() -> Self {
        Self::of(english())
    }

    /// The labels of the language that a boat's owner is to read, English where nobody said.
    pub fn for_owner(setup: &Setup) -> Self {
        Self::of(setup.owner.language.unwrap_or_else(english)).speaking_of(setup)
    }

    /// The labels of a language with those put in their place that a workshop's file holds.
    ///
    /// # Errors
    /// When the file is not YAML, has a label or placeholder that English has not, or rewords one of
    /// [`KEPT`].
    pub fn reworded(language: Language, name: &str, text: &str) -> Result<Self, LabelError> {
        let source = source(name, text)?;
        let found = flat(&source)?;
        held_to_english(&source, &found)?;
        let mut labels = Self::of(language);
        for (label, Found { text, span }) in found {
            let within = |kept: &&str| {
                label.strip_prefix(*kept).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
            };
            if KEPT.iter().any(within) {
                return Err(LabelError {
                    name: source.name,
                    text: source.text,
                    span,
                    fault: LabelFault::Kept(label),
                });
            }
            labels.own.insert(label, text);
        }
        Ok(labels)
    }

    /// Reads a labels file; `name` is what to call it in an error.
    ///
    /// # Errors
    /// When it is not YAML, or its labels or placeholders are not those of the English file.
    pub fn read(name: &str, text: &str) -> Result<Self, LabelError> {
        let source = source(name, text)?;
        let found = flat(&source)?;
        held_to_english(&source, &found)?;
        complete(&source, &found, built_in::names())?;
        let own = found.into_iter().map(|(label, found)| (label, found.text)).collect();
        Ok(Self { language: english(), dry: false, own })
    }

    /// Reads what a document of this name says, and what is said by all.
    pub(super) fn get_ready(&self, document: &str) {
        for section in ["common", document] {
            built_in::right(self.language, section);
        }
    }

    /// A text without gaps.
    pub fn get(&self, text: Text) -> &str {
        self.at(text.0)
    }

    /// A text with its gaps filled in. What is filled in stays as it is, braces and all.
    pub fn fill(&self, text: impl Gaps) -> String {
        self.filled(&text.path(), |name| text.gap(name))
    }

    /// The text of a word; one that is not ours stays as the builder wrote it.
    pub fn word<'a>(&'a self, words: Words, word: &'a str) -> &'a str {
        self.find_word(words, word).unwrap_or(word)
    }

    /// The text of a word that may not be ours.
    pub fn find_word(&self, words: Words, word: &str) -> Option<&str> {
        self.find(&format!("{}.{word}", words.0))
    }

    /// What is said where a rule is proved.
    pub fn proved(&self, rule: &str) -> &str {
        self.at(&format!("rules.{rule}.proved"))
    }

    /// One of the sentences of a rule, by its name.
    pub fn sentence(&self, rule: &str, sentence: &str, gaps: &[(&str, String)]) -> String {
        let given = |name: &str| gaps.iter().find(|(known, _)| *known == name).map(|(_, text)| text.as_str());
        self.filled(&format!("rules.{rule}.{sentence}"), given)
    }

    /// What to do and what to see, to find a fault that only the bench shows.
    pub fn fault(&self, name: &str) -> [&str; 2] {
        ["do", "see"].map(|part| self.at(&format!("sheet.faults.{name}.{part}")))
    }

    /// The text at a path.
    ///
    /// # Panics
    /// When English has no such label: a mistake in the program, never in a file, since every file
    /// is held to English when it is read. Tests hold the program to English, too.
    fn at(&self, path: &str) -> &str {
        self.find(path).unwrap_or_else(|| panic!("no document has a label `{path}`"))
    }

    fn find(&self, path: &str) -> Option<&str> {
        let built_in = || built_in::right(self.language, built_in::name_of(path))?.get(path);
        let dry = || self.dry.then(|| built_in::dry(self.language).get(path)).flatten();
        let ours = || dry().or_else(built_in).map(|found| &found.text);
        self.own.get(path).or_else(ours).map(String::as_str)
    }

    /// # Panics
    /// Where nothing is given for a gap, as [`Labels::at`].
    fn filled<'a>(&self, path: &str, given: impl Fn(&str) -> Option<&'a str>) -> String {
        let mut filled = String::new();
        for piece in pieces(self.at(path)) {
            filled.push_str(match piece {
                Piece::Plain(text) => text,
                Piece::Placeholder(name) => given(name)
                    .unwrap_or_else(|| panic!("nothing was given for `{{{name}}}` of the label `{path}`")),
            });
        }
        filled
    }

    /// The language as PDF readers are told: `en-GB`.
    pub fn language(&self) -> &str {
        self.get(text::LANGUAGE)
    }

    /// A number in decimals as this language writes it: `1,5`.
    pub fn decimal(&self, number: &str) -> String {
        number.replace('.', self.get(text::DECIMAL))
    }

    /// All of them, nested as in the file, for templates.
    pub fn tree(&self) -> serde_json::Value {
        self.tree_of(built_in::names())
    }

    /// The same with those sections alone that a template names as `labels.card`; all of them where it
    /// speaks of `labels` in any other way.
    pub fn tree_for(&self, template: &str) -> serde_json::Value {
        let mut named = BTreeSet::new();
        for (_, after) in words(template).filter(|(word, _)| *word == "labels") {
            let section = after.strip_prefix('.').and_then(|rest| words(rest).next());
            match section.and_then(|(word, _)| built_in::names().find(|name| *name == word)) {
                Some(name) => named.insert(name),
                None => return self.tree(),
            };
        }
        self.tree_of(named)
    }

    fn tree_of(&self, sections: impl IntoIterator<Item = &'static str>) -> serde_json::Value {
        let mut root = serde_json::Value::Object(serde_json::Map::new());
        let mut put = |path: &str, text: &str| {
            let place = path.split('.').fold(&mut root, |place, key| &mut place[key]);
            *place = serde_json::Value::String(text.to_owned());
        };
        for name in sections {
            for (path, found) in built_in::right(self.language, name).into_iter().flatten() {
                put(path, &found.text);
            }
            let dry = self.dry.then(|| built_in::dry(self.language)).into_iter().flatten();
            for (path, found) in dry.filter(|(path, _)| built_in::name_of(path) == name) {
                put(path, &found.text);
            }
            for (path, text) in self.own.iter().filter(|(path, _)| built_in::name_of(path) == name) {
                put(path, text);
            }
        }
        root
    }
}

/// The words of a template, each with what follows it.
fn words(text: &str) -> impl Iterator<Item = (&str, &str)> {
    let part = |c: char| c.is_ascii_alphanumeric() || c == '_';
    let mut rest = text;
    std::iter::from_fn(move || {
        let start = rest.find(part)?;
        let end = rest[start..].find(|c| !part(c)).map_or(rest.len(), |length| start + length);
        let word = &rest[start..end];
        rest = &rest[end..];
        Some((word, rest))
    })
}

/// Every label is one that English has, with the placeholders of English.
fn held_to_english(source: &Source, found: &BTreeMap<String, Found>) -> Result<(), LabelError> {
    for (label, Found { text, span }) in found {
        let model = built_in::right(english(), built_in::name_of(label)).and_then(|model| model.get(label));
        let Some(model) = model else {
            return Err(wrong(source, *span, LabelFault::Unknown(label.clone())));
        };
        let (asked, given) = (placeholders(&model.text), placeholders(text));
        if let Some(odd) = asked.symmetric_difference(&given).next() {
            let lacking = asked.contains(odd);
            let fault = LabelFault::Placeholder { label: label.clone(), name: (*odd).to_owned(), lacking };
            return Err(wrong(source, *span, fault));
        }
    }
    Ok(())
}

/// Every label of some sections is there.
fn complete<'a>(
    source: &Source,
    found: &BTreeMap<String, Found>,
    sections: impl IntoIterator<Item = &'a str>,
) -> Result<(), LabelError> {
    let model = sections.into_iter().filter_map(|name| built_in::right(english(), name));
    match model.flat_map(BTreeMap::keys).find(|label| !found.contains_key(*label)) {
        Some(label) => Err(wrong(source, section_of(source, label), LabelFault::Missing(label.clone()))),
        None => Ok(()),
    }
}

fn wrong(source: &Source, span: Span, fault: LabelFault) -> LabelError {
    LabelError { name: source.name.clone(), text: source.text.clone(), span, fault }
}

fn english() -> Language {
    language::ALL[0].1
}

fn source(name: &str, text: &str) -> Result<Source, LabelError> {
    Source::from_text(name, text).map_err(|unreadable| LabelError {
        name: unreadable.name,
        text: unreadable.text,
        span: unreadable.mistake.labels.first().map(|(span, _)| *span).unwrap_or_default(),
        fault: LabelFault::Unreadable(unreadable.mistake.message),
    })
}

/// Every text of the tree by its path.
fn flat(source: &Source) -> Result<BTreeMap<String, Found>, LabelError> {
    fn walk(
        node: &Node,
        span: Span,
        path: String,
        found: &mut BTreeMap<String, Found>,
    ) -> Result<(), (Span, String)> {
        match &node.value {
            Value::Scalar { text, .. } if !path.is_empty() && !text.is_empty() => {
                found.insert(path, Found { text: text.clone(), span });
                Ok(())
            }
            Value::Map(entries) => entries.iter().try_for_each(|entry| {
                let key = &entry.key;
                let path = if path.is_empty() { key.clone() } else { format!("{path}.{key}") };
                walk(&entry.value, entry.key_span, path, found)
            }),
            _ => Err((span, path)),
        }
    }
    let mut found = BTreeMap::new();
    walk(&source.root, Span::default(), String::new(), &mut found).map_err(|(span, label)| LabelError {
        name: source.name.clone(),
        text: source.text.clone(),
        span,
        fault: LabelFault::NotText(label),
    })?;
    Ok(found)
}

/// The deepest section on the way to a label.
fn section_of(source: &Source, label: &str) -> Span {
    let (mut node, mut span) = (&source.root, Span::default());
    for key in label.split('.') {
        let Some(entry) = node.entry(key) else { break };
        (node, span) = (&entry.value, entry.key_span);
    }
    span
}

enum Piece<'a> {
    Plain(&'a str),
    Placeholder(&'a str),
}

/// Cuts a text at its placeholders; a brace without its fellow is text.
fn pieces(text: &str) -> Vec<Piece<'_>> {
    let mut pieces = Vec::new();
    let mut rest = text;
    while let Some((before, (name, after))) =
        rest.split_once('{').and_then(|(before, after)| Some((before, after.split_once('}')?)))
    {
        pieces.extend([Piece::Plain(before), Piece::Placeholder(name)]);
        rest = after;
    }
    pieces.push(Piece::Plain(rest));
    pieces
}

fn placeholders(text: &str) -> BTreeSet<&str> {
    let names = pieces(text).into_iter().filter_map(|piece| match piece {
        Piece::Placeholder(name) => Some(name),
        Piece::Plain(_) => None,
    });
    names.collect()
}
