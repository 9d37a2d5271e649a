//! Stretches in which a pulse stays as it is.

use crate::{Ps, US};

/// A stretch in which every pulse is the same, as far as set and analyser can tell.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Span {
    /// Its first pulse.
    pub from: Ps,
    /// Its last pulse.
    pub to: Ps,
    /// How many.
    pub pulses: u64,
    /// The shortest.
    pub least: Ps,
    /// The longest.
    pub most: Ps,
    /// The sum of all, for the mean.
    sum: u128,
}

impl Span {
    /// The mean pulse.
    pub fn mean(&self) -> Ps {
        u64::try_from(self.sum / u128::from(self.pulses.max(1))).unwrap_or(Ps::MAX)
    }

    fn of(at: Ps, width: Ps) -> Self {
        Self { from: at, to: at, pulses: 1, least: width, most: width, sum: u128::from(width) }
    }

    fn fits(&self, width: Ps) -> bool {
        width + SPREAD >= self.most && width <= self.least + SPREAD
    }

    fn take(&mut self, at: Ps, width: Ps) {
        self.to = at;
        self.pulses += 1;
        self.least = self.least.min(width);
        self.most = self.most.max(width);
        self.sum += u128::from(width);
    }
}

/// Pulses of a steady stick differ by no more (common practice, no source).
const SPREAD: Ps = 8 * US;
/// So many others in a row are a move and no strays.
const MOVED: u64 = 3;
/// A shorter stretch is on the way.
const STEADY: u64 = 12;
/// So many stretches are kept; a hand makes some dozens.
const MOST_KEPT: usize = 10_000;

/// Finds the stretches.
#[derive(Clone, Debug, Default)]
pub(crate) struct Steady {
    now: Option<Span>,
    /// Pulses that do not fit: the beginning of something new, or strays.
    next: Option<Span>,
    /// Pulses in a row that do not fit what was steady.
    outside: u64,
    pub(crate) strays: u64,
    pub(crate) spans: Vec<Span>,
}

impl Steady {
    pub(crate) fn pulse(&mut self, at: Ps, width: Ps) {
        let Some(now) = self.now.as_mut() else {
            self.now = Some(Span::of(at, width));
            return;
        };
        if now.fits(width) {
            now.take(at, width);
            self.strays += std::mem::take(&mut self.outside);
            self.next = None;
            return;
        }
        self.outside += 1;
        match self.next.as_mut().filter(|next| next.fits(width)) {
            Some(next) => next.take(at, width),
            None => self.next = Some(Span::of(at, width)),
        }
        if self.outside >= MOVED {
            let next = self.next.take();
            self.close();
            self.now = next;
        }
    }

    /// What was steady ends here: no pulse comes for a while, or none any more.
    pub(crate) fn close(&mut self) {
        self.next = None;
        self.outside = 0;
        if let Some(span) = self.now.take()
            && span.pulses >= STEADY
            && self.spans.len() < MOST_KEPT
        {
            self.spans.push(span);
        }
    }
}
