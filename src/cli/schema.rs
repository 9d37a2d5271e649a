//! `lidcard schema`: what a boat file or a bench record may say, for editors.

use super::args::Schema;
use super::outcome::{Failure, Outcome};
use super::{Streams, check};
use crate::bench::record;
use crate::setup::schema;

/// Prints it.
pub(super) fn run(args: &Schema, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    if args.record {
        streams.say(record::SCHEMA)?;
    } else {
        streams.say(check::json(&schema::boat_file())?)?;
    }
    Ok(Outcome::Clean)
}
