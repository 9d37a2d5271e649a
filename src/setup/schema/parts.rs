//! The plain kinds of values: texts, words, numbers with a unit.

use super::super::lower::units::{SPELLINGS, Unit};
use serde_json::{Map, Value, json};

/// A key, what it means to a builder, and what may follow.
pub(super) type Key = (&'static str, &'static str, Value);

/// A number as the reader takes it; a decimal comma is none.
const NUMBER: &str = r"([0-9]+(\.[0-9]+)?|\.[0-9]+)";

/// A block with these keys and no others.
pub(super) fn block(about: &str, required: &[&str], keys: Vec<Key>) -> Value {
    let mut properties = Map::new();
    for (key, about, mut value) in keys {
        if let Value::Object(value) = &mut value {
            // The key's own words are shown, not those of what it links to.
            value.insert("description".into(), about.into());
        }
        properties.insert(key.to_owned(), value);
    }
    json!({
        "description": about,
        "type": "object",
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    })
}

/// A block whose keys are names of the builder's own.
pub(super) fn open_block(value: Value) -> Value {
    json!({"type": "object", "additionalProperties": value})
}

/// A part defined once and named in several places.
pub(super) fn link(name: &str) -> Value {
    json!({"$ref": format!("#/$defs/{name}")})
}

/// A value that may be left out, and what that means.
pub(super) fn or_else(mut value: Value, default: impl Into<Value>) -> Value {
    value["default"] = default.into();
    value
}

/// One of a closed list of words.
pub(super) fn words<'a>(words: impl IntoIterator<Item = &'a str>) -> Value {
    json!({"enum": words.into_iter().collect::<Vec<_>>()})
}

/// The words of one of the reader's tables.
pub(super) fn table<T>(of: &[(&'static str, T)]) -> Value {
    words(of.iter().map(|(word, _)| *word))
}

/// One thing, or a list of them.
pub(super) fn one_or_list(item: &Value) -> Value {
    json!({"anyOf": [item, {"type": "array", "items": item}]})
}

/// Exactly two.
pub(super) fn pair(item: &Value) -> Value {
    json!({"type": "array", "items": item, "minItems": 2, "maxItems": 2})
}

/// Whether a quantity may lie below nought, and whether it takes a tolerance.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Form {
    Amount,
    Signed,
    Toleranced,
}

fn quantity(about: &str, form: Form, units: &[Unit]) -> Value {
    let known = SPELLINGS.iter().filter(|(unit, _)| units.contains(unit));
    let signs: Vec<&str> = known.flat_map(|(_, spellings)| spellings.iter().copied()).collect();
    let signs = signs.join("|");
    let sign = if form == Form::Amount { r"\+?" } else { "[+−-]?" };
    let tolerance = match form {
        Form::Toleranced => format!(r"(\s*(±|\+-|\+/-)\s*\+?{NUMBER}\s*({signs})?)?"),
        _ => String::new(),
    };
    let pattern = format!(r"^\s*{sign}{NUMBER}\s*({signs}){tolerance}\s*$");
    json!({"description": about, "type": "string", "pattern": pattern})
}

/// What the sections link to.
pub(super) fn defs() -> Vec<(&'static str, Value)> {
    use Form::{Amount, Signed, Toleranced};
    use Unit::{
        AmpereHours, Amperes, Bar, Celsius, Decibels, Degrees, Gigahertz, Grams, Kilograms, Litres,
        LitresPerMinute, Megahertz, Metres, MetresPerSecond, Micros, MicrosiemensPerCm, MilliampereHours,
        Milliamperes, Millilitres, Millimetres, Milliohms, Ohms, Percent, Seconds, Volts,
    };
    let axis = [Percent, Micros];
    let servo = [Percent, Micros, Degrees, Millimetres];
    vec![
        (
            "text",
            json!({
                "description": "A word or a text.",
                // A revision `2` or a memory `4` is text to the reader, but a number to an editor.
                "type": ["string", "number", "boolean"],
                "pattern": r"\S",
            }),
        ),
        ("yes_no", json!({"description": "`yes` or `no`.", "enum": ["yes", "no", true, false]})),
        (
            "channel_number",
            json!({
                "description": "The number of a channel on the receiver.",
                "anyOf": [{"type": "integer", "minimum": 1, "maximum": 255}, {"type": "string", "pattern": "^[0-9]+$"}],
            }),
        ),
        ("percent", quantity("A percentage: `64 %`.", Amount, &[Percent])),
        ("signed_percent", quantity("A percentage with its sign: `-15 %`.", Signed, &[Percent])),
        ("share", quantity("A part of the travel: `20 %` or `80 us`.", Amount, &axis)),
        ("signed_share", quantity("A part of the travel with its side: `-3 %`.", Signed, &axis)),
        (
            "accuracy",
            quantity("The most it can be off, either side: `2 %`.", Amount, &[Percent, Micros, Degrees]),
        ),
        (
            "set_position",
            quantity(
                "A position on the output axis: 0 % is the pulse at rest, + is a longer pulse. `+54 %`, `1664 us`.",
                Signed,
                &axis,
            ),
        ),
        ("threshold", quantity("A position with the most it can be off: `+80 % ± 2 %`.", Toleranced, &axis)),
        (
            "reading",
            quantity("A position as it was read: `+37 %`, `1648 us`, `22 deg`, `3.2 mm`.", Signed, &servo),
        ),
        (
            "found_position",
            quantity(
                "A position found at the bench, with the most it can be off either side: `+72 % ± 4 %`.",
                Toleranced,
                &servo,
            ),
        ),
        ("pulse_width", quantity("A pulse off the meter: `1664 us`.", Amount, &[Micros])),
        ("seconds", quantity("A time: `4 s`.", Amount, &[Seconds])),
        ("volts", quantity("A voltage: `6.6 V`.", Amount, &[Volts])),
        ("amperes", quantity("A current: `1.2 A`.", Amount, &[Amperes, Milliamperes])),
        ("metres", quantity("A depth: `2 m`.", Amount, &[Metres])),
        ("millimetres", quantity("A length: `12 mm`.", Amount, &[Millimetres])),
        ("degrees", quantity("An angle: `45 deg`.", Amount, &[Degrees])),
        (
            "length",
            quantity("A length, with the most it can be off: `60 mm ± 0.5 mm`.", Toleranced, &[Millimetres]),
        ),
        ("angle", quantity("An angle with its side: `-5 deg ± 2 deg`.", Toleranced, &[Degrees])),
        ("frequency", quantity("A frequency: `40.685 MHz`.", Amount, &[Megahertz, Gigahertz])),
        ("weight", quantity("A weight: `8.4 kg`, `12 g ± 1 g`.", Toleranced, &[Kilograms, Grams])),
        ("volume", quantity("A volume: `600 mL ± 20 mL`.", Toleranced, &[Litres, Millilitres])),
        ("speed", quantity("A speed: `0.25 m/s`.", Amount, &[MetresPerSecond])),
        ("pressure", quantity("A pressure above that of the air: `0.4 bar`.", Toleranced, &[Bar])),
        ("flow", quantity("A flow: `4 L/min`.", Amount, &[LitresPerMinute])),
        ("temperature", quantity("A temperature: `4 degC`.", Signed, &[Celsius])),
        ("resistance", quantity("A resistance: `80 mohm ± 20 mohm`.", Toleranced, &[Milliohms, Ohms])),
        ("decibels", quantity("A loss of signal: `40 dB ± 6 dB`.", Toleranced, &[Decibels])),
        (
            "conductivity",
            quantity("How well water conducts: `500 uS/cm ± 100 uS/cm`.", Toleranced, &[MicrosiemensPerCm]),
        ),
        ("capacity", quantity("A capacity: `4.2 Ah`.", Amount, &[AmpereHours, MilliampereHours])),
    ]
}
