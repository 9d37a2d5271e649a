//! Whether an output stays at one place, and how much of a way lies between two functions.

use super::asked::{Why, function};
use super::table::{Row, Table};
use super::{told, witness};
use crate::finding::Outcome;
use crate::proof::{Attained, Domain, Extreme};
use crate::question::{Answered, Asks, Detail};
use crate::setup::ChannelId;
use serde_json::{Map, Value, json};

/// An end of what an output does: how far it goes, in which case.
type End = (Attained, usize);

/// That an output stays at one place in every case, or two hands that bring it to different ones.
pub(super) fn varies(table: &mut Table, channel: ChannelId, over: &Domain, answered: &Answered) -> Why {
    let engine = table.engine;
    let (setup, cases) = (engine.setup, engine.cases(channel));
    let mut reaches: Vec<Value> = Vec::new();
    let mut ends: Option<[End; 2]> = None;
    for (case, row) in table.rows(channel).into_iter().enumerate() {
        let Some(inside) = cases.domain_of(setup, over, case) else { continue };
        let row = Row { case, row };
        let pair = [Extreme::Least, Extreme::Greatest].map(|which| table.reach(cases, &row, &inside, which));
        if !reaches.contains(&json!(pair)) {
            reaches.push(json!(pair));
        }
        let fixed = &cases.cases[case].fixed;
        let [least, most] =
            [Extreme::Least, Extreme::Greatest].map(|which| (fixed.extreme(&inside, which), case));
        ends = Some(match ends {
            None => [least, most],
            Some([low, high]) => [
                if least.0.value < low.0.value { least } else { low },
                if most.0.value > high.0.value { most } else { high },
            ],
        });
    }
    let Some(ends) = ends else { return Why::NotCarried("an output without a case") };
    let asks = json!({
        "kind": "varies",
        "channel": setup.channels[channel].number,
        "over": table.hands(over),
    });
    let mut said = Map::new();
    said.insert("asks".into(), asks);
    if answered.outcome() == Outcome::Proved {
        said.insert("reaches".into(), reaches.into());
    } else {
        let hands = ends.map(|(end, case)| {
            let case = &cases.cases[case];
            witness::hand(table, channel, table.first_order(channel, &case.order), &case.settings, &end.at)
        });
        said.insert("apart".into(), hands.to_vec().into());
    }
    Why::Carried(said.into())
}

/// What is asked and how much it is: it follows from one sweep along the way.
pub(super) fn narrow(table: &Table, asks: &Asks, answered: &Answered) -> Why {
    let Asks::Narrow { channel, side, function: first, next, needs, least } = asks else {
        return Why::NotCarried("another question");
    };
    let setup = table.engine.setup;
    let needs: Map<String, Value> = needs
        .iter()
        .map(|&(switch, at)| {
            let control = &setup.controls[switch];
            (control.name.clone(), control.settings[at].clone().into())
        })
        .collect();
    let width = match &answered.detail {
        Detail::Width(width) => told::number(width),
        _ => Value::Null,
    };
    Why::Carried(json!({
        "asks": {
            "kind": "narrow",
            "channel": setup.channels[*channel].number,
            "side": side.sign(),
            "functions": [function(table, *first), function(table, *next)],
            "needs": needs,
            "least": told::number(least),
            "width": width,
        },
    }))
}
