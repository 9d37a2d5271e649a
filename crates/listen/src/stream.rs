//! Pulses of one channel.

use crate::steady::{Span, Steady};
use crate::{Ps, US};

/// What came of one channel.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stream {
    /// How many pulses.
    pub pulses: u64,
    /// From pulse to pulse, as most are.
    pub frame: Ps,
    /// Pulses that should have come between others and did not.
    pub missing: u64,
    /// Single pulses that fit neither what was before nor what came after.
    pub strays: u64,
    /// Runs of a length that is no servo pulse.
    pub odd: u64,
    /// Stretches in which the pulse stayed as it was, in order of time.
    pub steady: Vec<Span>,
    /// From the last pulse before to the first after each time without any.
    pub silent: Vec<[Ps; 2]>,
    /// When the last pulse came.
    pub last: Ps,
}

/// Servo pulses lie between these (common practice, no source).
pub(crate) const PULSE: [Ps; 2] = [500 * US, 2700 * US];
/// From pulse to pulse at least and at most.
const FRAME: [Ps; 2] = [2_800 * US, 60_000 * US];
/// A longer time without pulses is silence.
pub(crate) const SILENCE: Ps = 120_000 * US;
const BIN: Ps = 100 * US;
const BINS: usize = 1_200;
/// Fewer pulses tell nothing of a line.
const FEWEST: u64 = 8;
const MOST_SILENT: usize = 10_000;

/// Listens for them.
#[derive(Clone, Debug, Default)]
pub(crate) struct Hears {
    rose: Option<Ps>,
    before: Option<Ps>,
    pulses: u64,
    odd: u64,
    /// By time from pulse to pulse: how many, and their sum.
    bins: Vec<(u64, Ps)>,
    silent: Vec<[Ps; 2]>,
    steady: Steady,
}

impl Hears {
    pub(crate) fn rise(&mut self, at: Ps) {
        self.rose = Some(at);
    }

    pub(crate) fn fall(&mut self, at: Ps) {
        let Some(rose) = self.rose.take() else { return };
        let width = at - rose;
        if (PULSE[0]..=PULSE[1]).contains(&width) {
            self.pulse(rose, width);
        } else {
            self.odd += 1;
        }
    }

    /// A pulse by its beginning and its width.
    pub(crate) fn pulse(&mut self, at: Ps, width: Ps) {
        if let Some(before) = self.before.replace(at) {
            let since = at - before;
            if self.bins.is_empty() {
                self.bins = vec![(0, 0); BINS];
            }
            if since > SILENCE {
                if self.silent.len() < MOST_SILENT {
                    self.silent.push([before, at]);
                }
                self.steady.close();
            } else if let Some((count, sum)) = self.bins.get_mut((since / BIN) as usize) {
                *count += 1;
                *sum = sum.saturating_add(since);
            }
        }
        self.pulses += 1;
        self.steady.pulse(at, width);
    }

    /// The channel, where there is one.
    pub(crate) fn channel(mut self, length: Ps) -> Option<Stream> {
        let most = (0..self.bins.len()).max_by_key(|&bin| (self.bins[bin].0, bin))?;
        // A frame may lie across two bins.
        let near =
            [most.wrapping_sub(1), most, most + 1].map(|bin| self.bins.get(bin).copied().unwrap_or((0, 0)));
        let total: u64 = self.bins.iter().map(|(count, _)| count).sum();
        let regular: u64 = near.iter().map(|(count, _)| count).sum();
        let frame = near.iter().map(|(_, sum)| sum).sum::<Ps>() / regular.max(1);
        let sound = self.pulses >= FEWEST
            && (FRAME[0]..=FRAME[1]).contains(&frame)
            && regular * 2 >= total
            && self.odd * 4 <= self.pulses;
        if !sound {
            return None;
        }
        let left_out = self.bins.iter().filter(|(count, _)| *count > 0).map(|(count, sum)| {
            let frames = (sum / count + frame / 2) / frame;
            count * frames.saturating_sub(1)
        });
        let missing = left_out.sum();
        self.steady.close();
        let last = self.before.unwrap_or(0);
        if length.saturating_sub(last) > SILENCE {
            self.silent.push([last, length]);
        }
        Some(Stream {
            pulses: self.pulses,
            frame,
            missing,
            strays: self.steady.strays,
            odd: self.odd,
            steady: self.steady.spans,
            silent: self.silent,
            last,
        })
    }
}
