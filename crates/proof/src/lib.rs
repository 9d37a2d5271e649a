//! From a set-up and the position of every control to a pulse (`chain`), and what holds for all positions (`proof`).
//! Knows no YAML and no rule.

pub mod chain;
pub mod proof;
pub mod work;

use lidcard_boat::setup;
