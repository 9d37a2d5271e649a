//! What the sheet calls the lines of the order in which a set does its sums.

use crate::chain::order::LINES;
use crate::labels::Text;
use crate::labels::text::sheet::orders::{endpoint, endpoint_side, mix, past_full_stick, sub_trim, trim};

/// The words of a line.
pub(crate) struct OrderLabels {
    pub(crate) name: Text,
    /// Its two ways, as in `LINES`.
    pub(crate) ways: [Text; 2],
    /// What to do and what to see where nobody knows which.
    pub(crate) test: [Text; 2],
}

/// In the order of `LINES`.
pub(crate) const ORDERS: [OrderLabels; LINES.len()] = [
    OrderLabels {
        name: past_full_stick::NAME,
        ways: [past_full_stick::FIRST, past_full_stick::SECOND],
        test: [past_full_stick::DO, past_full_stick::SEE],
    },
    OrderLabels {
        name: endpoint::NAME,
        ways: [endpoint::FIRST, endpoint::SECOND],
        test: [endpoint::DO, endpoint::SEE],
    },
    OrderLabels {
        name: endpoint_side::NAME,
        ways: [endpoint_side::FIRST, endpoint_side::SECOND],
        test: [endpoint_side::DO, endpoint_side::SEE],
    },
    OrderLabels { name: trim::NAME, ways: [trim::FIRST, trim::SECOND], test: [trim::DO, trim::SEE] },
    OrderLabels { name: mix::NAME, ways: [mix::FIRST, mix::SECOND], test: [mix::DO, mix::SEE] },
    OrderLabels {
        name: sub_trim::NAME,
        ways: [sub_trim::FIRST, sub_trim::SECOND],
        test: [sub_trim::DO, sub_trim::SEE],
    },
];
