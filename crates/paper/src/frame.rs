//! What a paper of ours begins with, whatever stands on it: its size, what it is called, and what its foot says.

use super::{Paper, Request};
use serde::Serialize;

/// Clear all round, in millimetres: room for a punch and a thumb.
pub(super) const MARGIN: f64 = 14.0;

/// The size of the paper that was asked for, in millimetres.
fn size_mm(request: &Request) -> [f64; 2] {
    request.on.unwrap_or(Paper::A4).size_mm()
}

/// What lies between its margins from left to right, in millimetres.
pub(super) fn inner_width(request: &Request) -> f64 {
    size_mm(request)[0] - 2.0 * MARGIN
}

/// The beginning of every paper's facts.
#[derive(Serialize)]
pub(super) struct Frame {
    width: f64,
    height: f64,
    margin: f64,
    pub(super) title: String,
    boat: String,
    imprint: String,
}

impl Frame {
    /// Of a boat, or of a kind where there is none yet.
    pub(super) fn of(request: &Request, boat: &str, title: String, imprint: String) -> Self {
        let [width, height] = size_mm(request);
        Self { width, height, margin: MARGIN, title, boat: boat.to_owned(), imprint }
    }
}
