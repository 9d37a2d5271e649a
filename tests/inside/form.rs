//! The measuring form, from boat file or kind to pages.

use crate::help::{judged, run};
use lidcard::document::form::{MeasuringForm, of_kind};
use lidcard::document::labels::Labels;
use lidcard::document::{Document, Request, sheet};
use lidcard::language;
use lidcard::render::{Item, Scene, font};
use lidcard::rule;
use lidcard::setup::BoatKind;
use lidcard::source::Source;

fn form(text: &str, request: &Request) -> Scene {
    judged(text, |job| MeasuringForm.scene(job, request).expect("a form"))
}

fn read(file: &str) -> String {
    std::fs::read_to_string(file).expect("readable")
}

fn texts(scene: &Scene) -> Vec<String> {
    let items = scene.pages.iter().flat_map(|page| &page.items);
    items
        .filter_map(
            |item| if let Item::Text(text) = item { Some(text.text.replace('\u{a0}', " ")) } else { None },
        )
        .collect()
}

fn said(scene: &Scene) -> String {
    texts(scene).join(" ")
}

#[test]
fn every_test_with_a_figure_has_its_field_under_the_number_of_the_record() {
    for file in ["boats/moonfish.yaml", "boats/sprat.yaml", "boats/capstan.yaml"] {
        let text = read(file);
        let setup = lidcard::setup::lower::lower(&Source::from_text("boat", &text).expect("YAML"))
            .expect("understood");
        let engine = rule::Engine::new(&setup);
        let all = texts(&form(&text, &Request::default()));
        let mut fields = 0;
        for test in sheet::readings(&engine, &Labels::english()) {
            let figures = !matches!(test.reads, sheet::Reads::Seen)
                || !test.expected.is_empty()
                || !test.choice.is_empty();
            let name = match test.reads {
                sheet::Reads::Point(_, _, sheet::Being::Installed) => format!("{}, installed", test.number),
                sheet::Reads::Point(_, _, sheet::Being::Closed) => format!("{}, closed", test.number),
                _ => test.number.clone(),
            };
            let found = all.iter().filter(|text| **text == name).count();
            assert_eq!(found, usize::from(figures), "{file}: {name} {}", test.what);
            fields += usize::from(figures);
        }
        assert!(fields > 10, "{file}: {fields}");
    }
}

#[test]
fn nobody_reads_what_he_expects() {
    let text = read("boats/moonfish.yaml");
    // Blow held: endpoint 53 % of 400 us beyond 1500 us, give or take what the set is off.
    assert!(!said(&form(&text, &Request::default())).contains("1710"));
}

#[test]
fn what_nobody_has_measured_comes_first_and_only_where_something_is_missing() {
    let without = read("boats/moonfish.yaml").replace("    accuracy: 1.5 %\n", "");
    let scene = form(&without, &Request::default());
    let open = said(&scene);
    let first = open.find("Not measured yet: these first").expect("what is open");
    assert!(first < open.find("At rest").expect("tests"), "{open}");
    assert!(open.contains("devices, tank servo, accuracy"), "{open}");
    assert_eq!(open.matches("cold, from shorter").count(), 1, "twenty readings: four rows of five");
    assert!(open.contains("Can hurt people."), "gas hangs on it");
    assert!(!said(&form(&read("boats/moonfish.yaml"), &Request::default())).contains("Not measured yet"));
}

#[test]
fn a_form_for_a_boat_without_a_file_knows_her_kind() {
    for (_, language) in language::ALL {
        for (word, kind) in BoatKind::ALL {
            let labels = Labels::of(*language).speaking_of_a(*kind);
            let scene = of_kind(*kind, &labels, &Request::default()).expect("a form");
            let gas = said(&scene).contains("devices.________.stops");
            assert!(gas && scene.pages.len() <= 5, "{word}: {} pages", scene.pages.len());
        }
    }
    let of = |kind| said(&of_kind(kind, &Labels::english(), &Request::default()).expect("a form"));
    let (diver, tug) = (of(BoatKind::Submarine), of(BoatKind::Surface));
    assert!(diver.contains("emergency gas valve") && diver.contains("gas bottle out"), "{diver}");
    assert!(!tug.contains("emergency gas valve") && !tug.contains("gas bottle"), "{tug}");
    assert!(tug.contains("release"), "{tug}");
}

#[test]
fn a_boat_that_failed_is_measured_all_the_same_and_her_form_claims_nothing() {
    let text = read("tests/fixtures/mistakes/blow-reaches-gas.yaml");
    let said = said(&form(&text, &Request::default()));
    assert!(said.contains("says nothing of whether she is safe") && !said.contains("Checked"), "{said}");
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("form.pdf").display().to_string();
    let ran = run(&["sheet", "--blank", "tests/fixtures/mistakes/blow-reaches-gas.yaml", "-o", &out]);
    assert_eq!(ran.status, 0, "{}", ran.stderr);
}

#[test]
fn no_word_leaves_the_page_in_any_language() {
    for (_, language) in language::ALL {
        let labels = Some(Labels::of(*language));
        let all = ["boats/moonfish.yaml", "boats/capstan.yaml", "tests/fixtures/sheet/sixteen-channels.yaml"];
        for file in all {
            let scene = form(&read(file), &Request { labels: labels.clone(), ..Request::default() });
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

#[test]
fn without_a_file_or_a_kind_it_is_that_of_a_submarine_and_a_kind_needs_the_blank_form() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("form.pdf").display().to_string();
    assert_eq!(run(&["sheet", "--blank", "-o", &out]).status, 0);
    assert_eq!(run(&["sheet", "--blank", "--kind", "other", "-o", &out]).status, 0);
    assert_ne!(run(&["sheet", "--kind", "other", "boats/sprat.yaml"]).status, 0);
    assert_ne!(run(&["sheet"]).status, 0);
}
