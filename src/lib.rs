//! lidcard: from a boat file to a proof and a printed card.
//!
//! The folders are the pipeline: `source`, `radio`, `device`, `language`, `setup`,
//! `fingerprint`, `chain`, `proof`, `rehearsal`, `finding`, `rule`, `pond`, `report`, `document`, `bench`, `cli`.
//! Each uses only those named before it, and the crates under `crates/`, which use none of them.

pub mod bench;
pub mod chain;
pub mod cli;
pub mod device;
pub mod document;
pub mod finding;
pub mod fingerprint;
pub mod language;
pub use lidcard_physics as physics;
pub mod pond;
pub mod proof;
pub mod question;
pub mod radio;
pub mod rehearsal;
pub use lidcard_page as render;
pub mod report;
pub mod rule;
pub mod setup;
pub mod source;
