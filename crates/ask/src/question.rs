//! What is asked.

use crate::answers::UNKNOWN;
use crate::words::{Said, Words, said};
use serde::Serialize;

/// One question.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Question {
    /// What its answer is kept under, such as `channel.4.endpoint.blow`.
    pub id: String,
    /// The part of the bench it belongs to.
    pub part: Said,
    /// The question itself.
    pub ask: Said,
    /// Why it is asked, and how the bench finds the answer.
    pub why: Said,
    /// What an answer looks like.
    pub takes: Takes,
    /// What becomes of it if the answer is not known; `None` where nothing can be written without it.
    pub unknown: Option<Said>,
    /// What it asks about, to point at.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub picture: Option<Picture>,
    #[serde(skip)]
    words: Words,
}

/// A drawing in letters, and the words by which its places are answered.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Picture {
    /// Its lines, with the places in the language in which is asked.
    pub drawing: Said,
    /// The places, as they are answered.
    pub places: Vec<Choice>,
}

/// What an answer looks like.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Takes {
    /// One of these words.
    One(Vec<Choice>),
    /// Any of these words, with commas between.
    Several {
        /// The words.
        choices: Vec<Choice>,
        /// `none` may be said: none of them.
        or_none: bool,
    },
    /// A line of text.
    Text {
        /// What one could say.
        example: &'static str,
    },
    /// A whole number between these.
    Count {
        /// The least.
        least: u32,
        /// The most.
        most: u32,
    },
    /// A number with one of these units, or one of these words.
    Quantity {
        /// Units, the usual one first.
        units: &'static [&'static str],
        /// What may be said instead.
        words: &'static [&'static str],
        /// What one could say.
        example: &'static str,
    },
    /// Readings of one thing, with commas between.
    Readings {
        /// Units, the usual one first.
        units: &'static [&'static str],
        /// What one could say.
        example: &'static str,
    },
}

/// A word that can be chosen.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Choice {
    /// As it is answered.
    pub word: String,
    /// The same as it is told.
    pub label: Said,
    /// What it is.
    pub about: Said,
}

impl Choice {
    pub(crate) fn new(word: impl Into<String>, about: impl Into<Said>) -> Self {
        let word = word.into();
        Self { label: word.clone().into(), word, about: about.into() }
    }

    pub(crate) fn told(mut self, label: Said) -> Self {
        self.label = label;
        self
    }

    fn told_in(self, words: Words) -> Self {
        Self { label: self.label.told_in(words), about: self.about.told_in(words), ..self }
    }
}

/// Choices from pairs of word and meaning.
pub(crate) fn choices(pairs: &[(&'static str, &'static str)]) -> Vec<Choice> {
    pairs.iter().map(|(word, about)| Choice::new(*word, *about)).collect()
}

impl Question {
    pub(crate) fn new(id: impl Into<String>, ask: impl Into<Said>, why: &'static str, takes: Takes) -> Self {
        Self {
            id: id.into(),
            part: said(""),
            ask: ask.into(),
            why: why.into(),
            takes,
            unknown: None,
            picture: None,
            words: Words::ENGLISH,
        }
    }

    /// May be left open, and what becomes of it then.
    pub(crate) fn or(mut self, unknown: &'static str) -> Self {
        self.unknown = Some(unknown.into());
        self
    }

    pub(crate) fn shown(mut self, drawing: &'static str, places: &'static [&'static str]) -> Self {
        let places = places.iter().map(|place| Choice::new(*place, "")).collect();
        self.picture = Some(Picture { drawing: drawing.into(), places });
        self
    }

    pub(crate) fn under(mut self, part: &'static str) -> Self {
        self.part = part.into();
        self
    }

    /// The same in a language.
    pub(crate) fn told_in(mut self, words: Words) -> Self {
        let each = |all: Vec<Choice>| all.into_iter().map(|choice| choice.told_in(words)).collect();
        self.part = self.part.told_in(words);
        self.ask = self.ask.told_in(words);
        self.why = self.why.told_in(words);
        self.unknown = self.unknown.map(|unknown| unknown.told_in(words));
        self.picture =
            self.picture.map(|p| Picture { drawing: p.drawing.told_in(words), places: each(p.places) });
        self.takes = match self.takes {
            Takes::One(choices) => Takes::One(each(choices)),
            Takes::Several { choices, or_none } => Takes::Several { choices: each(choices), or_none },
            other => other,
        };
        self.words = words;
        self
    }

    /// Every text that a language has to have to ask this.
    #[cfg(test)]
    pub(crate) fn said(&self) -> Vec<&Said> {
        let mut choices: Vec<&Choice> = match &self.takes {
            Takes::One(choices) | Takes::Several { choices, .. } => choices.iter().collect(),
            _ => Vec::new(),
        };
        choices.extend(self.picture.iter().flat_map(|picture| &picture.places));
        let mut all = vec![&self.part, &self.ask, &self.why];
        all.extend(&self.unknown);
        all.extend(self.picture.as_ref().map(|picture| &picture.drawing));
        all.extend(choices.into_iter().flat_map(|choice| [&choice.label, &choice.about]));
        all
    }

    /// The answer as it is kept, without what a hand adds by the way.
    ///
    /// # Errors
    /// What is wrong with it and what to say instead.
    pub fn answer(&self, given: &str) -> Result<String, String> {
        let given = given.trim();
        if given == "?" || given == UNKNOWN {
            return match self.unknown {
                Some(_) => Ok(UNKNOWN.to_owned()),
                None => Err(self.words.say(HAS_TO_BE_KNOWN, &[])),
            };
        }
        match &self.takes {
            Takes::One(choices) => self.one_of(choices, given),
            Takes::Several { choices, or_none } => {
                if *or_none && given == "none" {
                    return Ok("none".into());
                }
                let words = given.split(',').map(|word| self.one_of(choices, word.trim()));
                Ok(words.collect::<Result<Vec<_>, _>>()?.join(", "))
            }
            Takes::Text { example } => match given.chars().any(char::is_control) || given.is_empty() {
                true => Err(self.words.say(TEXT_WANTED, &[("example", example)])),
                false => Ok(given.to_owned()),
            },
            Takes::Count { least, most } => match given.parse::<u32>() {
                Ok(n) if (*least..=*most).contains(&n) => Ok(n.to_string()),
                _ => {
                    let [least, most] = [least, most].map(u32::to_string);
                    Err(self.words.say(COUNT_WANTED, &[("least", &least), ("most", &most)]))
                }
            },
            Takes::Quantity { units, words, example } => match words.contains(&given) {
                true => Ok(given.to_owned()),
                false => quantity(given, units).ok_or_else(|| self.unit_wanted(units, words, example)),
            },
            Takes::Readings { units, example } => {
                let each = given.split(',').map(|one| quantity(one.trim(), units));
                let each: Option<Vec<String>> = each.collect();
                each.map(|each| each.join(", ")).ok_or_else(|| self.unit_wanted(units, &[], example))
            }
        }
    }

    fn one_of(&self, choices: &[Choice], given: &str) -> Result<String, String> {
        let known =
            || choices.iter().map(|choice| format!("`{}`", choice.word)).collect::<Vec<_>>().join(", ");
        match choices.iter().find(|choice| choice.word == given) {
            Some(choice) => Ok(choice.word.clone()),
            None => Err(self.words.say(ONE_WANTED, &[("known", &known())])),
        }
    }

    fn unit_wanted(&self, units: &[&str], words: &[&str], example: &str) -> String {
        let quoted = |all: &[&str]| all.iter().map(|one| format!("`{one}`")).collect::<Vec<_>>();
        let or = self.words.say(" or ", &[]);
        let units = quoted(units).join(&or);
        let gaps = [("units", &*units), ("example", example)];
        if words.is_empty() {
            return self.words.say(UNIT_WANTED, &gaps);
        }
        let words = quoted(words).join(&or);
        self.words.say(UNIT_OR_WORD_WANTED, &[gaps[0], gaps[1], ("words", &words)])
    }
}

const HAS_TO_BE_KNOWN: &str = "this has to be known before a file can be written; what was answered is kept";
const TEXT_WANTED: &str = "write one line of text, such as `{example}`";
const COUNT_WANTED: &str = "write a whole number from {least} to {most}";
const ONE_WANTED: &str = "write one of {known}";
const UNIT_WANTED: &str = "write a number with {units}, such as `{example}`";
const UNIT_OR_WORD_WANTED: &str = "write a number with {units}, such as `{example}`, or {words}";
/// What is said to an answer that is none.
#[cfg(test)]
pub(crate) const REFUSALS: &[&str] =
    &[HAS_TO_BE_KNOWN, TEXT_WANTED, COUNT_WANTED, ONE_WANTED, UNIT_WANTED, UNIT_OR_WORD_WANTED, " or "];

/// A number with a unit, one space between; a number alone has the usual unit.
fn quantity(given: &str, units: &[&str]) -> Option<String> {
    let end = given.find(|c: char| !(c.is_ascii_digit() || "+-.".contains(c))).unwrap_or(given.len());
    let (number, unit) = given.split_at(end);
    let unit = match unit.trim() {
        "" => units.first()?,
        unit => units.iter().find(|known| **known == unit)?,
    };
    let digits = number.strip_prefix(['+', '-']).unwrap_or(number);
    let plain = !digits.is_empty()
        && digits.chars().all(|c| c.is_ascii_digit() || c == '.')
        && digits.starts_with(|c: char| c.is_ascii_digit())
        && digits.ends_with(|c: char| c.is_ascii_digit())
        && digits.matches('.').count() < 2;
    plain.then(|| format!("{number} {unit}"))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn pulse() -> Question {
        let takes = Takes::Quantity { units: &["us", "%"], words: &["locked"], example: "1500 us" };
        Question::new("x", "x?", "", takes).or("is left out")
    }

    #[test]
    fn a_figure_is_kept_with_its_unit_and_one_space() {
        for (given, kept) in
            [("1500", "1500 us"), (" 1500us ", "1500 us"), ("-12.5   %", "-12.5 %"), ("+3 %", "+3 %")]
        {
            assert_eq!(pulse().answer(given).unwrap(), kept);
        }
        assert_eq!(pulse().answer("locked").unwrap(), "locked");
        assert_eq!(pulse().answer("?").unwrap(), UNKNOWN);
    }

    #[test]
    fn what_is_no_figure_is_refused_with_one_that_is() {
        for given in ["", "us", "15 mm", "1.2.3 us", ".5 us", "5. us", "1e3 us", "--5 us", "5, 6"] {
            assert!(pulse().answer(given).unwrap_err().contains("`1500 us`"), "{given}");
        }
    }

    #[test]
    fn what_has_to_be_known_cannot_be_left_open() {
        let question = Question { unknown: None, ..pulse() };
        assert!(question.answer("?").is_err());
    }
}
