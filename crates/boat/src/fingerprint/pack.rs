//! A boat file as texts for QR codes, and back.
//!
//! The file is written anew without remarks, compressed (DEFLATE, RFC 1951), and spelled in the 45
//! characters that a QR code stores most densely (base 45, RFC 9285). It is dealt out over several
//! codes, because a photograph shows several middling codes better than one huge one.

use flate2::Compression;
use flate2::read::{DeflateDecoder, DeflateEncoder};
use std::collections::BTreeMap;
use std::fmt;
use std::io::Read;

use super::Code;
use crate::setup::rewrite;
use crate::source::Source;

/// How each text begins; the digit is the version of the packing.
const MARK: &str = "LIDCARD1";
/// Base 45 characters in one code: a QR code of version 22 or less at error correction M.
const MOST_IN_ONE: usize = 1100;
/// No boat file that is read is longer.
const MOST_BYTES: u64 = 1 << 20;

/// The alphabet of RFC 9285, section 4.2.
const ALPHABET: &[u8; 45] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";

/// Why texts do not make a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Broken {
    /// None of them is ours.
    NotOurs,
    /// They are of more than one file.
    Mixed(Vec<Code>),
    /// Some parts were not seen.
    Missing {
        /// The numbers of the parts not seen.
        parts: Vec<usize>,
        /// How many there are.
        of: usize,
    },
    /// The parts are there but what they hold is not a file, or not the one of its code.
    Damaged,
}

impl fmt::Display for Broken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotOurs => write!(f, "none of the codes in it holds a part of a boat file"),
            Self::Mixed(codes) => {
                let codes: Vec<String> = codes.iter().map(Code::to_string).collect();
                write!(f, "the codes are of different files: {}", codes.join(", "))
            }
            Self::Missing { parts, of } => {
                let parts: Vec<String> = parts.iter().map(usize::to_string).collect();
                write!(f, "of {of} codes these were not seen: {}", parts.join(", "))
            }
            Self::Damaged => write!(f, "the codes were read, but what they hold is damaged"),
        }
    }
}

impl std::error::Error for Broken {}

/// The texts of the codes that carry a file.
pub fn pack(source: &Source) -> Vec<String> {
    let text = rewrite::text(&source.root);
    let mut bytes = Vec::new();
    // Reading from memory and deflating cannot fail.
    let _ = DeflateEncoder::new(text.as_bytes(), Compression::best()).read_to_end(&mut bytes);
    let spelled = spell(&bytes);
    let code = Code::of(source);
    let count = spelled.len().div_ceil(MOST_IN_ONE).max(1);
    // Even parts make codes of one size.
    let each = spelled.len().div_ceil(count).max(1);
    let part = |(n, part): (usize, &[u8])| {
        let part: String = part.iter().copied().map(char::from).collect();
        format!("{MARK} {}/{count} {code} {part}", n + 1)
    };
    spelled.as_bytes().chunks(each).enumerate().map(part).collect()
}

/// The file that texts make, in any order and however often each is given.
///
/// # Errors
///
/// When none is a part of ours, when they are of several files, or when parts are missing or damaged.
pub fn unpack(texts: &[String]) -> Result<(Code, String), Broken> {
    let parts: Vec<Part> = texts.iter().filter_map(|text| Part::read(text)).collect();
    let mut codes: Vec<Code> = parts.iter().map(|p| p.code).collect();
    codes.sort();
    codes.dedup();
    let (code, of) = match (&codes[..], parts.first()) {
        ([code], Some(first)) => (*code, first.of),
        ([], _) | (_, None) => return Err(Broken::NotOurs),
        (_, Some(_)) => return Err(Broken::Mixed(codes)),
    };
    let found: BTreeMap<usize, &str> = parts.iter().map(|p| (p.number, p.spelled)).collect();
    let missing: Vec<usize> = (1..=of).filter(|n| !found.contains_key(n)).collect();
    if !missing.is_empty() {
        return Err(Broken::Missing { parts: missing, of });
    }
    let spelled: String = found.values().copied().collect();
    let bytes = unspell(&spelled).ok_or(Broken::Damaged)?;
    let mut text = String::new();
    DeflateDecoder::new(&bytes[..])
        .take(MOST_BYTES)
        .read_to_string(&mut text)
        .map_err(|_| Broken::Damaged)?;
    let source = Source::from_bytes("restored", text.clone().into()).map_err(|_| Broken::Damaged)?;
    if Code::of(&source) != code {
        return Err(Broken::Damaged);
    }
    Ok((code, text))
}

struct Part<'a> {
    number: usize,
    of: usize,
    code: Code,
    spelled: &'a str,
}

impl<'a> Part<'a> {
    fn read(text: &'a str) -> Option<Self> {
        let rest = text.strip_prefix(MARK)?.strip_prefix(' ')?;
        let (place, rest) = rest.split_once(' ')?;
        let (code, spelled) = rest.split_once(' ')?;
        let (number, of) = place.split_once('/')?;
        let (number, of): (usize, usize) = (number.parse().ok()?, of.parse().ok()?);
        // Even a file of the greatest length makes fewer codes.
        let sane = (1..=of).contains(&number) && of <= 1000;
        sane.then_some(Self { number, of, code: Code::read(code)?, spelled })
    }
}

/// Two bytes make three characters, a last single byte two (RFC 9285, section 4).
fn spell(bytes: &[u8]) -> String {
    let mut out = String::new();
    for pair in bytes.chunks(2) {
        let mut value = pair.iter().fold(0, |value, byte| value << 8 | usize::from(*byte));
        for _ in 0..=pair.len() {
            out.push(char::from(ALPHABET[value % 45]));
            value /= 45;
        }
    }
    out
}

fn unspell(text: &str) -> Option<Vec<u8>> {
    let mut bytes = Vec::new();
    for group in text.as_bytes().chunks(3) {
        let digits = group.iter().map(|byte| ALPHABET.iter().position(|letter| letter == byte));
        let digits: Vec<usize> = digits.collect::<Option<_>>()?;
        let value = digits.iter().rev().fold(0, |value, digit| value * 45 + digit);
        match digits.len() {
            3 => bytes.extend(u16::try_from(value).ok()?.to_be_bytes()),
            2 => bytes.push(u8::try_from(value).ok()?),
            _ => return None,
        }
    }
    Some(bytes)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{Broken, pack, spell, unpack, unspell};
    use crate::fingerprint::Code;
    use crate::setup::canonical::lines;
    use crate::source::Source;

    fn source(text: &str) -> Source {
        Source::from_bytes("boat.yaml", text.into()).unwrap()
    }

    #[test]
    fn base_45_agrees_with_the_examples_of_rfc_9285() {
        // RFC 9285, sections 4.3 and 4.4.
        for (plain, spelled) in [("AB", "BB8"), ("Hello!!", "%69 VD92EX0"), ("base-45", "UJCLQE7W581")] {
            assert_eq!(spell(plain.as_bytes()), spelled);
            assert_eq!(unspell(spelled).unwrap(), plain.as_bytes());
        }
        assert_eq!(unspell("QED8WEX0").unwrap(), b"ietf!");
        // 65,536 is one too many for two bytes, 45 characters have no small letters.
        assert_eq!(unspell("GGW"), None);
        assert_eq!(unspell("bb8"), None);
    }

    #[test]
    fn each_boat_comes_back_from_its_codes_in_any_order() {
        for boat in [
            include_str!("../../../../boats/moonfish.yaml"),
            include_str!("../../../../boats/sprat.yaml"),
            include_str!("../../../../boats/capstan.yaml"),
        ] {
            let boat = source(boat);
            let mut texts = pack(&boat);
            texts.reverse();
            texts.push("something else".to_owned());
            texts.push(texts[0].clone());
            let (code, text) = unpack(&texts).unwrap();
            assert_eq!(code, Code::of(&boat));
            assert_eq!(lines(&source(&text).root), lines(&boat.root));
        }
    }

    #[test]
    fn what_is_missing_mixed_or_damaged_is_said() {
        let boat = source(include_str!("../../../../boats/moonfish.yaml"));
        let texts = pack(&boat);
        assert!(texts.len() > 1);
        assert_eq!(unpack(&[]), Err(Broken::NotOurs));
        assert_eq!(unpack(&texts[1..]), Err(Broken::Missing { parts: vec![1], of: texts.len() }));
        let other = pack(&source(include_str!("../../../../boats/sprat.yaml")));
        let both: Vec<String> = texts.iter().chain(&other).cloned().collect();
        assert!(matches!(unpack(&both), Err(Broken::Mixed(codes)) if codes.len() == 2));
        let mut spoilt = texts;
        let last = spoilt[0].pop().unwrap();
        spoilt[0].push(if last == '0' { '1' } else { '0' });
        assert_eq!(unpack(&spoilt), Err(Broken::Damaged));
    }
}
