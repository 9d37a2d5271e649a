//! Two outputs at once: a hand that shows it, or the boxes into which everything is cut and what closes each.

use super::table::{Row, Table, cuts};
use super::{told, witness};
use crate::chain::Order;
use crate::proof::cases::Influence;
use crate::proof::joint::{Closed, Tree};
use crate::proof::weights::{Kept, tried};
use crate::proof::{ChannelCase, Domain, Extreme, Verdict, Zone};
use crate::setup::{ChannelId, Setup};
use serde_json::{Map, Value, json};

/// What makes an answer about two outputs true.
pub(super) fn joint(
    table: &mut Table,
    channels: [ChannelId; 2],
    zones: &[Zone; 2],
    verdict: &Verdict,
    trees: &[Tree],
) -> Value {
    let mut said = Map::new();
    said.insert("joint".into(), zones.each_ref().map(told::zone).to_vec().into());
    match verdict {
        Verdict::Met(found) => {
            let order = table.shared_order(channels, &found.order);
            let hands =
                channels.map(|channel| witness::hand(table, channel, order, &found.settings, &found.hand));
            said.insert("says".into(), "here".into());
            said.insert("witness".into(), hands.to_vec().into());
        }
        Verdict::Unknown(_) => {
            said.insert("says".into(), "undecided".into());
        }
        Verdict::Clear => {
            said.insert("says".into(), "never".into());
            let mut all: Vec<Value> = Vec::new();
            for tree in trees {
                let value = tree_told(table, channels, zones, tree);
                if !all.contains(&value) {
                    all.push(value);
                }
            }
            said.insert("trees".into(), all.into());
        }
    }
    said.into()
}

/// The case of a channel that has this order and these settings, and where it stands.
fn row(table: &mut Table, channel: ChannelId, tree: &Tree) -> Option<Row> {
    let engine = table.engine;
    let setup = engine.setup;
    let influence = Influence::on(setup, channel);
    let switches = influence.thrown(setup);
    let relevant_order =
        |order: &Order| crate::proof::cases::relevant_order(setup, &influence, channel, order);
    let order = relevant_order(&tree.order);
    let case = engine.cases(channel).cases.iter().position(|case| {
        case.order == order && switches.iter().all(|&switch| case.settings[switch] == tree.settings[switch])
    })?;
    let row = table.rows(channel)[case];
    Some(Row { case, row })
}

fn tree_told(table: &mut Table, channels: [ChannelId; 2], zones: &[Zone; 2], tree: &Tree) -> Value {
    let engine = table.engine;
    let [Some(one), Some(two)] = channels.map(|channel| row(table, channel, tree)) else {
        return Value::Null;
    };
    let rows = [one, two];
    let fixed: [&ChannelCase; 2] =
        std::array::from_fn(|i| &engine.cases(channels[i]).cases[rows[i].case].fixed);
    let outputs = [(fixed[0], &zones[0]), (fixed[1], &zones[1])];
    let boxes = tree.boxes.iter().map(|(at, closed)| match closed {
        Closed::Cut { control, trim, at } => json!({
            "cut": engine.setup.controls[*control].name,
            "of": if *trim { "trim" } else { "hand" },
            "at": told::number(at),
        }),
        Closed::Out(second) => out(table, usize::from(*second), channels, &rows, zones, at),
        Closed::Sums(kept) => {
            let kept: Vec<Value> = kept.iter().map(|kept| sum(engine.setup, outputs, at, kept)).collect();
            json!({ "sums": kept })
        }
        Closed::Open => Value::Null,
    });
    let boxes: Vec<Value> = boxes.collect();
    let from = tree.boxes.first().map(|(at, _)| ranges(engine.setup, fixed, at));
    json!({ "cases": rows.map(|row| row.row), "from": from, "boxes": boxes })
}

/// Where the controls may be that move one of the two.
fn ranges(setup: &Setup, fixed: [&ChannelCase; 2], at: &Domain) -> Value {
    let mut said = Map::new();
    for (id, control) in setup.controls.iter().enumerate() {
        if fixed.iter().any(|fixed| [false, true].iter().any(|&trim| fixed.moves_with(id, trim))) {
            said.insert(
                control.name.clone(),
                json!([told::range(&at.positions[id]), told::range(&at.trims[id])]),
            );
        }
    }
    said.into()
}

/// How far the output that stays out goes in the box.
fn out(
    table: &mut Table,
    which: usize,
    channels: [ChannelId; 2],
    rows: &[Row; 2],
    zones: &[Zone; 2],
    at: &Domain,
) -> Value {
    let cases = table.engine.cases(channels[which]);
    let zone = &zones[which];
    let least = zone.high.as_ref().map(|_| table.reach(cases, &rows[which], at, Extreme::Least));
    let most = zone.low.as_ref().map(|_| table.reach(cases, &rows[which], at, Extreme::Greatest));
    json!({ "out": which, "reaches": [least, most] })
}

fn sum(setup: &Setup, outputs: [(&ChannelCase, &Zone); 2], at: &Domain, kept: &Kept) -> Value {
    let mut places = Map::new();
    for (control, found) in tried(outputs, at, kept) {
        let cuts = cuts(&found, &at.positions[control]);
        if !cuts.is_empty() {
            places.insert(setup.controls[control].name.clone(), cuts.into());
        }
    }
    let mut said = Map::new();
    said.insert("stretches".into(), json!(kept.stretches));
    let by = kept.by.each_ref().map(|by| by.each_ref().map(told::number).to_vec());
    said.insert("by".into(), by.to_vec().into());
    if !places.is_empty() {
        said.insert("cuts".into(), places.into());
    }
    said.into()
}
