//! `lidcard schema`: the boat file's schema, for editors.

use super::outcome::{Failure, Outcome};
use super::{Streams, check};
use crate::setup::schema;

/// Prints it.
pub fn run(streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    streams.say(check::json(&schema::boat_file())?)?;
    Ok(Outcome::Clean)
}
