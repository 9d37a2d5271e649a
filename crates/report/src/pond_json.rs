//! The peg board for machines, version 1. Frozen like the report of `check`.

use lidcard_check::pond::{Boat, Conflict, Pond};
use serde::Serialize;

/// The whole answer of `pond`.
#[derive(Debug, Serialize)]
pub struct PondV1<'a> {
    version: u8,
    boats: Vec<BoatV1<'a>>,
    conflicts: Vec<ConflictV1<'a>>,
    /// Files that are missing from the board.
    unread: &'a [String],
}

#[derive(Debug, Serialize)]
struct BoatV1<'a> {
    boat: &'a str,
    file: &'a str,
    region: Option<&'static str>,
    hertz: Option<i64>,
    spacing_hertz: Option<i64>,
}

#[derive(Debug, Serialize)]
struct ConflictV1<'a> {
    kind: &'static str,
    message: &'a str,
    /// Indices in `boats`.
    boats: &'a [usize],
    sums: &'a [String],
    help: &'a str,
}

/// The answer for these boats.
pub fn board<'a>(pond: &'a Pond, unread: &'a [String]) -> PondV1<'a> {
    PondV1 {
        version: 1,
        boats: pond.boats.iter().map(boat).collect(),
        conflicts: pond.conflicts.iter().map(conflict).collect(),
        unread,
    }
}

fn boat(b: &Boat) -> BoatV1<'_> {
    BoatV1 {
        boat: &b.name,
        file: &b.file,
        region: b.region.map(|r| r.word()),
        hertz: b.hertz,
        spacing_hertz: b.hertz.and(b.spacing),
    }
}

fn conflict(c: &Conflict) -> ConflictV1<'_> {
    ConflictV1 { kind: c.kind.word(), message: &c.message, boats: &c.boats, sums: &c.sums, help: &c.help }
}
