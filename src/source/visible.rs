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
    use super::visible;

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
}
