//! The papers of a model that is no boat: no sentence of ours speaks of a boat but in the name of the file, nor of what
//! only a boat has or does.

use crate::help::{files_in, judged};
use lidcard::document::labels::Labels;
use lidcard::document::{self, Request};
use lidcard::language;
use lidcard::render::Item;
use lidcard::setup::BoatKind;

/// Words that only a boat needs, in each language.
const WORDS: [&[&str]; 2] = [
    &["boat", "boats", "hull", "she", "her", "sail", "sailed", "dive", "dives", "planes", "mast", "surface"],
    &["boot", "boots", "rumpf", "tauchen", "taucht", "tiefenruder", "mast", "oberfläche"],
];

fn words(text: &str) -> Vec<String> {
    let parted = text.to_lowercase().replace('\u{a0}', " ").replace("boat file", "");
    parted.split(|c: char| !c.is_alphabetic()).map(str::to_owned).collect()
}

#[test]
fn no_paper_of_a_model_that_is_no_boat_speaks_of_one() {
    let mut seen = 0;
    for file in files_in("tests/fixtures/clean") {
        let text = std::fs::read_to_string(&file).expect("readable");
        for ((_, language), unwanted) in language::ALL.iter().zip(WORDS) {
            judged(&text, |job| {
                let is_other = job.setup.boat.kind == BoatKind::Other;
                let request = Request { labels: Some(Labels::of(*language)), ..Request::default() };
                let mut said = Vec::new();
                for document in document::ALL {
                    let scene = document.scene(job, &request).expect("a page");
                    for item in scene.pages.iter().flat_map(|page| &page.items) {
                        let Item::Text(text) = item else { continue };
                        let found =
                            words(&text.text).into_iter().filter(|word| unwanted.contains(&word.as_str()));
                        said.extend(found.map(|word| format!("{} {word}: {}", document.name(), text.text)));
                    }
                }
                if is_other {
                    assert!(said.is_empty(), "{file}: {said:#?}");
                    seen += 1;
                } else {
                    assert!(!said.is_empty(), "{file}: papers of a boat have none of these words");
                }
            });
        }
    }
    assert!(seen >= 8, "{seen}");
}
