//! A short code for everything that a boat file says, printed on every page, and the whole file in a form
//! that fits into QR codes.
//!
//! A page and a file with the same code say the same, down to the last remark that is printed; only how the
//! file writes it down may differ. Ten million other files would have to be tried to meet the code by chance
//! once in a hundred thousand times; it guards against mistakes, not against somebody who wants to deceive.

mod pack;

pub use lidcard_scan::{Allowance, Look, Seen, Unseen, look_into, texts_in};
pub use pack::{Broken, pack, unpack};

use sha2::{Digest, Sha256};
use std::fmt;

use std::collections::HashMap;

use crate::setup::canonical::{Line, lines};
use crate::source::Source;

/// Letters and digits without those that are mistaken for others (no I, L, O, U), after Crockford's
/// base 32 (from memory).
const ALPHABET: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/// How the text of its QR code begins.
const MARK: &str = "LIDCARD";

/// The code: eight characters, forty bits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Code([u8; 8]);

impl Code {
    /// The code of a file.
    pub fn of(source: &Source) -> Self {
        let mut lines = lines(&source.root);
        lines.sort_by(|a, b| a.path.cmp(&b.path));
        let mut hash = Sha256::new();
        for Line { path, value, .. } in lines {
            // No key or value holds a line feed or a tab: white space in them is single spaces.
            hash.update(format!("{path}\t{value}\n"));
        }
        let digest = hash.finalize();
        let bits = digest.iter().take(5).fold(0_u64, |bits, byte| bits << 8 | u64::from(*byte));
        Self(std::array::from_fn(|n| ALPHABET[(bits >> (35 - 5 * n) & 31) as usize]))
    }

    /// What its QR code says: short, and in the characters that a QR code stores most densely.
    pub fn for_qr(&self) -> String {
        format!("{MARK} {self}")
    }

    /// The code that a text from a QR code holds, with its mark or bare.
    pub fn in_qr(text: &str) -> Option<Self> {
        Self::read(text.strip_prefix(MARK).unwrap_or(text))
    }

    /// Reads a code as a person types it: any case, with or without the dash, O for 0, I and L for 1.
    pub fn read(text: &str) -> Option<Self> {
        let mut code = [0; 8];
        let mut given = text.chars().filter(|c| !matches!(c, '-' | ' ' | '\u{2013}' | '\u{2212}'));
        for place in &mut code {
            *place = match given.next()?.to_ascii_uppercase() {
                'O' => b'0',
                'I' | 'L' => b'1',
                other => u8::try_from(other).ok().filter(|byte| ALPHABET.contains(byte))?,
            };
        }
        given.next().is_none().then_some(Self(code))
    }

    /// In how many of its eight characters another code differs.
    pub fn distance(self, other: Self) -> usize {
        self.0.iter().zip(other.0).filter(|(a, b)| **a != *b).count()
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (n, byte) in self.0.iter().enumerate() {
            if n == 4 {
                f.write_str("-")?;
            }
            write!(f, "{}", char::from(*byte))?;
        }
        Ok(())
    }
}

/// One thing in which two files differ; `None` where a file does not say it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// Path of keys.
    pub path: String,
    /// In the first file.
    pub before: Option<String>,
    /// In the second.
    pub after: Option<String>,
}

/// What two files say differently, in the order of the second file; what it lacks stands behind what it
/// followed in the first.
pub fn differences(before: &Source, after: &Source) -> Vec<Difference> {
    let (before, after) = (lines(&before.root), lines(&after.root));
    let of_before: HashMap<&str, &Line> = before.iter().map(|line| (line.path.as_str(), line)).collect();
    let places: HashMap<&str, usize> =
        after.iter().enumerate().map(|(n, line)| (line.path.as_str(), n)).collect();
    let mut all = Vec::new();
    for (n, Line { path, value, shown }) in after.iter().enumerate() {
        let old = of_before.get(path.as_str());
        if old.is_none_or(|old| old.value != *value) {
            let before = old.map(|old| old.shown.clone());
            all.push(((n + 1, 0), Difference { path: path.clone(), before, after: Some(shown.clone()) }));
        }
    }
    let mut behind = 0;
    for (n, Line { path, shown, .. }) in before.iter().enumerate() {
        match places.get(path.as_str()) {
            Some(place) => behind = place + 1,
            None => {
                let gone = Difference { path: path.clone(), before: Some(shown.clone()), after: None };
                all.push(((behind, n + 1), gone));
            }
        }
    }
    all.sort_by_key(|(place, _)| *place);
    all.into_iter().map(|(_, difference)| difference).collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{Code, differences};
    use crate::source::Source;

    const BOAT: &str = include_str!("../../../../boats/moonfish.yaml");

    fn source(text: &str) -> Source {
        Source::from_bytes("boat.yaml", text.into()).unwrap()
    }

    #[test]
    fn a_code_is_read_back_however_it_is_typed() {
        let code = Code::of(&source(BOAT));
        let shown = code.to_string();
        assert_eq!(shown.len(), 9);
        for typed in [shown.clone(), shown.to_lowercase(), shown.replace('-', ""), shown.replace('0', "o")] {
            assert_eq!(Code::read(&typed), Some(code), "{typed}");
        }
        for wrong in ["", "1234", "1234-56789", "1234-567U", "ÄÖ34-5678"] {
            assert_eq!(Code::read(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn a_code_is_known_by_what_its_qr_code_says() {
        let code = Code::of(&source(BOAT));
        assert_eq!(Code::in_qr(&code.for_qr()), Some(code));
        assert_eq!(Code::in_qr(&code.to_string()), Some(code));
        assert_eq!(Code::in_qr("LIDCARD1 1/2 7QHC-0M4D ABC"), None);
    }

    #[test]
    fn a_comment_leaves_the_code_alone_and_whatever_is_printed_does_not() {
        let code = Code::of(&source(BOAT));
        let other = |from: &str, to: &str| {
            let text = BOAT.replacen(from, to, 1);
            assert!(text != BOAT, "{from}");
            Code::of(&source(&text))
        };
        assert_eq!(other("lidcard: 1", "# a remark\nlidcard: 1"), code);
        assert_eq!(other("leak: yes", "leak: true"), code);
        for (from, to) in [
            ("blow: 53 %", "blow: 54 %"),
            ("date: 2026", "date: 2027"),
            ("revision: C", "revision: D"),
            ("contact: Lantern Bay", "contact: Somebody at Lantern Bay"),
            ("  contact:", "  language: de\n  contact:"),
            ("    role: override", "    role: override\n    note: greased in May"),
        ] {
            assert_ne!(other(from, to), code, "{to}");
        }
    }

    #[test]
    fn differences_name_the_setting_and_both_values() {
        let all = differences(&source(BOAT), &source(&BOAT.replacen("blow: 53 %", "blow: 54 %", 1)));
        assert_eq!(all.len(), 1);
        assert_eq!(all[0].path, "channels.4.endpoints.blow");
        assert_eq!((all[0].before.as_deref(), all[0].after.as_deref()), (Some("53 %"), Some("54 %")));
    }

    #[test]
    fn differences_come_in_the_order_of_the_file_with_what_is_gone_where_it_stood() {
        let before = source("lidcard: 1\nz: {a: 1, gone: x}\nm: 2\na: 3\nlast: y\n");
        let after = source("lidcard: 1\nz: {a: 2, new: w}\nm: 5\na: 4\n");
        let paths: Vec<String> = differences(&before, &after).into_iter().map(|d| d.path).collect();
        assert_eq!(paths, ["z.a", "z.gone", "z.new", "m", "a", "last"]);
    }

    #[test]
    fn two_letters_exchanged_are_a_distance_of_two() {
        let code = |text| Code::read(text).unwrap();
        assert_eq!(code("ABCD-EFGH").distance(code("ABDC-EFGH")), 2);
        assert_eq!(code("ABCD-EFGH").distance(code("abcd efgh")), 0);
    }
}
