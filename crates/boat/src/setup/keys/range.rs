//! What a figure can be that nobody has measured: the range that it stands for, and how the bench finds it.

use super::Key;
use crate::setup::model::{Figure, Measure, Point};

/// What a figure stands for where it is left out. Ranges are common practice, no source: they hold what is
/// met with on the bench in boats that work, and some more. What a file states beyond its range is not read
/// (`setup/unknown.rs` has the ends), so that a figure is never worse known than left out.
#[derive(Debug, PartialEq, Eq)]
pub struct Range {
    /// The range in words, as the end of "left out: ...".
    pub told: &'static str,
    /// For which values something holds, with `{}` in the place of the one that decides.
    pub holds: &'static str,
    /// How the bench finds the figure, as an order.
    pub bench: &'static str,
}

macro_rules! ranges {
    ($($name:ident: $told:literal, $holds:literal, $bench:literal;)*) => {
        $(pub(in crate::setup) static $name: Range = Range { told: $told, holds: $holds, bench: $bench };)*
    };
}

ranges! {
    ACCURACY: "anything from 0 % to 20 %", "if it repeats within ± {}",
        "bring it to one position twenty times, from both sides, cold and warm, battery full and low: half of \
         how far the places lie apart is its accuracy";
    PULSE: "anything from 0 us to 20 us", "if pulse and meter are right within ± {}",
        "read the pulse at rest twenty times, cold and warm: half the spread, and what the meter's handbook \
         says it can be off";
    UNIT: "anything from 0 us to 40 us", "if the unit's pulses are right within ± {}",
        "switch the transmitter off twenty times and read the pulse that the unit makes: half the spread";
    TOLERANCE: "anything from 0 % to 20 %", "if it is found again within ± {}",
        "creep up to the place ten times and write the readings under `clicks` or `releases`; where the file takes no \
         readings, the most it can be off behind `±`";
    READINGS: "nothing is proved of the next from fewer than five", "",
        "creep up to it five times or more, always from the same side, and write each reading";
    STOPS: "anything, from right beside rest to nothing that binds", "if nothing binds before {}",
        "creep outwards on each side with the linkage on until it hums or binds, and read the pulse; `none` \
         where nothing does";
    TRIM: "of a stick, anything up to 50 %", "for any trim up to {}",
        "read the pulse with the trim at either end of its travel; lock the trim in the set and write `locked` \
         if nobody needs it";
    RELEASES: "anything from where it engages back to rest, ± 20 %", "if it lets go at {} or farther out",
        "engage it, then creep back until it lets go, and read the pulse there";
    STILL: "anything from no pulse that is sure to a wide band", "if it stands still up to {} either side of rest",
        "creep outwards from rest on each side until the motor turns, and read the pulses";
    STILL_AT_END: "anything from -90 % outwards to no pulse at all", "if it stands still from {} outwards",
        "hold the control at its stop, creep with the endpoint on that side until the motor stands still, and read the \
         pulse";
    LENGTH: "anything from 0 mm to 3 mm", "if it is known within ± {}",
        "measure it three times from hole to hole, push and pull by the play of the holes: half of how far the readings \
         lie apart, and what the rule or the calliper can be off";
    LEANS: "anything from 0 deg to 20 deg", "if it is known within ± {}",
        "put the servo at rest and lay a protractor beside the horn, three times: half of how far the readings lie apart";
    RESTS: "anything from -90 deg to +90 deg", "if the horn leans by {} or less",
        "put the servo at rest and lay a protractor beside the horn: 0 deg is square to the line from shaft to pivot or way";
    CORRECTS: "each of the words", "",
        "hold the bow high with the sticks at rest, and read whether the pulse behind the unit gets longer or shorter";
    WAKES: "each of the words", "",
        "connect the battery with the load unplugged and the transmitter off, and see whether a lamp in its place is on";
    AFTER: "anything up to 600 s", "if it waits for no longer than {}",
        "switch the transmitter off and take the time until its pulses stop or go to the preset";
    WAIT: "anything up to 600 s", "if it waits for no longer than {}",
        "switch the transmitter off and take the time until the unit moves the first servo";
    WITHOUT_PULSES: "each of the words", "",
        "run it, then pull its lead out of the receiver with the power on, and watch what it does";
    TAKES: "anything up to 30 s", "if it takes no longer than {}",
        "drive it from one end of its travel to the other and take the time, as with a film of it";
    CORRECTION: "anything from 0 % to 200 %", "if it adds no more than {}",
        "tilt the boat as far as she goes with the sticks at rest, and read the pulse behind the unit";
    FURTHEST: "anything from 100 % to 200 %", "if no output goes beyond {}",
        "dial in the greatest endpoint and a mix that adds to it, hold both fully, and read the pulse";
    LEVEL: "anything from all the way to where it fills to all the way to where it empties",
        "if she hangs level at {} or nearer to where it fills",
        "float her in the bath, hull closed, and move it until she hangs level, neither sinking nor coming up, three times; \
         read the pulse";
    LEARNS_REST: "`yes` or `no`", "",
        "switch on with its control a quarter off rest, then let that go: does the motor stand still at rest, or only where \
         the control was?";
    ON_LOSS: "each of the words", "",
        "switch the transmitter off, propeller off and gas shut, and read the pulse of each channel";
    NOTICES: "each of the words", "",
        "read its handbook, then switch the transmitter off twenty times and see whether it acts each time";
    TRIED: "whether it does, or not", "",
        "switch the transmitter off and on twenty times, near and far, and write that it acted each time";
    UNTIL_IT_ACTS: "each of the words", "",
        "switch the transmitter off with a way held and watch the servo behind the unit until it acts";
}

/// What fewer readings prove than are needed.
pub fn too_few_readings() -> &'static Range {
    &READINGS
}

impl Figure {
    /// What it stands for where it is left out.
    pub fn range(self) -> &'static Range {
        match self {
            Figure::Accuracy(_) => &ACCURACY,
            Figure::PulseAccuracy => &PULSE,
            Figure::UnitAccuracy => &UNIT,
            Figure::Tolerance(_, Point::From | Point::To | Point::Full | Point::Releases)
            | Figure::UnitTolerance => &TOLERANCE,
            Figure::Stop(..) => &STOPS,
            Figure::Trim(_) => &TRIM,
            Figure::Releases(_) => &RELEASES,
            Figure::StillBetween(_) => &STILL,
            Figure::StillAtEnd(_) => &STILL_AT_END,
            Figure::After => &AFTER,
            Figure::Wait => &WAIT,
            Figure::Linkage(_, Measure::Rests) => &LEANS,
            Figure::Linkage(..) => &LENGTH,
            Figure::Rests(_) => &RESTS,
            Figure::Corrects(_) => &CORRECTS,
            Figure::Wakes(_) => &WAKES,
            Figure::WithoutPulses(_) => &WITHOUT_PULSES,
            Figure::StopTolerance(..) => &TOLERANCE,
            Figure::Takes(_) => &TAKES,
            Figure::Correction(_) => &CORRECTION,
            Figure::Furthest(_) => &FURTHEST,
            Figure::LevelAt(_) => &LEVEL,
            Figure::LevelTolerance(_) => &TOLERANCE,
            Figure::LearnsRest(_) => &LEARNS_REST,
            Figure::OnLoss => &ON_LOSS,
            Figure::Notices => &NOTICES,
            Figure::Tried => &TRIED,
            Figure::UntilItActs => &UNTIL_IT_ACTS,
        }
    }
}

impl Key {
    /// The same, standing for a range where it is left out.
    pub(super) const fn standing_for(mut self, range: &'static Range) -> Self {
        self.range = Some(range);
        self
    }
}
