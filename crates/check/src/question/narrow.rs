//! How wide a zone in the middle of a way is.

use super::asks::Asks;
use super::engine::Engine;
use super::zones::{may_zone, short_of};
use crate::proof::ControlPositions;
use crate::setup::{ChannelId, ControlId, Exact, Side, WorkRef};
use std::rc::Rc;

/// Steps in which the way is tried: half a percent each, far finer than a hand.
const STEPS: i64 = 200;

impl Engine<'_> {
    /// The narrowest zone of [`Asks::Narrow`]; `None` where the second function is out of reach.
    pub(super) fn narrowest(&self, asks: &Asks) -> Option<Exact> {
        let Asks::Narrow { channel, side, function, next, needs, .. } = asks else { return None };
        let own = self.setup.channels[*channel].control?;
        let cases = self.cases(*channel).cases.iter().enumerate();
        cases
            .filter(|(_, case)| needs.iter().all(|&(switch, at)| case.settings[switch] == at))
            .filter_map(|(index, _)| width(self, (*channel, index), own, *side, [*function, *next]))
            .min()
    }

    /// The outputs of one case of a channel, step by step along a way: every two functions on it are held
    /// against the same ones.
    fn along_the_way(&self, channel: ChannelId, index: usize, own: ControlId, side: Side) -> Rc<Vec<Exact>> {
        let known = self.swept.borrow().get(&(channel, index, side.index())).map(Rc::clone);
        known.unwrap_or_else(|| {
            let case = &self.cases(channel).cases[index];
            let stands = self.setup.controls.iter().zip(&case.settings);
            let positions: Vec<Exact> = stands.map(|(control, at)| control.setting_position(*at)).collect();
            let mut hand =
                ControlPositions { positions, trims: vec![Exact::ZERO; self.setup.controls.len()] };
            let outputs = (1..=STEPS).map(|step| {
                hand.positions[own] = Exact::ratio(step, STEPS) * side.position();
                case.fixed.output(&hand)
            });
            let outputs = Rc::new(outputs.collect());
            self.swept.borrow_mut().insert((channel, index, side.index()), Rc::clone(&outputs));
            outputs
        })
    }
}

/// How much of the way lies between where one work is surely engaged and where the next may be.
fn width(
    engine: &Engine,
    (channel, index): (ChannelId, usize),
    own: ControlId,
    side: Side,
    [work, next]: [WorkRef; 2],
) -> Option<Exact> {
    let setup = engine.setup;
    let w = setup.work(work);
    let slack = setup.slack(work.device, w.sign, false);
    let missed = short_of(&w.from, w.sign, &slack);
    let reached = may_zone(setup.work(next), &slack, false);
    let outputs = engine.along_the_way(channel, index, own, side);
    // Step by step: a control that is mixed into its own channel need not move it one way only.
    let from = (1..=STEPS).zip(outputs.iter()).find(|(_, output)| !missed.holds(output))?.0;
    let to = (1..=STEPS).zip(outputs.iter()).find(|(_, output)| reached.holds(output))?.0;
    Some(Exact::ratio((to - from).max(0), STEPS))
}
