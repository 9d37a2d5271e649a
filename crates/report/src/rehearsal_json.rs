//! A rehearsal for machines, version 1. Frozen like the report of `check`.
//!
//! Numbers have four figures: it is an estimate, and the last bits of a power differ from machine to
//! machine.

use crate::finding::Finding;
use crate::physics::units::figures;
use crate::setup::Setup;
use lidcard_check::rehearsal::solve::{Solved, Sought, Stop};
use lidcard_check::rehearsal::{Breaks, CAUTION, ESTIMATE, Event, Rehearsal, Run, Sample, What, uses_gas};
use serde::Serialize;
use serde_json::{Map, Value, json};

/// The whole answer of `rehearse`.
#[derive(Debug, Serialize)]
pub struct RehearsalV1<'a> {
    version: u8,
    file: &'a str,
    boat: &'a str,
    cause: &'a str,
    estimate: &'a str,
    cautions: Vec<&'a str>,
    assumed: Vec<String>,
    missing: Vec<Value>,
    refused: Vec<String>,
    deepest: Option<Value>,
    least_emptied_l: Value,
    fastest_m_per_s: Value,
    hangs_on: Vec<&'a str>,
    blows: Option<u32>,
    runs: Map<String, Value>,
    solved: Option<Value>,
    findings: Vec<Value>,
}

/// The answer for one boat.
pub fn rehearsal<'a>(
    file: &'a str,
    setup: &'a Setup,
    found: &'a Rehearsal,
    solved: Option<&Solved>,
    findings: &[&Finding],
) -> RehearsalV1<'a> {
    let runs = [&found.nominal, &found.worst, &found.quick];
    RehearsalV1 {
        version: 1,
        file,
        boat: &setup.boat.name,
        cause: found.cause.word(),
        estimate: ESTIMATE,
        cautions: uses_gas(setup).then_some(CAUTION).into_iter().collect(),
        assumed: found.assumed.iter().map(ToString::to_string).collect(),
        missing: found.missing.iter().map(missing).collect(),
        refused: found.refused.iter().map(ToString::to_string).collect(),
        deepest: found.deepest.as_ref().map(sample),
        least_emptied_l: optional(found.least_out.map(|out| out.litres())),
        fastest_m_per_s: found.fastest.map_or(Value::Null, |speed| number(speed.0)),
        hangs_on: found.hangs_on.iter().map(|figure| figure.word()).collect(),
        blows: found.blows,
        runs: runs.into_iter().map(|r| (r.end.word().to_owned(), run(setup, r))).collect(),
        solved: solved.map(solution),
        findings: findings.iter().map(|f| finding(f)).collect(),
    }
}

fn finding(f: &Finding) -> Value {
    json!({"rule": f.rule, "severity": f.severity.word(), "about": f.about, "message": f.message})
}

fn number(value: f64) -> Value {
    figures(value, 4).parse::<f64>().map_or(Value::Null, |v| json!(v))
}

fn optional(value: Option<f64>) -> Value {
    value.map_or(Value::Null, number)
}

fn missing(m: &lidcard_check::rehearsal::Missing) -> Value {
    json!({"key": m.path.dotted(), "to_know": m.wanted.to_string()})
}

fn sample(s: &Sample) -> Value {
    json!({
        "at_s": number(s.time.0), "depth_m": number(s.depth.0), "sinking_m_per_s": number(s.sinking.0),
        "emptied_l": number(s.emptied.litres()), "gas_g": number(s.gas.grams()),
    })
}

fn run(setup: &Setup, run: &Run) -> Value {
    let emptied = run.emptied.iter().map(|e| {
        json!({
            "work": setup.work_name(e.work), "on_s": number(e.on_for.0), "longest_s": number(e.longest.0),
            "gas_g": number(e.gas.grams()), "stalled": e.stalled, "spent": e.spent,
            "to_spare": optional(e.to_spare), "open": optional(e.open),
        })
    });
    json!({
        "acts_at_s": optional(run.acts_at.map(|s| s.0)),
        "raises_at_s": optional(run.raises_at.map(|s| s.0)),
        "handed_back_s": optional(run.handed_back.map(|s| s.0)),
        "comes_up": run.comes_up(),
        "deepest": run.deepest.as_ref().map(sample),
        "surfaced": run.surfaced.as_ref().map(sample),
        "empty_at_s": optional(run.empty_at.map(|s| s.0)),
        "lift_n": optional(run.lift.map(|l| l.0)),
        "charge_ah": optional(run.charge.map(|c| c.0)),
        "emptied": emptied.collect::<Vec<_>>(),
        "events": run.events.iter().map(|e| event(setup, run, e)).collect::<Vec<_>>(),
        "track": run.track.iter().map(sample).collect::<Vec<_>>(),
    })
}

fn event(setup: &Setup, run: &Run, event: &Event) -> Value {
    let at = run.time_of(event);
    let mut told = json!({"at_s": optional(at.map(|at| at.0)), "what": event.what.word()});
    let work = |w: &crate::setup::WorkRef| json!(setup.work_name(*w));
    match &event.what {
        What::Stage(index) => {
            let stage = setup.fail_safe.as_ref().and_then(|unit| unit.stages.get(*index));
            told["stage"] = json!(stage.map(|s| s.name.as_str()));
        }
        What::MotorStops(device) => told["device"] = json!(setup.devices[*device].name),
        What::On { work: w, until, passing } => {
            told["work"] = work(w);
            told["until_s"] = optional(until.filter(|_| at.is_some()).map(|s| s.0));
            told["passing"] = json!(passing);
        }
        What::Off(w) | What::Moves(w) | What::Stalls(w) | What::Spent(w) | What::PastDuty(w) => {
            told["work"] = work(w);
        }
        _ => {}
    }
    told
}

/// What is broken, in one word.
fn word(breaks: Breaks) -> &'static str {
    match breaks {
        Breaks::StaysDown => "stays_down",
        Breaks::TooDeep => "too_deep",
        Breaks::TooFull => "too_full",
        Breaks::MustRun => "must_run",
        Breaks::PastDuty => "past_duty",
        Breaks::Charge => "charge",
    }
}

fn solution(solved: &Solved) -> Value {
    let settings = solved.settings.iter().map(|s| {
        let path = match s.sought {
            Sought::Wait => "fail_safe.wait".to_owned(),
            Sought::Below => "fail_safe.low_battery.below".to_owned(),
            Sought::Lasts(index) => format!("fail_safe.stages.{index}.lasts"),
        };
        let line = super::rehearsal::line(s);
        let beyond = match s.stopped {
            Some(Stop::Breaks { breaks, as_written }) => json!({
                "value": optional(s.beyond()), "breaks": word(breaks), "others": if as_written { "as written" } else { "as proposed" },
            }),
            Some(Stop::Nothing) | None => Value::Null,
        };
        json!({"path": path, "now": optional(s.now), "keeps": optional(s.keeps), "line": line, "beyond": beyond})
    });
    json!({
        "settings": settings.collect::<Vec<_>>(),
        "missing": solved.missing.iter().map(missing).collect::<Vec<_>>(),
    })
}
