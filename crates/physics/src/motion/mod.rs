//! Straight up and down: how fast a boat rises, how far she sinks on after the blow, whether she leaps.
//!
//! Assumed: level hull, still water, no way on and no planes at work (both change everything), no bottom.
//! Drag with the square of the speed, a constant added mass, hull always wholly under water until its
//! reference point meets the surface. Ballast water leaves with the boat's own speed and pushes nothing.
//!
//! Range: drag coefficients of blunt bodies hold between Reynolds numbers of about 1e4 and 1e5, such as
//! 0.1 m of beam at 0.1 to 1 m/s. A slower boat is dragged back more than computed here.
//!
//! Uncertainty: the drag coefficient of a hull with its fittings is rarely known better than to a third,
//! so that speeds are good to a sixth and times likewise. Work out both ends of the drag: neither end is
//! the safe one, as a slippery boat leaps and sinks further, a blunt one comes up late.

mod added_mass;
mod blow;
mod drag;
mod follow;
mod leap;
mod ode;
mod rise;
mod source;
mod steady;

pub use added_mass::{AddedMass, spheroid};
pub use blow::{Followed, MOST_BOTTLES, Moment, Submerged};
pub use drag::broadside;
pub use leap::leap;
pub use rise::{Ballast, Load, Rise, Sample, Start, rise};
pub use source::{Driven, Drop, Emptier, HullAir, Leak, Source, Spring, Stretch};
pub use steady::{Boat, Overshoot};
