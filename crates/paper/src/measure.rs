//! Measures as the reader of a document is used to them.

use super::labels::Labels;
use crate::labels::text::common;
use crate::setup::Exact;
use crate::setup::quantity::Metres;

/// The units in which a document gives measures.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Units {
    /// Metres.
    #[default]
    Metric,
    /// US customary: feet.
    Us,
}

impl Units {
    /// How deep she may go: `2 m`, `6.5 ft`. Cut off, not rounded: a limit must not grow on paper.
    /// A foot is 0.3048 m exactly (international yard and pound agreement of 1959).
    pub fn depth(self, depth: &Metres, labels: &Labels) -> String {
        let number = |value: &Exact| labels.decimal(&cut(value).to_decimal(1));
        match self {
            Self::Metric => labels.fill(common::Metres { number: &number(&depth.0) }),
            Self::Us => {
                let feet = &depth.0 / Exact::ratio(3048, 10_000);
                labels.fill(common::Feet { number: &number(&feet) })
            }
        }
    }
}

/// Cut off behind the first decimal.
fn cut(value: &Exact) -> Exact {
    match (value * Exact::int(10)).floor() {
        Some(tenths) => Exact::ratio(tenths, 10),
        // Deeper than any water: nothing is lost by the last digit.
        None => value.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_depth_limit_never_grows_on_paper() {
        let labels = Labels::english();
        let depth = |text: &str, units: Units| {
            units.depth(&Metres(Exact::from_decimal(text).expect("number")), &labels)
        };
        assert_eq!(depth("2", Units::Metric), "2\u{a0}m");
        assert_eq!(depth("2.25", Units::Metric), "2.2\u{a0}m");
        // 2 m / 0.3048 m = 6.5617 ft.
        assert_eq!(depth("2", Units::Us), "6.5\u{a0}ft");
        assert_eq!(depth("0.3048", Units::Us), "1\u{a0}ft");
    }
}
