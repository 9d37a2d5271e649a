//! Numbers with their units, as a builder writes them.

use super::super::exact::Exact;
use super::mistakes::NOT_MEASURED;
use super::text::{near, shown};

/// A unit that the format knows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::setup) enum UnitOfMeasure {
    Percent,
    Micros,
    Degrees,
    Millimetres,
    Metres,
    Seconds,
    Megahertz,
    Gigahertz,
    Volts,
    Amperes,
    AmpereHours,
    MilliampereHours,
    Milliamperes,
    MetresPerSecond,
    Kilograms,
    Grams,
    Litres,
    Millilitres,
    LitresPerMinute,
    Bar,
    Celsius,
    Ohms,
    Milliohms,
    Decibels,
    MicrosiemensPerCm,
}

/// Every unit with its spellings, the proper one first.
pub(in crate::setup) const SPELLINGS: &[(UnitOfMeasure, &[&str])] = &[
    (UnitOfMeasure::Percent, &["%"]),
    (UnitOfMeasure::Micros, &["us", "µs", "μs"]),
    (UnitOfMeasure::Degrees, &["deg", "°"]),
    (UnitOfMeasure::Millimetres, &["mm"]),
    (UnitOfMeasure::Metres, &["m"]),
    (UnitOfMeasure::Seconds, &["s"]),
    (UnitOfMeasure::Megahertz, &["MHz"]),
    (UnitOfMeasure::Gigahertz, &["GHz"]),
    (UnitOfMeasure::Volts, &["V"]),
    (UnitOfMeasure::Amperes, &["A"]),
    (UnitOfMeasure::AmpereHours, &["Ah"]),
    (UnitOfMeasure::MilliampereHours, &["mAh"]),
    (UnitOfMeasure::Milliamperes, &["mA"]),
    (UnitOfMeasure::MetresPerSecond, &["m/s"]),
    (UnitOfMeasure::Kilograms, &["kg"]),
    (UnitOfMeasure::Grams, &["g"]),
    (UnitOfMeasure::Litres, &["L", "l"]),
    (UnitOfMeasure::Millilitres, &["mL", "ml"]),
    (UnitOfMeasure::LitresPerMinute, &["L/min", "l/min"]),
    (UnitOfMeasure::Bar, &["bar"]),
    (UnitOfMeasure::Celsius, &["degC", "°C"]),
    (UnitOfMeasure::Ohms, &["ohm", "Ω"]),
    (UnitOfMeasure::Milliohms, &["mohm", "mΩ"]),
    (UnitOfMeasure::Decibels, &["dB"]),
    (UnitOfMeasure::MicrosiemensPerCm, &["uS/cm", "µS/cm", "μS/cm"]),
];

/// What people write and what they mean by it.
const SLIPS: &[(&str, UnitOfMeasure)] = &[
    ("percent", UnitOfMeasure::Percent),
    ("pct", UnitOfMeasure::Percent),
    ("usec", UnitOfMeasure::Micros),
    ("microseconds", UnitOfMeasure::Micros),
    ("degrees", UnitOfMeasure::Degrees),
    ("degree", UnitOfMeasure::Degrees),
    ("sec", UnitOfMeasure::Seconds),
    ("secs", UnitOfMeasure::Seconds),
    ("second", UnitOfMeasure::Seconds),
    ("seconds", UnitOfMeasure::Seconds),
    ("metres", UnitOfMeasure::Metres),
    ("meters", UnitOfMeasure::Metres),
    ("volt", UnitOfMeasure::Volts),
    ("volts", UnitOfMeasure::Volts),
    ("millimetres", UnitOfMeasure::Millimetres),
];

/// Units of other things, or of the same in another size.
const FOREIGN: &[&str] = &[
    "ms", "min", "h", "cm", "km", "in", "ft", "Hz", "kHz", "mV", "W", "lb", "oz", "psi", "degF", "K", "mbar",
    "kPa", "mS/cm", "S/m", "dBm", "gal", "L/h", "l/h", "km/h", "rad", "cm/s", "mm/s", "mL/min", "ml/min",
    "L/s", "l/s", "cm3", "cm³", "cc", "cl", "dl", "m3", "t", "mg",
];

/// More digits than any meter shows; without a bound a number of a million digits would take hours.
const MOST_DIGITS: usize = 18;

impl UnitOfMeasure {
    /// As it is written.
    pub(in crate::setup) fn sign(self) -> &'static str {
        SPELLINGS.iter().find(|(unit, _)| *unit == self).map_or("", |(_, s)| s[0])
    }

    /// A quantity as one is met on a boat, to show how it is written.
    fn instance(self) -> &'static str {
        match self {
            Self::Percent => "64 %",
            Self::Micros => "1664 us",
            Self::Degrees => "45 deg",
            Self::Millimetres => "12 mm",
            Self::Metres => "4 m",
            Self::Seconds => "2 s",
            Self::Megahertz => "40 MHz",
            Self::Gigahertz => "2.4 GHz",
            Self::Volts => "4.8 V",
            Self::Amperes => "1.5 A",
            Self::AmpereHours => "2.2 Ah",
            Self::MilliampereHours => "2200 mAh",
            Self::Milliamperes => "600 mA",
            Self::MetresPerSecond => "0.3 m/s",
            Self::Kilograms => "6 kg",
            Self::Grams => "12 g",
            Self::Litres => "0.5 L",
            Self::Millilitres => "350 mL",
            Self::LitresPerMinute => "2 L/min",
            Self::Bar => "3 bar",
            Self::Celsius => "12 degC",
            Self::Ohms => "0.2 ohm",
            Self::Milliohms => "80 mohm",
            Self::Decibels => "20 dB",
            Self::MicrosiemensPerCm => "500 uS/cm",
        }
    }

    fn of(text: &str) -> Option<Self> {
        SPELLINGS.iter().find(|(_, s)| s.contains(&text)).map(|(unit, _)| *unit)
    }
}

/// A number, its unit, and the most it can be off.
#[derive(Clone, Debug)]
pub(in crate::setup) struct Quantity {
    pub(in crate::setup) value: Exact,
    pub(in crate::setup) unit: UnitOfMeasure,
    pub(in crate::setup) off: Option<(Exact, UnitOfMeasure)>,
}

/// Why a text is no quantity.
pub(in crate::setup) struct Trouble {
    pub(super) message: String,
    pub(super) label: String,
    pub(super) help: String,
}

fn trouble<T>(message: String, label: &str, help: String) -> Result<T, Trouble> {
    Err(Trouble { message, label: label.to_owned(), help })
}

/// The signs that part a value from the most it can be off.
const OFF_SIGNS: [&str; 3] = ["±", "+-", "+/-"];

/// Whether a text says how far its value can be off.
pub(in crate::setup) fn says_off(text: &str) -> bool {
    OFF_SIGNS.iter().any(|sign| text.contains(sign)) && !text.ends_with(NOT_MEASURED)
}

/// Reads a quantity in one of `units`.
pub(in crate::setup) fn parse(text: &str, units: &[UnitOfMeasure]) -> Result<Quantity, Trouble> {
    let text = text.trim();
    let (first, second) = match OFF_SIGNS.iter().find_map(|sign| text.split_once(sign)) {
        Some((first, second)) => (first.trim(), Some(second.trim())),
        None => (text, None),
    };
    let (value, unit) = number(first, units, None)?;
    let off = match second {
        None | Some(NOT_MEASURED) => None,
        Some(second) => {
            let (off, off_unit) = number(second, units, Some(unit))?;
            if off.signum() < 0 {
                return trouble(
                    format!("the tolerance `{}` is negative", shown(second)),
                    "either side is meant already",
                    format!("write `{first} ± {} {}`", off.abs().to_decimal(6), off_unit.sign()),
                );
            }
            Some((off, off_unit))
        }
    };
    Ok(Quantity { value, unit, off })
}

/// A number with a unit; `inherit` is taken where none is written.
fn number(
    text: &str,
    units: &[UnitOfMeasure],
    inherit: Option<UnitOfMeasure>,
) -> Result<(Exact, UnitOfMeasure), Trouble> {
    let asked = units.first().copied().unwrap_or(UnitOfMeasure::Percent);
    let end = text
        .char_indices()
        .find(|(at, c)| {
            !(c.is_ascii_digit() || *c == '.' || *c == ',' || (*at == 0 && matches!(c, '+' | '-' | '−')))
        })
        .map_or(text.len(), |(at, _)| at);
    let (digits, sign) = (text[..end].trim(), text[end..].trim());
    let plain = digits.replace('−', "-");
    if plain.len() > MOST_DIGITS + 2 {
        return trouble(
            format!("`{}` has too many digits", shown(digits)),
            "no meter shows so many",
            format!("round it to {MOST_DIGITS} digits or fewer"),
        );
    }
    let Some(value) = Exact::from_decimal(&plain) else {
        let repaired = plain.replacen(',', ".", 1);
        if plain.contains(',') && Exact::from_decimal(&repaired).is_some() {
            return trouble(
                format!("`{}` has a decimal comma", shown(digits)),
                "a point is wanted",
                format!("write `{repaired} {}`", if sign.is_empty() { asked.sign() } else { sign }),
            );
        }
        return trouble(
            format!("`{}` is not a number with a unit", shown(text)),
            "not a quantity",
            format!("write for instance {}", instances(units)),
        );
    };
    if sign.is_empty() {
        return match inherit {
            Some(unit) => Ok((value, unit)),
            None => trouble(
                format!("`{}` has no unit", shown(text)),
                "the unit is missing",
                format!("write {}", examples(&plain, units)),
            ),
        };
    }
    match UnitOfMeasure::of(sign) {
        Some(unit) if units.contains(&unit) => Ok((value, unit)),
        // A number measured in one unit is another in another: it is not repeated.
        Some(unit) => foreign(unit.sign(), units),
        None if FOREIGN.contains(&sign) => foreign(sign, units),
        None => {
            let lower = sign.to_lowercase();
            let known: Vec<&str> = units.iter().map(|unit| unit.sign()).collect();
            let meant = SLIPS
                .iter()
                .find(|(slip, unit)| *slip == lower && units.contains(unit))
                .map(|(_, unit)| unit.sign())
                .or_else(|| near(sign, &known).filter(|n| n.len() > 1 || lower == n.to_lowercase()));
            trouble(
                format!("`{}` is not a unit that is known", shown(sign)),
                &meant.map_or("unknown unit".to_owned(), |m| format!("did you mean `{m}`?")),
                meant.map_or_else(
                    || format!("write for instance {}", instances(units)),
                    |m| format!("write `{plain} {m}`"),
                ),
            )
        }
    }
}

/// A unit of the right thing in another size, or of something else.
fn foreign<T>(sign: &str, units: &[UnitOfMeasure]) -> Result<T, Trouble> {
    trouble(
        format!("`{sign}` is the wrong unit here"),
        "wrong unit",
        // An instance would be a figure of another size than the one that is meant.
        format!("measure or convert it and write it in {}", signs(units)),
    )
}

fn signs(units: &[UnitOfMeasure]) -> String {
    let written: Vec<String> = units.iter().map(|unit| unit.sign().to_owned()).collect();
    super::text::either(&written)
}

fn instances(units: &[UnitOfMeasure]) -> String {
    let written: Vec<String> = units.iter().map(|unit| unit.instance().to_owned()).collect();
    super::text::either(&written)
}

fn examples(number: &str, units: &[UnitOfMeasure]) -> String {
    let written: Vec<String> = units.iter().map(|unit| format!("{number} {}", unit.sign())).collect();
    super::text::either(&written)
}
