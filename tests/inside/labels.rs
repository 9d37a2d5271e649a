//! What the documents say in each language.

mod asked;
mod generated;

use crate::help::{boat, files_in};
use lidcard::document::card::Card;
use lidcard::document::labels::{LabelFault, Labels, Words, text};
use lidcard::document::measure::Units;
use lidcard::document::{Document, DocumentError, Job, Request, meta};
use lidcard::fingerprint::Code;
use lidcard::language;
use lidcard::render::Item;
use lidcard::rule::emergency::steps;
use lidcard::rule::{Engine, Windows};
use lidcard::setup::{ControlKind, Exact, Line, Setup};

const GERMAN: &str = include_str!("../../templates/labels/de.yaml");

fn card(setup: &lidcard::setup::Setup, request: &Request) -> Result<lidcard::render::Scene, DocumentError> {
    let code = Code::read("0000-0000").expect("a code");
    Card.scene(
        &Job {
            setup,
            findings: &[],
            code,
            packed: &[],
            lost: None,
            emergency: &steps(&Engine::new(setup)),
            windows: &Windows::default(),
        },
        request,
    )
}

fn german() -> Labels {
    Labels::read("de.yaml", GERMAN).expect("complete")
}

fn said(setup: &Setup, request: &Request) -> String {
    let scene = card(setup, request).expect("a card");
    let items = scene.pages.iter().flat_map(|p| &p.items);
    let lines = items.filter_map(|item| if let Item::Text(t) = item { Some(t.text.as_str()) } else { None });
    // Where no line may break is settled by now, but the space that forbade it may still be there.
    lines.collect::<Vec<_>>().join(" ").replace('\u{a0}', " ")
}

/// The fault in a German file that was changed, and the line it is on.
fn fault(from: &str, to: &str) -> (LabelFault, usize) {
    assert!(GERMAN.contains(from), "`{from}` is not in the German labels");
    let error = Labels::read("own.yaml", &GERMAN.replacen(from, to, 1)).expect_err("a fault");
    let line = error.text[..error.span.start].matches('\n').count() + 1;
    assert!(error.to_string().starts_with(&format!("own.yaml:{line}:")), "{error}");
    (error.fault, line)
}

#[test]
fn every_language_says_all_that_english_says() {
    for (name, language) in language::ALL {
        let labels = Labels::read(name, language.text).unwrap_or_else(|error| panic!("{error}"));
        assert!(labels.language().starts_with(name), "{name} calls itself {}", labels.language());
    }
}

#[test]
fn every_language_says_the_same_otherwise_of_a_model_that_is_no_boat() {
    // The paths of a file are its keys with how far they are set in.
    let keys = |text: &'static str| -> Vec<&str> {
        let keys = text.lines().filter(|line| !line.starts_with('#'));
        keys.filter_map(|line| Some(line.split_once(':')?.0)).collect()
    };
    let english = keys(language::ALL[0].1.dry);
    assert!(english.len() > 80, "{english:?}");
    for (name, language) in language::ALL {
        assert_eq!(keys(language.dry), english, "{name}");
        let mut rover = boat("tests/fixtures/clean/beetle.yaml");
        rover.owner.language = Some(*language);
        let labels = Labels::for_owner(&rover);
        let boats = Labels::of(*language);
        // One of each section, and what is not said otherwise.
        assert_ne!(labels.get(text::guide::before::TITLE), boats.get(text::guide::before::TITLE), "{name}");
        assert_ne!(labels.get(text::card::ON_ORDER), boats.get(text::card::ON_ORDER), "{name}");
        assert_eq!(labels.get(text::guide::before::HOME), boats.get(text::guide::before::HOME), "{name}");
        assert_ne!(labels.tree()["guide"]["for_whom"], boats.tree()["guide"]["for_whom"], "{name}");
    }
}

#[test]
fn every_labels_file_is_known() {
    let files =
        ["templates/labels", "templates/labels/dry"].map(|folder| std::fs::read_dir(folder).expect("folder"));
    for file in
        files.into_iter().flatten().map(|entry| entry.expect("entry").path()).filter(|path| path.is_file())
    {
        let name = file.file_stem().expect("name").to_string_lossy().into_owned();
        assert!(language::ALL.iter().any(|(known, _)| *known == name), "{name}.yaml is in no list");
    }
}

#[test]
fn a_missing_label_is_named_where_it_should_stand() {
    let line = GERMAN.lines().position(|l| l == "card:").expect("section") + 1;
    assert_eq!(fault("  lost: SIGNAL WEG\n", ""), (LabelFault::Missing("card.lost".into()), line));
    let (missing, _) = fault("language: de-DE\n", "");
    assert_eq!(missing, LabelFault::Missing("language".into()));
}

#[test]
fn an_unknown_label_is_named_at_its_place() {
    let line = GERMAN.lines().position(|l| l == "  lost: SIGNAL WEG").expect("label") + 1;
    assert_eq!(
        fault("  lost: SIGNAL WEG\n", "  lots: SIGNAL WEG\n"),
        (LabelFault::Unknown("card.lots".into()), line)
    );
}

#[test]
fn a_label_without_text_is_named() {
    let wrong = LabelFault::NotText("card.lost".into());
    assert_eq!(fault("  lost: SIGNAL WEG\n", "  lost: [EIN]\n").0, wrong);
    assert_eq!(fault("  lost: SIGNAL WEG\n", "  lost:\n").0, wrong);
}

#[test]
fn placeholders_are_those_of_the_english_text() {
    let label = || "card.memory".to_owned();
    let lacking = LabelFault::Placeholder { label: label(), name: "memory".into(), lacking: true };
    assert_eq!(fault("memory: Speicher {memory}", "memory: Speicher").0, lacking);
    let odd = LabelFault::Placeholder { label: label(), name: "boat".into(), lacking: false };
    assert_eq!(fault("memory: Speicher {memory}", "memory: \"{memory} {boat}\"").0, odd);
}

#[test]
fn what_is_no_yaml_is_said_at_its_place() {
    let error = Labels::read("own.yaml", "common:\n\tyes: ja\n").expect_err("a tab");
    assert!(error.to_string().starts_with("own.yaml:2:1: "), "{error}");
    assert!(Labels::read("own.yaml", "").is_err());
}

#[test]
fn what_is_filled_in_stays_as_it_is() {
    let labels = german();
    let filled = labels.fill(text::common::Mix { share: "{to}", from: "a", to: "b" });
    assert_eq!(filled, "{to} von a auf b");
}

#[test]
fn every_word_of_the_boat_file_has_its_label() {
    let labels = Labels::english();
    let own = boat("boats/moonfish.yaml");
    let text_of = |words: Words, word: &str| {
        let found = labels.find_word(words, word);
        found
            .unwrap_or_else(|| panic!("`{word}` is not under {words:?} in templates/labels/*.yaml"))
            .to_owned()
    };
    for word in own.opposites.iter().flatten() {
        assert_eq!(text_of(text::common::EFFECTS, word), *word);
    }
    for kind in lidcard::device::works::ALL {
        assert_eq!(text_of(text::common::WORKS, kind.name), kind.name);
        let (word, name) = (kind.verb, "it");
        assert!(labels.fill(text::common::Verbs { word, name }).contains("it"));
        assert!(labels.fill(text::common::May { word, name }).contains("it"));
        assert!(labels.fill(text::common::Not { word, name }).contains("it"));
    }
    for kind in lidcard::device::ALL {
        text_of(text::sheet::axes::KINDS, kind.name);
    }
    for (word, _) in lidcard::radio::REGIONS {
        text_of(text::sheet::REGIONS, word);
    }
    for line in [Line::LeftRight, Line::TowardsAway, Line::LowerUpper] {
        for word in line.words() {
            assert_eq!(text_of(text::common::HANDS, word), word);
        }
    }
}

#[test]
fn a_german_card_of_each_boat_fits_the_usual_size_and_is_german() {
    let request = Request { labels: Some(german()), ..Request::default() };
    for name in ["moonfish", "sprat", "capstan"] {
        let setup = boat(&format!("boats/{name}.yaml"));
        let said = said(&setup, &request);
        for words in [
            "Speicher",
            "EIN: Sender zuerst",
            "AUS: Boot zuerst",
            "Sender AUS",
            "LINKS",
            "RECHTS",
            "VORAUS",
            "BEI SIGNALVERLUST",
            "WASSEREINBRUCH",
            "VOR JEDER FAHRT",
            "MHz",
            "Rev.",
        ] {
            assert!(said.contains(words), "{name}: `{words}` is missing from:\n{said}");
        }
        for words in
            ["LEFT", "AHEAD", "EMPTY", "turns", "switches on", "transmitter first", "endpoints", "ch."]
        {
            assert!(!said.contains(words), "{name}: `{words}` is English:\n{said}");
        }
        assert!(said.contains(&setup.boat.name));
        // The builder's own words for settings stay.
        let switch = setup.controls.iter().find(|control| control.kind == ControlKind::Switch);
        assert!(
            switch.is_none_or(|s| said.contains(&s.settings.join(" / ")) || said.contains(&s.settings[0])),
            "{said}"
        );
    }
}

#[test]
fn german_numbers_have_a_comma_and_the_builders_words_stay() {
    let mut setup = boat("boats/moonfish.yaml");
    setup.receiver.after.as_mut().expect("a wait").0 = Exact::ratio(3, 2);
    let request = Request { labels: Some(german()), ..Request::default() };
    let said = said(&setup, &request);
    for words in
        ["nach 1,5 s", "6,6 V", "40,685 MHz", "HINTEN LINKS, OBEN halten", "gentle / full", "2026-05-09"]
    {
        assert!(said.contains(words), "`{words}` is missing from:\n{said}");
    }
}

#[test]
fn an_effect_that_the_builder_added_stays_as_written() {
    let mut setup = boat("boats/moonfish.yaml");
    setup.opposites[0] = ["lid lifts".to_owned(), "lid.drops".to_owned()];
    let request = Request { labels: Some(german()), ..Request::default() };
    let said = said(&setup, &request);
    assert!(said.contains("lid lifts") && said.contains("lid.drops"), "{said}");
}

#[test]
fn a_draft_is_marked_in_the_readers_language() {
    let request = Request { draft: true, labels: Some(german()), ..Request::default() };
    let scene = card(&boat("boats/moonfish.yaml"), &request).expect("card");
    assert!(scene.title.starts_with("ENTWURF - UNGEPRÜFT: Moonfish"), "{}", scene.title);
    for page in &scene.pages {
        let across = |i: &&Item| matches!(i, Item::Text(t) if t.text == "UNGEPRÜFT" && t.outline.is_some());
        assert_eq!(page.items.iter().filter(across).count(), 1);
    }
}

#[test]
fn the_boat_file_names_the_language_and_a_wish_goes_before_it() {
    let text = std::fs::read_to_string("boats/moonfish.yaml").expect("text");
    let text = text.replace("\nowner:\n", "\nowner:\n  language: de\n");
    let read = |text: &str| {
        let source = lidcard::source::Source::from_text("boat.yaml", text).expect("YAML");
        lidcard::setup::lower::lower(&source)
    };
    let setup = read(&text).expect("understood");
    assert!(said(&setup, &Request::default()).contains("BEI SIGNALVERLUST"));
    let english = Request { labels: Some(Labels::english()), ..Request::default() };
    assert!(said(&setup, &english).contains("IF THE SIGNAL IS LOST"));
    assert!(read(&text.replace("language: de", "language: latin")).is_err());
}

#[test]
fn a_pdf_says_which_language_it_is_in() {
    let setup = boat("boats/moonfish.yaml");
    for (labels, tag) in [(Labels::english(), "en-GB"), (german(), "de-DE")] {
        let facts = meta(&labels, &setup);
        let request = Request { labels: Some(labels), ..Request::default() };
        let scene = card(&setup, &request).expect("card");
        let bytes = lidcard::render::pdf::to_pdf(&scene, &facts).expect("PDF");
        let file = lopdf::Document::load_mem(&bytes).expect("a PDF");
        let lang = file.catalog().and_then(|c| c.get(b"Lang")).and_then(lopdf::Object::as_str).expect("Lang");
        assert_eq!(lang, tag.as_bytes());
    }
}

#[test]
fn a_label_that_a_template_asks_for_in_vain_is_named() {
    let text = "title: {{ labels.card.lost | json }}\nname: {{ labels.card.captain | json }}\n";
    let template = Some(("own.tera".to_owned(), text.to_owned()));
    let request = Request { template, ..Request::default() };
    let error = card(&boat("boats/moonfish.yaml"), &request).expect_err("no such label").to_string();
    assert!(error.starts_with("own.tera:2:10: `labels.card.captain` is not defined"), "{error}");
}

#[test]
fn a_depth_limit_can_be_given_in_feet() {
    let request = Request { units: Units::Us, ..Request::default() };
    // 1.5 m / 0.3048 m = 4.921 ft, cut off.
    assert!(said(&boat("boats/moonfish.yaml"), &request).contains("not deeper than 4.9 ft"));
}

/// Every boat that is spoilt on purpose, and the examples on the pages of the rules.
fn spoilt() -> Vec<(String, Setup)> {
    let files = files_in("tests/fixtures/mistakes").into_iter();
    let mut all: Vec<(String, Setup)> = files.map(|file| (file.clone(), boat(&file))).collect();
    for rule in lidcard::rule::ALL {
        for (label, text) in lidcard::rule::page::examples(rule.text) {
            let name = format!("{} {label}", rule.name);
            let source = lidcard::source::Source::from_text(&name, text).expect("YAML");
            all.push((name, lidcard::setup::lower::lower(&source).expect("understood")));
        }
    }
    all
}

#[test]
fn each_rule_has_its_words_and_each_of_its_sentences_is_said_of_some_boat_in_every_language() {
    let english = Labels::english().tree();
    let rules = english["rules"].as_object().expect("a section");
    let known: Vec<&str> = lidcard::rule::ALL.iter().map(|rule| rule.name).collect();
    for name in &known {
        let texts = rules.get(*name).and_then(|texts| texts.as_object());
        let proved = texts.is_some_and(|texts| texts.contains_key("proved"));
        let sentences = texts.map_or(0, |texts| texts.len()) - usize::from(proved);
        assert!(
            proved && sentences > 0,
            "the rule `{name}` has no words for the documents: write `proved` and a sentence for each way of \
             being wrong under `rules` in every file of templates/labels/"
        );
    }
    let mut unsaid = std::collections::BTreeSet::new();
    for (name, texts) in rules {
        assert!(known.contains(&name.as_str()), "`rules.{name}` belongs to no rule");
        let sentences = texts.as_object().expect("texts").keys().filter(|key| *key != "proved");
        unsaid.extend(sentences.map(|sentence| (name.clone(), sentence.clone())));
    }
    let all: Vec<Labels> = language::ALL.iter().map(|(_, language)| Labels::of(*language)).collect();
    for (name, setup) in spoilt() {
        let findings = lidcard::rule::check(&setup);
        for finding in findings.iter().filter(|f| f.outcome != lidcard::finding::Outcome::Proved) {
            // What is not judged is told by what would hold.
            assert!(
                finding.outcome == lidcard::finding::Outcome::NotJudged
                    || english.pointer(&format!("/rules/{}/{}", finding.rule, finding.sentence)).is_some(),
                "templates/labels/*.yaml: `rules.{}` lacks the sentence `{}`",
                finding.rule,
                finding.sentence
            );
            for labels in &all {
                let said = lidcard::document::sentence(labels, &setup, finding);
                assert!(!said.ends_with('.') && !said.contains(['{', '}', '_']), "{name}: {said}");
            }
            unsaid.remove(&(finding.rule.to_owned(), finding.sentence.to_owned()));
        }
    }
    assert!(unsaid.is_empty(), "no boat has these sentences said: {unsaid:?}");
}
