//! The JSON Schema of the boat file (draft 2020-12), for editors: every key with what it means.
//!
//! It is put together by hand from plain values, not derived from types: the reader goes from text
//! with places straight to resolved numbers and names, so there is no type that has the shape of
//! the file. The lists of keys and words are the reader's own, and a test compares the two.
//!
//! A schema sees shapes only. What one part of the file says about another (a name that is not
//! defined, stops the wrong way round) is for `lidcard check`.

mod dive;
mod hardware;
mod parts;
pub(super) mod place;
mod sections;

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;

use parts::{Key, block, link};
use serde_json::{Map, Value, json};

/// The whole schema.
pub fn boat_file() -> Value {
    let mut defs = Map::new();
    for (name, part) in parts::defs().into_iter().chain(sections::defs()).chain(dive::defs()) {
        defs.insert(name.to_owned(), part);
    }
    defs.extend(hardware::defs());
    let keys: Vec<Key> = vec![
        ("lidcard", "The version of the format; always the first line.", json!({"enum": [1, "1"]})),
        ("boat", "The boat and the job.", link("boat")),
        ("transmitter", "The set and how it does its sums.", link("transmitter")),
        ("controls", "What the hand moves, each under a name of your own.", sections::controls()),
        ("channels", "What the set sends, each under its number on the receiver.", sections::channels()),
        ("receiver", "What the receiver does when it hears nothing.", link("receiver")),
        ("fail_safe", "A unit wired between receiver and devices.", link("fail_safe")),
        ("devices", "What hangs on the channels, each under a name of your own.", hardware::devices()),
        ("batteries", "Batteries, each under a name of your own.", hardware::batteries()),
        ("hull", "The boat as a body in water, for estimates.", link("hull")),
        ("tank", "The ballast tank and what empties it, for estimates.", link("tank")),
        ("fittings", "What she carries beyond her channels.", link("fittings")),
        ("owner", "What the owner is told.", link("owner")),
        ("opposites", "Pairs of opposite effects that the program does not know yet.", sections::opposites()),
        ("card", "How the lid card is to be printed.", link("card")),
        ("accept", "Findings that somebody has looked at and lives with.", sections::accept()),
    ];
    let required = ["lidcard", "boat", "controls", "channels", "devices"];
    let mut schema = Map::new();
    schema.insert("$schema".into(), "https://json-schema.org/draft/2020-12/schema".into());
    schema.insert("title".into(), "Boat file of lidcard, version 1".into());
    if let Value::Object(top) = block("How a model's radio is set up.", &required, keys) {
        schema.extend(top);
    }
    schema.insert("$defs".into(), Value::Object(defs));
    Value::Object(schema)
}
