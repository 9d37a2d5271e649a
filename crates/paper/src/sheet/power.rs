//! What flows out of each battery, what carries it and how long it lasts: an estimate.

use serde::Serialize;

use super::say::Say;
use crate::labels::text::sheet::power;
use crate::setup::{Exact, Path};
use crate::words::{amperes, lasting, link, listed, plain};

/// Sums, the weakest link and minutes, for every battery.
#[derive(Serialize)]
pub(super) struct Power {
    lines: Vec<String>,
    missing: Vec<String>,
}

/// `None` for a boat without batteries in her file.
pub(super) fn section(say: &Say<'_>) -> Option<Power> {
    let mut power = Power { lines: Vec::new(), missing: Vec::new() };
    for battery in 0..say.setup.batteries.len() {
        one(say, battery, &mut power);
    }
    (!say.setup.batteries.is_empty()).then_some(power)
}

fn one(say: &Say<'_>, battery: usize, told: &mut Power) {
    let this = &say.setup.batteries[battery];
    let (name, flows) = (&plain(&this.name), say.setup.currents(battery));
    let number = |value: &Exact| amperes(say.labels, value);
    let least = |value: &Exact, known: bool| match known {
        true => number(value),
        false => say.fill(power::AtLeast { amperes: &number(value) }),
    };
    let known = flows.unknown.is_empty();
    if flows.running.signum() > 0 {
        told.lines.push(say.fill(power::Flows {
            name,
            sailing: &least(&flows.sailing, known),
            running: &least(&flows.running, known),
            stalled: &least(&flows.stalled, known && flows.unknown_stalled.is_empty()),
        }));
    }
    let links = this.rated_links();
    if let Some((weakest, rated)) = links.iter().min_by(|a, b| a.1.cmp(b.1)) {
        let part = &link(say.labels, *weakest);
        told.lines.push(say.fill(power::Weakest { name, part, rated: &number(rated) }));
    }
    let mut missing = [flows.unknown, flows.unknown_stalled].concat();
    match lasting(say.labels, say.setup, battery) {
        Ok(found) => {
            let (minutes, volts) = (&found.minutes, &found.volts);
            told.lines.push(match found.alarm {
                true => say.fill(power::UntilAlarm { name, minutes, volts }),
                false => say.fill(power::UntilFlat { name, minutes, volts }),
            });
        }
        Err(keys) => missing.extend(keys),
    }
    if links.is_empty() {
        let keys = ["rated", "plug", "switch", "fuse"];
        missing.extend(keys.map(|key| Path::of(["batteries", &this.name, key])));
    }
    missing.sort();
    missing.dedup();
    if !missing.is_empty() {
        told.missing.push(say.fill(power::Missing { name, keys: &listed(missing.iter().map(Path::dotted)) }));
    }
}
