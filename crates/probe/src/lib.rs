//! How a set does its sums: which open lines of `transmitter.order` any verdict hangs on, the shortest way to find
//! them out with a pulse meter, and what readings leave.
//!
//! Nothing here judges a boat: whether a verdict is another under another order, and whether a setting may be dialled
//! in for a reading, the one engine is asked.

use lidcard_boat::setup;
use lidcard_check::{finding, question, rule};
use lidcard_proof::{chain, proof};

pub mod harmless;
pub mod left;
pub mod matters;
pub mod plan;
pub mod scale;
pub mod shot;
pub mod shots;
pub mod survey;
pub mod words;

pub use left::Reading;
pub use scale::Scale;
pub use shot::Shot;
pub use survey::{Node, Survey};
