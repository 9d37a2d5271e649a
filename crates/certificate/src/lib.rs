//! A proof that carries itself: for each answer of a check what makes it true, as JSON that a stranger's
//! checker follows with the boat file beside it.
//!
//! Nothing is proved here. What is written is what the engine noted while it answered, and the account that
//! the proof gives of its own bounds. What others need to read it is in `tests/outside/certificate.md`.

mod asked;
mod before;
mod moves;
mod steps;
mod table;
mod told;
mod witness;

use lidcard_boat::{fingerprint, setup, source};
use lidcard_check::{finding, question, rule};
use lidcard_proof::{chain, proof};

use crate::finding::{Finding, Outcome, StateId, Subject};
use crate::fingerprint::Code;
use crate::question::Context;
use crate::question::notes::Note;
use crate::rule::Judged;
use crate::setup::Setup;
use crate::source::Source;
use crate::source::visible::escaped_in_json;
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;
use table::Table;

/// The version of what is written.
const VERSION: u32 = 1;

/// What the rules come to, and the certificate of their answers.
pub fn judged(source: &Source, setup: &Setup) -> (Judged, String) {
    let context = Context::new(setup).taking_notes();
    let (findings, emergency) = rule::judged_in(&context);
    let notes = context.take_notes();
    let text = written(source, &context, &findings, &notes);
    (Judged { findings, wanting: context.unjudged(), lost: context.into_rehearsal(), emergency }, text)
}

/// The code of the boat file that a certificate says it is of; `None` of anything else.
pub fn code_in(text: &str) -> Option<Code> {
    let said: Value = serde_json::from_str(text).ok()?;
    (said.get("version")? == VERSION && said.get("coverage").is_some())
        .then(|| Code::read(said.get("boat")?.as_str()?))?
}

/// By what a note and a finding are brought together: the name of both, and which of several it is.
type Name = (&'static str, Subject, StateId, usize);

fn written(source: &Source, context: &Context, findings: &[Finding], notes: &[Note]) -> String {
    let mut table = Table::new(context);
    let mut by_name: BTreeMap<Name, &Note> = BTreeMap::new();
    let mut counts: BTreeMap<(&'static str, Subject, StateId), usize> = BTreeMap::new();
    for note in notes {
        let (rule, subject, state) = note.name;
        let count = counts.entry(note.name).or_default();
        by_name.insert((rule, subject, state, *count), note);
        *count += 1;
    }
    counts.clear();
    let mut questions = Vec::with_capacity(findings.len());
    let mut coverage = Coverage::default();
    for finding in findings {
        let name = (finding.rule, finding.subject, finding.when);
        let count = counts.entry(name).or_default();
        let note = by_name.get(&(name.0, name.1, name.2, *count)).copied();
        *count += 1;
        questions.push(question(&mut table, finding, note, &mut coverage));
    }
    let head = json!({
        "version": VERSION,
        "boat": Code::of(source).to_string(),
        "coverage": coverage.told(),
        "orders": told::orders(context),
        "readings": told::readings(context.setup),
    });
    let before = before::all(&mut table);
    page(&[
        ("", head),
        ("hands", Value::Array(table.take_hands())),
        ("cases", Value::Array(table.take_cases())),
        ("reaches", Value::Array(table.take_reaches())),
        ("moves", Value::Array(table.take_moves())),
        ("before", Value::Array(before)),
        ("questions", Value::Array(questions)),
    ])
}

/// How many answers are carried, and what is not.
#[derive(Default)]
struct Coverage {
    carried: usize,
    facts: usize,
    estimates: usize,
    not_judged: usize,
    not_carried: BTreeMap<&'static str, usize>,
}

impl Coverage {
    fn told(&self) -> Value {
        json!({
            "carried": self.carried,
            "not_judged": self.not_judged,
            "facts": self.facts,
            "estimates": self.estimates,
            "not_carried": self.not_carried,
        })
    }
}

/// One answer; its `why` says what makes it true.
fn question(table: &mut Table, finding: &Finding, note: Option<&Note>, coverage: &mut Coverage) -> Value {
    let outcome = told::outcome(finding.outcome);
    let mut said = Map::new();
    said.insert("rule".into(), finding.rule.into());
    said.insert("where".into(), finding.about.clone().into());
    said.insert("state".into(), finding.state.clone().into());
    said.insert("outcome".into(), outcome.into());
    let why = match note {
        _ if finding.outcome == Outcome::NotJudged => {
            coverage.not_judged += 1;
            json!({ "missing": finding.missing.iter().map(|missing| missing.key()).collect::<Vec<_>>() })
        }
        None => {
            coverage.estimates += 1;
            json!("an estimate")
        }
        Some(note) => match asked::why(table, note, finding.outcome) {
            asked::Why::Fact => {
                coverage.facts += 1;
                json!("a fact of the file")
            }
            asked::Why::NotCarried(kind) => {
                *coverage.not_carried.entry(kind).or_default() += 1;
                json!({ "not_carried": kind })
            }
            asked::Why::Carried(value) => {
                coverage.carried += 1;
                if let Some(margin) = &finding.margin {
                    said.insert("margin".into(), margin.axis.to_fraction().into());
                }
                value
            }
        },
    };
    said.insert("why".into(), why);
    Value::Object(said)
}

/// JSON with each entry of a list on a line of its own.
fn page(parts: &[(&str, Value)]) -> String {
    let mut lines = Vec::new();
    for (key, value) in parts {
        match value {
            Value::Object(entries) if key.is_empty() => {
                lines.extend(entries.iter().map(|(key, value)| format!("{}: {value}", json!(key))));
            }
            Value::Array(entries) => {
                let entries: Vec<String> = entries.iter().map(|entry| format!("  {entry}")).collect();
                lines.push(format!("{}: [\n{}\n]", json!(key), entries.join(",\n")));
            }
            other => lines.push(format!("{}: {other}", json!(key))),
        }
    }
    let text = format!("{{\n{}\n}}\n", lines.join(",\n"));
    escaped_in_json(&text).into_owned()
}
