//! Bytes as a picture: a logo in PNG, a scan or photograph in PNG or JPEG.

use crate::Got;
use crate::chance::Chance;
use lidcard::render::picture::Logo;
use lidcard_scan::{Look, texts_in};
use std::sync::OnceLock;

/// Reads bytes as a picture.
///
/// # Panics
/// When something does not hold.
pub fn run(bytes: &[u8]) -> Got {
    let _ = Logo::from_png(bytes);
    match texts_in(bytes, Look::Quick, &|_| true) {
        Ok(_) => Got::Through,
        Err(why) => {
            assert!(!why.to_string().is_empty(), "a refusal without a reason");
            Got::Refused
        }
    }
}

/// A picture of the corpus, bent.
pub fn made(number: u64) -> Vec<u8> {
    static SEEDS: OnceLock<Vec<Vec<u8>>> = OnceLock::new();
    let seeds = SEEDS.get_or_init(|| crate::corpus("picture").into_iter().map(|(_, bytes)| bytes).collect());
    let mut chance = Chance::numbered(number);
    let seed = chance.one(seeds).cloned().unwrap_or_default();
    // What fails its sums at once gets nowhere: half of the PNG have them put right.
    let bytes =
        crate::bent(&mut chance, &seed, &["IHDR", "IDAT", "tRNS", "PLTE", "iCCP", "\u{ff}", "\0\0\0\0"]);
    if chance.percent(60) { summed(bytes) } else { bytes }
}

/// A PNG with the sums of its chunks put right (W3C PNG, annex D).
fn summed(mut bytes: Vec<u8>) -> Vec<u8> {
    if !bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        return bytes;
    }
    let mut at = 8;
    while let Some(head) = bytes.get(at..at + 4) {
        let long = u32::from_be_bytes([head[0], head[1], head[2], head[3]]) as usize;
        let (Some(data), end) = (bytes.get(at + 4..at.saturating_add(8).saturating_add(long)), at + 8 + long)
        else {
            break;
        };
        let sum = crc(data).to_be_bytes();
        match bytes.get_mut(end..end + 4) {
            Some(place) => place.copy_from_slice(&sum),
            None => break,
        }
        at = end + 4;
    }
    bytes
}

fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |sum, byte| {
        (0..8).fold(
            sum ^ u32::from(*byte),
            |sum, _| if sum & 1 == 1 { sum >> 1 ^ 0xEDB8_8320 } else { sum >> 1 },
        )
    })
}
