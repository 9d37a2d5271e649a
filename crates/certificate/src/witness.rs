//! A place that shows something, with every step from hand to pulse.

use super::table::Table;
use super::told;
use crate::chain::{self, Inputs, Steps};
use crate::proof::zone::Found;
use crate::proof::{ChannelCase, ControlPositions};
use crate::setup::{ChannelId, Exact};
use serde_json::{Map, Value, json};

/// A hand that was found; of one whose place no hand moves, the place.
pub(super) fn found(table: &Table, found: &Found) -> Value {
    if found.hand.positions.is_empty() {
        return json!({ "output": told::number(&found.output) });
    }
    let order = table.first_order(found.channel, &found.order);
    hand(table, found.channel, order, &found.settings, &found.hand)
}

/// What a channel does at one place of everything.
pub(super) fn hand(
    table: &Table,
    channel: ChannelId,
    order: usize,
    settings: &[usize],
    hand: &ControlPositions,
) -> Value {
    let setup = table.engine.setup;
    let inputs =
        Inputs { positions: hand.positions.clone(), trims: hand.trims.clone(), settings: settings.to_vec() };
    let Steps { signals, endpoint, added, unlimited, sent } =
        chain::steps(setup, channel, &inputs, &table.engine.orders[order]);
    let name = |control: usize| setup.controls[control].name.clone();
    // What has no part in the output may be anywhere.
    let ChannelCase { before, after, .. } =
        ChannelCase::new(setup, channel, &table.engine.orders[order], settings);
    let has_part = |control: usize, trim: bool| {
        [&before, &after].iter().any(|terms| match trim {
            true => !terms.trims[control].is_zero(),
            false => !terms.curves[control].is_zero(),
        })
    };
    let moved = |values: &[Exact], trim: bool| -> Map<String, Value> {
        let moved = values.iter().enumerate();
        let moved = moved.filter(|(control, value)| !value.is_zero() && has_part(*control, trim));
        moved.map(|(control, value)| (name(control), told::number(value))).collect()
    };
    let settings: Map<String, Value> = setup
        .controls
        .iter()
        .zip(settings)
        .filter(|(control, _)| !control.settings.is_empty())
        .map(|(control, at)| (control.name.clone(), control.settings[*at].clone().into()))
        .collect();
    let signals: Map<String, Value> =
        signals.iter().map(|(id, v)| (setup.channels[*id].number.to_string(), told::number(v))).collect();
    json!({
        "order": order,
        "settings": settings,
        "positions": moved(&hand.positions, false),
        "trims": moved(&hand.trims, true),
        "signals": signals,
        "endpoint": told::number(&endpoint),
        "added": told::number(&added),
        "unlimited": told::number(&unlimited),
        "output": told::number(&sent),
    })
}
