//! The bench: what was read, judged twice.
//!
//! *As the file says*: a reading and what is worked out from the file differ by no more than pulse accuracy, meter
//! and step together. *Safe*: the reading, widened by the meter, stays inside what the engine's answers leave: yes,
//! no, or cannot be told with this meter (a guard band, as in ISO 14253-1 and JCGM 106:2012, 8.3.3). Where the file
//! lacks a figure that the answer hangs on, a reading is not judged.

use lidcard_boat::{setup, source};
use lidcard_check::{finding, question};
use lidcard_paper as document;
pub use lidcard_record as record;

pub mod adopt;
pub mod judge;
pub mod premises;
pub mod proves;
pub mod rests;
pub mod room;
pub mod typed;

pub use judge::{Agrees, Safe, Verdict};
pub use record::{Entry, Record};
