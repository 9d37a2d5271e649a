//! The report for machines, version 1. These structs are frozen: a key may be added, none may
//! change its name or meaning. They are apart from the program's own types for that reason.

use super::closing::Sum;
use super::format::{self, Format, Part};
use super::{FilePlace, FileReport, Look};
use crate::finding::{Finding, Margin, Outcome, Rests, Witness};
use crate::setup::Exact;
use crate::source::Mistake;
use serde::Serialize;
use serde_json::{Map, Result, Value};

/// As a shape of the report.
pub struct Json;

impl Format for Json {
    fn name(&self) -> &'static str {
        "json"
    }

    fn about(&self) -> &'static str {
        "For other programs"
    }

    fn part(&self, report: &FileReport, _: Look, all: bool) -> Result<Part> {
        Ok(Part::Values(vec![serde_json::to_value(file(report, all))?]))
    }

    fn whole(&self, parts: Vec<Part>, _: &[Sum]) -> Result<String> {
        format::pretty(&check(format::values(parts)))
    }
}

/// The whole answer of `check`.
#[derive(Debug, Serialize)]
pub struct CheckV1 {
    version: u8,
    files: Vec<Value>,
}

/// The answer for one file.
#[derive(Debug, Serialize)]
pub struct FileV1<'a> {
    file: &'a str,
    status: &'static str,
    findings: Vec<FindingV1<'a>>,
    mistakes: Vec<MistakeV1<'a>>,
    /// What hangs on something that the file does not say.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    not_judged: Vec<NotJudgedV1<'a>>,
    /// Keys that would be needed to judge more.
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    wanting: &'a [String],
    #[serde(skip_serializing_if = "Option::is_none")]
    proved: Option<Vec<ProvedV1<'a>>>,
}

#[derive(Debug, Serialize)]
struct FindingV1<'a> {
    rule: &'a str,
    severity: &'static str,
    outcome: &'static str,
    message: &'a str,
    r#where: &'a str,
    state: &'a str,
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
    margin: Option<MarginV1>,
    account: Vec<ShareV1<'a>>,
    misfire_estimate: Option<f64>,
    /// Left out where no readings are counted on.
    #[serde(skip_serializing_if = "Option::is_none")]
    rests_on_readings: Option<RestsV1>,
    witness: Option<WitnessV1<'a>>,
    help: &'a [String],
    accepted: Option<&'a str>,
}

#[derive(Debug, Serialize)]
struct NotJudgedV1<'a> {
    rule: &'a str,
    message: &'a str,
    r#where: &'a str,
    state: &'a str,
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
    /// It stands among the findings, too: people could be hurt.
    could_hurt: bool,
    missing: Vec<MissingV1<'a>>,
}

/// A key that the file does not have.
#[derive(Debug, Serialize)]
struct MissingV1<'a> {
    key: String,
    bench: &'a str,
    holds: Option<&'a str>,
    said: bool,
}

#[derive(Debug, Serialize)]
struct ProvedV1<'a> {
    rule: &'a str,
    message: &'a str,
    r#where: &'a str,
    state: &'a str,
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
    margin: Option<MarginV1>,
    account: Vec<ShareV1<'a>>,
    misfire_estimate: Option<f64>,
    /// It holds by an estimate alone, which proves nothing. Left out where it is proved.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    by_estimate: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    rests_on_readings: Option<RestsV1>,
}

/// What readings prove: for this share of all that follow, at this confidence.
#[derive(Debug, Serialize)]
struct RestsV1 {
    coverage_percent: f64,
    confidence_percent: f64,
    /// Fewer prove nothing.
    readings_enough: bool,
}

/// What one tolerance takes of a margin.
#[derive(Debug, Serialize)]
struct ShareV1<'a> {
    what: &'a str,
    percent: f64,
}

#[derive(Debug, Serialize)]
struct MistakeV1<'a> {
    message: &'a str,
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
    help: Option<&'a str>,
}

/// A distance on the axis.
#[derive(Debug, Serialize)]
pub(super) struct MarginV1 {
    percent: f64,
    us: f64,
}

#[derive(Debug, Serialize)]
struct WitnessV1<'a> {
    words: &'a str,
    positions: Map<String, Value>,
    trims: Map<String, Value>,
    settings: Map<String, Value>,
    order: Map<String, Value>,
    output_percent: f64,
    pulse_us: f64,
}

/// The answer for these files, each a [`FileV1`], in this order.
pub fn check(files: Vec<Value>) -> CheckV1 {
    CheckV1 { version: 1, files }
}

/// The answer for one file.
pub fn file(report: &FileReport, all: bool) -> FileV1<'_> {
    FileV1 {
        file: &report.name,
        status: report.status().word(),
        findings: report.found().map(|f| finding(report, f)).collect(),
        mistakes: report.mistakes.iter().map(|m| mistake(report, m)).collect(),
        not_judged: report.not_judged().map(|f| not_judged(report, f)).collect(),
        wanting: &report.unjudged,
        proved: all.then(|| report.proved().map(|f| proved(report, f)).collect()),
    }
}

fn finding<'a>(report: &FileReport, f: &'a Finding) -> FindingV1<'a> {
    let FilePlace { line, column, end_line, end_column } = report.place(&f.primary.0);
    FindingV1 {
        rule: f.rule,
        severity: f.weight().word(),
        outcome: match f.outcome {
            Outcome::Undecided => "undecided",
            Outcome::NotJudged => "not judged",
            Outcome::Broken | Outcome::Proved => "broken",
        },
        message: &f.message,
        r#where: &f.about,
        state: &f.state,
        line,
        column,
        end_line,
        end_column,
        margin: f.margin.as_ref().map(margin),
        account: account(f),
        misfire_estimate: f.estimate.as_ref().map(number),
        rests_on_readings: f.rests.as_ref().map(rests),
        witness: f.witness.as_ref().map(witness),
        help: &f.help,
        accepted: f.accepted.as_deref(),
    }
}

fn not_judged<'a>(report: &FileReport, f: &'a Finding) -> NotJudgedV1<'a> {
    let FilePlace { line, column, end_line, end_column } = report.place(&f.primary.0);
    let missing = f.missing.iter().map(|missing| MissingV1 {
        key: missing.key(),
        bench: &missing.bench,
        holds: missing.holds.as_deref(),
        said: missing.said,
    });
    NotJudgedV1 {
        rule: f.rule,
        message: &f.message,
        r#where: &f.about,
        state: &f.state,
        line,
        column,
        end_line,
        end_column,
        could_hurt: f.hurts,
        missing: missing.collect(),
    }
}

fn proved<'a>(report: &FileReport, f: &'a Finding) -> ProvedV1<'a> {
    let FilePlace { line, column, end_line, end_column } = report.place(&f.primary.0);
    ProvedV1 {
        rule: f.rule,
        message: &f.message,
        r#where: &f.about,
        state: &f.state,
        line,
        column,
        end_line,
        end_column,
        margin: f.margin.as_ref().map(margin),
        account: account(f),
        misfire_estimate: f.estimate.as_ref().map(number),
        by_estimate: f.by_estimate,
        rests_on_readings: f.rests.as_ref().map(rests),
    }
}

fn rests(rests: &Rests) -> RestsV1 {
    RestsV1 {
        coverage_percent: percent(&rests.coverage),
        confidence_percent: percent(&rests.confidence),
        readings_enough: rests.enough(),
    }
}

fn account(f: &Finding) -> Vec<ShareV1<'_>> {
    f.budget.iter().map(|s| ShareV1 { what: &s.what, percent: percent(&s.axis) }).collect()
}

fn mistake<'a>(report: &FileReport, m: &'a Mistake) -> MistakeV1<'a> {
    let place = FilePlace::of_mistake(report.source.as_ref(), m);
    let FilePlace { line, column, end_line, end_column } = place;
    MistakeV1 { message: &m.message, line, column, end_line, end_column, help: m.help.as_deref() }
}

fn witness(w: &Witness) -> WitnessV1<'_> {
    let numbers = |pairs: &[(String, Exact)]| {
        pairs.iter().map(|(name, x)| (name.clone(), Value::String(exact(x)))).collect()
    };
    let words = |pairs: &[(String, String)]| {
        pairs.iter().map(|(name, word)| (name.clone(), Value::String(word.clone()))).collect()
    };
    WitnessV1 {
        words: &w.words,
        positions: numbers(&w.positions),
        trims: numbers(&w.trims),
        settings: words(&w.settings),
        order: words(&w.order),
        output_percent: percent(&w.output),
        pulse_us: number(&w.pulse.0),
    }
}

pub(super) fn margin(m: &Margin) -> MarginV1 {
    MarginV1 { percent: percent(&m.axis), us: number(&m.micros.0) }
}

pub(super) fn percent(value: &Exact) -> f64 {
    number(&(value * Exact::int(100)))
}

/// Six places are plenty for a number to look at, and decimal rounding gives the same digits on
/// every machine.
fn number(value: &Exact) -> f64 {
    value.to_decimal(6).parse().unwrap_or_else(|_| value.to_f64())
}

/// An exact value as text: a short decimal where it is one, else `p/q`.
pub(super) fn exact(value: &Exact) -> String {
    let decimal = value.to_decimal(12);
    if Exact::from_decimal(&decimal).as_ref() == Some(value) {
        return decimal;
    }
    fraction(value).unwrap_or_else(|| value.to_decimal(30))
}

/// Numerator and denominator, by the continued fraction: it ends at the value itself, in lowest
/// terms. `None` where a step does not fit into 64 bits.
fn fraction(value: &Exact) -> Option<String> {
    let mut rest = value.clone();
    let (mut p, mut q) = ((Exact::ZERO, Exact::ONE), (Exact::ONE, Exact::ZERO));
    loop {
        let whole = Exact::int(rest.floor()?);
        p = (p.1.clone(), &whole * &p.1 + p.0);
        q = (q.1.clone(), &whole * &q.1 + q.0);
        rest = rest - whole;
        if rest.is_zero() {
            return Some(format!("{}/{}", p.1.to_decimal(0), q.1.to_decimal(0)));
        }
        rest = Exact::ONE / rest;
    }
}
