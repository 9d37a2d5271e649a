//! The JSON Schema of the boat file (draft 2020-12), for editors: every key with what it means.
//!
//! It is made of the table of keys that the reader goes by, so that neither can know a key that the other
//! does not.
//!
//! A schema sees shapes only. What one part of the file says about another (a name that is not
//! defined, stops the wrong way round) is for `lidcard check`.

pub(super) mod place;
mod shapes;

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;

use super::keys::channel::NEED_CONTROL;
use super::keys::device::DEVICE;
use super::keys::file::FILE;
use super::keys::work::WORK;
use super::keys::{Part, Sort, Takes, Without, quantity};
use super::lower::NOT_MEASURED;
use super::lower::devices::COMMON;
use crate::device::{self, KindInfo};
use serde_json::{Map, Value, json};
use shapes::shape;

/// The whole schema.
pub fn boat_file() -> Value {
    let mut parts = Vec::new();
    for key in FILE.keys {
        gather(&key.takes, &mut parts);
    }
    let mut defs = shapes::plain();
    defs.extend(quantity::ALL.iter().map(|of| (of.name.to_owned(), shapes::quantity(of))));
    for (part, numbered) in parts {
        let mut shown = if part.name == DEVICE.name { any_device() } else { block(part) };
        if let Some(of) = numbered {
            shown["patternProperties"] = json!({shapes::NUMBERS: shape(of)});
        }
        defs.insert(part.name.to_owned(), shown);
    }
    defs.extend(device::ALL.iter().map(|kind| (part_name(kind), of_kind(kind))));
    let mut schema = Map::new();
    schema.insert("$schema".into(), "https://json-schema.org/draft/2020-12/schema".into());
    schema.insert("title".into(), "Boat file of lidcard, version 1".into());
    if let Value::Object(top) = block(&FILE) {
        schema.extend(top);
    }
    schema.insert("$defs".into(), Value::Object(defs));
    Value::Object(schema)
}

/// A part, and what may stand in it under the numbers of channels.
type Found = (&'static Part, Option<&'static Takes>);

/// Every part behind a value, each once, in the order of the file.
fn gather(takes: &'static Takes, parts: &mut Vec<Found>) {
    let mut of_part = |part: &'static Part, numbered: Option<&'static Takes>| {
        if parts.iter().all(|(known, _)| known.name != part.name) {
            parts.push((part, numbered));
            part.keys.iter().for_each(|key| gather(&key.takes, parts));
        }
    };
    match takes {
        Takes::Block(part) => of_part(part, None),
        Takes::NumberedAnd(part, of) => of_part(part, Some(of)),
        Takes::Device => of_part(&DEVICE, None),
        Takes::Works => of_part(&WORK, None),
        Takes::Named(_, _, of)
        | Takes::Numbered(_, of)
        | Takes::List(_, of)
        | Takes::Pair(of)
        | Takes::OneOrList(of) => gather(of, parts),
        Takes::Either(each) => each.iter().for_each(|of| gather(of, parts)),
        _ => {}
    }
}

/// A part defined once and named in several places.
fn link(name: &str) -> Value {
    json!({"$ref": format!("#/$defs/{name}")})
}

/// A block with these keys and no others.
fn keys_of(part: &Part, about: &str, wanted: impl Fn(&str) -> bool) -> Value {
    let mut properties = Map::new();
    for key in part.keys.iter().filter(|key| wanted(key.name)) {
        let mut value = shape(&key.takes);
        if key.sort == Sort::Figure && key.without != Without::Needed {
            value = json!({"anyOf": [value, {"const": NOT_MEASURED}]});
        }
        // The key's own words are shown, not those of what it links to.
        value["description"] = key.about.into();
        if let Without::Taken(taken) = key.without
            && let Some(taken) = as_json(taken)
        {
            value["default"] = taken;
        }
        properties.insert(key.name.to_owned(), value);
    }
    json!({
        "description": about,
        "type": "object",
        "properties": properties,
        "required": part.needed(),
        "additionalProperties": false,
    })
}

/// A value that is taken where nothing is said; that of a block is said by its keys.
fn as_json(taken: &str) -> Option<Value> {
    match taken.strip_prefix('[').and_then(|inner| inner.strip_suffix(']')) {
        Some(list) => Some(list.split(", ").collect()),
        None => (!taken.starts_with('{')).then(|| taken.into()),
    }
}

fn block(part: &'static Part) -> Value {
    let mut block = keys_of(part, part.about, |_| true);
    if !part.either.is_empty() {
        block["oneOf"] = part.either.iter().map(|keys| json!({"required": keys})).collect();
        // Where nothing but one of the sets may be there.
        let known: usize = part.either.iter().map(|keys| keys.len()).sum();
        if known == part.keys.len() {
            block["maxProperties"] = part.either.iter().map(|keys| keys.len()).max().into();
        }
    }
    // Without a control there is no way that these could belong to.
    if NEED_CONTROL.iter().all(|name| part.key(name).is_some()) {
        let needs = NEED_CONTROL.iter().map(|key| ((*key).to_owned(), json!(["control"])));
        block["dependentRequired"] = Value::Object(needs.collect());
    }
    block
}

/// By its kind: an editor then offers the keys of that kind only and says which one is wrong.
fn any_device() -> Value {
    let by_kind: Vec<Value> = device::ALL
        .iter()
        .map(|kind| {
            json!({
                "if": {"properties": {"kind": {"const": kind.name}}, "required": ["kind"]},
                "then": link(&part_name(kind)),
            })
        })
        .collect();
    let kinds: Vec<&str> = device::ALL.iter().map(|kind| kind.name).collect();
    json!({
        "description": DEVICE.about,
        "type": "object",
        "properties": {"kind": {"enum": kinds, "description": "What it is; says which keys it takes."}},
        "required": ["kind"],
        "allOf": by_kind,
    })
}

/// A link is an address, and there is no blank in one.
fn part_name(kind: &KindInfo) -> String {
    kind.name.replace(' ', "_")
}

/// The shape of one kind.
fn of_kind(kind: &KindInfo) -> Value {
    let about = format!("A {}.", kind.name);
    let mut device = keys_of(&DEVICE, &about, |key| COMMON.contains(&key) || kind.keys.contains(&key));
    device["properties"]["kind"] = json!({"const": kind.name, "description": "What it is."});
    if kind.works_alone {
        device["not"] = json!({"required": ["channel", "behind"]});
    } else {
        device["oneOf"] = DEVICE.either.iter().map(|keys| json!({"required": keys})).collect();
    }
    device
}
