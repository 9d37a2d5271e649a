//! What is typed at the bench.

use crate::setup::Exact;
use crate::setup::quantity::Micros;
use crate::setup::{Axis, Setup};

/// What one line says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Typed {
    /// One reading or several, each as it was typed and in microseconds.
    Readings(Vec<(String, Exact)>),
    /// Points that were read in pairs: where it engages, and where it lets go on the way back.
    Pairs(Vec<[(String, Exact); 2]>),
    /// Readings of a stopwatch, each as it was typed and in seconds.
    Seconds(Vec<(String, Exact)>),
    /// It is as it should be.
    Yes,
    /// It is not.
    No,
    /// Not now.
    Skip,
    /// The test before once more.
    Back,
    /// Enough for today.
    Stop,
    /// A remark.
    Remark(String),
}

/// Reads a line. A space stands for yes.
///
/// # Errors
/// With what is wrong and what to type instead.
pub fn line(text: &str, setup: &Setup) -> Result<Typed, String> {
    let word = text.trim();
    if word.is_empty() {
        // The bar alone accepts; a line with nothing at all may be a slip of the hand.
        return if text.contains(' ') {
            Ok(Typed::Yes)
        } else {
            Err("nothing typed: a space for yes, or a reading".into())
        };
    }
    Ok(match word.to_ascii_lowercase().as_str() {
        "y" | "yes" => Typed::Yes,
        "n" | "no" => Typed::No,
        "skip" => Typed::Skip,
        "back" => Typed::Back,
        "stop" => Typed::Stop,
        _ => match word.strip_prefix('#') {
            Some(remark) => Typed::Remark(remark.trim().to_owned()),
            None if word.contains('/') => Typed::Pairs(pairs(word, &setup.axis)?),
            None if is_seconds(word) => Typed::Seconds(seconds(word)?),
            None => Typed::Readings(readings(word, &setup.axis)?),
        },
    })
}

/// `15.1 s`, and neither `1488 us` nor `12 ms`.
fn is_seconds(text: &str) -> bool {
    text.strip_suffix('s').is_some_and(|number| number.trim_end().ends_with(|c: char| c.is_ascii_digit()))
}

/// Readings of a stopwatch, with commas between.
fn seconds(text: &str) -> Result<Vec<(String, Exact)>, String> {
    let one = |text: &str| {
        let wrong =
            || format!("`{text}` is no reading of a stopwatch: type `15.1 s`, several with commas between");
        let number = text.strip_suffix('s').ok_or_else(wrong)?;
        let value = Exact::from_decimal(number.trim()).ok_or_else(wrong)?;
        if value.signum() < 0 || value > Exact::int(LONGEST) {
            return Err(format!("`{text}`: nothing is timed here that takes longer than {LONGEST} s"));
        }
        Ok((text.to_owned(), value))
    };
    text.split(',').map(|text| one(text.trim())).collect()
}

/// Whoever waits longer for a boat fetches her, in seconds (common practice, no source).
const LONGEST: i64 = 3600;

/// Readings with their units, with commas between.
fn readings(text: &str, axis: &Axis) -> Result<Vec<(String, Exact)>, String> {
    text.split(',').map(|one| reading(one.trim(), axis)).collect()
}

/// `1648 us / 1622 us`, several with commas between.
fn pairs(text: &str, axis: &Axis) -> Result<Vec<[(String, Exact); 2]>, String> {
    let pair = |one: &str| match one.split('/').collect::<Vec<_>>()[..] {
        [click, release] => Ok([reading(click.trim(), axis)?, reading(release.trim(), axis)?]),
        _ => Err(format!(
            "`{}` is no pair: type `1648 us / 1622 us`, where it engages and where it lets go",
            one.trim()
        )),
    };
    text.split(',').map(pair).collect()
}

/// `1488 us` or `+53 %`.
fn reading(text: &str, axis: &Axis) -> Result<(String, Exact), String> {
    let wrong = || {
        format!(
            "`{text}` is no reading: type `1488 us` or `+53 %`, several with commas between, or skip, back, stop"
        )
    };
    let (number, percent) = match text {
        _ if text.ends_with("us") => (text.trim_end_matches("us"), false),
        _ if text.ends_with("µs") => (text.trim_end_matches("µs"), false),
        _ if text.ends_with('%') => (text.trim_end_matches('%'), true),
        _ => return Err(wrong()),
    };
    let value = Exact::from_decimal(number.trim()).ok_or_else(wrong)?;
    let micros = if percent { axis.pulse_at(&(value / Exact::int(100))) } else { Micros(value) };
    // What no receiver sends is a slip of the point.
    if micros.0 < Exact::int(LEAST) || micros.0 > Exact::int(MOST) {
        return Err(format!("`{text}` is no servo pulse: they lie from {LEAST} to {MOST} us"));
    }
    Ok((text.to_owned(), micros.0))
}

/// Between these lies every servo pulse, in microseconds (common practice, no source).
const LEAST: i64 = 300;
const MOST: i64 = 3000;

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{Typed, line};
    use crate::setup::{Exact, Setup, lower};
    use crate::source::Source;

    fn setup() -> Setup {
        let text = include_str!("../../../boats/moonfish.yaml");
        lower::lower(&Source::from_text("moonfish", text).unwrap()).unwrap()
    }

    #[test]
    fn readings_keep_what_was_typed_and_are_told_in_microseconds() {
        let read = line(" 1488 us, +53 %,1490.5µs", &setup()).unwrap();
        let Typed::Readings(all) = read else { panic!("{read:?}") };
        let texts: Vec<&str> = all.iter().map(|(text, _)| text.as_str()).collect();
        assert_eq!(texts, ["1488 us", "+53 %", "1490.5µs"]);
        let micros: Vec<Exact> = all.iter().map(|(_, us)| us.clone()).collect();
        assert_eq!(micros, [Exact::int(1488), Exact::int(1712), Exact::ratio(2981, 2)]);
    }

    #[test]
    fn a_stopwatch_is_read_in_seconds_and_nothing_else_is_taken_for_it() {
        let Ok(Typed::Seconds(all)) = line("15.1 s,16s", &setup()) else { panic!() };
        assert_eq!(all[0], ("15.1 s".to_owned(), Exact::ratio(151, 10)));
        assert_eq!(all[1], ("16s".to_owned(), Exact::int(16)));
        for text in ["15.1 s, 1488 us", "-1 s", "4000 s", "1 2 s", "s"] {
            assert!(line(text, &setup()).is_err(), "{text}");
        }
        assert!(matches!(line("1488 us", &setup()), Ok(Typed::Readings(_))));
    }

    #[test]
    fn a_click_and_its_release_are_read_together() {
        let Ok(Typed::Pairs(all)) = line("1648 us / 1622 us, +36 %/+31 %", &setup()) else { panic!() };
        let micros: Vec<[Exact; 2]> = all.into_iter().map(|pair| pair.map(|(_, us)| us)).collect();
        assert_eq!(micros, [[1648, 1622], [1644, 1624]].map(|pair| pair.map(Exact::int)));
        for text in ["1648 us /", "1648 us / 1622 us / 1600 us", "1648 us / 1622 us, 1650 us"] {
            assert!(line(text, &setup()).is_err(), "{text}");
        }
    }

    #[test]
    fn words_and_the_space_bar() {
        for (text, meant) in [
            (" ", Typed::Yes),
            ("Y", Typed::Yes),
            ("no", Typed::No),
            ("skip", Typed::Skip),
            ("back", Typed::Back),
            ("stop ", Typed::Stop),
            ("# hot day", Typed::Remark("hot day".into())),
        ] {
            assert_eq!(line(text, &setup()), Ok(meant), "{text:?}");
        }
    }

    #[test]
    fn a_slip_is_told_with_what_to_type() {
        for text in ["", "1488", "14880 us", "about 1500 us", "1488 us 1490 us", "12 ms"] {
            assert!(line(text, &setup()).is_err(), "{text:?}");
        }
        assert!(line("1488", &setup()).unwrap_err().contains("`1488 us`"));
    }
}
