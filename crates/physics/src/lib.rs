//! What water, gas and batteries do, as far as a fail-safe depends on it: formulas and numbers only.
//!
//! Knows no boat file, no rule and no set-up. Everything here is an **estimate** from published
//! formulas: each module says what it assumes, over which range, and how far it may be off. Estimates
//! warn; they never prove. A tethered test in shallow water decides.

pub mod battery;
pub mod domain;
pub mod gas;
mod integrate;
pub mod linkage;
pub mod motion;
pub mod pressure;
pub mod pump;
pub mod radio;
pub mod units;
pub mod water;
