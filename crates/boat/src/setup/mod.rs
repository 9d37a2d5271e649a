//! What a boat file means: the typed model, its numbers, and how it is read from YAML.

pub mod canonical;
mod currents;
mod emptying;
mod engaged;
pub use lidcard_exact as exact;
pub mod facts;
pub mod keys;
mod lost;
pub mod lower;
pub mod model;
pub mod quantity;
pub mod rewrite;
pub mod schema;
mod unknown;

pub use currents::{Currents, Link};
pub use exact::Exact;
pub use lost::{UnitActs, When};
pub use model::*;
