//! The boat file itself as QR codes, large enough for a photograph.

use serde_json::Value;

use super::ink::{At, Ink};
use super::say::Say;
use crate::labels::text;
use crate::render::{RenderError, qr};

/// A square of a code is so wide, more than half a millimetre. Of the largest that a part takes, version 22 with 105
/// squares and the white edge of 4 on either side (ISO/IEC 18004), three stand side by side.
const SQUARE: f64 = 0.505;
const ABREAST: usize = 3;
/// Clear between two codes, besides their white edges.
const APART: f64 = 3.4;

/// All codes are as large as the largest.
fn side(parts: &[String]) -> Result<f64, RenderError> {
    let mut most = 0;
    for part in parts {
        most = most.max(qr::squares(part)?);
    }
    Ok(most as f64 * SQUARE)
}

/// How far the codes of the last row reach, if what is left beside them takes a signature.
pub(super) fn free_from(parts: &[String]) -> Result<Option<f64>, RenderError> {
    let last = parts.len() % ABREAST;
    let wide = side(parts)? + APART;
    Ok((last > 0).then_some(last as f64 * wide))
}

/// Rows of codes, each with its number below.
pub(super) fn rows(say: &Say<'_>, parts: &[String]) -> Result<Vec<(f64, Vec<Value>)>, RenderError> {
    let side = side(parts)?;
    let count = parts.len().to_string();
    let row = |(row, some): (usize, &[String])| {
        let mut ink = Ink::default();
        for (n, part) in some.iter().enumerate() {
            let x = n as f64 * (side + APART);
            ink.qr([x, 0.0], side, part);
            let number = (row * ABREAST + n + 1).to_string();
            let text = say.fill(text::sheet::packed::Part { number: &number, count: &count });
            ink.text([x + side / 2.0, side + 1.0], &text, 8.0, At::Centre, false);
        }
        (side + 2.6, ink.items)
    };
    Ok(parts.chunks(ABREAST).enumerate().map(row).collect())
}
