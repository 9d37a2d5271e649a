//! What stands beside a lane of an axis.

use super::text::{digits, signed};
use crate::axes::Said;
use crate::setup::Toleranced;

/// The figures of a lane: what the file does not say is a question mark.
pub(super) fn told(said: &Said) -> String {
    match said {
        Said::At(all) => all.iter().map(|at| signed(at, 1)).collect::<Vec<_>>().join(" "),
        Said::Found(at, true) => toleranced(at),
        Said::Found(at, false) => format!("{} ±?", signed(&at.value, 1)),
        Said::Nothing => "?".to_owned(),
    }
}

fn toleranced(at: &Toleranced) -> String {
    if at.off.is_zero() {
        return signed(&at.value, 1);
    }
    format!("{} ±{}", signed(&at.value, 1), digits(&at.off, 1))
}
