use super::super::lower::{
    self, accept, boat, channels, controls, devices, dive, fittings, linkage, loss, transmitter, works,
};
use super::super::model::Line;
use super::{boat_file, hardware};
use crate::device;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

fn golden() -> String {
    format!("{}/tests/golden/boat-file.schema.json", env!("CARGO_MANIFEST_DIR"))
}

#[test]
fn the_copy_in_the_repository_is_todays() {
    let today = serde_json::to_string_pretty(&boat_file()).unwrap() + "\n";
    if std::env::var_os("BLESS").is_some() {
        std::fs::write(golden(), &today).unwrap();
    }
    let kept = std::fs::read_to_string(golden()).unwrap();
    assert!(kept == today, "run this test once with BLESS=1 and look at what changed");
}

/// The reader's lists of keys by the name of the part of the schema.
fn of_reader() -> BTreeMap<String, BTreeSet<String>> {
    let lines = [Line::LeftRight, Line::TowardsAway, Line::LowerUpper].map(Line::words).concat();
    let lists: [(&str, &[&str]); 32] = [
        ("", lower::SECTIONS),
        ("boat", boat::BOAT),
        ("battery", boat::BATTERY),
        ("hull", dive::HULL),
        ("tank", dive::TANK),
        ("emptier", dive::EMPTIER),
        ("fittings", fittings::FITTINGS),
        ("owner", boat::OWNER),
        ("card", boat::CARD),
        ("transmitter", transmitter::KEYS),
        ("pulse", transmitter::PULSE),
        ("order", transmitter::ORDER),
        ("control", controls::KEYS),
        ("ways", &lines),
        ("channel", channels::KEYS),
        ("mix", channels::MIX),
        ("want", channels::WANT),
        ("receiver", loss::RECEIVER),
        ("preset", loss::PRESET),
        ("stored", loss::STORED),
        ("fail_safe", loss::UNIT),
        ("notices", loss::NOTICES),
        ("stage", loss::STAGE),
        ("low_battery", loss::LOW_BATTERY),
        // Only tells the kinds apart; the keys are in the part of each kind.
        ("device", &["kind"]),
        ("effects", devices::EFFECTS),
        ("also", devices::EFFECTS),
        ("work", works::KEYS),
        ("reserved", works::RESERVED),
        ("acceptance", accept::KEYS),
        ("corrects", devices::CORRECTS),
        ("linkage", linkage::KEYS),
    ];
    let set = |keys: &[&str]| keys.iter().map(|k| (*k).to_owned()).collect();
    let mut all: BTreeMap<String, BTreeSet<String>> =
        lists.map(|(name, keys)| (name.to_owned(), set(keys))).into();
    for kind in device::ALL {
        all.insert(hardware::part_name(kind), set(&[devices::COMMON, kind.keys].concat()));
    }
    all
}

#[test]
fn the_schema_has_the_keys_of_the_reader_and_no_others() {
    let schema = boat_file();
    let keys = |part: &Value| -> Option<BTreeSet<String>> {
        Some(part.get("properties")?.as_object()?.keys().cloned().collect())
    };
    let mut of_schema: BTreeMap<String, BTreeSet<String>> = schema["$defs"]
        .as_object()
        .unwrap()
        .iter()
        .filter_map(|(name, part)| Some((name.clone(), keys(part)?)))
        .collect();
    of_schema.insert(String::new(), keys(&schema).unwrap());
    assert_eq!(of_schema, of_reader());
}

/// Calls `each` with every object in a value.
fn walk(value: &Value, each: &mut impl FnMut(&serde_json::Map<String, Value>)) {
    match value {
        Value::Object(map) => {
            each(map);
            map.values().for_each(|v| walk(v, each));
        }
        Value::Array(items) => items.iter().for_each(|v| walk(v, each)),
        _ => {}
    }
}

#[test]
fn every_link_leads_somewhere_and_every_part_is_linked() {
    let schema = boat_file();
    let mut linked = BTreeSet::new();
    walk(&schema, &mut |map| {
        if let Some(Value::String(to)) = map.get("$ref") {
            linked.insert(to.strip_prefix("#/$defs/").unwrap().to_owned());
        }
    });
    let parts: BTreeSet<String> = schema["$defs"].as_object().unwrap().keys().cloned().collect();
    assert_eq!(linked, parts);
}

#[test]
fn every_key_and_every_part_is_explained() {
    let schema = boat_file();
    walk(&schema, &mut |map| {
        let Some(Value::Object(keys)) = map.get("properties") else { return };
        // A condition only looks at `kind`, it does not explain it.
        if keys.len() == 1 && keys.contains_key("kind") {
            return;
        }
        for (key, value) in keys {
            let about = value["description"].as_str().unwrap_or_default();
            assert!(about.ends_with('.'), "{key}: {about}");
        }
    });
    for (name, part) in schema["$defs"].as_object().unwrap() {
        assert!(part["description"].is_string(), "{name}");
    }
}
