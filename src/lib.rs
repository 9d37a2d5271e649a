//! lidcard: from a boat file to a proof and a printed card.
//!
//! The stages are crates under `crates/`, each of which uses only those before it, as its `Cargo.toml` says:
//! `boat` reads the file, `proof` answers what a hand can do, `check` asks it, `report` and `paper` print what
//! was found, `certificate` says why, `bench` takes the readings, `probe` finds
//! out by them how a set does its sums. Here is the command line, and every stage under its name.

pub mod cli;

pub use lidcard_bench as bench;
pub use lidcard_boat::{device, fingerprint, language, radio, setup, source};
pub use lidcard_certificate as certificate;
pub use lidcard_check::{finding, pond, question, rehearsal, rule};
pub use lidcard_page as render;
pub use lidcard_paper as document;
pub use lidcard_physics as physics;
pub use lidcard_probe as probe;
pub use lidcard_proof::{chain, proof, work};
pub use lidcard_report as report;
