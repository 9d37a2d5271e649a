//! What a boat file leaves out although a verdict may hang on it.

use super::{ControlId, DeviceId, Measure, Path, Setup, WorkRef};

/// A figure that a boat has and her file does not give.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unknown {
    /// Which figure.
    pub figure: Figure,
    /// Where it would stand.
    pub path: Path,
    /// The file says that nobody has measured it.
    pub said: bool,
}

/// A figure by what it belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Figure {
    /// How far a device can be off.
    Accuracy(DeviceId),
    /// How far a pulse of the set can be off.
    PulseAccuracy,
    /// How far a pulse of the fail-safe unit can be off.
    UnitAccuracy,
    /// How far a place of a function can be off.
    Tolerance(WorkRef, Point),
    /// How far the threshold of the fail-safe unit can be off.
    UnitTolerance,
    /// Where something binds: the shorter side, then the longer.
    Stop(DeviceId, usize),
    /// How far the trim of a control moves it.
    Trim(ControlId),
    /// Where a function lets go.
    Releases(WorkRef),
    /// The band in which a motor stands still.
    StillBetween(DeviceId),
    /// From where on outwards a motor stands still that knows one direction only.
    StillAtEnd(DeviceId),
    /// What a device does without pulses.
    WithoutPulses(DeviceId),
    /// How far a stop can be off: the shorter side, then the longer.
    StopTolerance(DeviceId, usize),
    /// How long a servo is under way from one end of its travel to the other.
    Takes(DeviceId),
    /// How far a measure of a linkage can be off.
    Linkage(DeviceId, Measure),
    /// How the horn of a linkage leans at rest.
    Rests(DeviceId),
    /// To which side a levelling unit moves its output when the bow is high.
    Corrects(DeviceId),
    /// Whether a function is on from the moment the battery is connected.
    Wakes(WorkRef),
    /// How much a levelling unit adds by itself.
    Correction(DeviceId),
    /// Where she hangs level, of what fills and empties her by its position.
    LevelAt(DeviceId),
    /// How far that place can be off.
    LevelTolerance(DeviceId),
    /// Whether a controller takes the first pulse that it hears for its rest.
    LearnsRest(DeviceId),
    /// How far any output can go: less than is taken where nothing is said, then more.
    Furthest(usize),
    /// After what time the receiver does so when it hears nothing.
    After,
    /// How long the fail-safe unit waits before its first stage.
    Wait,
    /// What the receiver sends when it hears nothing.
    OnLoss,
    /// By what the fail-safe unit notices a lost link.
    Notices,
    /// Whether the fail-safe unit tells noise from a signal.
    Tried,
    /// What the fail-safe unit makes of its channels until it acts.
    UntilItActs,
}

/// A place of a function on the axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Point {
    /// Where it engages.
    From,
    /// Where it ends farther out.
    To,
    /// Where its effect is complete.
    Full,
    /// Where it lets go.
    Releases,
}

impl Setup {
    /// Whether the file leaves a figure out.
    pub fn lacks(&self, figure: Figure) -> bool {
        self.unknown.iter().any(|unknown| unknown.figure == figure)
    }
}
