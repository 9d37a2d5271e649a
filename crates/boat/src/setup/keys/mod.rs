//! The keys of the boat file, each declared once: what it means, what may follow, what its absence means,
//! and an example. The reader takes its lists of keys and its hints from here, the schema its shapes and
//! words, `lidcard explain` its pages.
//!
//! To add a key, add its line to the part it belongs to; the reader then knows it, and only what is done with
//! the value is left to write.

pub(in crate::setup) mod boat;
pub(in crate::setup) mod channel;
pub(in crate::setup) mod control;
pub(in crate::setup) mod device;
mod example;
pub(in crate::setup) mod file;
pub(in crate::setup) mod loss;
mod places;
pub(in crate::setup) mod quantity;
pub mod range;
pub mod terms;
pub mod trade;
pub(in crate::setup) mod transmitter;
pub(in crate::setup) mod water;
pub(in crate::setup) mod work;

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;

pub use places::{KeyPlace, effects, places};
use quantity::Quantity;

/// A block of the file with keys of its own.
#[derive(Debug)]
pub struct Part {
    /// What the schema calls it; empty for the file as a whole.
    pub name: &'static str,
    /// What it is.
    pub about: &'static str,
    /// What may stand in it.
    pub keys: &'static [Key],
    /// Sets of keys of which exactly one has to be there.
    pub(in crate::setup) either: &'static [&'static [&'static str]],
    /// The least that makes one, beside which an example stands.
    least: Pairs,
    /// The section of the file around it, with `...` in its place.
    around: &'static str,
}

/// A key of the boat file.
#[derive(Debug)]
pub struct Key {
    /// As it is written.
    pub name: &'static str,
    /// What it means to a builder, in whole sentences.
    pub about: &'static str,
    /// What sort of statement it is.
    pub sort: Sort,
    /// What may follow.
    pub takes: Takes,
    /// What it means when the key is not there.
    pub without: Without,
    /// What may follow, as on a boat.
    pub example: &'static str,
    /// What it stands for when it is left out, where verdicts may hang on it.
    pub range: Option<&'static range::Range>,
    /// What stands beside the example where the least of the part would not do.
    beside: Option<Pairs>,
}

/// Keys with their values.
type Pairs = &'static [(&'static str, &'static str)];

/// What sort of statement a key makes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sort {
    /// A number that was measured, or dialled into the set.
    Figure,
    /// Something that is there: a device, a function of it, a mix, a stage.
    Part,
    /// Which way something is: a side, a kind, a choice.
    Fact,
    /// A text for people; nothing is judged by it.
    Remark,
}

/// What it means when a key is not there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Without {
    /// It has to be there.
    Needed,
    /// It has to be there, or the keys that are named here.
    NeededOr(&'static str),
    /// This value is taken.
    Taken(&'static str),
    /// What that says of the boat, or leaves unsaid, as the end of "left out: …".
    Means(&'static str),
}

/// What may follow a key.
#[derive(Debug)]
pub enum Takes {
    /// The version of the format.
    Version,
    /// A word or a text.
    Text,
    /// `yes` or `no`.
    YesNo,
    /// A day: `2026-05-02`.
    Date,
    /// A whole number from one to this.
    Count(u32),
    /// The number of a channel.
    ChannelNumber,
    /// What is seen at the boat.
    Effect,
    /// Switches with the settings that have to hold.
    Conditions,
    /// One switch with one setting.
    Condition,
    /// The settings of a switch.
    Settings,
    /// How much of the stick counts, by way and by setting.
    Rate,
    /// A number with its unit.
    Quantity(&'static Quantity),
    /// One of a closed list.
    Words(fn() -> Vec<&'static str>),
    /// This word.
    Word(&'static str),
    /// A block with keys of its own.
    Block(&'static Part),
    /// A device: its keys hang on its kind.
    Device,
    /// Something under names of the builder's own: what to call the name, how many there have to be.
    Named(&'static str, usize, &'static Takes),
    /// Works, under names without a point: that stands between a device and its work.
    Works,
    /// Something under the numbers of channels: how many there have to be.
    Numbered(usize, &'static Takes),
    /// Positions under the numbers of channels, beside the keys of a block.
    NumberedAnd(&'static Part, &'static Takes),
    /// A list of at least so many.
    List(usize, &'static Takes),
    /// Exactly two.
    Pair(&'static Takes),
    /// One, or a list of them.
    OneOrList(&'static Takes),
    /// One of several.
    Either(&'static [Takes]),
    /// Pressures with what a pump moves against them.
    Flow,
}

/// The words of one of the reader's tables.
pub(in crate::setup) fn words_of<T>(table: &[(&'static str, T)]) -> Vec<&'static str> {
    table.iter().map(|(word, _)| *word).collect()
}

impl Part {
    /// The key of a name.
    pub fn key(&self, name: &str) -> Option<&'static Key> {
        self.keys.iter().find(|key| key.name == name)
    }

    /// The names of all keys.
    pub fn names(&self) -> Vec<&'static str> {
        self.keys.iter().map(|key| key.name).collect()
    }

    /// The names of the keys that have to be there.
    pub(in crate::setup) fn needed(&self) -> Vec<&'static str> {
        let needed = self.keys.iter().filter(|key| key.without == Without::Needed);
        needed.map(|key| key.name).collect()
    }
}

/// A maker for each sort of key, by which the tables read as a list of sorts and names.
macro_rules! of_sort {
    ($($name:ident $sort:ident)*) => {$(
        const fn $name(
            name: &'static str,
            about: &'static str,
            takes: Takes,
            without: Without,
            example: &'static str,
        ) -> Key {
            Key { name, about, sort: Sort::$sort, takes, without, example, range: None, beside: None }
        }
    )*};
}

of_sort! {
    figure Figure
    part Part
    fact Fact
    remark Remark
}

impl Key {
    /// The same with an example that stands beside other keys than the least of its part.
    const fn beside(mut self, pairs: Pairs) -> Self {
        self.beside = Some(pairs);
        self
    }
}
