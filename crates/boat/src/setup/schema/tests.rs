use super::boat_file;
use serde_json::Value;
use std::collections::BTreeSet;

fn golden() -> String {
    format!("{}/../../tests/golden/boat-file.schema.json", env!("CARGO_MANIFEST_DIR"))
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
