//! Numbers, orders and zones as the certificate writes them.

use crate::chain::order::LINES;
use crate::chain::{self, Order};
use crate::finding::Outcome;
use crate::proof::{Interval, Zone};
use crate::question::Engine;
use crate::setup::{Channel, Exact, Measured, Setup, Side};
use serde_json::{Value, json};

pub(super) fn number(value: &Exact) -> Value {
    value.to_fraction().into()
}

pub(super) fn range(range: &Interval) -> Value {
    json!([number(&range.low), number(&range.high)])
}

/// Lower end, upper end, and whether touching counts.
pub(super) fn zone(zone: &Zone) -> Value {
    json!([zone.low.as_ref().map(number), zone.high.as_ref().map(number), zone.closed])
}

pub(super) fn outcome(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Proved => "proved",
        Outcome::Broken => "broken",
        Outcome::Undecided => "undecided",
        Outcome::NotJudged => "not judged",
    }
}

/// The words of an order, in the order of the lines.
pub(super) fn order(order: &Order) -> Value {
    LINES.iter().enumerate().map(|(i, line)| line.words[order.word_index(i)]).collect()
}

/// Each order that a measured pulse strikes out, by which.
pub(super) fn struck(engine: &Engine, all: &[Order]) -> Vec<Value> {
    let setup = engine.setup;
    let struck = all.iter().enumerate().filter(|(_, o)| !engine.orders.contains(o)).filter_map(|(at, o)| {
        let measured = setup.channels.iter().enumerate();
        let measured =
            measured.flat_map(|(id, channel)| channel.measured.iter().map(move |of| (id, channel, of)));
        let allowed = &setup.transmitter.pulse.accuracy.0 + Exact::int(5);
        let differs = |(id, _, of): &(usize, &Channel, &Measured)| {
            let pulse = setup.axis.pulse_at(&chain::held_fully(setup, *id, (of.control, of.side), o));
            ((&pulse.0 - &of.pulse.0).abs() > allowed).then_some(pulse)
        };
        let mut found = measured.filter_map(|way| differs(&way).map(|pulse| (way, pulse)));
        let ((_, channel, of), pulse) = found.next()?;
        Some(json!({
            "order": at,
            "channel": channel.number,
            "control": setup.controls[of.control].name,
            "way": if of.side == Side::Low { -1 } else { 1 },
            "pulse": number(&pulse.0),
            "measured": number(&of.pulse.0),
        }))
    });
    struck.collect()
}

/// Where points lie that were read several times: what readings prove is reckoned with factors that a stranger
/// takes from a table.
pub(super) fn readings(setup: &Setup) -> Vec<Value> {
    let mut all = Vec::new();
    for function in setup.works() {
        let (device, work) = (&setup.devices[function.device].name, setup.work(function));
        let points = [
            ("clicks", &work.clicks, Some(&work.from)),
            ("releases", &work.releasing, work.releases.as_ref()),
        ];
        for (key, readings, point) in points {
            if let (Some(readings), Some(point)) = (readings, point)
                && readings.enough()
            {
                all.push(json!([device, work.name, key, [number(&point.value), number(&point.off)]]));
            }
        }
    }
    all
}
