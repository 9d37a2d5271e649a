//! What a boat file says, apart from how it is written down: one line for each value, with the
//! path to it, every quantity in its plainest form, and nothing that leaving out would say as well.
//!
//! It is made from the file, not from the typed set-up: a key that is added to the format is in it
//! at once and cannot be forgotten. What is only another way of writing the same, it knows from the schema.

use super::exact::Exact;
use super::lower::units::{SPELLINGS, UnitOfMeasure, parse};
use super::schema::place::{Scalar, SchemaPlace};
use crate::source::{Entry, Node, Value};

/// One thing that a file says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// Path of keys with dots between, such as `channels.4.endpoints.blow`.
    pub path: String,
    /// What it says, the same for every way of writing it.
    pub value: String,
    /// The same with the unit that the file has.
    pub shown: String,
}

/// The lines of a file, in the order in which they stand there.
pub fn lines(root: &Node) -> Vec<Line> {
    let mut lines = Vec::new();
    gather(root, String::new(), &SchemaPlace::top(), &mut lines);
    lines
}

fn gather(node: &Node, path: String, place: &SchemaPlace, lines: &mut Vec<Line>) {
    let under = |key: &str| if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") };
    match &node.value {
        Value::List(items) => {
            for (index, item) in items.iter().enumerate() {
                gather(item, under(&(index + 1).to_string()), &place.item(index), lines);
            }
        }
        // One thing stands for a list of one.
        _ if place.takes_list() => gather_one(node, &under("1"), &place.item(0), lines),
        _ => gather_one(node, &path, place, lines),
    }
}

fn gather_one(node: &Node, path: &str, place: &SchemaPlace, lines: &mut Vec<Line>) {
    if let Some(text) = node.text() {
        let (value, shown) = with_stated_exactness(path, text, plain(text, place.scalar()));
        let left_out = place.default().is_some_and(|default| plain(default, place.scalar()).0 == value);
        if !left_out {
            lines.push(Line { path: path.to_owned(), value, shown });
        }
    }
    let entries = node.entries();
    for entry in entries.iter().filter(|entry| !goes_without_saying(entry, entries)) {
        let key = key(&entry.key);
        let path = if path.is_empty() { key.clone() } else { format!("{path}.{key}") };
        gather(&entry.value, path, &place.under(&key), lines);
    }
}

/// Where a figure without a tolerance is one that nobody knows: `± 0 %` says more than nothing there.
const THRESHOLDS: [&str; 5] = ["from", "to", "full", "releases", "beyond"];

fn with_stated_exactness(path: &str, text: &str, (value, shown): (String, String)) -> (String, String) {
    let mut keys = path.rsplit('.');
    let [key, above] = [keys.next(), keys.next()].map(Option::unwrap_or_default);
    let says =
        (THRESHOLDS.contains(&key) || above == "stops") && ["±", "+-"].iter().any(|sign| text.contains(sign));
    let stated = |written: String| if says && !written.contains('±') { written + " ± 0" } else { written };
    (stated(value), stated(shown))
}

/// What a control is and where it rests, if the rest of it says the same; a trim of nothing where there would be
/// none. A stick of which no trim is said may have one.
fn goes_without_saying(entry: &Entry, all: &[Entry]) -> bool {
    let has = |key: &str| all.iter().any(|e| e.key == key);
    let word = |key: &str| all.iter().find(|e| e.key == key).and_then(|e| e.value.text());
    match (entry.key.as_str(), entry.value.text()) {
        ("kind", Some("switch")) => has("settings"),
        ("kind", Some("stick")) => has("ways"),
        ("rests", Some(rests)) if has("ways") => {
            let stays = matches!(word("kind"), Some("slider" | "knob"));
            if stays { rests == "where left" } else { matches!(rests, "centre" | "center") }
        }
        ("rests", Some("where left")) => has("settings"),
        ("trim", Some(trim)) if has("ways") && !matches!(word("kind"), None | Some("stick")) => {
            trim == "locked" || is_nought(trim)
        }
        ("sub_trim", Some(text)) => is_nought(text),
        _ => false,
    }
}

fn is_nought(text: &str) -> bool {
    quantity(text).is_some_and(|(value, _)| value.starts_with("0 "))
}

/// Channel `05` is channel 5.
fn key(text: &str) -> String {
    whole(text).unwrap_or_else(|| text.to_owned())
}

fn whole(text: &str) -> Option<String> {
    let digits = text.bytes().all(|b| b.is_ascii_digit()).then(|| text.trim_start_matches('0'))?;
    Some(if digits.is_empty() { text.to_owned() } else { digits.to_owned() })
}

/// A single word or number, and how to show it: `+058.0 %` is `58 %`, `2300 g` is 2.3 kg, `true` is `yes`.
fn plain(text: &str, what: Scalar) -> (String, String) {
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let plain = match (what, words.as_str()) {
        (Scalar::YesNo, "true") => "yes".to_owned(),
        (Scalar::YesNo, "false") => "no".to_owned(),
        (Scalar::Whole, digits) => whole(digits).unwrap_or(words),
        (Scalar::Quantity, "center") => "centre".to_owned(),
        (Scalar::Quantity, _) => return quantity(text).unwrap_or_else(|| (words.clone(), words)),
        _ => words,
    };
    (plain.clone(), plain)
}

fn quantity(text: &str) -> Option<(String, String)> {
    // What has no digit is a word. To try it as a quantity would make a help message for each.
    if !text.contains(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let units: Vec<UnitOfMeasure> = SPELLINGS.iter().map(|(unit, _)| *unit).collect();
    let found = parse(text, &units).ok()?;
    let written = |of: fn(UnitOfMeasure, &Exact) -> (UnitOfMeasure, Exact)| {
        let one = |value: &Exact, unit: UnitOfMeasure| {
            let (unit, value) = of(unit, value);
            format!("{} {}", value.to_decimal(PLACES), unit.sign())
        };
        // A tolerance of nought is none.
        let off = found.off.as_ref().filter(|(off, _)| !off.is_zero());
        let off = off.map(|(off, unit)| format!(" ± {}", one(off, *unit))).unwrap_or_default();
        one(&found.value, found.unit) + &off
    };
    Some((written(base), written(|unit, value| (unit, value.clone()))))
}

/// Digits beyond these are refused when a quantity is read; a unit a thousand times as large adds three.
const PLACES: u32 = 21;

/// Of several units for the same thing, one.
fn base(unit: UnitOfMeasure, value: &Exact) -> (UnitOfMeasure, Exact) {
    let thousandth = |unit| (unit, value / Exact::int(1000));
    match unit {
        UnitOfMeasure::Grams => thousandth(UnitOfMeasure::Kilograms),
        UnitOfMeasure::Millilitres => thousandth(UnitOfMeasure::Litres),
        UnitOfMeasure::Milliamperes => thousandth(UnitOfMeasure::Amperes),
        UnitOfMeasure::MilliampereHours => thousandth(UnitOfMeasure::AmpereHours),
        UnitOfMeasure::Milliohms => thousandth(UnitOfMeasure::Ohms),
        UnitOfMeasure::Megahertz => thousandth(UnitOfMeasure::Gigahertz),
        _ => (unit, value.clone()),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::super::schema::boat_file;
    use super::{Line, SPELLINGS, UnitOfMeasure, lines, parse};
    use crate::source::Source;
    use proptest::prelude::*;
    use std::collections::BTreeMap;

    fn of(text: &str) -> BTreeMap<String, String> {
        let lines = lines(&Source::from_bytes("t", text.into()).unwrap().root);
        lines.into_iter().map(|Line { path, value, .. }| (path, value)).collect()
    }

    #[test]
    fn the_same_said_in_another_way_is_the_same() {
        let plain = "
boat: {name: Elver, kind: surface, floats_when_stopped: yes}
transmitter: {frequency: 2.4 GHz, channels: 4}
controls:
  tank: {ways: {left: flood, right: blow}, wants: {flood: turns left}}
  mode: {settings: [gentle, full]}
channels: {5: {control: tank, wants: {flood: vent}}}
devices: {box: {kind: servo, channel: 5, stops: [-90 %, +1880 us ± 2 us]}}
batteries: {main: {capacity: 3.3 Ah, draws: 0.2 A}}
hull: {weight: 2.3 kg ± 0.1 kg, heavy: 0.012 kg}
owner: {emergency: press blow}
";
        let other = "
owner: {language: en, emergency: [\"press  blow\"]}
hull: {weight: 2300 g ± 0.1 kg, heavy: 12.0 g ± 0 g}
batteries: {main: {capacity: 3300 mAh, draws: 200 mA}}
devices:
  box: {kind: servo, channel: 05, one_way: no, stops: [-90.0 %, 1880 µs +- 2]} # as read
channels:
  05:
    control: tank
    rate: 100 %
    sub_trim: 0 us
    endpoints: {flood: 100 %, blow: 100 %}
    wants:
      flood: [vent]
controls:
  tank:
    ways: {right: blow, left: flood}
    kind: stick
    rests: center
    wants: {flood: [turns left]}
  mode: {kind: switch, rests: where left, settings: [gentle, full]}
transmitter: {frequency: 2400 MHz, channels: 04, pulse: {full: [1100 us, 1900 us]}}
boat: {name: Elver, kind: surface, water: fresh, floats_when_stopped: true}
";
        assert_eq!(of(plain), of(other));
    }

    #[test]
    fn another_number_unit_word_or_order_of_a_list_is_not_the_same() {
        let plain =
            "boat: {name: yes, floats_when_stopped: yes}\nhull: {weight: 2 kg}\nowner: {emergency: [a, b]}\n";
        for (from, to) in [
            ("2 kg", "2 g"),
            ("2 kg", "2.001 kg"),
            ("2 kg", "2 kg ± 1 g"),
            ("[a, b]", "[b, a]"),
            ("floats_when_stopped: yes", "floats_when_stopped: no"),
            // Her name is a word, whatever it looks like.
            ("name: yes", "name: true"),
        ] {
            assert_ne!(of(plain), of(&plain.replace(from, to)), "{to}");
        }
    }

    #[test]
    fn what_is_said_to_be_nothing_is_not_the_same_as_what_is_not_said() {
        let boat = "controls: {tank: {ways: {left: flood}}}\ndevices: {s: {works: {vent: {from: +40 %}}}}\n";
        for (from, to, alike) in [
            ("{left: flood}", "{left: flood}, trim: locked", false),
            ("{left: flood}", "{left: flood}, kind: stick, trim: 0 %", false),
            ("+40 %", "+40 % ± 0 %", false),
            ("+40 %", "+40.0 %", true),
        ] {
            assert_eq!(of(boat) == of(&boat.replace(from, to)), alike, "{to}");
        }
        let stops = boat.replace("{works:", "{stops: [-90 %, +90 %], works:");
        assert_ne!(of(&stops), of(&stops.replace("+90 %", "+90 % ± 0 %")));
        let slider = boat.replace("{left: flood}", "{left: flood}, kind: slider");
        assert_eq!(of(&slider), of(&slider.replace("slider", "slider, trim: locked")));
    }

    /// A default that is not told in one unit, or not at all, would never be met.
    #[test]
    fn every_default_of_the_schema_goes_without_saying() {
        let schema = boat_file();
        let defaults = schema.to_string().matches("\"default\":").count();
        assert!(defaults > 20, "{defaults}");
        let said = of(
            "boat: {kind: submarine, aerial: inside}\nreceiver: {on_loss: {others: hold}}\nfail_safe: {leak: false}\n\
            card: {size: [105 mm, 74 mm]}\n",
        );
        assert_eq!(said, BTreeMap::new());
    }

    proptest! {
        /// So that a text without one need not be tried as a quantity.
        #[test]
        fn there_is_no_quantity_without_a_digit(text in "[+-]?[^0-9]{0,6}( (±|\\+-) [^0-9]{0,4})?( ?(%|us|V|degC|bar))?") {
            let units: Vec<UnitOfMeasure> = SPELLINGS.iter().map(|(unit, _)| *unit).collect();
            prop_assert!(parse(&text, &units).is_err());
        }
    }
}
