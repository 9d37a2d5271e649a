//! What the engine asked on the way to an answer, with what makes each of it true.

use super::asked::place;
use super::table::{Followed, Row, Table};
use super::{together, told, witness};
use crate::proof::{Answer, Domain, Extreme, Verdict, Zone};
use crate::question::notes::Step;
use crate::setup::{ChannelId, Exact};
use serde_json::{Map, Value, json};

/// A step; or of which kind it is, where that is not written down yet.
pub(super) fn told(table: &mut Table, step: &Step) -> Result<Value, &'static str> {
    Ok(match step {
        Step::Still => json!("still"),
        Step::Part { .. } => return Err("one of several within another"),
        Step::Gap(gap) => json!({ "gap": told::number(gap) }),
        Step::Joint { channels, zones, verdict, trees } => {
            together::joint(table, *channels, zones, verdict, trees)
        }
        Step::Pair { held, over, answer, steps } => {
            // Where thresholds alone decide nothing else is needed.
            let needed = match steps.first() {
                Some(Step::Gap(gap)) if answer.margin.as_ref() == Some(gap) => &steps[..1],
                _ => &steps[..],
            };
            let steps = needed.iter().map(|step| told(table, step)).collect::<Result<Vec<Value>, _>>()?;
            json!({ "held": held, "over": table.hands(over), "steps": steps })
        }
        Step::Lies { place: at, zone, answer } => {
            let mut said = Map::new();
            said.insert("place".into(), place(at));
            said.insert("zone".into(), told::zone(zone));
            says(table, &mut said, answer);
            said.into()
        }
        Step::Output { channel, over, zone, answer } => output(table, *channel, over, zone, answer),
    })
}

/// How far the output goes in every case, and where it is met, a place that shows it.
pub(super) fn output(
    table: &mut Table,
    channel: ChannelId,
    over: &Domain,
    zone: &Zone,
    answer: &Answer,
) -> Value {
    let engine = table.engine;
    let (setup, cases) = (engine.setup, engine.cases(channel));
    let mut said = Map::new();
    said.insert("channel".into(), setup.channels[channel].number.into());
    said.insert("over".into(), table.hands(over).into());
    said.insert("zone".into(), told::zone(zone));
    let rows = table.rows(channel);
    let mut reaches: Vec<[Option<usize>; 2]> = Vec::new();
    let mut followed = Followed::default();
    let mut deepest = None;
    for (case, row) in rows.into_iter().enumerate() {
        let Some(inside) = cases.domain_of(setup, over, case) else { continue };
        if !followed.is_new(row, &inside) {
            continue;
        }
        let row = Row { case, row };
        let least = zone.high.as_ref().map(|_| table.reach(cases, &row, &inside, Extreme::Least));
        let most = zone.low.as_ref().map(|_| table.reach(cases, &row, &inside, Extreme::Greatest));
        let pair = [least, most];
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
    said.insert("reaches".into(), json!(reaches));
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
