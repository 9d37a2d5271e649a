//! What a hand can make happen: exact reach of outputs and witnesses. Knows no YAML and no rule.
//!
//! Cost: reach of one channel is linear in the number of controls that are mixed in; the orders
//! that the file leaves open multiply it by up to 64, of which only those lines count that touch
//! the channel; each switch that really acts on the channel multiplies it by its settings.
//!
//! Measured with `tests/bench-proof`, all six order lines open, a mix on every second channel: CPU
//! of a whole check, less an empty program's, on one core of a two-core machine.
//!
//! | channels | 4 | 8 | 12 | 16 |
//! |---|---|---|---|---|
//! | ms | 5 | 8 | 12 | 17 |
//!
//! | inputs on one channel | 2 | 4 | 6 | 8 | 10 |
//! |---|---|---|---|---|---|
//! | ms | 2.3 | 2.2 | 2.2 | 2.2 | 8.4 |
//!
//! So the growth with channels is linear, and with inputs it drowns in the rest of a check. With ten
//! the boat has findings, and a finding costs more than a proof: the endpoint values that it advises
//! are found by judging every step of the endpoint. Four findings on sixteen channels take about
//! 46 ms instead of 17.
//!
//! What grows with `tests/bench-growth`, one thing at a time, with a mix in every channel: CPU of the whole program as
//! `cargo build --release` gives it, one run each, on one core of a busy two-core machine.
//!
//! | all mixed | 4 channels | 16 channels | 32 channels | 16 at a step of 0.01 % | 16 solved |
//! |---|---|---|---|---|---|
//! | ms | 26 | 78 | 213 | 154 | 291 |
//!
//! | 20 channels, each mixed into the next | no decimals | 8 decimals | 8, every order open | 40 channels, no decimals |
//! |---|---|---|---|---|
//! | ms | 119 | 172 | 1154 | 386 |
//!
//! | functions on one channel | 25 | 50 | 100 | 200 |
//! |---|---|---|---|---|
//! | ms | 69 | 173 | 266 | 758 |
//! | solved, ms | 46 | 117 | 41 | 79 |
//!
//! So channels cost what they are many; a chain costs the square of its depth, since the last channel is the sum of
//! all; decimals cost half as much again, since twos and fives are counted and no divisor is looked for; open orders cost
//! five to seven times, not 64, since those share their terms. A step a hundred times finer costs twice: stretches are
//! asked, not steps. Functions cost more than they are many, where the file does not say where each of them lets go: for each the
//! value that decides is looked for, and every try asks the whole rule. That and 20 channels with every order open are
//! what the aims of the bench miss. Advice asks again only what a change can touch, and only where a value may still
//! be safe.

pub mod cases;
pub mod domain;
pub mod feasible;
pub mod interval;
pub mod joint;
mod lines;
pub mod reach;
pub mod roots;
pub mod sense;
pub mod weights;
pub mod zone;

pub use cases::Cases;
pub use domain::Domain;
pub use interval::Interval;
pub use reach::{Attained, ChannelCase, ControlPositions, Extreme};
pub use zone::{Answer, Verdict, Zone};
