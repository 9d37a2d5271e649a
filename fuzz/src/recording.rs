//! Bytes as a recording of a logic analyser.

use crate::Got;
use crate::chance::Chance;
use lidcard_listen::{csv, vcd};
use std::sync::OnceLock;

const WORDS: &[&str] = &[
    "$timescale 1 fs $end",
    "$var wire 1 ! ch1 $end",
    "$enddefinitions $end",
    "#18446744073709551615",
    "#-1",
    "b1010 !",
    "x!",
    "z!",
    "$dumpvars",
    "$comment",
    "\n",
    ",",
    ";",
    "1e308",
    "-0.0",
    "NaN",
    "inf",
    "\"",
    "0.00000000000001",
    "\r\n",
];

/// Hears bytes out in both formats.
///
/// # Panics
/// When something does not hold.
pub fn run(bytes: &[u8]) -> Got {
    let heard = [vcd::read(&mut &bytes[..]), csv::read(&mut &bytes[..])];
    let mut got = Got::Refused;
    for heard in heard {
        match heard {
            Ok(heard) => {
                let _ = heard.off(1_500_000_000, 100);
                got = Got::Through;
            }
            Err(why) => assert!(!why.why.is_empty(), "a refusal without a reason"),
        }
    }
    got
}

/// The recording at hand, bent.
pub fn made(number: u64) -> Vec<u8> {
    static SEEDS: OnceLock<Vec<Vec<u8>>> = OnceLock::new();
    let seeds =
        SEEDS.get_or_init(|| crate::corpus("recording").into_iter().map(|(_, bytes)| bytes).collect());
    let mut chance = Chance::numbered(number);
    let seed = chance.one(seeds).cloned().unwrap_or_default();
    crate::bent(&mut chance, &seed, WORDS)
}
