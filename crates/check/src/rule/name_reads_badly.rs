//! A function whose name makes no sentence with the verb that stands before it on every page: "opens in".

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Finding, Gap, Severity, StateId, Subject};
use crate::language::{self, Language};
use crate::source::Source;
use std::cell::OnceCell;

pub(super) const NAME: &str = "name-reads-badly";

/// Words that are no name of a thing, by the language of the pages.
const NO_NAMES: &[(&str, &str)] = &[
    (
        "en",
        "in out on off up down open opens close closed closes shut go fire fires start starts stop stops run runs left right ahead astern back forward flood floods blow blows fill fills empty empties drop drops let release releases sink sinks raise raises lower lowers dive dives rise rises firing blowing flooding venting filling emptying opening closing dropping releasing it this that all yes no",
    ),
    (
        "de",
        "ein aus an auf zu ab hoch runter rauf raus rein los offen geschlossen links rechts vor zurück zurueck fluten flutet lenzen lenzt füllen fuellen leeren leert öffnen oeffnen schließen schliessen feuern abwerfen auslösen ausloesen freigeben einschalten ausschalten blasen bläst blaest loslassen senken sinken heben steigen tauchen alles ja nein",
    ),
];

/// Words with which no name of a thing ends: “switches on light on”.
const NO_ENDINGS: &[(&str, &str)] = &[
    ("en", "in out on off up down open opened closed shut it"),
    ("de", "ein aus an auf zu ab hoch runter rauf raus rein los offen"),
];

/// Once for each function whose name is no word for a thing in one of the languages of the pages.
pub(super) fn apply(engine: &Engine, findings: &mut Vec<Finding>) {
    let setup = engine.setup;
    // The language of this boat's own pages first.
    let own = setup.owner.language.unwrap_or(language::ALL[0].1);
    let others = language::ALL.iter().map(|(_, other)| *other).filter(|other| other.name != own.name);
    let tongues: Vec<Tongue> = std::iter::once(own).chain(others).map(Tongue::of).collect();
    for function in setup.works() {
        let work = setup.work(function);
        let name = work.name.replace('_', " ");
        let Some(tongue) = tongues.iter().find(|tongue| tongue.has_no_thing(&name)) else { continue };
        let Some(sentence) = tongue.sentence(work.kind.verb, &name) else { continue };
        let draft = Draft::new(NAME, Severity::Warning, Subject::Function(function), StateId::OnPaper)
            .at(say::work_path(setup, function), format!("the pages say \u{201c}{sentence}\u{201d}"))
            .gap("sentence", Gap::Name(sentence.clone()))
            .help("name the thing itself, as it stands behind a verb: `valve`, `pump`, `hook`, `gun`");
        findings.push(draft.close_plain(
            true,
            &format!("the name {name} makes a sentence that nobody understands: \u{201c}{sentence}\u{201d}"),
            "",
        ));
    }
}

/// What a language says of what a function does, and what in it is no name of a thing.
struct Tongue {
    language: Language,
    /// Read only where a sentence is needed: hardly a boat has such a name, and the words of all pages are long.
    labels: OnceCell<Option<Source>>,
}

impl Tongue {
    fn of(language: Language) -> Self {
        Self { language, labels: OnceCell::new() }
    }

    /// Whether nobody would take a name for that of a thing: a word that is none, a letter, a number.
    fn has_no_thing(&self, name: &str) -> bool {
        let name = name.trim().to_lowercase();
        let bare = name.chars().count() < 2 || name.chars().all(|c| !c.is_alphabetic());
        let is_in = |words: &[(&str, &str)], name: &str| {
            let known = words.iter().find(|(language, _)| *language == self.language.name);
            known.is_some_and(|(_, words)| words.split(' ').any(|word| word == name))
        };
        let last = name.rsplit_once(' ').map(|(_, last)| last);
        bare || is_in(NO_NAMES, &name) || last.is_some_and(|last| is_in(NO_ENDINGS, last))
    }

    fn sentence(&self, verb: &str, name: &str) -> Option<String> {
        let read = || Source::from_text(self.language.name, self.language.text).ok();
        let verbs = self.labels.get_or_init(read).as_ref()?.root.get("common")?.get("verbs")?;
        Some(verbs.get(verb)?.text()?.replace("{name}", name))
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::NAME;
    use crate::setup::lower::lower;
    use crate::source::Source;

    fn said(name: &str, kind: &str, language: &str) -> Vec<String> {
        let (_, text) = crate::rule::page::examples(include_str!("name_reads_badly.md"))[1];
        let text = text.replace("lamp: {kind: light", &format!("{name}: {{kind: {kind}"));
        let text = format!(
            "{}\nowner: {{language: {language}}}\n",
            text.replace("lit: lamp", &format!("lit: {name}"))
        );
        let source = Source::from_bytes("x", text.into_bytes()).unwrap();
        let all = crate::rule::check(&lower(&source).unwrap());
        all.into_iter().filter(|f| f.rule == NAME).map(|f| f.primary.1).collect()
    }

    #[test]
    fn every_language_of_the_pages_has_its_words() {
        for (name, language) in crate::language::ALL {
            assert!(
                super::Tongue::of(*language).has_no_thing(if *name == "en" { "in" } else { "auf" }),
                "{name}"
            );
            assert!(super::NO_NAMES.iter().any(|(known, _)| known == name), "{name}");
        }
    }

    #[test]
    fn words_that_are_no_things_are_shown_in_the_sentence_that_they_make() {
        assert_eq!(said("in", "flood valve", "en"), ["the pages say “opens in”"]);
        assert_eq!(said("fire", "release", "en"), ["the pages say “lets fire go”"]);
        assert_eq!(said("auf", "flood valve", "de"), ["the pages say “öffnet auf”"]);
        // Of another language than that of the pages, too: they can be printed in either.
        assert_eq!(said("auf", "flood valve", "en"), ["the pages say “öffnet auf”"]);
        assert_eq!(said("\"1\"", "flood valve", "en"), ["the pages say “opens 1”"]);
        assert_eq!(said("light_on", "light", "en"), ["the pages say “switches on light on”"]);
        assert_eq!(said("tor_auf", "flood valve", "en"), ["the pages say “öffnet tor auf”"]);
        for thing in ["valve", "main_gas_valve", "Kingston", "gun", "up_valve", "release_hook"] {
            assert!(said(thing, "flood valve", "en").is_empty(), "{thing}");
        }
    }
}
