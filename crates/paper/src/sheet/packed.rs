//! The boat file itself as QR codes, large enough for a photograph.

use serde_json::Value;

use super::ink::{At, Ink};
use super::say::Say;
use crate::labels::text;

/// Side of a code: at version 22, the longest that a part takes, 105 squares and the white edge of
/// 4 on either side (ISO/IEC 18004), so that a square is at least half a millimetre wide.
const SIDE: f64 = 58.0;
const ABREAST: usize = 3;

/// How far the codes of the last row reach, if what is left beside them takes a signature.
pub(super) fn free_from(parts: &[String], width: f64) -> Option<f64> {
    let last = parts.len() % ABREAST;
    let apart = (width - ABREAST as f64 * SIDE) / (ABREAST as f64 - 1.0);
    (last > 0).then_some(last as f64 * (SIDE + apart))
}

/// Rows of codes, each with its number below.
pub(super) fn rows(say: &Say<'_>, parts: &[String], width: f64) -> Vec<(f64, Vec<Value>)> {
    let apart = (width - ABREAST as f64 * SIDE) / (ABREAST as f64 - 1.0);
    let count = parts.len().to_string();
    let row = |(row, some): (usize, &[String])| {
        let mut ink = Ink::default();
        for (n, part) in some.iter().enumerate() {
            let x = n as f64 * (SIDE + apart);
            ink.qr([x, 0.0], SIDE, part);
            let number = (row * ABREAST + n + 1).to_string();
            let text = say.fill(text::sheet::packed::Part { number: &number, count: &count });
            ink.text([x + SIDE / 2.0, SIDE + 1.0], &text, 8.0, At::Centre, false);
        }
        (SIDE + 3.5, ink.items)
    };
    parts.chunks(ABREAST).enumerate().map(row).collect()
}
