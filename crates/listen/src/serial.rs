//! A serial bus: nearly all runs are short and whole multiples of one bit.

use crate::{Ps, US};

/// Bits of the slowest bus that receivers send: 9600 a second.
const SLOWEST_BIT: Ps = 110 * US;
/// A pause as long as this parts packets.
const PAUSE: Ps = 1_000 * US;
/// As many runs decide what a bit is.
const LEARNT: usize = 4096;
/// Fewer edges tell nothing.
const FEWEST: u64 = 64;

#[derive(Clone, Debug, Default)]
pub(crate) struct Serial {
    runs: Vec<Ps>,
    short: u64,
    packets: u64,
    first_packet: Option<Ps>,
    last_packet: Ps,
}

impl Serial {
    /// A run that ended now.
    pub(crate) fn run(&mut self, now: Ps, long: Ps) {
        if long >= PAUSE {
            self.packets += 1;
            self.first_packet.get_or_insert(now);
            self.last_packet = now;
            return;
        }
        // A byte of eight bits, with start and stop.
        if long <= 10 * SLOWEST_BIT {
            self.short += 1;
        }
        if self.runs.len() < LEARNT {
            self.runs.push(long);
        }
    }

    /// A bit, and the time from packet to packet.
    pub(crate) fn found(&self, edges: u64) -> Option<(Ps, Ps)> {
        if edges < FEWEST || self.short * 4 < edges * 3 {
            return None;
        }
        let mut runs = self.runs.clone();
        runs.sort_unstable();
        // The shortest but for a few glitches.
        let shortest = *runs.get(runs.len() / 50)?;
        let bits: Vec<Ps> = runs.iter().copied().filter(|run| *run < shortest + shortest / 2).collect();
        let bit = *bits.get(bits.len() / 2)?;
        if bit == 0 || bit > SLOWEST_BIT {
            return None;
        }
        let whole = |run: &&Ps| {
            let times = (**run + bit / 2) / bit;
            times >= 1 && run.abs_diff(times * bit) * 4 <= bit && times <= 200
        };
        let fits = runs.iter().filter(whole).count();
        if fits * 10 < runs.len() * 9 {
            return None;
        }
        let packet = match (self.first_packet, self.packets) {
            (Some(first), packets) if packets > 1 => (self.last_packet - first) / (packets - 1),
            _ => 0,
        };
        Some((bit, packet))
    }
}
