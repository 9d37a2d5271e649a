//! The plan of leads and hoses, from boat file to page.

use crate::help::judged;
use lidcard::document::labels::Labels;
use lidcard::document::plan::LeadPlan;
use lidcard::document::{Document, Request};
use lidcard::language;
use lidcard::render::{Item, Scene, font};

fn plan(text: &str, request: &Request) -> Scene {
    judged(text, |job| LeadPlan.scene(job, request).expect("a plan"))
}

fn said(scene: &Scene) -> String {
    let items = scene.pages.iter().flat_map(|page| &page.items);
    let texts =
        items.filter_map(|item| if let Item::Text(text) = item { Some(text.text.as_str()) } else { None });
    texts.collect::<Vec<_>>().join(" ").replace('\u{a0}', " ")
}

fn moonfish() -> String {
    std::fs::read_to_string("boats/moonfish.yaml").expect("readable")
}

/// Where a text stands, from the left and from the top.
fn place(scene: &Scene, wanted: &str) -> [f64; 2] {
    let items = scene.pages.iter().flat_map(|page| &page.items);
    let found = items.filter_map(|item| match item {
        Item::Text(text) if text.text == wanted => Some([text.x, text.y]),
        _ => None,
    });
    found.into_iter().next().unwrap_or_else(|| panic!("{wanted} is not on the plan"))
}

#[test]
fn every_device_stands_in_the_row_of_its_output_and_what_is_behind_another_beside_it() {
    let scene = plan(&moonfish(), &Request::default());
    for (output, device) in [
        ("1 rudder", "rudder servo"),
        ("2 bow planes", "bow servo"),
        ("3 motor", "motor esc"),
        ("4 ballast", "tank servo"),
        ("7 stern override", "leveller"),
    ] {
        let ([left, one], [right, other]) = (place(&scene, output), place(&scene, device));
        assert!(left < right && (one - other).abs() < 3.0, "{output} and {device}");
    }
    let ([left, one], [right, other]) = (place(&scene, "leveller"), place(&scene, "stern servo"));
    assert!(left < right && (one - other).abs() < 1.0);
    // What runs through the unit is one block on top.
    assert!(place(&scene, "4 ballast")[1] < place(&scene, "1 rudder")[1]);
    assert!(said(&scene).contains("Outputs without a word in the file, left empty: 5, 6, 8."));
}

#[test]
fn a_lead_and_a_hose_are_drawn_as_the_file_says_and_have_a_label_for_each_end() {
    let text = moonfish()
        .replace("    channel: 4\n    turn", "    channel: 4\n    lead: orange, port side\n    turn")
        .replace(
            "gas:  {kind: emergency gas valve,",
            "gas:  {kind: emergency gas valve, hose: \"black, 3 mm, to the tank\",",
        );
    assert_ne!(text, moonfish());
    let after = said(&plan(&text, &Request::default()));
    assert!(after.contains("orange, port side") && after.contains("black, 3 mm, to the tank"), "{after}");
    // A lead through the unit is two: one to it, one from it.
    for label in [
        "4 – fail-safe",
        "fail-safe 4 – tank servo orange, port side",
        "1 – rudder servo",
        "hose: gas black, 3 mm, to the tank",
    ] {
        assert_eq!(after.matches(label).count(), 2, "{label} in {after}");
    }
    let before = said(&plan(&moonfish(), &Request::default()));
    assert!(!before.contains("orange") && !before.contains("hose: gas"));
    assert!(before.contains("gas (tank servo) emergency gas valve not in the file"), "{before}");
}

#[test]
fn an_output_that_feeds_two_says_so() {
    let text = moonfish()
        .replace("devices:\n", "devices:\n  lamp: {kind: relay, channel: 3, without_pulses: off}\n");
    let after = said(&plan(&text, &Request::default()));
    assert!(after.contains("Output 3 feeds several by one split lead: lamp, motor esc."), "{after}");
    assert!(!said(&plan(&moonfish(), &Request::default())).contains("split lead"));
}

#[test]
fn no_word_leaves_its_box_or_the_page_in_any_language() {
    for (_, language) in language::ALL {
        for file in
            ["boats/moonfish.yaml", "boats/capstan.yaml", "tests/fixtures/sheet/sixteen-channels.yaml"]
        {
            let text = std::fs::read_to_string(file).expect("readable");
            let labels = Some(Labels::of(*language));
            let scene = plan(&text, &Request { labels, ..Request::default() });
            for page in &scene.pages {
                for item in &page.items {
                    let Item::Text(text) = item else { continue };
                    let right = text.x + font::width(&text.text, text.size, text.weight).expect("width");
                    assert!(text.x >= 13.9 && right <= page.width - 13.9, "{file}: {text:?} ends at {right}");
                }
            }
        }
    }
}
