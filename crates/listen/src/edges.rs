//! One line of a recording: its edges, freed from glitches, and what they turn out to be.

use crate::serial::Serial;
use crate::stream::{Hears, Stream};
use crate::train::Train;
use crate::{Ps, US};

/// What was heard on a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// Its name in the recording.
    pub name: String,
    /// Its edges.
    pub edges: u64,
    /// Runs too short for any pulse, in which it went somewhere and back.
    pub glitches: u64,
    /// When it first changed.
    pub first_edge: Option<Ps>,
    /// What it is.
    pub kind: Kind,
}

/// What a line is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Nothing moves; high or low.
    Quiet(bool),
    /// It changes now and then, as a switch does.
    Switch,
    /// Pulses of one channel.
    Channel(Stream),
    /// Pulses of several channels, one after the other in each frame.
    Train(Vec<Stream>),
    /// A serial bus: the shortest bit, and how often a packet of it comes.
    Serial {
        /// One bit.
        bit: Ps,
        /// From packet to packet; nothing where there is none.
        packet: Ps,
    },
    /// Edges without any order.
    Noise,
}

/// A shorter run is no part of a servo pulse and of no mark of a train (common practice, no source).
const GLITCH: Ps = 60 * US;

/// So many edges are a hand's.
const FEW: u64 = 8;

pub(crate) struct Listener {
    name: String,
    level: Option<bool>,
    edges: u64,
    glitches: u64,
    first_edge: Option<Ps>,
    last_edge: Ps,
    /// An edge that may turn out to be one half of a glitch.
    pending: Option<(Ps, bool)>,
    hears: Hears,
    train: Train,
    serial: Serial,
}

impl Listener {
    pub(crate) fn new(name: String) -> Self {
        Self {
            name,
            level: None,
            edges: 0,
            glitches: 0,
            first_edge: None,
            last_edge: 0,
            pending: None,
            hears: Hears::default(),
            train: Train::default(),
            serial: Serial::default(),
        }
    }

    /// Takes a level; whether it was a change.
    pub(crate) fn level(&mut self, now: Ps, high: bool) -> bool {
        let before = self.level.replace(high);
        if before.is_none() || before == Some(high) {
            return false;
        }
        if self.edges > 0 {
            self.serial.run(now, now - self.last_edge);
        }
        self.edges += 1;
        self.first_edge.get_or_insert(now);
        self.last_edge = now;
        match self.pending.take() {
            Some((at, _)) if now - at < GLITCH => self.glitches += 1,
            Some((at, up)) => {
                self.edge(at, up);
                self.pending = Some((now, high));
            }
            None => self.pending = Some((now, high)),
        }
        true
    }

    fn edge(&mut self, at: Ps, up: bool) {
        if up {
            self.hears.rise(at);
            self.train.rise(at);
        } else {
            self.hears.fall(at);
        }
    }

    pub(crate) fn heard(mut self, length: Ps) -> Line {
        if let Some((at, up)) = self.pending.take() {
            self.edge(at, up);
        }
        let kind = self.kind(length);
        Line {
            name: self.name,
            edges: self.edges,
            glitches: self.glitches,
            first_edge: self.first_edge,
            kind,
        }
    }

    fn kind(&mut self, length: Ps) -> Kind {
        if self.edges == 0 {
            return Kind::Quiet(self.level == Some(true));
        }
        if self.edges <= FEW {
            return Kind::Switch;
        }
        if let Some((bit, packet)) = self.serial.found(self.edges) {
            return Kind::Serial { bit, packet };
        }
        let train = std::mem::take(&mut self.train);
        if let Some(channels) = train.channels(length) {
            return Kind::Train(channels);
        }
        let hears = std::mem::take(&mut self.hears);
        hears.channel(length).map_or(Kind::Noise, Kind::Channel)
    }
}
