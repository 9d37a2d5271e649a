//! How much of a radio signal water swallows, and how deep a stated margin of the link reaches.
//!
//! Assumed: still, uniform water without air bubbles, a plane wave going straight down from a flat
//! surface, and an aerial that is as good under water as above it, which none is. What detuned aerials,
//! boats, weeds and banks take comes on top and belongs into the margin.
//!
//! Range: 1 MHz to 1 THz, 0 to 40 degrees, salinity up to 40 g/kg; all other water
//! by its measured conductivity, up to brine.
//!
//! Uncertainty: the permittivity within about 1 % in pure and 3 % in sea water (the spread against an
//! independent model, Klein and Swift 1976, at 433 MHz and 2.4 GHz). Fresh water's loss is mostly its
//! conductivity's, which is taken as known to a tenth. A pond is rarely better known than to a fifth, so
//! a depth is given with what the loss and the margin leave open.

mod depth;
mod loss;
mod permittivity;
mod units;

pub use depth::{Link, reach};
pub use loss::{attenuation, surface_loss};
pub use permittivity::{Permittivity, Water, permittivity};
pub use units::{Decibels, DecibelsPerMetre, SiemensPerMetre};
