//! Recordings of a logic analyser, as they stream by: what is on each line, how long its pulses are, where they stay
//! steady, where they fail.
//!
//! All times are whole picoseconds from the beginning of the recording. An edge in a recording lies up to one sample
//! from where it was, and the analyser's clock is off as well: [`Heard::off`] says what that makes of a pulse. Nothing here
//! knows of boats.

pub mod csv;
mod edges;
mod serial;
mod steady;
mod stream;
mod train;
pub mod vcd;

pub use edges::{Kind, Line};
pub use steady::Span;
pub use stream::Stream;

use edges::Listener;

/// Picoseconds.
pub type Ps = u64;
/// A microsecond.
pub const US: Ps = 1_000_000;
/// A second.
pub const SECOND: Ps = 1_000_000 * US;

/// A recording, heard to its end.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Heard {
    /// Its lines, in the order of the file.
    pub lines: Vec<Line>,
    /// The longest sample period that all times are multiples of.
    pub sample: Ps,
    /// How long it is.
    pub length: Ps,
}

impl Heard {
    /// What a pulse of this width can be off: each edge a sample, and the clock so many parts in a million.
    pub fn off(&self, width: Ps, clock_ppm: u64) -> Ps {
        2 * self.sample + width.saturating_mul(clock_ppm).div_ceil(1_000_000)
    }
}

/// A recording that cannot be read: where, and what is wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// Line of the file, from 1; 0 where reading itself failed.
    pub line: usize,
    /// What is wrong and what was expected.
    pub why: String,
}

/// More lines than any analyser has are no recording of one.
pub const MOST_LINES: usize = 512;

/// What a reader hands on: which lines there are, then their levels in order of time.
pub struct Ear {
    lines: Vec<Listener>,
    grid: Ps,
    first: Option<Ps>,
    now: Ps,
}

impl Ear {
    /// For lines of these names.
    fn new(names: Vec<String>) -> Self {
        Self { lines: names.into_iter().map(Listener::new).collect(), grid: 0, first: None, now: 0 }
    }

    /// A moment of the recording; from the first one all others count.
    fn at(&mut self, time: Ps) {
        let first = *self.first.get_or_insert(time);
        self.now = time.saturating_sub(first);
    }

    fn level(&mut self, line: usize, high: bool) {
        let now = self.now;
        if self.lines[line].level(now, high) {
            self.grid = gcd(self.grid, now);
        }
    }

    fn heard(self) -> Heard {
        let (length, sample) = (self.now, self.grid.max(1));
        Heard { lines: self.lines.into_iter().map(|line| line.heard(length)).collect(), sample, length }
    }
}

fn gcd(mut a: Ps, mut b: Ps) -> Ps {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
