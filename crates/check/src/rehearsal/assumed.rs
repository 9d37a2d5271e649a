//! What is taken for granted because the file has no word for it.

use crate::physics::units::{Seconds, figures};
use std::fmt;

/// Something taken for granted.
#[derive(Clone, Debug, PartialEq)]
pub enum Assumption {
    /// Still water, level hull, no bottom, nothing let in by a vent, the tank open to the water below.
    Plain,
    /// The water has these degrees, as the file gives none: in the middle, coldest, warmest.
    Water([f64; 3]),
    /// The salt of the water, in grams in a kilogram: in the middle, least, most.
    Salt([f64; 3]),
    /// The salt of the water she was weighed in, likewise.
    WeighedSalt([f64; 3]),
    /// She weighs with her tank full what the water weighs that she displaces.
    Neutral,
    /// Her drag coefficient by her shadow from above: nominal, least, greatest.
    Drag([f64; 3]),
    /// The discharge coefficient of the hole: nominal, least, greatest.
    Hole([f64; 3]),
    /// The bottle is full at the start.
    FullBottle,
    /// The gas stays as warm as the water in the nominal case and cools as far as it can in the worst.
    GasHeat,
    /// In the worst case she goes on down for as long as the motor runs, and then by a way that fades with a
    /// drag coefficient by her section: nominal, least, greatest.
    WayOn([f64; 3]),
    /// A pump's air, as the file does not say where it comes from: from a snorkel or from the hull.
    Air {
        /// The pump and where it stands.
        work: String,
        /// From a snorkel, which she has.
        snorkel: bool,
    },
    /// What becomes of the channels of the unit when its last stage is over.
    Released {
        /// The pilot's controls have them again, or what the receiver heard last.
        to_hand: bool,
    },
    /// A low battery drives pump and servos as the one with which they were measured.
    FullVolts,
    /// Pumps run on the voltage of the low battery, servos as on the one with which they were measured.
    LowVolts,
    /// Water leaks in from the cause on, until she is up.
    Leaks,
    /// A vent that is open lets the air out of the tank at once.
    Vented,
    /// A weight that is let go lifts her at once by what it pulls in water, and takes no more than that of her mass.
    Dropped,
    /// She was weighed in water as warm or as cold as makes it worse.
    Weighed,
    /// She was weighed in the water she is sailed in.
    SameWater,
    /// Her hull grows with warmth not at all or as much as ABS, whichever is worse.
    Material,
    /// Liquid does not leave a bottle that lies on its side.
    Upright,
    /// The water that leaks in weighs nothing.
    NoLeak,
    /// Delays that the file does not give are none, the best that they can be.
    NoWait,
    /// On low battery and leak the unit waits as it does on a lost link.
    UnitWaits(Seconds),
}

impl fmt::Display for Assumption {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let three = |[n, low, high]: [f64; 3]| {
            format!("{} (worst case {} to {})", figures(n, 2), figures(low, 2), figures(high, 2))
        };
        let salt = |s: &[f64; 3]| match s {
            [middle, least, most] if least < most => three([*middle, *least, *most]),
            [middle, ..] => figures(*middle, 2),
        };
        match self {
            Self::Plain => f.write_str(
                "still water, a level hull, no bottom, no weed; the tank is open to the water below; not reckoned, by their consequence: air trapped in casing and tank, which shrinks as she goes down, a hull that pitches and spills its air, foam that the water squeezes, the weight of a bottle's walls",
            ),
            Self::Water(t) => write!(f, "the water has {} degC, as hull.water is not given", three(*t)),
            Self::Salt(s) => write!(f, "the water has {} g of salt in a kilogram", salt(s)),
            Self::WeighedSalt(s) => {
                write!(f, "she was weighed in water with {} g of salt in a kilogram", salt(s))
            }
            Self::Neutral => f.write_str("she floats level with the tank full, in the water in which that was tried, as hull.heavy is not given"),
            Self::Drag(c) => write!(
                f,
                "drag coefficient {} of length times beam, that of a cylinder from the side",
                three(*c)
            ),
            Self::Hole(c) => write!(f, "discharge coefficient of the hole {}", three(*c)),
            Self::FullBottle => f.write_str("the bottle is full at the start"),
            Self::GasHeat => f.write_str(
                "the gas stays as warm as the water; in the worst case it takes all its heat from itself",
            ),
            Self::WayOn(c) => write!(
                f,
                "in the worst case she goes on down at hull.dives_at until the motor stands, and then with her planes left at dive and a way that fades, by a drag coefficient {} of her section",
                three(*c)
            ),
            Self::Air { work, snorkel: true } => write!(
                f,
                "{work} takes its air through the snorkel, as its `air` is not given: under water it moves nothing"
            ),
            Self::Air { work, snorkel: false } => {
                write!(f, "{work} takes its air from the hull, as its `air` is not given")
            }
            Self::Released { to_hand: true } => f.write_str(
                "when the last stage is over the sticks are at rest; in the worst case they switch off what raises her",
            ),
            Self::Released { to_hand: false } => f.write_str(
                "when the last stage is over the servos stay where they are; in the worst case nothing raises her from then on",
            ),
            Self::FullVolts => f.write_str("pumps and servos go as they were measured, whatever is left in the battery"),
            Self::LowVolts => f.write_str(
                "pumps run on what the battery gives, in the worst case and when it is low on the voltage at which the unit acts or on the end of discharge, less what all currents together cost: flow goes as the voltage, pressure as its square; servos go as they were measured",
            ),
            Self::Leaks => f.write_str("water comes in as hull.leaks says, from the alarm until she is up"),
            Self::Vented => f.write_str("while a vent is open all air is out of the tank at once"),
            Self::Dropped => f.write_str(
                "a weight is gone as soon as it is let go, lifts her by what it pulls in water, and makes her mass less by no more than that",
            ),
            Self::Weighed => f.write_str(
                "she was weighed in water as warm or as cold as makes it worse, as hull.weighed_at is not given",
            ),
            Self::SameWater => f.write_str(
                "she was weighed in the water she is sailed in, with as much salt in it, as hull.weighed_in is not given",
            ),
            Self::Material => f.write_str(
                "her hull grows with warmth not at all or as ABS does, whichever is worse, as hull.material is not given",
            ),
            Self::Upright => f.write_str(
                "a bottle gives gas alone: tilted so far that liquid comes out, it gives other amounts, and freezes what it meets",
            ),
            Self::NoLeak => f.write_str("the weight of the water that leaks in is not counted"),
            Self::NoWait => f.write_str(
                "receiver and unit do not wait at all where the file does not say how long: with any wait it is worse",
            ),
            Self::UnitWaits(t) => write!(f, "on this cause too the unit waits {t}"),
        }
    }
}
