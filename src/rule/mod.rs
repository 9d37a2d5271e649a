//! The rules: what must never happen, each in a file of its own, and one line here for each.

pub mod context;
pub mod say;
pub mod solve;
pub mod states;
pub mod windows;

mod axis_lost;
mod beyond_stop;
mod crossing;
mod emergency_within_reach;
mod loss_unseen;
mod measured_differs;
mod motor_runs_on_loss;
mod neutral_missed;
mod no_blow_on_loss;
mod sense_not_measured;
mod sense_reversed;
mod sinks_on_loss;
mod stage_engages;
mod stage_misses;
mod unit_tripped_by_pilot;
mod unwanted_within_reach;
mod waiting_engages;
mod wanted_not_reached;
mod works_at_rest;
mod works_together;

use crate::finding::Finding;
use crate::setup::{Exact, Setup};
pub use context::Context;
pub use windows::endpoints;

/// A rule: its name and how it is applied.
pub struct Rule {
    /// What is wrong when it is broken, in kebab-case; never used again for another rule.
    pub name: &'static str,
    /// Appends how it came out, once for each thing it applies to.
    pub apply: fn(&Context, &mut Vec<Finding>),
}

/// Every rule, in the order in which a fitter works.
pub const ALL: &[Rule] = &[
    Rule { name: measured_differs::NAME, apply: measured_differs::apply },
    Rule { name: sense_not_measured::NAME, apply: sense_not_measured::apply },
    Rule { name: sense_reversed::NAME, apply: sense_reversed::apply },
    Rule { name: axis_lost::NAME, apply: axis_lost::apply },
    Rule { name: beyond_stop::NAME, apply: beyond_stop::apply },
    Rule { name: emergency_within_reach::NAME, apply: emergency_within_reach::apply },
    Rule { name: unwanted_within_reach::NAME, apply: unwanted_within_reach::apply },
    Rule { name: wanted_not_reached::NAME, apply: wanted_not_reached::apply },
    Rule { name: works_at_rest::NAME, apply: works_at_rest::apply },
    Rule { name: works_together::NAME, apply: works_together::apply },
    Rule { name: neutral_missed::NAME, apply: neutral_missed::apply },
    Rule { name: stage_misses::NAME, apply: stage_misses::apply },
    Rule { name: stage_engages::NAME, apply: stage_engages::apply },
    Rule { name: loss_unseen::NAME, apply: loss_unseen::apply },
    Rule { name: waiting_engages::NAME, apply: waiting_engages::apply },
    Rule { name: unit_tripped_by_pilot::NAME, apply: unit_tripped_by_pilot::apply },
    Rule { name: sinks_on_loss::NAME, apply: sinks_on_loss::apply },
    Rule { name: no_blow_on_loss::NAME, apply: no_blow_on_loss::apply },
    Rule { name: motor_runs_on_loss::NAME, apply: motor_runs_on_loss::apply },
];

/// Applies every rule; everything that was proved is in the answer too.
pub fn check(setup: &Setup) -> Vec<Finding> {
    let context = Context::new(setup);
    let mut findings = Vec::new();
    for rule in ALL {
        (rule.apply)(&context, &mut findings);
    }
    findings
}

/// How far one channel can go under one order, over everything a hand can do.
#[derive(Clone, Debug)]
pub struct ChannelReach {
    /// Channel number.
    pub channel: u8,
    /// The order, all six lines: key and word.
    pub order: Vec<(String, String)>,
    /// Least output, never passed.
    pub low: Exact,
    /// Greatest output, never passed.
    pub high: Exact,
}

/// The reach of every channel under every order that the file leaves open.
pub fn reach(setup: &Setup) -> Vec<ChannelReach> {
    use crate::chain::order::LINES;
    use crate::proof::{Cases, Domain};
    let everything = Domain::everything(setup);
    let none = std::collections::BTreeSet::new();
    let mut all = Vec::new();
    for (id, channel) in setup.channels.iter().enumerate() {
        for order in crate::chain::Order::all(&setup.transmitter.order) {
            let cases = Cases::of(setup, id, std::slice::from_ref(&order), &none);
            let Some((low, high)) = cases.span(setup, &everything) else { continue };
            let order = LINES
                .iter()
                .enumerate()
                .map(|(i, line)| (line.key.to_string(), line.words[order.word_index(i)].to_string()))
                .collect();
            all.push(ChannelReach { channel: channel.number, order, low, high });
        }
    }
    all
}
