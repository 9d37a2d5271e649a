//! A text as the squares of a QR code (ISO/IEC 18004).

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

use qrcodegen::{QrCode, QrCodeEcc};

use super::RenderError;
use super::draw::sheet_error;
use super::scene::Squares;
use super::sheet::Qr;

/// The white edge that the standard asks for, in squares.
const QUIET: usize = 4;
/// A square must stay this wide in millimetres to be read from a sheet scanned at 150 dpi (two dots).
const SMALLEST_SQUARE: f64 = 0.33;

/// So many codes are remembered: those of a few long boat files at once and the ones on every page.
const REMEMBERED: usize = 32;

/// A card is tried in several sizes with the same code on each, a sheet asks how large its codes come out, all papers of a
/// boat carry the same one, and choosing among the masks of a code takes longer than all the rest of it.
fn encoded(text: &str) -> Result<Arc<QrCode>, RenderError> {
    static KNOWN: Mutex<VecDeque<(String, Arc<QrCode>)>> = Mutex::new(VecDeque::new());
    // Whoever panicked holding it left it whole: it is only looked at and added to.
    let known = || KNOWN.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some((_, code)) = known().iter().find(|(of, _)| of == text) {
        return Ok(Arc::clone(code));
    }
    let code = QrCode::encode_text(text, QrCodeEcc::Medium)
        .map_err(|_| sheet_error("the text is too long for one QR code"))?;
    let code = Arc::new(code);
    let mut known = known();
    if known.len() >= REMEMBERED {
        known.pop_front();
    }
    known.push_back((text.to_owned(), Arc::clone(&code)));
    Ok(code)
}

/// How many squares the code of a text is wide, with its white edge.
///
/// # Errors
///
/// When the text is too long for one code.
pub fn squares(text: &str) -> Result<usize, RenderError> {
    Ok(usize::try_from(encoded(text)?.size()).unwrap_or_default() + 2 * QUIET)
}

pub(super) fn draw(qr: &Qr) -> Result<Squares, RenderError> {
    let code = encoded(&qr.text)?;
    let size = usize::try_from(code.size()).unwrap_or_default();
    let count = size + 2 * QUIET;
    if !(qr.size.is_finite() && qr.size / count as f64 >= SMALLEST_SQUARE) {
        let least = (count as f64 * SMALLEST_SQUARE).ceil();
        return Err(sheet_error(&format!("a QR code of this text needs a side of at least {least} mm")));
    }
    let dark = |column: usize, row: usize| {
        let at = |n: usize| i32::try_from(n).unwrap_or(-1);
        code.get_module(at(column), at(row))
    };
    let mut runs = Vec::new();
    for row in 0..size {
        let mut column = 0;
        while column < size {
            let long = (column..size).take_while(|c| dark(*c, row)).count();
            if long > 0 {
                runs.push((column + QUIET, row + QUIET, long));
            }
            column += long.max(1);
        }
    }
    Ok(Squares { x: qr.x, y: qr.y, side: qr.size, count, runs })
}
