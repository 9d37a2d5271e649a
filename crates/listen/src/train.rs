//! A pulse train: marks, and from mark to mark one channel after the other; a long pause ends the frame.

use crate::Ps;
use crate::stream::{Hears, PULSE, Stream};

/// More channels than any train has.
const MOST: usize = 24;
/// Fewer frames tell nothing.
const FEWEST: u64 = 8;

#[derive(Clone, Debug, Default)]
pub(crate) struct Train {
    before: Option<Ps>,
    /// Where the channels of this frame begin, and how long they are; not before the first pause was heard.
    frame: Option<Vec<(Ps, Ps)>>,
    channels: Vec<Hears>,
    /// By how many channels they have, how many frames.
    frames: Vec<u64>,
}

impl Train {
    pub(crate) fn rise(&mut self, at: Ps) {
        let Some(before) = self.before.replace(at) else { return };
        let width = at - before;
        if (PULSE[0]..=PULSE[1]).contains(&width) {
            if let Some(frame) = self.frame.as_mut().filter(|frame| frame.len() < MOST) {
                frame.push((before, width));
            }
            return;
        }
        let whole = width > PULSE[1];
        let frame = self.frame.replace(Vec::new()).filter(|_| whole).unwrap_or_default();
        if self.frames.is_empty() {
            self.frames = vec![0; MOST + 1];
        }
        self.frames[frame.len()] += 1;
        for (n, (at, width)) in frame.into_iter().enumerate() {
            if n == self.channels.len() {
                self.channels.push(Hears::default());
            }
            self.channels[n].pulse(at, width);
        }
    }

    /// The channels, where it is a train: at least two in almost every frame.
    pub(crate) fn channels(self, length: Ps) -> Option<Vec<Stream>> {
        let most = (0..self.frames.len()).max_by_key(|&n| (self.frames[n], n)).filter(|n| *n >= 2)?;
        let total: u64 = self.frames.iter().sum();
        if self.frames[most] < FEWEST || self.frames[most] * 4 < total * 3 {
            return None;
        }
        self.channels.into_iter().take(most).map(|channel| channel.channel(length)).collect()
    }
}
