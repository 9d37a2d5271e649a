//! What is asked.

use crate::answers::UNKNOWN;
use serde::Serialize;

/// One question.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Question {
    /// What its answer is kept under, such as `channel.4.endpoint.blow`.
    pub id: String,
    /// The part of the bench it belongs to.
    pub part: &'static str,
    /// The question itself.
    pub ask: String,
    /// Why it is asked, and how the bench finds the answer.
    pub why: &'static str,
    /// What an answer looks like.
    pub takes: Takes,
    /// What becomes of it if the answer is not known; `None` where nothing can be written without it.
    pub unknown: Option<&'static str>,
    /// What it asks about, to point at.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub picture: Option<&'static Picture>,
}

/// A drawing in letters, and the words by which its places are answered.
#[derive(Debug, PartialEq, Eq, Serialize)]
pub struct Picture {
    /// Its lines.
    pub drawing: &'static str,
    /// The words, as they stand in it.
    pub places: &'static [&'static str],
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
    /// As it is told.
    pub about: String,
}

impl Choice {
    pub(crate) fn new(word: impl Into<String>, about: impl Into<String>) -> Self {
        Self { word: word.into(), about: about.into() }
    }
}

/// Choices from pairs of word and meaning.
pub(crate) fn choices(pairs: &[(&str, &str)]) -> Vec<Choice> {
    pairs.iter().map(|(word, about)| Choice::new(*word, *about)).collect()
}

impl Question {
    pub(crate) fn new(
        id: impl Into<String>,
        ask: impl Into<String>,
        why: &'static str,
        takes: Takes,
    ) -> Self {
        Self { id: id.into(), part: "", ask: ask.into(), why, takes, unknown: None, picture: None }
    }

    /// May be left open, and what becomes of it then.
    pub(crate) fn or(mut self, unknown: &'static str) -> Self {
        self.unknown = Some(unknown);
        self
    }

    pub(crate) fn shown(mut self, picture: &'static Picture) -> Self {
        self.picture = Some(picture);
        self
    }

    pub(crate) fn under(mut self, part: &'static str) -> Self {
        self.part = part;
        self
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
                None => {
                    Err("this has to be known before a file can be written; what was answered is kept".into())
                }
            };
        }
        match &self.takes {
            Takes::One(choices) => one_of(choices, given),
            Takes::Several { choices, or_none } => {
                if *or_none && given == "none" {
                    return Ok("none".into());
                }
                let words = given.split(',').map(|word| one_of(choices, word.trim()));
                Ok(words.collect::<Result<Vec<_>, _>>()?.join(", "))
            }
            Takes::Text { example } => match given.chars().any(char::is_control) || given.is_empty() {
                true => Err(format!("write one line of text, such as `{example}`")),
                false => Ok(given.to_owned()),
            },
            Takes::Count { least, most } => match given.parse::<u32>() {
                Ok(n) if (*least..=*most).contains(&n) => Ok(n.to_string()),
                _ => Err(format!("write a whole number from {least} to {most}")),
            },
            Takes::Quantity { units, words, example } => match words.contains(&given) {
                true => Ok(given.to_owned()),
                false => quantity(given, units).ok_or_else(|| unit_wanted(units, words, example)),
            },
            Takes::Readings { units, example } => {
                let each = given.split(',').map(|one| quantity(one.trim(), units));
                let each: Option<Vec<String>> = each.collect();
                each.map(|each| each.join(", ")).ok_or_else(|| unit_wanted(units, &[], example))
            }
        }
    }
}

fn one_of(choices: &[Choice], given: &str) -> Result<String, String> {
    let known = || choices.iter().map(|choice| format!("`{}`", choice.word)).collect::<Vec<_>>().join(", ");
    match choices.iter().find(|choice| choice.word == given) {
        Some(choice) => Ok(choice.word.clone()),
        None => Err(format!("write one of {}", known())),
    }
}

fn unit_wanted(units: &[&str], words: &[&str], example: &str) -> String {
    let units = units.iter().map(|unit| format!("`{unit}`")).collect::<Vec<_>>().join(" or ");
    let words: String = words.iter().map(|word| format!(", or `{word}`")).collect();
    format!("write a number with {units}, such as `{example}`{words}")
}

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
