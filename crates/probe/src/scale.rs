//! What a set's percents are in microseconds, as bounds that readings make narrower.

use crate::chain::rounded::Range;
use crate::setup::quantity::Micros;
use crate::setup::{Exact, Figure, Setup};

/// Bounds of the four figures that make a pulse of an output. What lies outside is impossible.
///
/// Each figure has its own bounds, so that together they hold more than what the readings leave: of rest and full no
/// corner is cut off where they hang together. That can keep an order that is impossible, which costs another reading;
/// it can throw out no order and no scale that is possible, and every bound that is told is one that holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Scale {
    /// The pulse at rest, microseconds.
    pub rest: Range,
    /// The shorter full pulse.
    pub shorter: Range,
    /// The longer full pulse.
    pub longer: Range,
    /// The furthest any output goes, as a share of the full pulse.
    pub furthest: Range,
}

/// Bounds are kept on this grid, rounded outwards: parts of a microsecond, and of a share.
const GRID: i64 = 10_000;
/// How often bounds are passed round before the rest of their shrinking is left; each round only makes them narrower.
const ROUNDS: usize = 24;

impl Scale {
    /// As the file says, as far as its pulses can be off.
    pub fn of_file(setup: &Setup) -> Self {
        let (pulse, off) = (&setup.transmitter.pulse.scale, pulse_off(setup));
        let about = |at: &Exact| [at - &off, at + &off];
        let most = &setup.transmitter.furthest;
        let left_out = setup.unknown.iter().any(|u| matches!(u.figure, Figure::Furthest(_)));
        let furthest = match left_out {
            // To the farthest that sets are known to send, and back to what is dialled in.
            true => [Exact::ONE.min(most.clone()), most.clone().max(Exact::percent(MOST_FURTHEST))],
            false => [most.clone(), most.clone()],
        };
        Self {
            rest: about(&pulse.rest.0),
            shorter: about(&pulse.shorter.0),
            longer: about(&pulse.longer.0),
            furthest,
        }
    }

    /// Where the file's pulses are not believed: as far off as a set is that was mistaken for another of its kind
    /// (common practice, no source).
    pub fn near_file(setup: &Setup) -> Self {
        let pulse = &setup.transmitter.pulse.scale;
        let about = |at: &Exact, share: i64, sign: i32| {
            let off = pulse.span(sign) * Exact::percent(share);
            [at - &off, at + &off]
        };
        let most = &setup.transmitter.furthest;
        let quarter = Exact::ratio(1, 4);
        Self {
            rest: about(&pulse.rest.0, 10, pulse.narrower_side()),
            shorter: about(&pulse.shorter.0, 20, -1),
            longer: about(&pulse.longer.0, 20, 1),
            furthest: [Exact::ONE.min(most.clone()), (most + quarter).max(Exact::percent(MOST_FURTHEST))],
        }
    }

    /// Set-ups with the same devices and a set at each corner of these bounds. Whatever the set is, no hand makes a
    /// pulse that goes beyond those that it makes there.
    pub fn corners(&self, setup: &Setup) -> Vec<Setup> {
        let mut all = Vec::new();
        for rest in &self.rest {
            for shorter in &self.shorter {
                for longer in &self.longer {
                    let mut corner = setup.clone();
                    let scale = &mut corner.transmitter.pulse.scale;
                    scale.rest = Micros(rest.clone());
                    scale.shorter = Micros(shorter.clone());
                    scale.longer = Micros(longer.clone());
                    corner.transmitter.furthest = self.furthest[1].clone();
                    all.push(corner);
                }
            }
        }
        all
    }

    /// The pulses that an output may make.
    pub fn pulse(&self, out: &Range) -> Range {
        let [low, high] = self.sent(out);
        [self.end(&low, 0), self.end(&high, 1)]
    }

    /// The output behind the furthest.
    fn sent(&self, [low, high]: &Range) -> Range {
        let held = |out: &Exact, inwards: bool| {
            let most = &self.furthest[usize::from(!inwards)];
            out.clone().clamp(&-most, most)
        };
        [held(low, low.signum() > 0), held(high, high.signum() < 0)]
    }

    /// The least (0) or the greatest (1) pulse of one output.
    fn end(&self, out: &Exact, which: usize) -> Exact {
        let full = if out.signum() < 0 { &self.shorter } else { &self.longer };
        let share = out.abs();
        let of_rest = Exact::ONE - &share;
        let rest = if of_rest.signum() < 0 { &self.rest[1 - which] } else { &self.rest[which] };
        of_rest * rest + share * &full[which]
    }

    /// What is left of it once outputs were read, each between two pulses; `None` where nothing is.
    pub fn narrowed(&self, read: &[(Range, Range)]) -> Option<Self> {
        let mut now = self.clone();
        for _ in 0..ROUNDS {
            let before = now.clone();
            for (out, pulse) in read {
                now.narrow(out, pulse)?;
            }
            if now == before {
                break;
            }
        }
        Some(now)
    }

    fn narrow(&mut self, raw: &Range, read: &Range) -> Option<()> {
        let could = self.pulse(raw);
        if could[1] < read[0] || could[0] > read[1] {
            return None;
        }
        if raw[0].is_zero() && raw[1].is_zero() {
            return meet(&mut self.rest, read);
        }
        let sent = self.sent(raw);
        if sent[0].signum() > 0 {
            let mut side = Side { rest: self.rest.clone(), full: self.longer.clone() };
            side.narrow(&sent, raw, read, &mut self.furthest)?;
            (self.rest, self.longer) = (side.rest, side.full);
        } else if sent[1].signum() < 0 {
            // The shorter side is the longer one in a mirror.
            let mirrored = |[low, high]: &Range| [-high, -low];
            let mut side = Side { rest: mirrored(&self.rest), full: mirrored(&self.shorter) };
            side.narrow(&mirrored(&sent), &mirrored(raw), &mirrored(read), &mut self.furthest)?;
            (self.rest, self.shorter) = (mirrored(&side.rest), mirrored(&side.full));
        }
        Some(())
    }
}

/// The side of the longer pulses: `pulse = rest · (1 - out) + full · out`, with `out > 0`.
struct Side {
    rest: Range,
    full: Range,
}

impl Side {
    fn narrow(&mut self, sent: &Range, raw: &Range, read: &Range, furthest: &mut Range) -> Option<()> {
        // Each of these is monotone in every argument by itself, so its bounds lie at corners.
        if let Some(full) = corners(&self.rest, sent, read, |rest, out, y| Some(rest + (y - rest) / out)) {
            meet(&mut self.full, &full)?;
        }
        let of_rest = |full: &Exact, out: &Exact, y: &Exact| {
            let left = Exact::ONE - out;
            (!left.is_zero()).then(|| full + (y - full) / left)
        };
        if (sent[1] < Exact::ONE || sent[0] > Exact::ONE)
            && let Some(rest) = corners(&self.full, sent, read, of_rest)
        {
            meet(&mut self.rest, &rest)?;
        }
        let of_both = |rest: &Exact, full: &Exact, y: &Exact| {
            let span = full - rest;
            (span.signum() > 0).then(|| (y - rest) / span)
        };
        if let Some([least, most]) = corners(&self.rest, &self.full, read, of_both) {
            // What came out is no more than the furthest; and where more went in, that is what came out.
            let beyond = raw[0] > most;
            let limit = [least, if beyond { most } else { furthest[1].clone() }];
            meet(furthest, &limit)?;
        }
        Some(())
    }
}

/// The least and the greatest of a function over the corners of three ranges.
fn corners(
    a: &Range,
    b: &Range,
    c: &Range,
    of: impl Fn(&Exact, &Exact, &Exact) -> Option<Exact>,
) -> Option<Range> {
    let mut found: Option<Range> = None;
    for a in a {
        for b in b {
            for c in c {
                let at = of(a, b, c)?;
                found = Some(match found {
                    None => [at.clone(), at],
                    Some([low, high]) => [low.min(at.clone()), high.max(at)],
                });
            }
        }
    }
    found
}

/// The part that two ranges have in common, rounded outwards; `None` where there is none.
fn meet(range: &mut Range, with: &Range) -> Option<()> {
    let grid = Exact::int(GRID);
    let low = (&with[0] * &grid).floor().map_or_else(|| with[0].clone(), |n| Exact::ratio(n, GRID));
    let high = (&with[1] * &grid).ceil().map_or_else(|| with[1].clone(), |n| Exact::ratio(n, GRID));
    if low > range[0] {
        range[0] = low;
    }
    if high < range[1] {
        range[1] = high;
    }
    (range[0] <= range[1]).then_some(())
}

/// How far a pulse of the set can be off, in microseconds; where the file leaves it out, the most that it stands for.
pub fn pulse_off(setup: &Setup) -> Exact {
    let left_out = setup.unknown.iter().any(|u| u.figure == Figure::PulseAccuracy);
    if left_out { Exact::int(MOST_OFF) } else { setup.transmitter.pulse.accuracy.0.clone() }
}

/// What `pulse.accuracy` stands for at most where it is left out.
const MOST_OFF: i64 = 10;
/// No set is known to send more, percent (common practice, no source).
const MOST_FURTHEST: i64 = 150;
