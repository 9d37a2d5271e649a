//! Which way a control moves an output: for every case what the difference between held and left comes from.

use super::asked::Why;
use super::table::{Followed, Row, Table, cuts};
use super::{told, witness};
use crate::proof::sense::{Motion, Other, hand_for, motion};
use crate::proof::{Domain, Extreme};
use crate::question::asks::Moved;
use crate::question::{Answered, Detail};
use crate::setup::Exact;
use serde_json::{Map, Value, json};

/// What makes the answer true whether a way moves a channel rightly.
pub(super) fn why(table: &mut Table, way: &Moved, at_all: bool, answered: &Answered) -> Why {
    let domains = table.engine.sense_domains();
    let ids: Vec<usize> = domains.iter().map(|domain| moved(table, way, domain)).collect();
    let mut said = Map::new();
    said.insert(
        "asks".into(),
        json!({ "kind": "moves", "at_all": at_all, "resting": ids[0], "anywhere": ids[1] }),
    );
    if let Detail::Move(worst, at_rest) = &answered.detail {
        let (setup, domain) = (table.engine.setup, &domains[usize::from(!at_rest)]);
        let asked = (way.control, way.side, way.wanted);
        let Some(hand) = hand_for(setup, way.channel, asked, worst, domain) else {
            return Why::NotCarried("a way that no hand shows");
        };
        let order = table.first_order(way.channel, &worst.case.0);
        let held = witness::hand(table, way.channel, order, &worst.case.1, &hand);
        let mut left = hand;
        left.positions[way.control] = Exact::ZERO;
        let left = witness::hand(table, way.channel, order, &worst.case.1, &left);
        said.insert("held".into(), held);
        said.insert("left".into(), left);
    }
    Why::Carried(said.into())
}

/// Where it stands what a way does over these hands.
fn moved(table: &mut Table, way: &Moved, domain: &Domain) -> usize {
    let engine = table.engine;
    let (setup, cases) = (engine.setup, engine.cases(way.channel));
    let own = setup.channels[way.channel].control == Some(way.control);
    let held = domain.clone().with_position(way.control, way.side.position());
    let over = table.hands(&held);
    let mut entries: Vec<Value> = Vec::new();
    let mut followed = Followed::default();
    for (case, row) in table.rows(way.channel).into_iter().enumerate() {
        let Some(inside) = cases.domain_of(setup, &held, case) else { continue };
        if !own && !cases.is_mixed_in(setup, way.control, &cases.cases[case]) {
            continue;
        }
        if !followed.is_new(row, &inside) {
            continue;
        }
        let fixed = &cases.cases[case].fixed;
        let entry = match motion(fixed, own, (way.control, way.side), &inside) {
            Motion::Own { others, places } => {
                let places: Vec<Value> = places.iter().map(told::number).collect();
                json!({ "case": row, "others": told_of(table, &others, &inside), "places": places })
            }
            Motion::Mixed { others, step, limits } => {
                let others: Vec<Other> = others.into_iter().filter(|other| !other.behind).collect();
                let row = Row { case, row };
                let [left, held] = &*limits;
                let (lower, upper) =
                    if step.signum() * fixed.shape.sense > 0 { (left, held) } else { (held, left) };
                let reaches = [
                    table.reach(cases, &row, lower, Extreme::Greatest),
                    table.reach(cases, &row, upper, Extreme::Least),
                ];
                json!({ "case": row.row, "others": told_of(table, &others, left), "step": told::number(&step), "reaches": reaches })
            }
        };
        if !entries.contains(&entry) {
            entries.push(entry);
        }
    }
    table.move_told(json!({
        "channel": setup.channels[way.channel].number,
        "control": setup.controls[way.control].name,
        "side": way.side.sign(),
        "wanted": way.wanted,
        "over": over,
        "cases": entries,
    }))
}

fn told_of(table: &Table, others: &[Other], inside: &Domain) -> Vec<Value> {
    let told = |other: &Other| {
        let range = &inside.positions[other.control];
        json!({
            "control": table.engine.setup.controls[other.control].name,
            "at": if other.behind { "behind" } else { "before" },
            "from": told::number(&range.low),
            "to": told::number(&range.high),
            "cuts": cuts(&other.tried, range),
            "least": told::number(&other.span.low),
            "most": told::number(&other.span.high),
        })
    };
    others.iter().map(told).collect()
}
