//! How large everything on a card is, in one size of running text.

use super::LogoSize;
use super::facts::{Facts, wide};
use super::plan::{Front, Plan};
use crate::render::Weight;

/// Clear at every edge of the card, in millimetres.
const MARGIN: f64 = 3.0;
/// The size of the foot is never smaller than this, and grows with the running text; that of the mark in it stays.
const FOOT: [f64; 2] = [7.0, 0.6];
pub(super) const MARK: f64 = 9.0;
/// Sizes in points: letters of the emergency and of what a hand does are never smaller than this, and so much
/// larger than the running text.
const LOUD: [f64; 2] = [12.0, 1.5];
const HAND: [f64; 2] = [9.0, 1.12];

/// What one try at a card is made with: millimetres, and points for text.
#[derive(Clone, Copy)]
pub(super) struct Measures {
    pub(super) width: f64,
    pub(super) height: f64,
    pub(super) margin: f64,
    /// Between the margins.
    pub(super) inner: f64,
    /// The running text.
    pub(super) points: f64,
    /// The emergency.
    pub(super) loud: f64,
    /// What a hand does.
    pub(super) hand: f64,
    pub(super) foot: f64,
    pub(super) logo: Option<LogoSize>,
    pub(super) plan: Plan,
}

impl Measures {
    pub(super) fn of([width, height]: [f64; 2], points: f64, plan: Plan, logo: Option<LogoSize>) -> Self {
        let grown = |[least, times]: [f64; 2]| f64::max(least, points * times);
        Self {
            width,
            height,
            margin: MARGIN,
            inner: width - 2.0 * MARGIN,
            points,
            loud: grown(LOUD),
            hand: grown(HAND),
            foot: grown(FOOT),
            logo,
            plan,
        }
    }

    /// Name, memory, depth and, where there is room for it, the frequency.
    pub(super) fn name_line(&self, facts: &Facts) -> String {
        facts.name_line(self.plan.front == Front::Small)
    }

    /// How much of the foot the mark takes.
    pub(super) fn mark_wide(facts: &Facts) -> f64 {
        match facts.mark_word.as_str() {
            "" => 0.0,
            word => wide(word, MARK, Weight::Bold) + 3.0,
        }
    }

    /// What tells this card from another, as much of it as finds room.
    pub(super) fn imprint<'f>(&self, facts: &'f Facts) -> &'f str {
        facts.imprint(self.inner - Self::mark_wide(facts), self.foot)
    }
}
