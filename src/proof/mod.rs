//! What a hand can make happen: exact reach of outputs and witnesses. Knows no YAML and no rule.
//!
//! Cost: reach of one channel is linear in the number of controls that are mixed in; the orders
//! that the file leaves open multiply it by up to 64, of which only those lines count that touch
//! the channel; each switch that really acts on the channel multiplies it by its settings.
//!
//! Measured with `tests/bench-proof`, all six order lines open, a mix on every second channel: CPU
//! of a whole check 12, 24, 33 and 43 ms for 4, 8, 12 and 16 channels, which is linear.

pub mod cases;
pub mod domain;
pub mod interval;
pub mod joint;
pub mod reach;
pub mod roots;
pub mod sense;
pub mod zone;

pub use cases::Cases;
pub use domain::Domain;
pub use interval::Interval;
pub use reach::{Attained, Extreme, Fixed, Hand};
pub use zone::{Answer, Verdict, Zone};
