//! Names that look alike and are not: a letter of another script, or one that nobody sees. The eye takes
//! them for one, the program for two.

use super::visible::{is_unseen, push};
use super::{Mistake, Node, Span, Value};
use std::cell::OnceCell;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use unicode_security::confusable_detection::skeleton;

/// A longer text is no name.
const LONGEST: usize = 60;

/// Every name or text that looks like a key of the file and is not that key.
pub fn mistakes(root: &Node) -> Vec<Mistake> {
    let mut all = Vec::new();
    gather(root, &mut all);
    // Nearly every file has letters beyond the plain ones, and in nearly none of them does one look like those.
    let mut known = BTreeMap::new();
    let plain_looks = OnceCell::new();
    let mut passes = |c: char| {
        *known.entry(c).or_insert_with(|| {
            let plain: &BTreeSet<char> = plain_looks.get_or_init(looks_of_plain_letters);
            look(c.encode_utf8(&mut [0; 4])).chars().all(|seen| plain.contains(&seen))
        })
    };
    let mut passes_for_plain = |text: &str| text.chars().all(|c| c.is_ascii() || passes(c));
    let others: Vec<&Written<'_>> =
        all.iter().filter(|w| !w.text.is_ascii() && passes_for_plain(w.text)).collect();
    if others.is_empty() {
        return Vec::new();
    }
    // Plain letters never look like other plain letters: what is written in them is the measure.
    let plain: Vec<&Written<'_>> = all.iter().filter(|w| w.text.is_ascii()).collect();
    let mut by_look: HashMap<String, &Written<'_>> = HashMap::new();
    for written in plain {
        // Of several the first is shown, a key before a text.
        let known = by_look.entry(look(written.text)).or_insert(written);
        if written.is_key && !known.is_key {
            *known = written;
        }
    }
    let alike = others.into_iter().filter_map(|other| {
        let known = by_look.get(&look(other.text))?;
        (known.is_key || other.is_key).then(|| told(other, known))
    });
    alike.collect()
}

struct Written<'a> {
    text: &'a str,
    span: Span,
    is_key: bool,
}

fn gather<'a>(node: &'a Node, all: &mut Vec<Written<'a>>) {
    let mut add = |text: &'a str, span, is_key| {
        if !text.is_empty() && text.len() <= LONGEST {
            all.push(Written { text, span, is_key });
        }
    };
    match &node.value {
        Value::Scalar { text, .. } => add(text, node.span, false),
        Value::List(items) => items.iter().for_each(|item| gather(item, all)),
        Value::Map(entries) => {
            for entry in entries {
                all.push(Written { text: &entry.key, span: entry.key_span, is_key: true });
                gather(&entry.value, all);
            }
        }
    }
}

/// All that is seen of plain letters. The look of a text is made letter by letter and then put in order, so that no
/// other sign is in the look of a text of plain letters.
fn looks_of_plain_letters() -> BTreeSet<char> {
    let plain = (0..=u8::MAX).map(char::from).filter(char::is_ascii);
    plain.flat_map(|c| look(c.encode_utf8(&mut [0; 4])).chars().collect::<Vec<_>>()).collect()
}

/// What is seen of a text (Unicode Technical Standard 39, section 4).
fn look(text: &str) -> String {
    let seen: String = text.chars().filter(|c| !is_unseen(*c)).collect();
    skeleton(&seen).collect()
}

fn told(other: &Written<'_>, known: &Written<'_>) -> Mistake {
    let strange = other.text.chars().find(|c| !c.is_ascii());
    let number = strange.map(|c| format!("U+{:04X}", u32::from(c))).unwrap_or_default();
    let mut shown = String::new();
    other.text.chars().for_each(|c| push(&mut shown, c));
    Mistake::at(
        other.span,
        format!("`{shown}` looks like `{}` and is not the same", known.text),
        format!("here stands {number}, a letter of another script or one that is not seen"),
    )
    .also(known.span, "this is in plain letters")
    .help(format!("write `{}` anew in both places", known.text))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{look, looks_of_plain_letters, mistakes};
    use crate::source::Source;

    fn told(text: &str) -> Vec<String> {
        let source = Source::from_text("test.yaml", text).unwrap();
        mistakes(&source.root).into_iter().map(|m| format!("{}: {}", m.message, m.labels[0].1)).collect()
    }

    #[test]
    fn a_letter_of_another_script_or_out_of_sight_is_told() {
        // U+0435 is the Cyrillic ie, U+03BF the Greek omicron (Unicode confusables.txt).
        for (text, number) in [
            ("controls: {helm: 1}\nof: h\u{435}lm\n", "U+0435"),
            ("ways: {port: 1, p\u{3bf}rt: 2}\n", "U+03BF"),
            ("a: helm\nh\u{200b}elm: 2\n", "U+200B"),
        ] {
            let told = told(text);
            assert_eq!(told.len(), 1, "{told:?}");
            assert!(told[0].contains("looks like") && told[0].contains(number), "{told:?}");
        }
    }

    /// A text is left out beforehand only if no text of plain letters has its look.
    #[test]
    fn the_look_of_plain_letters_is_made_of_the_looks_of_each() {
        let plain = looks_of_plain_letters();
        let letters: Vec<char> = (0..=u8::MAX).map(char::from).filter(char::is_ascii).collect();
        for first in &letters {
            for second in &letters {
                let seen = look(&format!("{first}{second}m{first}"));
                assert!(seen.chars().all(|c| plain.contains(&c)), "{first:?}{second:?}");
            }
        }
        // U+00B1, the sign of a tolerance, is in nearly every file and looks like no plain letter.
        assert!(!plain.contains(&'\u{b1}') && plain.contains(&'l'));
    }

    #[test]
    fn words_that_only_resemble_each_other_are_left_alone() {
        for text in [
            "über: 1\nuber: 2\n",
            "corner: 1\ncomer: 2\n",
            "a: 5 µs\nb: 5 us\n",
            "рубка: 1\nhelm: 2\n",
            "a: Röhre\n",
        ] {
            assert!(told(text).is_empty(), "{text}");
        }
    }
}
