//! What can go wrong with a boat, and what happens to her in time and water.
//!
//! A `rule` asks a `question`, which asks the proof; what comes out is a `finding`. `rehearsal` follows her in the
//! water, an estimate that no proof asks; `pond` looks at the boats of a day together.

pub mod axis;
pub mod finding;
pub mod pond;
pub mod question;
pub mod rehearsal;
pub mod rule;

use lidcard_boat::{device, language, radio, setup, source};
use lidcard_physics as physics;
use lidcard_proof::{chain, proof, work};
