//! Small matters of wording and layout that several reports share.

use crate::finding::{BudgetShare, Finding, Margin, Outcome, Rests};
use crate::setup::Exact;
use crate::source::visible::visible;

/// `1 error`, `2 errors`.
pub fn counted(count: usize, one: &str, many: &str) -> String {
    if count == 1 { format!("1 {one}") } else { format!("{count} {many}") }
}

/// A fraction of the axis in percent: `58 %`.
pub fn percent(value: &Exact) -> String {
    format!("{} %", digits(value, 2))
}

/// The same with its sign: `+58 %`, `-3 %`, `0 %`.
pub fn signed_percent(value: &Exact) -> String {
    format!("{} %", signed(value, 2))
}

/// Percent without the sign of the unit, but with its own.
pub fn signed(value: &Exact, places: u32) -> String {
    let text = digits(value, places);
    if value.signum() > 0 && text != "0" { format!("+{text}") } else { text }
}

/// Percent as bare digits.
pub fn digits(value: &Exact, places: u32) -> String {
    (value * Exact::int(100)).to_decimal(places)
}

/// `2 % (8 us)`
pub fn margin(margin: &Margin) -> String {
    format!("{} ({:.1})", percent(&margin.axis), margin.micros)
}

/// `gas valve ± 4 %, servo accuracy ± 1.5 %, 5.5 % in all`
pub fn budget(shares: &[BudgetShare]) -> String {
    let mut parts: Vec<_> = shares.iter().map(|s| format!("{} ± {}", s.what, percent(&s.axis))).collect();
    if parts.len() > 1 {
        let total = shares.iter().fold(Exact::ZERO, |sum, s| sum + &s.axis);
        parts.push(format!("{} in all", percent(&total)));
    }
    parts.join(", ")
}

/// How likely a misfire is, rounded to what an estimate can bear; nothing where it happens however the
/// tolerances fall, which is no estimate.
pub fn chance(estimate: &Exact) -> Option<String> {
    if *estimate >= Exact::ONE {
        return None;
    }
    let about = if *estimate < Exact::percent(1) {
        "less than 1".into()
    } else if *estimate > Exact::percent(99) {
        "more than 99".into()
    } else {
        format!("about {}", digits(estimate, 0))
    };
    Some(format!("{about} in 100 chance if every tolerance is equally likely over its range"))
}

/// The word that heads a finding: undecided and accepted say so.
pub fn verdict(finding: &Finding) -> String {
    if finding.accepted.is_some() {
        return "accepted".to_owned();
    }
    match finding.outcome {
        Outcome::Proved if finding.by_estimate => "by estimate".to_owned(),
        Outcome::Proved => match &finding.rests {
            None => "proved".to_owned(),
            Some(rests) => claim(rests),
        },
        Outcome::Undecided => "undecided".to_owned(),
        Outcome::NotJudged => "not judged".to_owned(),
        Outcome::Broken => finding.severity.word().to_owned(),
    }
}

/// How much of what was proved rests on readings: `8 of them for 95 % of clicks at 95 % confidence`.
pub fn rested<'a>(proved: impl Iterator<Item = &'a Finding>) -> Option<String> {
    let all: Vec<&Rests> = proved.filter_map(|f| f.rests.as_ref()).collect();
    let least = all.iter().map(|rests| (*rests).clone()).reduce(Rests::least)?;
    let count = all.len();
    let (coverage, confidence) = (percent(&least.coverage), percent(&least.confidence));
    Some(format!("{count} of them for {coverage} of clicks at {confidence} confidence"))
}

/// What is proved by readings: for so many of all that follow, never for all.
fn claim(rests: &Rests) -> String {
    let (coverage, confidence) = (percent(&rests.coverage), percent(&rests.confidence));
    format!("proved for {coverage} of clicks at {confidence} confidence")
}

/// Breaks text into lines of at most `width` characters, at blanks; a longer word stays whole.
pub fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    for part in text.lines() {
        let mut line = String::new();
        let mut length = 0;
        for word in glued(part) {
            let letters = word.chars().count();
            if length > 0 && length + 1 + letters > width {
                lines.push(std::mem::take(&mut line));
                length = 0;
            }
            if length > 0 {
                line.push(' ');
                length += 1;
            }
            line.push_str(&word);
            length += letters;
        }
        if !line.is_empty() {
            lines.push(line);
        }
    }
    lines
}

/// The words of a line; a number, its unit and the `±` before it are one.
fn glued(line: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in line.split_whitespace() {
        let unit = word.trim_end_matches([')', ',', ';', '.', ':']);
        match words.last_mut() {
            Some(last)
                if last.ends_with('±')
                    || (["%", "us", "s", "V", "m", "mm", "MHz", "GHz", "kHz", "dB"].contains(&unit)
                        && last.ends_with(|c: char| c.is_ascii_digit())) =>
            {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// A lead-in and wrapped text that hangs behind it.
pub fn hanging(out: &mut String, lead: &str, text: &str, width: usize) {
    let text = &visible(text);
    let indent = lead.chars().count();
    for (index, line) in wrapped(text, width.saturating_sub(indent).max(20)).iter().enumerate() {
        if index == 0 {
            out.push_str(lead);
        } else {
            out.extend(std::iter::repeat_n(' ', indent));
        }
        out.push_str(line);
        out.push('\n');
    }
}

/// A line for a machine must stay one line, whatever is in a message or a file name.
pub fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
