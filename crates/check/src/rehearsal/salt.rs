//! How much salt is in the water she is sailed in, and in that in which she was weighed.
//!
//! What a word says of it: the Venice system of 1958 for the classification of marine waters (from memory): fresh up
//! to half a gram in a kilogram, brackish up to thirty, the sea up to forty. A conductivity says it better: by the
//! scale of 1978, read at 25 °C, to which most meters reckon, or at the water's own warmth, whichever is worse.

use super::corner::Salt;
use crate::physics::radio::SiemensPerMetre;
use crate::physics::units::Celsius;
use crate::physics::water::practical_salinity;
use crate::setup::quantity::{About, MicrosiemensPerCm};
use crate::setup::{Setup, Water};

/// Grams of salt in a kilogram of water, practical salinity: in the middle, least, most.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Salts(pub(super) [f64; 3]);

/// Of the ocean.
const OCEAN: f64 = 35.0;
/// By word.
const FRESH: Salts = Salts([0.0, 0.0, 0.5]);
const BRACKISH: Salts = Salts([15.0, 0.5, 30.0]);
const SEA: Salts = Salts([OCEAN, 30.0, 40.0]);
/// The most that the formulas answer for.
const MOST: f64 = 42.0;
/// Of a conductivity without a tolerance, as for the radio.
const MEASURED_OFF: f64 = 0.2;
/// To what most meters reckon.
const READ_AT: f64 = 25.0;

impl Salts {
    const fn only(grams: f64) -> Self {
        Self([grams; 3])
    }

    /// One of the three.
    pub(super) fn at(self, salt: Salt) -> f64 {
        let [middle, least, most] = self.0;
        match salt {
            Salt::Middle => middle,
            Salt::Least => least,
            Salt::Most => most,
        }
    }

    /// Whether it is not known to a value.
    pub(super) fn is_range(self) -> bool {
        self.0[2] > self.0[1]
    }

    fn by_word(water: Water) -> Self {
        match water {
            Water::Fresh => FRESH,
            Water::Brackish => BRACKISH,
            Water::Sea => SEA,
        }
    }

    fn measured(conducts: &About<MicrosiemensPerCm>, between: [f64; 2]) -> Self {
        let (value, off) = (conducts.value.0.to_f64(), conducts.off.0.to_f64());
        let off = if off > 0.0 { off } else { value * MEASURED_OFF };
        let salt = |value: f64, at: f64| {
            practical_salinity(SiemensPerMetre::from_us_per_cm(value), Celsius(at)).min(MOST)
        };
        let [cold, warm] = between;
        Self([
            salt(value, READ_AT),
            salt((value - off).max(0.0), warm.max(READ_AT)),
            salt(value + off, cold.min(READ_AT)),
        ])
    }
}

/// The salt of the water she is sailed in. A word alone leaves a range where she may have been weighed in other
/// water; in the same water of that word it hardly counts, but for that of brackish.
pub(super) fn sailed(setup: &Setup) -> Salts {
    let water = setup.boat.water;
    if let Some(conducts) = &setup.boat.conductivity {
        let warmth = setup.hull.water.as_ref().map(|[cold, warm]| [cold.0.to_f64(), warm.0.to_f64()]);
        let found = Salts::measured(conducts, warmth.unwrap_or([READ_AT; 2]));
        // A pond whose salt is that of fresh water is fresh water.
        if water != Water::Fresh || found.0[0] > FRESH.0[2] {
            return found;
        }
    }
    match water {
        Water::Fresh => Salts::only(0.0),
        Water::Brackish => BRACKISH,
        Water::Sea if weighed(setup).is_some() => SEA,
        Water::Sea => Salts::only(OCEAN),
    }
}

/// The salt of the water in which she was weighed; `None`: it was that of the water she is sailed in.
pub(super) fn weighed(setup: &Setup) -> Option<Salts> {
    let (hull, boat) = (&setup.hull, &setup.boat);
    if let Some(conducts) = &hull.weighed_conductivity {
        let at = hull.weighed_at.as_ref().map_or(READ_AT, |at| at.0.to_f64());
        return Some(Salts::measured(conducts, [at; 2]));
    }
    let water = hull.weighed_in?;
    // Two waters of one name are alike, but for brackish ones and what a meter found in one of them.
    let alike = water == boat.water && water != Water::Brackish;
    (!alike || boat.conductivity.is_some()).then(|| Salts::by_word(water))
}
