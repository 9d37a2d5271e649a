//! The service page, from boat file to page.

use crate::help::judged;
use lidcard::document::labels::Labels;
use lidcard::document::service::Service;
use lidcard::document::{Document, Request};
use lidcard::language;
use lidcard::render::Item;

fn said(text: &str, request: &Request) -> Vec<String> {
    let scene = judged(text, |job| Service.scene(job, request).expect("a page"));
    let of = |item: &Item| match item {
        Item::Text(text) => Some(text.text.replace('\u{a0}', " ")),
        _ => None,
    };
    scene.pages.iter().map(|page| page.items.iter().filter_map(of).collect::<Vec<_>>().join(" ")).collect()
}

fn read(file: &str) -> String {
    std::fs::read_to_string(file).expect("readable")
}

#[test]
fn what_can_hurt_a_carrier_is_out_before_the_batteries_are_and_only_where_it_is_on_board() {
    let moonfish = said(&read("boats/moonfish.yaml"), &Request::default());
    assert_eq!(moonfish.len(), 1, "one page");
    let places: Vec<usize> = [
        "The rules of the carrier",
        "gas bottle out, line run empty",
        "Bottle empty, its valve open",
        "Now at rest: vent shut, pump off, gas shut.",
        "Tank drained and dry",
        "Batteries out of the hull",
        "Test tube capped",
        "Before storage",
        "Memory 4 MOONFISH kept",
        "Before somebody else has it",
        "Who checked it, and when",
        "Lantern Bay Model Workshop fitted out; no test",
    ]
    .iter()
    .map(|words| moonfish[0].find(words).unwrap_or_else(|| panic!("{words} is missing from {}", moonfish[0])))
    .collect();
    assert!(places.is_sorted(), "{places:?}");
    let capstan = said(&read("boats/capstan.yaml"), &Request::default());
    for words in ["ottle", "gas", "Test tube", "Tank drained", "Seals"] {
        assert!(!capstan[0].contains(words), "{words}");
    }
    assert!(capstan[0].contains("Everything that can be let go or fired is unloaded"));
}

#[test]
fn what_is_left_to_the_owner_is_told_to_whoever_has_it_next() {
    let text = read("boats/moonfish.yaml");
    let left = text.replace("  contact: Lantern", "  left_to_owner: [fit the bottle]\n  contact: Lantern");
    assert_ne!(text, left);
    assert!(said(&left, &Request::default())[0].contains("Told, still to be done: fit the bottle"));
    assert!(!said(&text, &Request::default())[0].contains("still to be done"));
}

#[test]
fn a_boat_that_failed_has_a_page_that_says_so() {
    let text = read("tests/fixtures/mistakes/blow-reaches-gas.yaml");
    let pages = said(&text, &Request { draft: true, ..Request::default() });
    assert!(pages.iter().all(|page| page.contains("CHECK FAILED: the controls can reach gas (tank servo)")));
}

#[test]
fn every_language_has_it_on_one_page() {
    for (_, language) in language::ALL {
        for file in ["boats/moonfish.yaml", "boats/sprat.yaml", "tests/fixtures/sheet/fully-fitted.yaml"] {
            let labels = Some(Labels::of(*language));
            let pages = said(&read(file), &Request { labels, ..Request::default() });
            assert_eq!(pages.len(), 1, "{file}");
        }
    }
}
