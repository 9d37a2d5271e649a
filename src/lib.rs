//! lidcard: from a boat file to a proof and a printed card.
//!
//! The folders are the pipeline, in this order; each uses only those above it.

pub mod source;
pub mod device;
pub mod setup;
pub mod chain;
pub mod proof;
pub mod finding;
pub mod rule;
pub mod report;
pub mod render;
pub mod document;
pub mod cli;
