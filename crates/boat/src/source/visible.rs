//! Text of others on a screen: what would steer the terminal, turn the line about or not be seen at
//! all is written by its number.

use std::borrow::Cow;
use std::fmt::Write;

/// Whether a letter is none that can be seen: it steers the terminal, turns the direction of writing,
/// breaks the line where nobody sees why, or takes no room. By Unicode 16: the control characters (Cc),
/// format characters (Cf), line and paragraph separators (Zl, Zp), variation selectors and fillers.
pub fn is_unseen(letter: char) -> bool {
    letter.is_control()
        || matches!(letter,
            '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}'
            | '\u{180b}'..='\u{180f}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{3164}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{ffa0}'
            | '\u{fff0}'..='\u{fffb}' | '\u{1bca0}'..='\u{1bca3}' | '\u{1d173}'..='\u{1d17a}'
            | '\u{e0000}'..='\u{e0fff}')
}

/// The text with what is not seen written as `\u{202e}`. Line breaks stay, tabs become blanks.
pub fn visible(text: &str) -> Cow<'_, str> {
    if !text.chars().any(|c| is_unseen(c) && c != '\n') {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 16);
    for letter in text.chars() {
        match letter {
            '\n' => out.push('\n'),
            '\t' => out.push(' '),
            letter => push(&mut out, letter),
        }
    }
    Cow::Owned(out)
}

/// The same for what this program has coloured: `ESC [ 1;31 m` and its like stay (ECMA-48, 8.3.117, SGR).
pub fn visible_but_colours(text: &str) -> Cow<'_, str> {
    let mut out = String::with_capacity(text.len());
    for (n, part) in text.split("\u{1b}[").enumerate() {
        let end = part.find(|c: char| !c.is_ascii_digit() && c != ';').unwrap_or(part.len());
        if n == 0 {
            out.push_str(&visible(part));
        } else if let Some(rest) = part[end..].strip_prefix('m') {
            out.push_str("\u{1b}[");
            out.push_str(&part[..end]);
            out.push('m');
            out.push_str(&visible(rest));
        } else {
            push(&mut out, '\u{1b}');
            out.push('[');
            out.push_str(&visible(part));
        }
    }
    Cow::Owned(out)
}

/// JSON in which what cannot be seen is escaped (RFC 8259, section 7): only texts hold such letters.
pub fn escaped_in_json(json: &str) -> Cow<'_, str> {
    // Nearly all of it is such, and to look at bytes is quick.
    let is_plain = json.bytes().all(|byte| matches!(byte, b'\n' | b' '..=b'~'));
    if is_plain || !json.chars().any(|c| is_unseen(c) && c != '\n') {
        return Cow::Borrowed(json);
    }
    let mut out = String::with_capacity(json.len() + 16);
    for letter in json.chars() {
        if is_unseen(letter) && letter != '\n' {
            for unit in letter.encode_utf16(&mut [0; 2]) {
                let _ = write!(out, "\\u{unit:04x}");
            }
        } else {
            out.push(letter);
        }
    }
    Cow::Owned(out)
}

/// One letter, by its number where it cannot be seen.
pub fn push(out: &mut String, letter: char) {
    if is_unseen(letter) {
        let _ = write!(out, "\\u{{{:x}}}", u32::from(letter));
    } else {
        out.push(letter);
    }
}

#[cfg(test)]
mod tests {
    use super::{escaped_in_json, visible, visible_but_colours};

    #[test]
    fn what_steers_or_hides_is_written_by_its_number_and_nothing_else_is() {
        // ECMA-48: ESC [ 2 J clears the screen; U+009B is CSI in one character. UAX 9: U+202E turns
        // what follows about.
        for (text, seen) in [
            ("a\u{1b}[2Jb", "a\\u{1b}[2Jb"),
            ("\u{9b}31m", "\\u{9b}31m"),
            ("gas\u{202e}lia", "gas\\u{202e}lia"),
            ("he\u{200b}lm", "he\\u{200b}lm"),
            ("a\rb\u{7f}", "a\\u{d}b\\u{7f}"),
            ("two\nlines\tand a tab", "two\nlines and a tab"),
            ("Übergröße ± 3 µs, Ωρα, йод, mu\u{308}de", "Übergröße ± 3 µs, Ωρα, йод, mu\u{308}de"),
        ] {
            assert_eq!(visible(text), seen);
        }
    }

    #[test]
    fn colours_of_our_own_stay_and_nothing_else_that_steers_does() {
        let text = "\u{1b}[1;31merror\u{1b}[0m \u{1b}[2J \u{1b}]0;title\u{7} \u{9b}1m";
        let seen = "\u{1b}[1;31merror\u{1b}[0m \\u{1b}[2J \\u{1b}]0;title\\u{7} \\u{9b}1m";
        assert_eq!(visible_but_colours(text), seen);
    }

    #[test]
    fn json_says_the_same_with_everything_in_sight() {
        let said = "a\u{202e}b\u{9b}c\u{e0041}d ü\n\u{7f}";
        let json = serde_json::to_string(said).unwrap_or_default();
        let escaped = escaped_in_json(&json);
        assert_eq!(escaped, "\"a\\u202eb\\u009bc\\udb40\\udc41d ü\\n\\u007f\"");
        assert_eq!(serde_json::from_str::<String>(&escaped).ok().as_deref(), Some(said));
    }
}
