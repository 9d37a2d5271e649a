//! Whether two outputs can be in their zones at the same time, over the inputs they share.
//!
//! Each output's extreme over a box of the shared controls is exact; boxes in which one of the two
//! cannot get into its zone are dropped, and so are those in which a weighted sum keeps them apart (see
//! [`super::weights`]); the others are halved until a witness turns up. Where a few
//! halvings do not settle it and everything is made of straight lines, each box that is left is
//! decided exactly (see [`super::lines`]): two zones may touch at a third of the stick, where no
//! halving ever comes to. Inside expo curves halving goes on down to [`FINEST`].

use super::cases::{Influence, choices, count_steps, relevant_order};
use super::domain::Domain;
use super::interval::Interval;
use super::lines::{self, Exactly};
use super::reach::{ChannelCase, ControlPositions, Extreme};
use super::weights::{Kept, Weighed, weigh};
use super::zone::{Found, TOO_MANY, Verdict, Zone, hand_inside};
use crate::chain::Order;
use crate::chain::terms::Gathered;
use crate::setup::{ChannelId, ControlId, Exact, Setup};
use std::collections::BTreeSet;

/// Boxes tried for one order and one choice of settings before the answer is "cannot tell".
pub const MOST_BOXES: usize = 20_000;

/// Boxes halved before straight lines are decided exactly: most questions need no more.
const FEW_BOXES: usize = 16;

/// What a box takes, in cases of one channel that are looked at.
const BOX: usize = 8;

/// A box no wider than this is not halved: a hundredth of a percent of the travel.
const FINEST: (i64, i64) = (1, 10_000);

/// How the search went through the boxes of one order and one choice of settings.
#[derive(Clone, Debug)]
pub struct Tree {
    /// The order, as far as it matters to the two.
    pub order: Order,
    /// Setting of each switch.
    pub settings: Vec<usize>,
    /// Each box as it came up: the upper half of one follows it, with all that comes of that, then the lower.
    pub boxes: Vec<(Domain, Closed)>,
}

/// What came of a box.
#[derive(Clone, Debug)]
pub enum Closed {
    /// It was cut in two: which control or its trim, and where.
    Cut {
        /// The control.
        control: ControlId,
        /// Whether it is its trim.
        trim: bool,
        /// Where.
        at: Exact,
    },
    /// One of the outputs stays out of its zone: with `true` the second.
    Out(bool),
    /// Sums keep both from being in their zones at once.
    Sums(Vec<Kept>),
    /// It is too small to be halved, and nobody can tell.
    Open,
}

/// Asks for two channels at once, with no more than so many boxes for one order and one choice of settings.
pub fn both_meet(
    setup: &Setup,
    gathered: &Gathered,
    orders: &[Order],
    domain: &Domain,
    first: (ChannelId, &Zone),
    second: (ChannelId, &Zone),
    boxes: usize,
) -> Verdict {
    both_meet_told(setup, gathered, orders, domain, [first, second], boxes, None)
}

/// The same, putting down how every box was closed where somebody wants to see it.
pub fn both_meet_told(
    setup: &Setup,
    gathered: &Gathered,
    orders: &[Order],
    domain: &Domain,
    [first, second]: [(ChannelId, &Zone); 2],
    boxes: usize,
    mut trees: Option<&mut Vec<Tree>>,
) -> Verdict {
    let (a, b) = (Influence::on(setup, first.0), Influence::on(setup, second.0));
    let switches = a.thrown(setup).union(&b.thrown(setup)).copied().collect();
    let Some(choices) = choices(setup, &switches) else {
        return Verdict::Unknown(TOO_MANY.into());
    };
    let shared: Vec<ControlId> = a.controls.intersection(&b.controls).copied().collect();
    let switches: Vec<ControlId> = switches.into_iter().collect();
    let mut unknown = false;
    // A line that neither of the two knows makes no difference to both.
    let distinct: BTreeSet<Order> = orders
        .iter()
        .filter(|o| domain.orders.as_ref().is_none_or(|only| only.contains(o)))
        .map(|o| relevant_order(setup, &a, first.0, o).or_as_in(o, &relevant_order(setup, &b, second.0, o)))
        .collect();
    for order in &distinct {
        for settings in &choices {
            let Some(inside) = domain.in_settings(setup, &switches, settings) else { continue };
            let pair = Pair {
                setup,
                channel: first.0,
                first: (ChannelCase::among(setup, gathered, first.0, order, settings), first.1),
                second: (ChannelCase::among(setup, gathered, second.0, order, settings), second.1),
                shared: &shared,
                of_second: &b.controls,
            };
            let mut told = trees.as_ref().map(|_| Vec::new());
            let found = pair.search(&inside, boxes, told.as_mut());
            if let (Some(trees), Some(boxes)) = (trees.as_deref_mut(), told) {
                trees.push(Tree { order: *order, settings: settings.clone(), boxes });
            }
            match found {
                Ok(Some(hand)) => {
                    let output = pair.first.0.output(&hand);
                    return Verdict::Met(Box::new(Found {
                        channel: first.0,
                        order: *order,
                        settings: settings.clone(),
                        hand,
                        output,
                    }));
                }
                Ok(None) => {}
                Err(()) => unknown = true,
            }
        }
    }
    if unknown {
        Verdict::Unknown("two outputs come too close to their thresholds together to tell".into())
    } else {
        Verdict::Clear
    }
}

struct Pair<'a> {
    setup: &'a Setup,
    /// That of the first.
    channel: ChannelId,
    first: (ChannelCase, &'a Zone),
    second: (ChannelCase, &'a Zone),
    shared: &'a [ControlId],
    /// Controls that move the second, if only by their trim.
    of_second: &'a BTreeSet<ControlId>,
}

impl Pair<'_> {
    /// `Err` when it cannot be told: boxes ran out, or they became too fine.
    fn search(
        &self,
        domain: &Domain,
        boxes: usize,
        told: Option<&mut Vec<(Domain, Closed)>>,
    ) -> Result<Option<ControlPositions>, ()> {
        let mut spare = Vec::new();
        let (wanted, told) = (told.is_some(), told.unwrap_or(&mut spare));
        let mut put = |at: &Domain, closed: Closed| {
            if wanted {
                told.push((at.clone(), closed));
            }
        };
        let mut left = vec![domain.clone()];
        let mut tried = 0;
        let mut too_fine = false;
        while let Some(at) = left.pop() {
            tried += 1;
            count_steps(self.setup, self.channel, 1, BOX);
            if tried > boxes {
                return Err(());
            }
            let Some(one) = may_meet(&self.first, &at) else {
                put(&at, Closed::Out(false));
                continue;
            };
            let Some(two) = may_meet(&self.second, &at) else {
                put(&at, Closed::Out(true));
                continue;
            };
            for hand in [&one, &two] {
                if let Some(hand) = self.together(hand, &at) {
                    return Ok(Some(hand));
                }
            }
            let (first, second) = (&self.first, &self.second);
            match weigh((&first.0, first.1), (&second.0, second.1), &at) {
                Weighed::Nowhere(kept) => {
                    put(&at, Closed::Sums(kept));
                    continue;
                }
                Weighed::Perhaps(hands) => {
                    if let Some(hand) = hands.into_iter().find(|hand| self.meets(hand)) {
                        return Ok(Some(hand));
                    }
                }
            }
            if tried > FEW_BOXES || self.shared.is_empty() {
                match lines::both_in((&first.0, first.1), (&second.0, second.1), &at) {
                    Exactly::Here(hand) if self.meets(&hand) => return Ok(Some(hand)),
                    Exactly::Nowhere(bent, kept) => {
                        at_rest(&at, &bent, &kept, 0, &mut put);
                        continue;
                    }
                    _ => {}
                }
            }
            match self.halves(&at) {
                Some((halves, closed)) => {
                    put(&at, closed);
                    left.extend(halves);
                }
                None => {
                    put(&at, Closed::Open);
                    too_fine = true;
                }
            }
        }
        if too_fine { Err(()) } else { Ok(None) }
    }

    /// Takes the shared controls from one hand and the rest from whichever output they move.
    fn together(&self, own: &ControlPositions, at: &Domain) -> Option<ControlPositions> {
        let mut fixed = at.clone();
        for &control in self.shared {
            fixed.positions[control] = Interval::point(own.positions[control].clone());
            fixed.trims[control] = Interval::point(own.trims[control].clone());
        }
        let one = may_meet(&self.first, &fixed)?;
        let two = may_meet(&self.second, &fixed)?;
        let mut hand = one;
        for control in 0..hand.positions.len() {
            if !self.shared.contains(&control) && self.of_second.contains(&control) {
                hand.positions[control] = two.positions[control].clone();
                hand.trims[control] = two.trims[control].clone();
            }
        }
        self.meets(&hand).then_some(hand)
    }

    fn meets(&self, hand: &ControlPositions) -> bool {
        [&self.first, &self.second].iter().all(|(fixed, zone)| zone.holds(&fixed.output(hand)))
    }

    fn halves(&self, at: &Domain) -> Option<([Domain; 2], Closed)> {
        let width = |i: &Interval| &i.high - &i.low;
        let mut widest: Option<(Exact, ControlId, bool)> = None;
        for &control in self.shared {
            for trim in [false, true] {
                // What these settings leave of the one or the other without effect need not be halved.
                if ![&self.first.0, &self.second.0].iter().all(|case| case.moves_with(control, trim)) {
                    continue;
                }
                let w = width(if trim { &at.trims[control] } else { &at.positions[control] });
                if widest.as_ref().is_none_or(|(most, _, _)| w > *most) {
                    widest = Some((w, control, trim));
                }
            }
        }
        let (width, control, trim) = widest?;
        if width <= Exact::ratio(FINEST.0, FINEST.1) {
            return None;
        }
        let range = if trim { &at.trims[control] } else { &at.positions[control] };
        let middle = (&range.low + &range.high) * Exact::ratio(1, 2);
        let halves = cut(at, control, trim, &middle);
        Some((halves, Closed::Cut { control, trim, at: middle }))
    }
}

/// The part of a box below a place and the part above.
fn cut(at: &Domain, control: ControlId, trim: bool, place: &Exact) -> [Domain; 2] {
    [true, false].map(|lower| {
        let mut half = at.clone();
        let range = if trim { &mut half.trims[control] } else { &mut half.positions[control] };
        if lower {
            range.high = place.clone()
        } else {
            range.low = place.clone()
        }
        half
    })
}

/// What is decided on each side of rest of some sticks by itself is a box cut at rest.
fn at_rest(
    at: &Domain,
    bent: &[ControlId],
    kept: &[Vec<Kept>],
    above: usize,
    put: &mut impl FnMut(&Domain, Closed),
) {
    let Some((&control, others)) = bent.split_last() else {
        put(at, Closed::Sums(kept[above].clone()));
        return;
    };
    put(at, Closed::Cut { control, trim: false, at: Exact::ZERO });
    let [lower, upper] = cut(at, control, false, &Exact::ZERO);
    at_rest(&upper, others, kept, above | 1 << others.len(), put);
    at_rest(&lower, others, kept, above, put);
}

/// A hand that brings an output into its zone, or as far as the box allows; `None` if it cannot.
fn may_meet(side: &(ChannelCase, &Zone), at: &Domain) -> Option<ControlPositions> {
    let (fixed, zone) = side;
    let greatest = fixed.extreme(at, Extreme::Greatest);
    let least = fixed.extreme(at, Extreme::Least);
    if !zone.met_at(&zone.distance(&least.bound, &greatest.bound)) {
        return None;
    }
    let far = if zone.low.is_some() { greatest.at.clone() } else { least.at.clone() };
    Some(hand_inside(fixed, zone, Some(least), Some(greatest)).unwrap_or(far))
}
