//! Which end of each tolerance one way through takes.

use super::End;
use crate::physics::motion::Spring;
use crate::setup::Exact;
use crate::setup::quantity::About;

/// Which end of each tolerance one way through takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Corner {
    /// What it is told as.
    pub(super) end: End,
    /// When the servo is where.
    pub(super) timing: Timing,
    /// Of the water.
    pub(super) warmth: Warmth,
    /// Of the same water.
    pub(super) salt: Salt,
    /// How heavy she is: +1 as heavy as she may be, -1 as light.
    pub(super) heavy: f64,
    /// Everything that is bad at one end only (flow, charge, hole, heat, tank, weight): +1 at the end that
    /// brings her up later.
    pub(super) bad: f64,
    /// Which end of her mass counts as bad: +1 the greatest, with which she coasts on for longer, -1 the least, with
    /// which she is sooner as fast down as she may be.
    pub(super) mass: f64,
    /// Which of the three drag coefficients: nominal, least, greatest.
    pub(super) drag: usize,
    /// What becomes of the air that a pump has blown in: it springs, or as the pump may be one that moves the
    /// water itself there is none.
    pub(super) air: Spring,
    /// She is going down when it begins.
    pub(super) diving: bool,
    /// What is worse than the tolerances say.
    pub(super) worse: Worse,
}

/// When the servo is where.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Timing {
    /// From rest, switched where it is written.
    Nominal,
    /// From as far away as it can be left, switched only where that is sure.
    Late,
    /// From rest, switched wherever it may be.
    Early,
    /// From as far away as it can be left, but for as long as may be.
    LateAndLong,
}

impl Timing {
    /// Whether the servo begins as far away as a hand can leave it.
    pub(super) fn begins_afar(self) -> bool {
        matches!(self, Self::Late | Self::LateAndLong)
    }
}

/// How warm the water is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Warmth {
    Coldest,
    Middle,
    Warmest,
}

/// How much salt is in the water.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Salt {
    Least,
    Middle,
    Most,
}

/// A figure of the file that a good end must not hang on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Figure {
    /// What a pump moves.
    Flow,
    /// Against how much.
    Pressure,
    /// The volume of the tank.
    Tank,
    /// How heavy she is.
    Heavy,
    /// What is in a bottle.
    Charge,
    /// The hole of a gas line.
    Hole,
    /// How long something is on.
    Time,
    /// How fast she goes down.
    DivesAt,
    /// How deep she is.
    Depth,
    /// The air in the hull.
    Air,
    /// The voltage that a pump gets.
    Volts,
    /// How long it takes until something acts.
    Delay,
    /// What a weight pulls that is let go.
    Drop,
}

impl Figure {
    /// All of them.
    pub const ALL: [Self; 13] = [
        Self::Pressure,
        Self::Volts,
        Self::Depth,
        Self::Air,
        Self::Heavy,
        Self::Flow,
        Self::Tank,
        Self::Charge,
        Self::Hole,
        Self::Time,
        Self::Delay,
        Self::DivesAt,
        Self::Drop,
    ];

    /// In a sentence.
    pub fn words(self) -> &'static str {
        match self {
            Self::Flow => "the flow of a pump",
            Self::Pressure => "the pressure of a pump",
            Self::Tank => "the volume of the tank",
            Self::Heavy => "what she is too heavy",
            Self::Charge => "the gas in a bottle",
            Self::Hole => "the hole of a gas line",
            Self::Time => "how long it blows",
            Self::DivesAt => "how fast she goes down",
            Self::Depth => "how deep she is",
            Self::Air => "the air in the hull",
            Self::Volts => "the voltage of a pump",
            Self::Delay => "how long it takes until it blows",
            Self::Drop => "what a weight pulls that is let go",
        }
    }

    /// One word for machines.
    pub fn word(self) -> &'static str {
        match self {
            Self::Flow => "flow",
            Self::Pressure => "pressure",
            Self::Tank => "tank",
            Self::Heavy => "heavy",
            Self::Charge => "charge",
            Self::Hole => "hole",
            Self::Time => "time",
            Self::DivesAt => "dives_at",
            Self::Depth => "depth",
            Self::Air => "air",
            Self::Volts => "volts",
            Self::Delay => "delay",
            Self::Drop => "drop",
        }
    }
}

/// By how much a figure is off beyond its tolerance, to see what a good end hangs on (common practice, no
/// source).
pub const NUDGE: f64 = 0.05;

/// What is worse than the tolerances say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Worse {
    Nothing,
    Only(Figure),
    All,
}

impl Corner {
    /// Every value as written.
    pub(super) const NOMINAL: Self = Self {
        end: End::Nominal,
        timing: Timing::Nominal,
        warmth: Warmth::Middle,
        salt: Salt::Middle,
        heavy: 0.0,
        bad: 0.0,
        mass: 1.0,
        drag: 0,
        air: Spring { shrinks: false, grows: false },
        diving: false,
        worse: Worse::Nothing,
    };

    /// Late, heavy, little of everything.
    pub(super) fn worst((warmth, salt): (Warmth, Salt), drag: usize, springs: bool) -> Self {
        Self {
            end: End::Worst,
            timing: Timing::Late,
            warmth,
            salt,
            heavy: 1.0,
            bad: 1.0,
            drag,
            air: Spring { shrinks: springs, grows: springs },
            diving: true,
            ..Self::NOMINAL
        }
    }

    /// The opposite.
    pub(super) const QUICK: Self = Self {
        end: End::Quick,
        timing: Timing::Early,
        warmth: Warmth::Warmest,
        salt: Salt::Most,
        heavy: -1.0,
        bad: -1.0,
        mass: 1.0,
        drag: 1,
        air: Spring { shrinks: false, grows: true },
        diving: false,
        worse: Worse::Nothing,
    };

    /// Ways on which she may meet the surface faster than on the quick one: whoever is heavy or late has more
    /// of the tank out by the time she is up. All are slippery, warm and with much of everything, which only
    /// makes her faster.
    pub(super) fn fast() -> impl Iterator<Item = Self> {
        let late = |heavy| Self { timing: Timing::LateAndLong, diving: true, heavy, ..Self::QUICK };
        [Self { heavy: 1.0, ..Self::QUICK }, late(1.0), late(0.0), late(-1.0)].into_iter()
    }

    /// The same with the least mass that may be.
    pub(super) fn lighter(&self) -> Self {
        Self { mass: -1.0, ..*self }
    }

    /// The water she is in.
    pub(super) fn water(&self) -> (Warmth, Salt) {
        (self.warmth, self.salt)
    }

    /// Every value as written, and not at an end of its tolerance.
    pub(super) fn as_written(&self) -> bool {
        self.end == End::Nominal
    }

    /// A value at its end; `sign` +1 if more of it is bad.
    pub(super) fn of<Q>(&self, about: &About<Q>, exact: fn(&Q) -> &Exact, sign: f64) -> f64 {
        exact(&about.value).to_f64() + sign * self.bad * exact(&about.off).to_f64()
    }

    /// By which factor a figure is bad beyond its tolerance; `sign` +1 if more of it is bad.
    pub(super) fn by(&self, figure: Figure, sign: f64) -> f64 {
        let worse = match self.worse {
            Worse::Nothing => false,
            Worse::Only(one) => one == figure,
            Worse::All => true,
        };
        if worse { 1.0 + sign * NUDGE } else { 1.0 }
    }

    /// Of three values (nominal, least, greatest) that of which less is bad.
    pub(super) fn little(&self, [nominal, least, greatest]: [f64; 3]) -> f64 {
        if self.bad > 0.0 {
            least
        } else if self.bad < 0.0 {
            greatest
        } else {
            nominal
        }
    }
}
