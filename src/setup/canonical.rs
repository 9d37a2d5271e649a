//! What a boat file says, apart from how it is written down: one line for each value, with the
//! path to it, in alphabetical order, every quantity in its plainest form.
//!
//! It is made from the file, not from the typed set-up: a key that is added to the format is in it
//! at once and cannot be forgotten. The price is that a default spelled out counts as a difference.

use std::collections::BTreeMap;

use super::lower::units::{SPELLINGS, Unit, parse};
use crate::source::{Node, Value};

/// Path of keys with dots between, such as `channels.4.endpoints.blow`, and the value there.
pub type Lines = BTreeMap<String, String>;

/// The lines of a file.
pub fn lines(root: &Node) -> Lines {
    in_order(root).into_iter().collect()
}

/// The same in the order in which they stand in the file.
pub fn in_order(root: &Node) -> Vec<(String, String)> {
    let mut lines = Vec::new();
    gather(root, String::new(), &mut lines);
    lines
}

fn gather(node: &Node, path: String, lines: &mut Vec<(String, String)>) {
    let under = |key: &str| if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") };
    match &node.value {
        Value::Scalar { text, .. } => {
            lines.push((path, plain(text)));
        }
        Value::List(items) => {
            for (index, item) in items.iter().enumerate() {
                gather(item, under(&(index + 1).to_string()), lines);
            }
        }
        Value::Map(entries) => {
            for entry in entries {
                gather(&entry.value, under(&key(&entry.key)), lines);
            }
        }
    }
}

/// Channel `05` is channel 5.
fn key(text: &str) -> String {
    let number = text.bytes().all(|b| b.is_ascii_digit()).then(|| text.trim_start_matches('0'));
    number.filter(|digits| !digits.is_empty()).unwrap_or(text).to_owned()
}

/// `+058.0 %` is `58 %`, `1664 µs` is `1664 us`; a text has single spaces.
fn plain(text: &str) -> String {
    let words = || text.split_whitespace().collect::<Vec<_>>().join(" ");
    // Most texts are names. To try them as quantities would make a help message for each.
    if !text.contains(|c: char| c.is_ascii_digit()) {
        return words();
    }
    let units: Vec<Unit> = SPELLINGS.iter().map(|(unit, _)| *unit).collect();
    // Digits beyond these are refused when a quantity is read.
    const PLACES: u32 = 18;
    match parse(text, &units) {
        Ok(quantity) => {
            let value = format!("{} {}", quantity.value.to_decimal(PLACES), quantity.unit.sign());
            match quantity.off {
                Some((off, unit)) => format!("{value} ± {} {}", off.to_decimal(PLACES), unit.sign()),
                None => value,
            }
        }
        Err(_) => words(),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{SPELLINGS, Unit, lines, parse};
    use crate::source::Source;
    use proptest::prelude::*;

    fn of(text: &str) -> super::Lines {
        lines(&Source::from_bytes("t", text.into()).unwrap().root)
    }

    #[test]
    fn the_same_said_in_another_way_is_the_same() {
        let plain = "a: {x: 58 %, y: 1664 us ± 2 us}\nb: {5: [one, two words]}\n";
        let other =
            "b:\n  05:\n    - one # first\n    - \"two  words\"\na:\n  y: 1664.0 µs +- 2\n  x: +58.00%\n";
        assert_eq!(of(plain), of(other));
    }

    #[test]
    fn another_number_unit_or_order_of_a_list_is_not_the_same() {
        let plain = of("a: {x: 58 %}\nb: [1, 2]\n");
        for other in ["a: {x: 59 %}\nb: [1, 2]\n", "a: {x: 58 us}\nb: [1, 2]\n", "a: {x: 58 %}\nb: [2, 1]\n"]
        {
            assert_ne!(plain, of(other), "{other}");
        }
    }

    proptest! {
        /// So that a text without one need not be tried as a quantity.
        #[test]
        fn there_is_no_quantity_without_a_digit(text in "[+-]?[^0-9]{0,6}( (±|\\+-) [^0-9]{0,4})?( ?(%|us|V|degC|bar))?") {
            let units: Vec<Unit> = SPELLINGS.iter().map(|(unit, _)| *unit).collect();
            prop_assert!(parse(&text, &units).is_err());
        }
    }
}
