//! A proof that carries itself: for each answer of a check what makes it true, as JSON that a stranger's
//! checker follows with the boat file beside it.
//!
//! Nothing is proved here. What is written is what the engine noted while it answered, and the account that
//! the proof gives of its own bounds. What others need to read it is in `docs/certificate.md`.

mod asked;
mod before;
mod moves;
mod read;
mod spans;
mod steps;
mod table;
mod together;
mod told;
mod witness;
mod worlds;

use lidcard_boat::{fingerprint, setup, source};
use lidcard_check::{finding, question, rule};
use lidcard_proof::{chain, proof, work};

use crate::finding::{Finding, Missing, Outcome, StateId, Subject};
use crate::fingerprint::Code;
use crate::question::Engine;
use crate::question::notes::Note;
use crate::question::worlds::{Name, World};
use crate::rule::Judgement;
use crate::setup::Setup;
use crate::source::Source;
use crate::source::visible::escaped_in_json;
use asked::Why;
use before::Before;
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;
use table::Table;
use worlds::Plan;

pub use read::{Unread, code_in};

/// What makes something true that hangs on no output.
const FACT: &str = "a fact of the file";

/// What nothing is proved by.
const ESTIMATE: &str = "an estimate";

/// To keep a function in a set-up in which something that is missing has a value counts as so many steps of the proof: it
/// takes no longer, but some two kilobytes.
const KEPT: usize = 400;

/// The version of what is written.
const VERSION: u32 = 1;

/// What the rules come to in an engine for a boat file, and the certificate of their answers.
pub fn judged(source: &Source, engine: Engine) -> (Judgement, String) {
    let engine = engine.taking_notes();
    let findings = rule::judged_in(&engine);
    let notes = engine.take_notes();
    let text = written(source, &engine, &findings, &notes);
    (Judgement::of(engine, findings), text)
}

/// What an answer rests on in the set-up as read, and in worlds other than that by their number.
struct Shown {
    read: Why,
    others: Vec<(usize, Value)>,
}

fn written(source: &Source, engine: &Engine, findings: &[Finding], notes: &[Note]) -> String {
    let setup = engine.setup;
    let names = worlds::names(findings);
    let mut plan = Plan::of(setup, findings, &names);
    let functions = setup.works().count();
    work::steps(plan.all.len() * functions * KEPT, || {
        format!("{functions} functions for each of {} figures that are missing", plan.all.len())
    });
    let others: Vec<World> =
        plan.all.iter().map(|(figures, _)| World::with(setup, figures.clone())).collect();
    let engines: Vec<Engine> = others.iter().map(|world| world.engine(engine).taking_notes()).collect();
    let mut table = Table::new(engine);
    let mut shown = as_read(&mut table, findings, &names, notes);
    let mut before = Before::default();
    before.add(&mut table, 0);
    let place: BTreeMap<Name, usize> = names.iter().copied().zip(0..).collect();
    for (index, (there, (_, wanted))) in engines.iter().zip(&plan.all).enumerate() {
        let before_it = std::iter::once(engine).chain(&engines[..index]);
        let alike = before_it.into_iter().position(|other| other.channels_do_as(there)).unwrap_or(index + 1);
        table.enter(index + 1, alike, there);
        for (name, note) in question::worlds::noted(there, wanted) {
            let Some(shown) = place.get(&name).and_then(|&at| shown[at].as_mut()) else { continue };
            match asked::why(&mut table, &note) {
                Why::Carried(value) | Why::PartlyEstimate(value) => shown.others.push((index + 1, value)),
                Why::Fact => shown.others.push((index + 1, json!(FACT))),
                _ => {}
            }
        }
        before.add(&mut table, index + 1);
    }
    let mut coverage = Coverage::default();
    let mut questions = Vec::with_capacity(findings.len());
    for (finding, shown) in findings.iter().zip(shown) {
        questions.push(question(setup, &mut plan, finding, shown, &mut coverage));
    }
    let told_worlds = std::iter::once((Value::Object(Map::new()), engine))
        .chain(plan.all.iter().map(|(figures, _)| worlds::figures(setup, figures)).zip(&engines))
        .map(|(figures, there)| json!({ "figures": figures, "struck": told::struck(there, &table.orders) }))
        .collect();
    let head = json!({
        "version": VERSION,
        "boat": Code::of(source).to_string(),
        "coverage": coverage.told(),
        "readings": told::readings(setup),
        "worst": plan.worst,
    });
    page(&[
        ("", head),
        ("orders", table.orders.iter().map(told::order).collect()),
        ("worlds", told_worlds),
        ("hands", Value::Array(table.take_hands())),
        ("cases", Value::Array(table.take_cases())),
        ("reaches", Value::Array(table.take_reaches())),
        ("moves", Value::Array(table.take_moves())),
        ("before", Value::Array(before.told())),
        ("questions", Value::Array(questions)),
    ])
}

/// What every answer rests on in the set-up as read; nothing where it is an estimate.
fn as_read(table: &mut Table, findings: &[Finding], names: &[Name], notes: &[Note]) -> Vec<Option<Shown>> {
    let mut counts: BTreeMap<(&'static str, Subject, StateId), usize> = BTreeMap::new();
    let by_name: BTreeMap<Name, &Note> = notes
        .iter()
        .map(|note| {
            let (rule, subject, state) = note.name;
            let count = counts.entry(note.name).or_default();
            *count += 1;
            ((rule, subject, state, *count - 1), note)
        })
        .collect();
    let each = findings.iter().zip(names).map(|(finding, name)| {
        if finding.outcome == Outcome::NotJudged {
            return Some(Shown { read: Why::Missing, others: Vec::new() });
        }
        let read = asked::why(table, by_name.get(name)?);
        Some(Shown { read, others: Vec::new() })
    });
    each.collect()
}

/// How many answers are carried, and what is not.
#[derive(Default)]
struct Coverage {
    carried: usize,
    facts: usize,
    estimates: usize,
    not_judged: usize,
    undecided: usize,
    not_carried: BTreeMap<&'static str, usize>,
}

impl Coverage {
    fn told(&self) -> Value {
        json!({
            "carried": self.carried,
            "not_judged": self.not_judged,
            "undecided": self.undecided,
            "facts": self.facts,
            "estimates": self.estimates,
            "not_carried": self.not_carried,
        })
    }
}

/// One answer; its `why` says what makes it true.
fn question(
    setup: &Setup,
    plan: &mut Plan,
    finding: &Finding,
    shown: Option<Shown>,
    coverage: &mut Coverage,
) -> Value {
    let mut said = Map::new();
    said.insert("rule".into(), finding.rule.into());
    said.insert("where".into(), finding.about.clone().into());
    said.insert("state".into(), finding.state.clone().into());
    said.insert("outcome".into(), told::outcome(finding.outcome).into());
    // Of what was asked of no proof nothing was noted.
    let unasked = if rule::is_estimate(finding.rule) { Why::Estimate } else { Why::Fact };
    let Shown { read, others } = shown.unwrap_or(Shown { read: unasked, others: Vec::new() });
    let mut due: Vec<usize> = Vec::new();
    let why = match read {
        Why::Missing => {
            coverage.not_judged += 1;
            let mut told = |missing: &Missing| {
                let mut said = Map::new();
                said.insert("key".into(), missing.key().into());
                let worlds = plan.deciding(setup, missing);
                if let (Some(decides), false) = (missing.decides, worlds.is_empty()) {
                    said.insert("decides".into(), worlds::value(setup, decides.figure, decides.step));
                    said.insert("in".into(), worlds.clone().into());
                    due.extend(worlds);
                }
                Value::Object(said)
            };
            json!({ "missing": finding.missing.iter().map(&mut told).collect::<Vec<_>>() })
        }
        Why::Estimate => {
            coverage.estimates += 1;
            json!(ESTIMATE)
        }
        Why::Fact => {
            coverage.facts += 1;
            json!(FACT)
        }
        Why::Undecided(why) => {
            coverage.undecided += 1;
            json!({ "undecided": why })
        }
        Why::NotCarried(kind) => {
            *coverage.not_carried.entry(kind).or_default() += 1;
            json!({ "not_carried": kind })
        }
        Why::PartlyEstimate(value) => {
            coverage.estimates += 1;
            if finding.outcome == Outcome::Proved {
                due.extend(1..=plan.worst);
            }
            value
        }
        Why::Carried(value) => {
            coverage.carried += 1;
            if let Some(margin) = &finding.margin {
                said.insert("margin".into(), margin.axis.to_fraction().into());
            }
            if finding.outcome == Outcome::Proved {
                due.extend(1..=plan.worst);
            }
            value
        }
    };
    let also = elsewhere(&why, due, others);
    said.insert("why".into(), why);
    if !also.is_empty() {
        said.insert("also".into(), also.into());
    }
    Value::Object(said)
}

/// What makes it true in the worlds in which it is due, where that is something else; the same stands once.
fn elsewhere(why: &Value, due: Vec<usize>, others: Vec<(usize, Value)>) -> Vec<Value> {
    let mut different: Vec<(Vec<usize>, Value)> = Vec::new();
    for world in due {
        let there =
            others.iter().find(|(at, _)| *at == world).map_or(Value::Null, |(_, value)| value.clone());
        if there == *why {
            continue;
        }
        match different.iter_mut().find(|(_, known)| *known == there) {
            Some((worlds, _)) if !worlds.contains(&world) => worlds.push(world),
            Some(_) => {}
            None => different.push((vec![world], there)),
        }
    }
    different.into_iter().map(|(worlds, why)| json!({ "in": worlds, "why": why })).collect()
}

/// Adds JSON on one line.
fn put(out: &mut String, value: &Value) {
    // Nothing that is made here has no JSON; were it so, it would show as a certificate that cannot be read.
    out.push_str(&serde_json::to_string(value).unwrap_or_default());
}

/// JSON with each entry of a list on a line of its own.
fn page(parts: &[(&str, Value)]) -> String {
    let mut out = String::new();
    let begin = |out: &mut String, key: &str| {
        out.push_str(if out.is_empty() { "{\n" } else { ",\n" });
        put(out, &json!(key));
        out.push_str(": ");
    };
    for (key, value) in parts {
        match value {
            Value::Object(entries) if key.is_empty() => {
                for (key, value) in entries {
                    begin(&mut out, key);
                    put(&mut out, value);
                }
            }
            Value::Array(entries) => {
                begin(&mut out, key);
                out.push_str("[\n  ");
                for (at, entry) in entries.iter().enumerate() {
                    out.push_str(if at > 0 { ",\n  " } else { "" });
                    put(&mut out, entry);
                }
                out.push_str("\n]");
            }
            other => {
                begin(&mut out, key);
                put(&mut out, other);
            }
        }
    }
    out.push_str("\n}\n");
    escaped_in_json(&out).into_owned()
}
