//! Which lines of the order any verdict hangs on: the engine judges the boat under each order that is possible.

use crate::chain::Order;
use crate::chain::order::LINES;
use crate::finding::{Finding, Outcome, StateId, Subject};
use crate::rule;
use crate::setup::{OrderLines, Setup};

/// One verdict: which rule about what in which state, and how it came out.
pub type Verdict = (&'static str, Subject, StateId, u8);

/// What hangs on a line of the order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hangs {
    /// Index of the line.
    pub line: usize,
    /// The verdicts that are others with its other word: rule, and what it is about.
    pub verdicts: Vec<(&'static str, String)>,
}

/// A set-up of which one order is known, and what was measured is left to the probe.
pub fn under(setup: &Setup, order: &Order) -> Setup {
    let mut known = unmeasured(setup);
    known.transmitter.order = OrderLines {
        past_full_stick: Some(order.past_full),
        endpoint: Some(order.endpoint),
        endpoint_side: Some(order.side),
        trim: Some(order.trim),
        mix: Some(order.mix),
        sub_trim: Some(order.sub_trim),
    };
    known
}

/// Pulses that were measured are readings like the others here.
pub fn unmeasured(setup: &Setup) -> Setup {
    let mut setup = setup.clone();
    for channel in &mut setup.channels {
        channel.measured.clear();
    }
    setup
}

/// How every rule comes out under one order.
pub fn findings(setup: &Setup, order: &Order) -> Vec<Finding> {
    rule::check(&under(setup, order))
}

/// The verdicts among findings, in an order of their own.
pub fn verdicts(findings: &[Finding]) -> Vec<Verdict> {
    let rank = |outcome: Outcome| outcome.rank();
    let mut all: Vec<Verdict> =
        findings.iter().map(|f| (f.rule, f.subject, f.when, rank(f.outcome))).collect();
    all.sort();
    all
}

/// For each line that is open among these orders and on which a verdict hangs, which verdicts they are.
pub fn hanging(orders: &[Order], judged: &[Vec<Verdict>], setup: &Setup) -> Vec<Hangs> {
    let mut all = Vec::new();
    for line in 0..LINES.len() {
        let mut verdicts: Vec<(&'static str, String)> = Vec::new();
        let mut hangs = false;
        for (a, order) in orders.iter().enumerate().filter(|(_, order)| order.word_index(line) == 0) {
            let other = order.with_other_word(line);
            let Some(b) = orders.iter().position(|order| *order == other) else { continue };
            if judged[a] == judged[b] {
                continue;
            }
            hangs = true;
            let differing = judged[a].iter().filter(|v| !judged[b].contains(v));
            for (rule, subject, _, _) in differing.chain(judged[b].iter().filter(|v| !judged[a].contains(v)))
            {
                let named = (*rule, subject.name(setup));
                if !verdicts.contains(&named) {
                    verdicts.push(named);
                }
            }
        }
        if hangs {
            all.push(Hangs { line, verdicts });
        }
    }
    all
}
