//! Gases that blow ballast: from a bottle of air or from a liquefied charge.
//!
//! **Cautions.** Pressure vessels burst, liquefied gas freezes skin and most of it burns: under two
//! parts of butane in a hundred of air are enough. Whatever is computed here, the maker of the vessel
//! and the rules of the place have the last word.

pub mod air;
pub mod fluid;
mod grid;
pub mod liquefied;
pub mod mixture;
pub mod restriction;
pub mod species;
pub mod supply;
mod table;
