//! The fail-safe in time and water: from a cause to the boat at the surface.
//!
//! [`rehearse`] follows what the file says: the receiver's delay, the unit's own, each stage; the servo on
//! its way through every zone in its true order; pump and gas against the depth; the boat's depth and
//! speed. **Everything here is an estimate and proves nothing; a tethered test in shallow water decides.**
//!
//! # Which ends of the tolerances
//!
//! Three cases are worked out from one file ([`End`]):
//!
//! - **nominal**: every value as written, at rest at the start, gas that keeps the water's temperature,
//!   water in the middle of the range given.
//! - **worst**: late, heavy, little flow, cold. Each tolerance at the end that makes her come up later: what
//!   raises her is switched on only where it is surely on, the tank is small, she is heavy, flow and charge
//!   are small, the gas takes its heat from itself, the water is the coldest, the servo starts from where
//!   the pilot can leave it farthest away, and she is going down at `hull.dives_at`. Neither end of the drag
//!   is bad by itself (a blunt boat comes up late, a slippery one sinks on further), nor that the air of a pump
//!   springs or that there is none, nor little or much salt, nor with gas cold or warm water: all are followed, and
//!   the one that comes up latest is kept, while [`Rehearsal::deepest`] is the deepest of them.
//! - **quick**: the opposite ends, for the greatest speed at the surface.
//!
//! Only numbers of the file are used, beside those in [`Assumption`], which every report has to print.
//! What is not given is not judged: [`Missing`] says what to write, and the rest is still worked out.
//!
//! # Cost
//!
//! Each tolerance has one bad end, known beforehand, so that their number costs nothing (that of `hull.weight`
//! is taken as great, which mostly brings her up later; the worst way is followed once more with the least). What has two
//! makes two to twelve ways of the worst case. One way costs some thirty steps, a few more with each moment at which
//! something is switched on or off, and where somebody looks at it some hundred moments between them.
//! Moonfish takes 4 ms, reading and printing included (as it is shipped, one core of a busy virtual machine);
//! `tests/bench` holds it to 50 ms. [`solve`] tries some sixty worst cases, up to 55 ms.

pub mod ahead;
mod assumed;
mod body;
mod breath;
mod cause;
pub mod cell;
mod corner;
mod endurance;
mod missing;
mod pictured;
mod plan;
mod rehearse;
mod run;
mod salt;
mod scene;
pub mod solve;
mod start;
mod tank;
mod threshold;
mod touch;
mod travel;
mod tries;
mod volts;
mod warmth;

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod solve_tests;

use crate::setup::{Emptier, Setup};
pub use assumed::Assumption;
pub use body::water_at;
pub use cause::Cause;
pub use corner::{Figure, NUDGE};
pub use endurance::{Endurance, endurance};
pub use missing::{Missing, Wanted};
pub use pictured::Pictured;
pub use rehearse::{at_best, both_cases, emptied_in, held_case, rehearse, untold, worst_case};
pub use run::{Emptied, End, Event, Rehearsal, Run, Sample, What, division};
pub use start::Start;
pub use tries::Breaks;
pub use volts::gives_up_at;

/// What every text says that carries an estimate.
pub const ESTIMATE: &str = "This is an estimate from the figures in the boat file and what is assumed below; it proves nothing. A tethered test in shallow water decides.";

/// What every text says that carries an estimate of gas.
pub const CAUTION: &str = "gas under pressure bursts, freezes and most of it burns. Fill by weight, outdoors, never beyond what the bottle's maker allows; the maker of the vessel and the rules of the place have the last word, never these figures.";

/// Whether gas has a part in what is told.
pub fn uses_gas(setup: &Setup) -> bool {
    let blown = setup.tank.emptied_by.iter().any(|(_, emptier)| matches!(emptier, Emptier::Gas(_)));
    blown || setup.devices.iter().flat_map(|d| &d.works).any(|w| w.kind.emergency)
}
