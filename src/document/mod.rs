//! Stand-in while the real one is being written.
pub mod card;
