//! Who is in whose way on the air, when several boats sail on one day.
//!
//! Two strong transmitters mix in every receiver near them, and the strongest of what comes of it
//! lies at twice the one less the other, and at two less a third: among the channels themselves. So
//! a free channel is not yet a quiet one.

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;

use crate::radio::{Band, DEFER, READ, REGIONS, Region, Use, shown};
use crate::setup::{BoatKind, Setup};

/// Where no table names a spacing: that of most of them.
const USUAL_SPACING: i64 = 10_000;

/// Mixtures of three grow with the third power; no pond has this many frequencies at once.
pub const MOST: usize = 100;

/// A boat and the channel she is on.
#[derive(Clone, Debug)]
pub struct Boat {
    /// The file.
    pub file: String,
    /// Her name.
    pub name: String,
    /// Her transmitter's region.
    pub region: Option<Region>,
    /// Her frequency.
    pub hertz: Option<i64>,
    /// From one channel to the next in her band; `None` where sets share it by themselves.
    pub spacing: Option<i64>,
    /// Of a model that may fly, nothing is said about aircraft bands.
    flies_perhaps: bool,
}

/// What sort of conflict; in the order in which they are listed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Two boats on one frequency.
    SameFrequency,
    /// Two boats too near to each other.
    AdjacentChannels,
    /// Others mix onto a boat.
    Intermodulation,
    /// A boat in a band kept for aircraft.
    AircraftBand,
}

impl Kind {
    /// Its word for machines.
    pub fn word(self) -> &'static str {
        match self {
            Kind::SameFrequency => "same-frequency",
            Kind::AdjacentChannels => "adjacent-channels",
            Kind::Intermodulation => "intermodulation",
            Kind::AircraftBand => "aircraft-band",
        }
    }
}

/// Something that keeps boats from sailing together.
#[derive(Clone, Debug)]
pub struct Conflict {
    /// What sort.
    pub kind: Kind,
    /// The boats that suffer, by index in [`Pond::boats`].
    pub boats: Vec<usize>,
    /// What happens, one sentence without a full stop.
    pub message: String,
    /// For a mixture: every sum that hits, `2 x 41.060 - 41.100 MHz`.
    pub sums: Vec<String>,
    /// What to do.
    pub help: String,
}

/// A day's peg board.
#[derive(Clone, Debug)]
pub struct Pond {
    /// The boats by frequency; those without one last.
    pub boats: Vec<Boat>,
    /// What is wrong, by sort and then by frequency.
    pub conflicts: Vec<Conflict>,
}

impl Boat {
    /// Of a file that was read.
    pub fn of(file: &str, setup: &Setup) -> Self {
        let set = &setup.transmitter;
        let band = set.hertz.and_then(|hertz| band(set.region, hertz));
        Self {
            file: file.to_owned(),
            name: setup.boat.name.clone(),
            region: set.region,
            hertz: set.hertz,
            spacing: band.map_or(Some(USUAL_SPACING), |b| b.spacing),
            flies_perhaps: setup.boat.kind == BoatKind::Other,
        }
    }

    /// Frequency and spacing, where a frequency is hers alone.
    fn channel(&self) -> Option<(i64, i64)> {
        Some((self.hertz?, self.spacing?))
    }

    fn aircraft_band(&self) -> Option<&'static Band> {
        let band = self.region?.band_at(self.hertz?)?;
        Some(band).filter(|b| b.usage == Use::AirOnly && !self.flies_perhaps)
    }
}

/// A file without a region is looked up in the first table that knows the band: only its spacing is
/// taken from there.
fn band(region: Option<Region>, hertz: i64) -> Option<&'static Band> {
    match region {
        Some(region) => region.band_at(hertz),
        None => REGIONS.iter().find_map(|(_, region)| region.band_at(hertz)),
    }
}

/// Lays out the board. `None` if there are more than [`MOST`] frequencies on it.
pub fn pond(mut boats: Vec<Boat>) -> Option<Pond> {
    boats.sort_by(|a, b| {
        let key = |boat: &Boat| (boat.hertz.is_none(), boat.hertz);
        key(a).cmp(&key(b)).then_with(|| (&a.name, &a.file).cmp(&(&b.name, &b.file)))
    });
    let mut used: Vec<i64> = boats.iter().filter_map(|b| b.channel().map(|(hertz, _)| hertz)).collect();
    used.dedup();
    if used.len() > MOST {
        return None;
    }
    let mut conflicts = Vec::new();
    pairs(&boats, &mut conflicts);
    for victim in &used {
        conflicts.extend(mixture(&boats, &used, *victim));
    }
    conflicts.extend(boats.iter().enumerate().filter_map(aircraft));
    conflicts.sort_by_key(|c| c.kind);
    Some(Pond { boats, conflicts })
}

fn pairs(boats: &[Boat], conflicts: &mut Vec<Conflict>) {
    for (i, one) in boats.iter().enumerate() {
        let Some((low, spacing)) = one.channel() else { continue };
        for (j, other) in boats.iter().enumerate().skip(i + 1) {
            let Some((high, its)) = other.channel() else { continue };
            let spacing = spacing.max(its);
            let gap = high - low;
            if gap == 0 {
                conflicts.push(Conflict {
                    kind: Kind::SameFrequency,
                    boats: vec![i, j],
                    message: format!(
                        "{} and {} are both on {}",
                        called(boats, i),
                        called(boats, j),
                        shown(low)
                    ),
                    sums: Vec::new(),
                    help: "one peg, one boat: change one of them, or sail in turn".to_owned(),
                });
            } else if 2 * gap < 3 * spacing {
                conflicts.push(Conflict {
                    kind: Kind::AdjacentChannels,
                    boats: vec![i, j],
                    message: format!(
                        "{} on {} and {} on {} are {} kHz apart, where channels lie {} kHz apart",
                        called(boats, i),
                        shown(low),
                        called(boats, j),
                        shown(high),
                        kilohertz(gap),
                        kilohertz(spacing)
                    ),
                    sums: Vec::new(),
                    help: "leave a channel free between them, or sail in turn".to_owned(),
                });
            }
        }
    }
}

/// Everything that mixes onto one frequency, in one conflict: on a full pond there are hundreds.
fn mixture(boats: &[Boat], used: &[i64], victim: i64) -> Option<Conflict> {
    let hit: Vec<usize> = (0..boats.len()).filter(|i| boats[*i].hertz == Some(victim)).collect();
    let spacing = hit.iter().filter_map(|i| boats[*i].spacing).max()?;
    let hits = |product: i64| 2 * (product - victim).abs() <= spacing;
    let others: Vec<i64> = used.iter().copied().filter(|f| *f != victim).collect();
    let mut sums = Vec::new();
    for a in &others {
        for b in others.iter().filter(|b| *b != a && hits(2 * a - *b)) {
            sums.push(format!("2 x {} - {}", bare(*a), shown(*b)));
        }
    }
    for (index, a) in others.iter().enumerate() {
        for b in &others[index + 1..] {
            for c in others.iter().filter(|c| *c != a && *c != b && hits(a + b - *c)) {
                sums.push(format!("{} + {} - {}", bare(*a), bare(*b), shown(*c)));
            }
        }
    }
    let first = sums.first()?;
    let names: Vec<String> = hit.iter().map(|i| called(boats, *i)).collect();
    let more = match sums.len() {
        1 => String::new(),
        count => format!(" and {} more", count - 1),
    };
    Some(Conflict {
        kind: Kind::Intermodulation,
        message: format!(
            "other transmitters mix onto {} on {}: {first}{more}",
            names.join(" and "),
            shown(victim)
        ),
        boats: hit,
        sums,
        help:
            "move one of them to a channel that no sum of the others hits, stand well apart, or sail in turn"
                .to_owned(),
    })
}

fn aircraft((index, boat): (usize, &Boat)) -> Option<Conflict> {
    let band = boat.aircraft_band()?;
    Some(Conflict {
        kind: Kind::AircraftBand,
        boats: vec![index],
        message: format!(
            "{} on {} is in a band that {} keeps for aircraft ({}, read {READ})",
            boat.name,
            shown(boat.hertz?),
            boat.region?.word(),
            band.source
        ),
        sums: Vec::new(),
        help: format!("do not switch it on; {DEFER}"),
    })
}

/// A boat's name, with her file where two bear the same.
fn called(boats: &[Boat], index: usize) -> String {
    let Boat { name, file, .. } = &boats[index];
    let namesakes = boats.iter().filter(|b| b.name == *name).count();
    if namesakes > 1 { format!("{name} ({file})") } else { name.clone() }
}

/// Megahertz without the unit, for sums.
fn bare(hertz: i64) -> String {
    let text = shown(hertz);
    text.split(' ').next().map_or(text.clone(), str::to_owned)
}

fn kilohertz(hertz: i64) -> String {
    let part = format!("{:03}", hertz % 1000);
    let text = format!("{}.{}", hertz / 1000, part.trim_end_matches('0'));
    text.trim_end_matches('.').to_owned()
}
