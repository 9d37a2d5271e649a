//! What was answered.

use lidcard_boat::source::Source;
use std::collections::BTreeMap;
use std::fmt::Write;

/// What is kept where the answer is not known.
pub const UNKNOWN: &str = "not measured";

/// Answers by the question they belong to.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Answers(BTreeMap<String, String>);

impl Answers {
    /// Answers as they are kept in a file, `channel.4.does: motor` in each line.
    ///
    /// # Errors
    /// What in the file is no answer.
    pub fn read(source: &Source) -> Result<Self, String> {
        let mut answers = Self::default();
        for entry in source.root.entries() {
            let answer = entry.value.text().map(str::trim).filter(|text| !text.is_empty());
            let answer = answer.ok_or_else(|| format!("`{}` has no answer in one line", entry.key))?;
            answers.keep(&entry.key, answer);
        }
        Ok(answers)
    }

    /// The file from which they can be read again.
    pub fn written(&self) -> String {
        let mut all = String::new();
        for (id, answer) in self.iter() {
            // What is written to a string is written.
            let _ = writeln!(all, "{id}: {}", serde_json::Value::from(answer));
        }
        all
    }

    /// What was answered to a question.
    pub fn get(&self, id: &str) -> Option<&str> {
        self.0.get(id).map(String::as_str)
    }

    /// Keeps an answer in place of the one before.
    pub fn keep(&mut self, id: &str, answer: &str) {
        self.0.insert(id.to_owned(), answer.to_owned());
    }

    /// Takes an answer back.
    pub fn forget(&mut self, id: &str) {
        self.0.remove(id);
    }

    /// All of them, by their names.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &str)> {
        self.0.iter().map(|(id, answer)| (id.as_str(), answer.as_str()))
    }

    /// The answer, if it is known.
    pub(crate) fn known(&self, id: &str) -> Option<&str> {
        self.get(id).filter(|answer| *answer != UNKNOWN)
    }

    pub(crate) fn is(&self, id: &str, word: &str) -> bool {
        self.get(id) == Some(word)
    }

    /// The words of an answer that may have several.
    pub(crate) fn words(&self, id: &str) -> Vec<&str> {
        let all = self.known(id).unwrap_or_default().split(',').map(str::trim);
        all.filter(|word| !word.is_empty() && *word != "none").collect()
    }

    pub(crate) fn count(&self, id: &str) -> u32 {
        self.known(id).and_then(|text| text.parse().ok()).unwrap_or_default()
    }
}

impl FromIterator<(String, String)> for Answers {
    fn from_iter<I: IntoIterator<Item = (String, String)>>(each: I) -> Self {
        Self(each.into_iter().collect())
    }
}
