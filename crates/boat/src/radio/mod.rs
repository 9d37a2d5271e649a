//! Which frequencies a model may be steered on, region by region, and how far they reach into water.
//!
//! Law changes, and so do the tables made of it: every band says where it comes from and when that
//! was read, and everything printed from it sends the reader to the rules of the own country.
//! Frequencies are whole hertz, so that no comparison rounds.

mod tables;
pub mod water;

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;

/// When the sources of the tables were read.
pub const READ: &str = "2026-11-25";

/// What every text about the law ends with.
pub const DEFER: &str = "check your own country's rules";

/// Where a table applies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Region {
    /// What the European administrations (CEPT) agreed on for all.
    Europe,
    /// United Kingdom.
    Uk,
    /// United States.
    Us,
    /// Switzerland.
    Switzerland,
    /// Germany.
    Germany,
    /// France.
    France,
    /// Belgium.
    Belgium,
    /// Australia.
    Australia,
}

/// The regions by the word that the file uses.
pub const REGIONS: &[(&str, Region)] = &[
    ("europe", Region::Europe),
    ("uk", Region::Uk),
    ("us", Region::Us),
    ("switzerland", Region::Switzerland),
    ("germany", Region::Germany),
    ("france", Region::France),
    ("belgium", Region::Belgium),
    ("australia", Region::Australia),
];

/// Which models a band is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Use {
    /// Any model.
    Any,
    /// Aircraft, nothing else.
    AirOnly,
    /// Anything but aircraft. A submarine is a surface craft to the law, however deep she goes.
    SurfaceOnly,
}

/// The frequencies of a band, in hertz.
#[derive(Clone, Copy, Debug)]
pub enum Spots {
    /// These and no others.
    List(&'static [i64]),
    /// So many, one step apart.
    Steps {
        /// The first.
        first: i64,
        /// From one to the next.
        step: i64,
        /// How many.
        count: i64,
    },
    /// Anything from the first to the second: the set chooses, or the source names no centres.
    Anywhere(i64, i64),
}

/// A band of one region.
#[derive(Clone, Copy, Debug)]
pub struct Band {
    /// What it is called.
    pub name: &'static str,
    /// Lower and upper edge in hertz; between them no other use of the region's tables.
    pub edges: [i64; 2],
    /// Its frequencies.
    pub spots: Spots,
    /// From one channel to the next in hertz; `None` where sets share the band by themselves.
    pub spacing: Option<i64>,
    /// The number of the first channel, where channels have numbers that rise by one.
    pub first_number: Option<i64>,
    /// Which models it is for.
    pub usage: Use,
    /// Where it comes from.
    pub source: &'static str,
    /// What of it was not read anywhere but written down from memory.
    pub from_memory: Option<&'static str>,
}

impl Region {
    /// Its word in the file.
    pub fn word(self) -> &'static str {
        REGIONS.iter().find(|(_, region)| *region == self).map_or("", |(word, _)| word)
    }

    /// Its bands, in no particular order.
    pub fn bands(self) -> impl Iterator<Item = &'static Band> {
        tables::of(self).iter().flat_map(|part| part.iter())
    }

    /// The band that a frequency lies in, channel or not. Where bands overlap, one that has the
    /// frequency as a channel comes first.
    pub fn band_at(self, hertz: i64) -> Option<&'static Band> {
        let within = || self.bands().filter(move |b| b.edges[0] <= hertz && hertz <= b.edges[1]);
        within().find(|b| b.has(hertz)).or_else(|| within().next())
    }

    /// The nearest frequencies for a boat below and above.
    pub fn nearest_for_boats(self, hertz: i64) -> [Option<(i64, &'static Band)>; 2] {
        let near = || self.bands().filter(|b| b.usage != Use::AirOnly).map(|b| (b.around(hertz), b));
        [
            near().filter_map(|(n, b)| n[0].map(|f| (f, b))).max_by_key(|(f, _)| *f),
            near().filter_map(|(n, b)| n[1].map(|f| (f, b))).min_by_key(|(f, _)| *f),
        ]
    }
}

impl Band {
    /// Whether it is one of the band's frequencies.
    pub fn has(&self, hertz: i64) -> bool {
        match self.spots {
            Spots::List(list) => list.contains(&hertz),
            Spots::Steps { first, step, count } => {
                let away = hertz - first;
                away % step == 0 && (0..count).contains(&(away / step))
            }
            Spots::Anywhere(low, high) => (low..=high).contains(&hertz),
        }
    }

    /// The number of a channel, where channels have one.
    pub fn number(&self, hertz: i64) -> Option<i64> {
        let Spots::Steps { first, step, .. } = self.spots else { return None };
        Some(self.first_number? + (hertz - first) / step).filter(|_| self.has(hertz))
    }

    /// Its nearest frequencies: not above, and not below.
    fn around(&self, hertz: i64) -> [Option<i64>; 2] {
        let nearest = |all: &mut dyn Iterator<Item = i64>| {
            let mut found = [None, None];
            for spot in all {
                if spot <= hertz {
                    found[0] = found[0].max(Some(spot));
                }
                if spot >= hertz && found[1].is_none_or(|f| spot < f) {
                    found[1] = Some(spot);
                }
            }
            found
        };
        match self.spots {
            Spots::List(list) => nearest(&mut list.iter().copied()),
            Spots::Steps { first, step, count } => nearest(&mut (0..count).map(|k| first + k * step)),
            Spots::Anywhere(low, high) if low <= hertz && hertz <= high => [Some(hertz), Some(hertz)],
            Spots::Anywhere(low, high) => nearest(&mut [low, high].into_iter()),
        }
    }

    /// `ERC/DEC/(01)12, read 2026-11-25`, and what of it is from memory.
    pub fn origin(&self) -> String {
        match self.from_memory {
            Some(what) => format!("{}, read {READ}; {what} from memory", self.source),
            None => format!("{}, read {READ}", self.source),
        }
    }
}

/// `40.665 MHz`, `2.4 GHz`: megahertz with three digits at least, as crystals are marked.
pub fn shown(hertz: i64) -> String {
    if hertz >= 1_000_000_000 {
        let part = format!("{:09}", hertz % 1_000_000_000);
        let text = format!("{}.{}", hertz / 1_000_000_000, part.trim_end_matches('0'));
        return format!("{} GHz", text.trim_end_matches('.'));
    }
    let part = format!("{:06}", hertz % 1_000_000);
    let (first, rest) = part.split_at(3);
    format!("{}.{first}{} MHz", hertz / 1_000_000, rest.trim_end_matches('0'))
}
