mod boats;

use super::device::DEVICE;
use super::{KeyPlace, Part, Takes, Without, places, quantity, terms, trade};
use crate::device;
use crate::setup::lower::devices::COMMON;
use crate::setup::lower::lower;
use crate::setup::lower::units::{SPELLINGS, UnitOfMeasure};
use crate::source::{Mistake, Source};
use boats::around as boat_around;
use std::collections::BTreeSet;

/// What the reader says of a boat; a file that is no YAML is a mistake of the test.
fn read(text: &str) -> Vec<Mistake> {
    let source = Source::from_text("example.yaml", text).unwrap_or_else(|e| panic!("{e:?}\n{text}"));
    lower(&source).err().unwrap_or_default()
}

fn said(mistakes: &[Mistake]) -> String {
    mistakes.iter().map(|m| format!("{}\n", m.message)).collect()
}

#[test]
fn every_example_is_understood_in_the_smallest_boat_that_can_hold_it() {
    for KeyPlace { path, part, key } in places() {
        let boat = boat_around(part, &part.example(key));
        let mistakes = read(&boat);
        assert!(mistakes.is_empty(), "{path}:\n{}in\n{boat}", said(&mistakes));
    }
}

/// The boat of an example with another value in its place.
fn with_value(part: &Part, key: &super::Key, value: &str) -> String {
    let example = part.example(key);
    let whole = format!("{}: {}", key.name, key.example);
    let at = example.rfind(&whole).unwrap();
    let other = format!("{}{}: {value}{}", &example[..at], key.name, &example[at + whole.len()..]);
    boat_around(part, &other)
}

#[test]
fn every_key_is_read_so_that_nonsense_behind_it_is_told() {
    for KeyPlace { path, part, key } in places() {
        let boat = with_value(part, key, "[[[[porridge]]]]");
        let mistakes = read(&boat);
        let at = boat.find("[[[[porridge]]]]").unwrap();
        let value = at..at + "[[[[porridge]]]]".len();
        let there = |m: &Mistake| m.labels.iter().any(|(span, _)| value.contains(&span.start));
        assert!(mistakes.iter().any(there), "{path} is not read:\n{boat}");
    }
}

/// The numbers that may follow a key by itself.
fn quantity_of(takes: &'static Takes) -> Option<&'static quantity::Quantity> {
    match takes {
        Takes::Quantity(of) => Some(of),
        Takes::Either(each) => each.iter().find_map(quantity_of),
        _ => None,
    }
}

#[test]
fn the_reader_takes_the_units_that_the_table_names_and_no_others() {
    for KeyPlace { path, part, key } in places() {
        let Some(of) = quantity_of(&key.takes) else { continue };
        for (unit, _) in SPELLINGS {
            let mistakes = read(&with_value(part, key, &format!("1 {}", unit.sign())));
            let refused = mistakes.iter().any(|m| m.message.ends_with("is the wrong unit here"));
            assert_eq!(!refused, of.units.contains(unit), "{path} in {}: {}", unit.sign(), said(&mistakes));
        }
    }
}

#[test]
fn what_has_to_be_there_is_missed_and_nothing_else() {
    for KeyPlace { path, part, key } in places() {
        let example = part.example(key);
        let alone = format!("{}: {}", key.name, key.example);
        let at = example.rfind(&alone).unwrap();
        let before = example[..at].trim_end_matches(", ");
        let after = &example[at + alone.len()..];
        let after = if before.ends_with('{') { after.trim_start_matches(", ") } else { after };
        if part.name.is_empty() {
            continue;
        }
        let mistakes = read(&boat_around(part, &format!("{before}{after}")));
        let missed = mistakes.iter().any(|m| m.message.ends_with(&format!("lacks the key `{}`", key.name)));
        match key.without {
            Without::Needed => assert!(missed, "{path} is not missed"),
            Without::NeededOr(_) => {
                assert!(!mistakes.is_empty(), "{path} and what may stand for it are not missed")
            }
            _ => assert!(!missed, "{path} may be left out: {}", said(&mistakes)),
        }
    }
}

#[test]
fn every_key_is_explained_in_sentences_and_no_part_names_one_twice() {
    let mut seen = BTreeSet::new();
    for KeyPlace { path, part, key } in places() {
        assert!(key.about.ends_with('.'), "{path}: {}", key.about);
        assert!(!key.example.is_empty() && seen.insert(path.clone()), "{path}");
        if let Without::Means(text) = key.without {
            assert!(!text.ends_with('.') && !text.is_empty(), "{path}: {text}");
        }
        for set in part.either {
            assert!(set.iter().all(|name| part.key(name).is_some()), "{path}: {set:?}");
        }
    }
}

#[test]
fn every_key_of_a_device_is_taken_by_some_kind_and_those_of_each_kind_are_declared() {
    for kind in device::ALL {
        assert!(
            kind.keys.iter().all(|name| DEVICE.key(name).is_some()),
            "crates/boat/src/device: {}",
            kind.name
        );
    }
    for name in DEVICE.names() {
        let taken = device::ALL.iter().any(|kind| kind.keys.contains(&name));
        assert!(taken || COMMON.contains(&name), "no kind of device takes `{name}`");
    }
}

#[test]
fn every_kind_and_word_is_shown_in_lines_that_are_understood() {
    let all = places();
    let at = |path: &str| all.iter().find(|place| place.path == path).unwrap_or_else(|| panic!("{path}"));
    let kinds = device::ALL.iter().map(|kind| ("devices.DEVICE.kind", kind.name));
    let works = device::works::ALL.iter().map(|kind| ("devices.DEVICE.works.WORK.kind", kind.name));
    let shown = terms::ALL.iter().map(|term| term.shown).chain(trade::ALL.iter().map(|called| called.shown));
    let words = shown.filter_map(|shown| match shown {
        terms::Shown::Key(path) => Some((path, at(path).key.example)),
        terms::Shown::With(path, value) => Some((path, value)),
        terms::Shown::Command(_) => None,
    });
    for (path, value) in kinds.chain(works).chain(words) {
        let place = at(path);
        let example = place.part.example_with(place.key, value);
        assert!(example.contains(value), "{path}: {example}");
        let boat = boat_around(place.part, &example);
        let mistakes = read(&boat);
        assert!(mistakes.is_empty(), "{path}: {value}:\n{}in\n{boat}", said(&mistakes));
    }
}

#[test]
fn every_number_has_a_unit_that_is_spelled() {
    let signs: Vec<&str> = SPELLINGS.iter().map(|(unit, _)| unit.sign()).collect();
    let used: BTreeSet<&str> = quantity::ALL.iter().flat_map(|q| q.signs()).collect();
    assert!(signs.iter().all(|sign| used.contains(sign)), "{used:?}");
    assert_eq!(UnitOfMeasure::Percent.sign(), "%");
}

#[test]
fn terms_are_explained_in_sentences_and_each_once() {
    let plain = |word: &str| word.to_lowercase().replace(['-', ' ', '_'], "");
    let mut seen = BTreeSet::new();
    for term in terms::ALL {
        assert!(term.about.ends_with('.') && seen.insert(plain(term.name)), "{}", term.name);
    }
    // What the file has a name for needs no other page.
    seen.extend(places().iter().map(|place| plain(place.key.name)));
    let kinds = device::ALL.iter().flat_map(|kind| kind.also_called.iter().copied().chain([kind.name]));
    let works = device::works::ALL.iter();
    seen.extend(kinds.map(plain));
    for word in works.flat_map(|kind| kind.also_called.iter().copied().chain([kind.name])) {
        assert!(
            seen.insert(plain(word)) || word == "release" || word == "light",
            "{word} is explained twice"
        );
    }
    for called in trade::ALL {
        assert!(called.about.ends_with('.'), "{:?}", called.words);
        for word in called.words {
            assert!(seen.insert(plain(word)), "{word} is explained twice");
        }
    }
}

/// The rehearsal takes it for a hull of which nothing is said.
#[test]
fn nothing_that_a_hull_can_be_of_grows_more_than_abs() {
    use crate::setup::{Material, lower::dive::MATERIALS};
    assert!(MATERIALS.iter().all(|(_, material)| material.grows() <= Material::Abs.grows()));
}
