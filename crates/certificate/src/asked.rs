//! What was asked and what makes the answer true, from the notes of the engine.

use super::table::{Row, Table};
use super::{told, witness};
use crate::finding::Outcome;
use crate::proof::{Answer, Domain, Extreme, Verdict, Zone};
use crate::question::Asks;
use crate::question::asks::EdgeKind;
use crate::question::engine::Before;
use crate::question::notes::{Note, Step};
use crate::question::states::Place;
use crate::setup::{ChannelId, Exact, WorkRef};
use serde_json::{Map, Value, json};

/// What stands behind an answer.
pub(super) enum Why {
    /// Everything that makes it true.
    Carried(Value),
    /// It stands in the file and hangs on no output.
    Fact,
    /// This kind of answer is not written down yet.
    NotCarried(&'static str),
}

/// What makes the answer of a note true, as it came out in the end.
pub(super) fn why(table: &mut Table, note: &Note, outcome: Outcome) -> Why {
    if outcome == Outcome::Proved && !table.context.setup.unknown.is_empty() {
        return Why::NotCarried("proved for figures that the file leaves out");
    }
    let asked = match &note.asks {
        Asks::Fact(_) | Asks::Unsaid(_) => return Why::Fact,
        Asks::Together { .. } => return Why::NotCarried("together"),
        Asks::Moves { .. } => return Why::NotCarried("moves"),
        Asks::Varies { .. } => return Why::NotCarried("varies"),
        Asks::CutsOff { .. } => return Why::NotCarried("cuts off"),
        Asks::Narrow { .. } => return Why::NotCarried("narrow"),
        Asks::All(_) => return Why::NotCarried("all of several"),
        Asks::Engages { function, .. }
            if table.context.setup.work(*function).releases.is_some()
                && *table.context.before(*function) != Before::Somebody =>
        {
            return Why::NotCarried("whether it was engaged before");
        }
        asks => asked(table, asks),
    };
    let steps: Vec<Value> = note.steps.iter().map(|step| step_told(table, step)).collect();
    Why::Carried(json!({ "asks": asked, "steps": steps }))
}

fn function(table: &Table, function: WorkRef) -> Value {
    let setup = table.context.setup;
    json!([setup.devices[function.device].name, setup.work(function).name])
}

fn place(place: &Place) -> Value {
    match place {
        Place::Pilot => json!("pilot"),
        Place::Still => json!("still"),
        Place::Fixed { at, by_unit } => json!({ "at": told::number(at), "by_unit": by_unit }),
        Place::Within(low, high) => json!([told::number(low), told::number(high)]),
    }
}

/// What a question asks, in one record.
fn asked(table: &mut Table, asks: &Asks) -> Value {
    let mut said = Map::new();
    let mut put = |key: &str, value: Value| said.insert(key.to_owned(), value);
    let setup = table.context.setup;
    match asks {
        Asks::Engages { function: f, place: at, over } => {
            put("kind", "engages".into());
            put("function", function(table, *f));
            put("place", place(at));
            put("over", table.hands(over).into());
        }
        Asks::Misses { function: f, place: at, over, fully } => {
            put("kind", "misses".into());
            put("function", function(table, *f));
            put("fully", (*fully).into());
            put("place", place(at));
            put("over", table.hands(over).into());
        }
        Asks::Leaves { device, place: at, over, band: [low, high] } => {
            put("kind", "leaves".into());
            put("device", setup.devices[*device].name.clone().into());
            put("band", json!([told::number(low), told::number(high)]));
            put("place", place(at));
            put("over", table.hands(over).into());
        }
        Asks::StaysWithin { device, place: at, over, band } => {
            put("kind", "stays within".into());
            put("device", setup.devices[*device].name.clone().into());
            put(
                "band",
                band.as_ref().map_or(Value::Null, |[l, h]| json!([told::number(l), told::number(h)])),
            );
            put("place", place(at));
            put("over", table.hands(over).into());
        }
        Asks::Passes { device, place: at, over, edge } => {
            put("kind", "passes".into());
            put("device", setup.devices[*device].name.clone().into());
            let what = match edge.what {
                EdgeKind::Stop => "stop",
                EdgeKind::DeadCentre => "dead centre",
                EdgeKind::Rest => "rest",
            };
            // Where bounds are not exact it is surely passed only further out, or nowhere.
            let surely = edge.surely.as_ref().map(|at| at.iter().map(told::number).collect::<Vec<_>>());
            put(
                "edge",
                json!({
                    "what": what,
                    "side": edge.sign,
                    "at": told::number(&edge.at),
                    "touching": edge.touching,
                    "surely": surely,
                }),
            );
            put("place", place(at));
            put("over", table.hands(over).into());
        }
        Asks::FallsShort { device, place: at, over, sign, needed } => {
            put("kind", "falls short".into());
            put("device", setup.devices[*device].name.clone().into());
            put("side", (*sign).into());
            put("needed", told::number(needed));
            put("place", place(at));
            put("over", table.hands(over).into());
        }
        Asks::Trips { channel, over, beyond } => {
            put("kind", "trips".into());
            put("channel", setup.channels[*channel].number.into());
            put("beyond", json!([told::number(&beyond.value), told::number(&beyond.off)]));
            put("over", table.hands(over).into());
        }
        _ => {}
    }
    said.into()
}

fn step_told(table: &mut Table, step: &Step) -> Value {
    match step {
        Step::Still => json!("still"),
        Step::Lies { place: at, zone, answer } => {
            let mut said = Map::new();
            said.insert("place".into(), place(at));
            said.insert("zone".into(), told::zone(zone));
            says(table, &mut said, answer);
            said.into()
        }
        Step::Output { channel, over, zone, answer } => output(table, *channel, over, zone, answer),
    }
}

/// How far the output goes in every case, and where it is met, a place that shows it.
pub(super) fn output(
    table: &mut Table,
    channel: ChannelId,
    over: &Domain,
    zone: &Zone,
    answer: &Answer,
) -> Value {
    let context = table.context;
    let (setup, cases) = (context.setup, context.cases(channel));
    let mut said = Map::new();
    said.insert("channel".into(), setup.channels[channel].number.into());
    said.insert("over".into(), table.hands(over).into());
    said.insert("zone".into(), told::zone(zone));
    let rows = table.rows(channel);
    let mut reaches: Vec<Value> = Vec::new();
    let mut deepest = None;
    for (case, row) in rows.into_iter().enumerate() {
        let Some(inside) = cases.domain_of(setup, over, case) else { continue };
        let row = Row { case, row };
        let least = zone.high.as_ref().map(|_| table.reach(cases, &row, &inside, Extreme::Least));
        let most = zone.low.as_ref().map(|_| table.reach(cases, &row, &inside, Extreme::Greatest));
        let pair = json!([least, most]);
        if !reaches.contains(&pair) {
            reaches.push(pair);
        }
        if let (Verdict::Met(_), None, Some(margin)) = (&answer.verdict, &deepest, &answer.margin) {
            let fixed = &cases.cases[case].fixed;
            let least = zone.high.as_ref().map(|_| fixed.extreme(&inside, Extreme::Least));
            let most = zone.low.as_ref().map(|_| fixed.extreme(&inside, Extreme::Greatest));
            let values =
                [&least, &most].map(|at| at.as_ref().map(|at| at.value.clone()).unwrap_or(Exact::ZERO));
            if zone.distance(&values[0], &values[1]) == *margin {
                let order = table.first_order(channel, &cases.cases[case].order);
                let settings = &cases.cases[case].settings;
                let shown = [least, most]
                    .map(|at| at.map(|at| witness::hand(table, channel, order, settings, &at.at)));
                deepest = Some(json!(shown));
            }
        }
    }
    said.insert("reaches".into(), reaches.into());
    if let Some(deepest) = deepest {
        said.insert("deepest".into(), deepest);
    }
    says(table, &mut said, answer);
    said.into()
}

fn says(table: &Table, said: &mut Map<String, Value>, answer: &Answer) {
    let word = match &answer.verdict {
        Verdict::Clear => "never",
        Verdict::Met(_) => "here",
        Verdict::Unknown(_) => "undecided",
    };
    said.insert("says".into(), word.into());
    said.insert("margin".into(), answer.margin.as_ref().map_or(Value::Null, told::number));
    match &answer.verdict {
        Verdict::Met(found) => {
            said.insert("witness".into(), witness::found(table, found));
        }
        Verdict::Unknown(why) => {
            said.insert("why".into(), why.clone().into());
        }
        Verdict::Clear => {}
    }
}
