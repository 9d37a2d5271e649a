//! How wide a zone in the middle of a way is.

use super::asks::Asks;
use super::engine::Context;
use super::zones::{may_zone, short_of};
use crate::proof::cases::Case;
use crate::proof::{Hand, Zone};
use crate::setup::{ControlId, Exact, Side, WorkRef};

/// Steps in which the way is tried: half a percent each, far finer than a hand.
const STEPS: i64 = 200;

impl Context<'_> {
    /// The narrowest zone of [`Asks::Narrow`]; `None` where the second function is out of reach.
    pub(super) fn narrowest(&self, asks: &Asks) -> Option<Exact> {
        let Asks::Narrow { channel, side, function, next, needs, .. } = asks else { return None };
        let own = self.setup.channels[*channel].control?;
        let cases = self.cases(*channel).cases.iter();
        cases
            .filter(|case| needs.iter().all(|&(switch, at)| case.settings[switch] == at))
            .filter_map(|case| width(self, case, own, *side, *function, *next))
            .min()
    }
}

/// How much of the way lies between where one work is surely engaged and where the next may be.
fn width(
    context: &Context,
    case: &Case,
    own: ControlId,
    side: Side,
    work: WorkRef,
    next: WorkRef,
) -> Option<Exact> {
    let setup = context.setup;
    let w = setup.work(work);
    let slack = setup.slack(work.device, w.sign, false);
    let missed = short_of(&w.from, w.sign, &slack);
    let reached = may_zone(setup.work(next), &slack, false);
    let inside = |zone: &Zone, step: i64| {
        let stands = setup.controls.iter().zip(&case.settings);
        let mut positions: Vec<Exact> = stands.map(|(control, at)| control.setting_position(*at)).collect();
        positions[own] = Exact::ratio(step, STEPS) * side.position();
        let hand = Hand { positions, trims: vec![Exact::ZERO; setup.controls.len()] };
        zone.holds(&case.fixed.output(&hand))
    };
    // Step by step: a control that is mixed into its own channel need not move it one way only.
    let from = (1..=STEPS).find(|&step| !inside(&missed, step))?;
    let to = (1..=STEPS).find(|&step| inside(&reached, step))?;
    Some(Exact::ratio((to - from).max(0), STEPS))
}
