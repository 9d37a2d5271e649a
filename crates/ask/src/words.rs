//! The languages in which is asked. English stands in the code, beside what it is about; the others in a file each, text
//! by text, with the same gaps.

use serde::{Serialize, Serializer};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// Every language but English: its name and its texts.
static ALL: &[(&str, &str)] = &[("de", include_str!("words/de.json"))];

type Texts = BTreeMap<String, String>;

static READ: LazyLock<Vec<(&str, Texts)>> = LazyLock::new(|| {
    // A test reads every file; one that could not be read would be asked in English.
    ALL.iter().map(|(name, text)| (*name, serde_json::from_str(text).unwrap_or_default())).collect()
});

/// A language in which can be asked.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Words(Option<&'static Texts>);

impl Words {
    /// English, as it stands in the code.
    pub const ENGLISH: Self = Self(None);

    /// A language by its code; English, where there is no file of it.
    pub fn of(language: &str) -> Self {
        Self(READ.iter().find(|(name, _)| *name == language).map(|(_, texts)| texts))
    }

    /// A text in this language, its gaps filled with what was typed or is told already: a boat called as one of these
    /// texts stays what she is called.
    pub fn say(self, english: &str, gaps: &[(&str, &str)]) -> String {
        let text = self.text(english).to_owned();
        gaps.iter().fold(text, |text, (gap, with)| text.replace(&format!("{{{gap}}}"), with))
    }

    /// What something of the boat is called in a file that is written in this language.
    pub(crate) fn name(self, english: &str) -> String {
        self.filling(english).into_owned()
    }

    fn text(self, english: &str) -> &str {
        self.0.and_then(|texts| texts.get(english)).map_or(english, String::as_str)
    }

    /// What fills a gap: a text of its own, perhaps with the number that tells twins apart, or a number.
    fn filling(self, with: &str) -> Cow<'_, str> {
        match with.rsplit_once(' ') {
            Some((word, number)) if number.chars().all(|c| c.is_ascii_digit()) => {
                Cow::Owned(format!("{} {number}", self.text(word)))
            }
            _ => Cow::Owned(self.text(with).to_owned()),
        }
    }
}

/// Something that is told, in the language in which is asked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    english: Cow<'static, str>,
    gaps: Vec<(&'static str, String)>,
    told: String,
}

impl Said {
    /// As it is told.
    pub fn as_str(&self) -> &str {
        &self.told
    }

    pub(crate) fn with(mut self, gap: &'static str, filling: impl std::fmt::Display) -> Self {
        self.gaps.push((gap, filling.to_string()));
        self.told_in(Words::ENGLISH)
    }

    pub(crate) fn told_in(mut self, words: Words) -> Self {
        let mut told = words.text(&self.english).to_owned();
        for (gap, with) in &self.gaps {
            told = told.replace(&format!("{{{gap}}}"), &words.filling(with));
        }
        self.told = told;
        self
    }

    /// The text in the code and what fills its gaps: what a language has to have.
    #[cfg(test)]
    pub(crate) fn texts(&self) -> impl Iterator<Item = &str> {
        std::iter::once(&*self.english).chain(self.gaps.iter().map(|(_, with)| with.as_str()))
    }
}

impl From<&'static str> for Said {
    fn from(english: &'static str) -> Self {
        Self { english: english.into(), gaps: Vec::new(), told: english.to_owned() }
    }
}

impl From<String> for Said {
    fn from(text: String) -> Self {
        Self { english: text.clone().into(), gaps: Vec::new(), told: text }
    }
}

impl std::fmt::Display for Said {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.told)
    }
}

impl Serialize for Said {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(&self.told)
    }
}

/// A text with gaps: `said("{name}: its rate?").with("name", name)`.
pub(crate) fn said(english: &'static str) -> Said {
    english.into()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{ALL, Said, Texts, Words};
    use crate::question::{Question, REFUSALS, Takes};
    use crate::{Answers, UNKNOWN, boat_file, questions};
    use std::collections::BTreeSet;

    /// Said beside the questions, at a terminal; `src/cli/new/dialogue.rs` holds them to the languages.
    const AT_A_TERMINAL: &[&str] =
        &["kept", "target", "id", "number", "becomes", "known", "example", "least"];

    /// Numbers that are the same in every run (Knuth, The Art of Computer Programming, volume 2, 3.3.4, line 26).
    struct Dice(u64);

    impl Dice {
        fn one_of<T: Clone>(&mut self, all: &[T]) -> T {
            self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            all[(self.0 >> 33) as usize % all.len()].clone()
        }
    }

    /// Every text that is said in so many boats, answered at random.
    fn said_of(boats: u64) -> BTreeSet<String> {
        let mut said: BTreeSet<String> = REFUSALS.iter().map(|text| (*text).to_owned()).collect();
        for boat in 0..boats {
            let mut dice = Dice(boat);
            let mut answers = Answers::default();
            loop {
                let asked = questions(&answers, Words::ENGLISH);
                let open: Vec<_> = asked.iter().filter(|q| answers.get(&q.id).is_none()).collect();
                if open.is_empty() {
                    said.extend(
                        asked.iter().flat_map(Question::said).flat_map(Said::texts).map(str::to_owned),
                    );
                    break;
                }
                // What a part asks hangs on what was said in those before it.
                for question in open.iter().filter(|question| question.part == open[0].part) {
                    answers.keep(&question.id, &answer(question, &mut dice));
                }
            }
        }
        said
    }

    /// Some answer to a question.
    fn answer(question: &Question, dice: &mut Dice) -> String {
        if question.unknown.is_some() && dice.one_of(&[false, false, true]) {
            return UNKNOWN.to_owned();
        }
        match &question.takes {
            Takes::One(choices) => dice.one_of(choices).word,
            Takes::Several { choices, .. } => {
                choices.iter().map(|choice| choice.word.clone()).collect::<Vec<_>>().join(", ")
            }
            Takes::Text { example } | Takes::Quantity { example, .. } | Takes::Readings { example, .. } => {
                (*example).to_owned()
            }
            // Channels and stages enough for twins.
            Takes::Count { least, most } => (*most).min(7).max(*least).to_string(),
        }
    }

    /// Numbers, and names with a number that tells twins apart, are put together from what has words.
    fn has_words(text: &str) -> bool {
        let alone =
            text.rsplit_once(' ').filter(|(_, n)| n.parse::<u32>().is_ok()).map_or(text, |(word, _)| word);
        alone == text && text.chars().any(char::is_alphabetic)
    }

    fn gaps(text: &str) -> BTreeSet<&str> {
        text.split('{').skip(1).filter_map(|rest| rest.split('}').next()).collect()
    }

    #[test]
    fn every_language_says_all_that_is_asked_and_nothing_else() {
        let said = said_of(80);
        assert!(said.len() > 200, "{}", said.len());
        let remarks = include_str!("file.rs").to_owned()
            + include_str!("part/boat.rs")
            + include_str!("part/channel.rs")
            + include_str!("part/device.rs")
            + include_str!("part/hand.rs")
            + include_str!("part/power.rs")
            + include_str!("part/set.rs");
        for (name, text) in ALL {
            let texts: Texts = serde_json::from_str(text).unwrap();
            let missing: Vec<&String> =
                said.iter().filter(|text| has_words(text) && !texts.contains_key(*text)).collect();
            assert!(missing.is_empty(), "{name} has no words for {missing:#?}");
            let other = |text: &&String| {
                let by_terminal = gaps(text).iter().any(|gap| AT_A_TERMINAL.contains(gap));
                !said.contains(*text) && !remarks.contains(&format!("\"{text}\"")) && !by_terminal
            };
            let left: Vec<&String> = texts.keys().filter(other).collect();
            assert!(left.is_empty(), "{name} has words for what nobody says: {left:#?}");
            for (english, told) in &texts {
                assert_eq!(gaps(english), gaps(told), "{name}: {english}");
                assert!(!told.trim().is_empty(), "{name}: {english}");
            }
        }
        let asked = ALL.iter().map(|(name, _)| *name);
        let documents = lidcard_boat::language::ALL.iter().skip(1).map(|(name, _)| *name);
        assert!(asked.eq(documents), "each language of the documents is asked in");
    }

    #[test]
    fn what_the_file_calls_something_is_a_name_of_its_own_in_every_language() {
        use crate::function::{ALL as FUNCTIONS, WORKS};
        let channels: Vec<&str> = FUNCTIONS.iter().map(|function| function.word).collect();
        let controls: BTreeSet<&str> = FUNCTIONS.iter().map(|function| function.control).collect();
        let works: Vec<&str> = WORKS.iter().map(|work| work.word).collect();
        // A control is told from its ways, too.
        let ways =
            FUNCTIONS.iter().map(|function| [function.control, function.ways[0], function.ways[1]].to_vec());
        let mut apart = vec![channels, controls.into_iter().collect(), works];
        apart.extend(ways);
        apart
            .extend(FUNCTIONS.iter().map(|function| [function.ways[0], "middle", function.ways[1]].to_vec()));
        for (language, text) in ALL {
            let texts: Texts = serde_json::from_str(text).unwrap();
            for names in &apart {
                let told: BTreeSet<&str> = names.iter().map(|name| &*texts[*name]).collect();
                assert_eq!(told.len(), names.len(), "{language}: {names:?} become {told:?}");
            }
        }
    }

    #[test]
    fn what_somebody_typed_is_not_taken_for_one_of_the_texts() {
        let german = Words::of("de");
        assert_eq!(german.say("write one of {known}", &[("known", "pump")]).matches("pump").count(), 1);
    }

    #[test]
    fn a_question_is_asked_in_the_language_and_answered_by_the_same_words() {
        let mut answers = Answers::default();
        answers.keep("boat.empties", "pump");
        let [english, german] = [Words::ENGLISH, Words::of("de")].map(|words| questions(&answers, words));
        let ids = |all: &[Question]| all.iter().map(|question| question.id.clone()).collect::<Vec<_>>();
        assert_eq!(ids(&english), ids(&german));
        assert_eq!(
            (english[0].ask.as_str(), german[0].ask.as_str()),
            ("What empties the tank?", "Was leert den Tank?")
        );
        let Takes::One(choices) = &german[0].takes else { panic!("choices") };
        assert_eq!((&*choices[0].word, choices[0].label.as_str()), ("pump", "Pumpe"));
        let depth = german.iter().find(|question| question.id == "boat.depth_limit").unwrap();
        assert_eq!(depth.answer("deep").unwrap_err(), "eine Zahl mit `m` schreiben, etwa `2 m`");
        assert!(boat_file(&answers, Words::of("de")).is_err());
        assert_eq!(Words::of("tlh"), Words::ENGLISH);
    }

    #[test]
    fn twins_keep_their_number_in_every_language() {
        let asked = super::said("{name}: its rate?").with("name", "rudder 2");
        assert_eq!(asked.as_str(), "rudder 2: its rate?");
        assert_eq!(asked.told_in(Words::of("de")).as_str(), "Seitenruder 2: Dual-Rate?");
    }
}
