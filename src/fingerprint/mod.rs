//! A short code for everything in a boat file that matters to safety, printed on every page, and
//! the whole file in a form that fits into QR codes.
//!
//! A page and a file with the same code were made for the same settings. Ten million other files
//! would have to be tried to meet the code by chance once in a hundred thousand times; it guards
//! against mistakes, not against somebody who wants to deceive.

mod pack;

pub use lidcard_scan::{Look, Unseen, texts_in, texts_within};
pub use pack::{Broken, pack, unpack};

use sha2::{Digest, Sha256};
use std::fmt;

use std::collections::HashMap;

use crate::setup::canonical::{Lines, in_order};
use crate::source::Source;

/// What is on paper only: it may change without a setting having changed.
const BESIDE: &[&str] = &["boat.revision", "boat.date", "boat.workshop", "owner.contact", "owner.language"];
/// Sections that say how pages look.
const BESIDE_WHOLE: &[&str] = &["card", "workshop"];
/// Keys for remarks, wherever they stand.
const REMARKS: &[&str] = &["note", "because"];

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
        Self::of_lines(&matters(source))
    }

    /// The code of the lines that [`matters`] gives.
    pub fn of_lines(lines: &Lines) -> Self {
        let mut hash = Sha256::new();
        for (path, value) in lines {
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

/// The lines of a file that its code stands for.
pub fn matters(source: &Source) -> Lines {
    matters_in_order(source).into_iter().collect()
}

fn matters_in_order(source: &Source) -> Vec<(String, String)> {
    let beside = |path: &str| {
        let mut keys = path.split('.');
        let first = keys.next().unwrap_or_default();
        let last = path.rsplit('.').next().unwrap_or_default();
        BESIDE.contains(&path) || BESIDE_WHOLE.contains(&first) || REMARKS.contains(&last)
    };
    let mut lines = in_order(&source.root);
    lines.retain(|(path, _)| !beside(path));
    lines
}

/// One setting in which two files differ; `None` where a file does not give it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// Path of keys.
    pub path: String,
    /// In the first file.
    pub before: Option<String>,
    /// In the second.
    pub after: Option<String>,
}

/// The settings that matter in which two files differ, in the order of the second file; what it
/// lacks stands behind what it followed in the first.
pub fn differences(before: &Source, after: &Source) -> Vec<Difference> {
    let (before, after) = (matters_in_order(before), matters_in_order(after));
    let of_before: HashMap<&str, &str> = before.iter().map(|(p, v)| (p.as_str(), v.as_str())).collect();
    let places: HashMap<&str, usize> = after.iter().enumerate().map(|(n, (p, _))| (p.as_str(), n)).collect();
    let mut all = Vec::new();
    for (n, (path, value)) in after.iter().enumerate() {
        let old = of_before.get(path.as_str()).map(|v| (*v).to_owned());
        if old.as_ref() != Some(value) {
            all.push((
                (n + 1, 0),
                Difference { path: path.clone(), before: old, after: Some(value.clone()) },
            ));
        }
    }
    let mut behind = 0;
    for (n, (path, value)) in before.iter().enumerate() {
        match places.get(path.as_str()) {
            Some(place) => behind = place + 1,
            None => {
                let gone = Difference { path: path.clone(), before: Some(value.clone()), after: None };
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

    const BOAT: &str = include_str!("../../boats/moonfish.yaml");

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
    fn remarks_and_the_date_leave_the_code_alone_and_an_endpoint_does_not() {
        let code = Code::of(&source(BOAT));
        let other = |from: &str, to: &str| {
            let text = BOAT.replacen(from, to, 1);
            assert!(text != BOAT, "{from}");
            Code::of(&source(&text))
        };
        assert_eq!(other("lidcard: 1", "# a remark\nlidcard: 1"), code);
        assert_eq!(other("date: 2026", "date: 2027"), code);
        assert_ne!(other("blow: 53 %", "blow: 54 %"), code);
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
