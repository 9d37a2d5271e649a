//! What a reading is judged by where the file lacks figures: the set-up as read has them at their best, and no reading
//! is called safe that is not so with all of them at their worst.

use super::judge::{Room, Safe, worse};
use crate::question::Engine;
use crate::question::worlds::World;
use crate::setup::Setup;

/// The set-ups beside the one that was read.
pub struct Worlds {
    /// With all that is missing at its worst.
    worst: Vec<World>,
    /// With one figure alone at its worst, and its key.
    alone: Vec<(String, World)>,
}

impl Worlds {
    /// Those of a set-up; none where the file lacks nothing.
    pub fn of(setup: &Setup) -> Self {
        let worst = World::worst(setup).into_iter().map(|figures| World::with(setup, figures));
        let alone = setup.unknown.iter().map(|unknown| {
            let figures = vec![(unknown.figure, unknown.figure.steps())];
            (unknown.path.0.join("."), World::with(setup, figures))
        });
        Self { worst: worst.collect(), alone: alone.collect() }
    }
}

/// An engine for each of them.
pub struct Premises<'a> {
    /// That of the set-up as read.
    pub read: &'a Engine<'a>,
    worst: Vec<Engine<'a>>,
    alone: Vec<(&'a str, Engine<'a>)>,
}

impl<'a> Premises<'a> {
    /// Those of a set-up.
    pub fn of(read: &'a Engine<'a>, worlds: &'a Worlds) -> Self {
        let worst = worlds.worst.iter().map(|world| world.engine(read)).collect();
        let alone = worlds.alone.iter().map(|(key, world)| (key.as_str(), world.engine(read))).collect();
        Self { read, worst, alone }
    }

    /// A verdict by the room that something has in each of the set-ups. Where it is safe in the one that was read and
    /// not in every other the figures that turn it are named: each that does so alone, else all that are missing.
    pub fn safe(&self, room: impl Fn(&Engine) -> Room, by: impl Fn(&Room) -> Safe) -> Safe {
        let of = |engine: &Engine| by(&room(engine));
        let read = of(self.read);
        if !read.is_good() {
            return read;
        }
        let worst = self.worst.iter().map(&of).fold(read, worse);
        if worst.is_good() {
            return worst;
        }
        let turning = self.alone.iter().filter(|(_, engine)| !of(engine).is_good());
        let mut keys: Vec<String> = turning.map(|(key, _)| (*key).to_owned()).collect();
        if keys.is_empty() {
            keys = self.alone.iter().map(|(key, _)| (*key).to_owned()).collect();
        }
        keys.dedup();
        Safe::NotJudged(keys)
    }
}
