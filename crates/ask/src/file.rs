//! The boat file, as a person would have written it.

use crate::answers::Answers;
use crate::part;
use crate::words::{Said, Words};

/// The file, once every question is answered, with its remarks in a language.
///
/// # Errors
/// The first question that has no answer yet.
pub fn boat_file(answers: &Answers, words: Words) -> Result<String, Box<crate::Question>> {
    if let Some(question) = crate::next(answers, words) {
        return Err(Box::new(question));
    }
    let mut lines = Lines { text: String::new(), words };
    let name = answers.get("boat.name").unwrap_or_default();
    let from = words.say("from the questions of the bench. Whatever was not known is `not measured`", &[]);
    lines.remark_above(format!("{name}, {from}"));
    lines.remark_above("or stands in a remark: `lidcard check` says what it decides and how to find it.");
    lines.top("lidcard", "1");
    for part in part::ALL {
        (part.write)(answers, &mut lines);
    }
    Ok(lines.text)
}

/// Lines of the file.
pub(crate) struct Lines {
    text: String,
    words: Words,
}

impl Lines {
    /// What something of the boat is called, as YAML writes it: in the language in which is asked, since the papers and
    /// the builder call it so.
    pub(crate) fn name(&self, english: &str) -> String {
        text(&self.words.name(english))
    }

    /// The same of several.
    pub(crate) fn names<'a>(&self, english: impl IntoIterator<Item = &'a str>) -> String {
        english.into_iter().map(|name| self.name(name)).collect::<Vec<_>>().join(", ")
    }

    /// The language in which things are called.
    pub(crate) fn words(&self) -> Words {
        self.words
    }

    /// A key at the left with its value.
    pub(crate) fn top(&mut self, key: &str, value: &str) {
        self.text.push_str(&format!("{key}: {value}\n"));
    }

    /// A key at the left whose block follows.
    pub(crate) fn key(&mut self, key: &str) {
        self.gap();
        self.text.push_str(&format!("{key}:\n"));
    }

    /// A key of that block with its value.
    pub(crate) fn put(&mut self, key: &str, value: &str) {
        self.text.push_str(&format!("  {key}: {value}\n"));
    }

    /// A key of that block whose own block follows.
    pub(crate) fn key_within(&mut self, key: &str) {
        self.text.push_str(&format!("  {key}:\n"));
    }

    /// A key of that own block.
    pub(crate) fn put_within(&mut self, key: &str, value: &str) {
        self.text.push_str(format!("    {key}: {value}").trim_end());
        self.gap();
    }

    /// A key of a block in that own block.
    pub(crate) fn put_deep(&mut self, key: &str, value: &str) {
        self.text.push_str(&format!("      {key}: {value}\n"));
    }

    /// A line of a list in that own block.
    pub(crate) fn item(&mut self, value: &str) {
        self.text.push_str(&format!("    - {value}\n"));
    }

    /// A remark above a line of the block.
    pub(crate) fn remark(&mut self, said: impl Into<Said>) {
        self.text.push_str(&format!("  # {}\n", said.into().told_in(self.words)));
    }

    /// A remark above a line of the block within.
    pub(crate) fn remark_within(&mut self, said: impl Into<Said>) {
        self.text.push_str(&format!("    # {}\n", said.into().told_in(self.words)));
    }

    /// A remark at the left.
    pub(crate) fn remark_above(&mut self, said: impl Into<Said>) {
        let said = said.into().told_in(self.words).as_str().replace(char::is_control, " ");
        self.text.push_str(&format!("# {said}\n"));
    }

    /// An empty line.
    pub(crate) fn gap(&mut self) {
        self.text.push('\n');
    }
}

/// What hangs on a channel, called after it: one word, as people write the names of devices.
pub(crate) fn device(words: Words, like: &'static str, channel: &str) -> String {
    text(&words.say(like, &[("name", &words.name(channel))]).replace(' ', "_"))
}

/// A text as YAML writes it: as it is, or in quotes where it could be taken for something else.
pub(crate) fn text(said: &str) -> String {
    let word = |c: char| c.is_alphanumeric() || " _.-".contains(c);
    // What begins with a digit and has no space could be some reader's number.
    let plain = said.starts_with(char::is_alphanumeric)
        && said.chars().all(word)
        && (said.starts_with(char::is_alphabetic)
            || said.contains(' ') && said.contains(char::is_alphabetic))
        && said.parse::<f64>().is_err()
        && !["yes", "no", "true", "false", "on", "off", "null", "y", "n"]
            .contains(&said.to_lowercase().as_str());
    // A date is read as it stands.
    let date = said.len() == 10
        && said
            .chars()
            .enumerate()
            .all(|(n, c)| [4, 7].contains(&n) == (c == '-') && (c == '-' || c.is_ascii_digit()));
    if plain || date { said.to_owned() } else { serde_json::Value::from(said).to_string() }
}

#[cfg(test)]
mod tests {
    use super::text;

    #[test]
    fn a_text_stays_a_text_for_every_reader_of_yaml() {
        for plain in ["Newt", "rear left", "LB-040", "2 m", "2026-05-09", "4 NEWT"] {
            assert_eq!(text(plain), plain);
        }
        for other in [
            "on", "No", "null", "12", "1e5", "nan", "a: b", "[x]", "- x", "#4", "x # y", "", " x", "0x1F",
            "12:30",
        ] {
            assert!(text(other).starts_with('"'), "{other}");
        }
    }
}
