//! The registry tests itself: every rule has a page of the one shape, and what the page shows is true.

use lidcard::finding::Harm;
use lidcard::rule::{ALL, check, faults, page};
use lidcard::setup::lower::lower;
use lidcard::source::Source;
use std::collections::BTreeSet;

/// The rules that a boat breaks.
fn broken_by(name: &str, text: &str) -> BTreeSet<String> {
    let source = Source::from_text(name, text).unwrap_or_else(|m| panic!("{name}: {m:#?}"));
    let setup = lower(&source).unwrap_or_else(|m| panic!("{name}: {m:#?}"));
    check(&setup).into_iter().filter(|f| f.is_open()).map(|f| f.rule.to_string()).collect()
}

fn is_kebab_case(name: &str) -> bool {
    name.split('-').all(|word| !word.is_empty() && word.bytes().all(|b| b.is_ascii_lowercase()))
}

#[test]
fn names_are_kebab_case_and_used_once() {
    let mut seen = BTreeSet::new();
    for rule in ALL {
        assert!(is_kebab_case(rule.name), "{}", rule.name);
        // A name says what is wrong; one that begins like this says what the program does.
        assert!(!rule.name.starts_with("check-"), "{}", rule.name);
        assert!(seen.insert(rule.name), "{} is there twice", rule.name);
    }
}

#[test]
fn every_rule_is_found_again_by_its_page() {
    for rule in ALL {
        let title = page::title(rule.text).unwrap();
        let found = ALL.iter().find(|r| r.name == title);
        assert_eq!(found.map(|r| r.name), Some(rule.name), "the page of {} is titled {title}", rule.name);
    }
}

#[test]
fn what_is_told_first_is_what_the_page_says_hurts_people() {
    for rule in ALL.iter().filter(|rule| rule.harm == Harm::People) {
        let whom = page::hurts(rule.text).unwrap_or_default();
        assert!(whom.contains("people"), "{}: hurts {whom}", rule.name);
    }
}

#[test]
fn every_page_has_the_same_shape() {
    for rule in ALL {
        assert_eq!(page::headings(rule.text), page::SECTIONS, "{}", rule.name);
        let severity = page::severity(rule.text);
        assert!(matches!(severity, Some("error" | "warning")), "{}: {severity:?}", rule.name);
        let whom = page::hurts(rule.text).unwrap_or_default();
        let known = ["the boat", "the builder", "people"];
        assert!(whom.split(", ").all(|w| known.contains(&w)), "{}: hurts {whom}", rule.name);
        let summary = page::summary(rule.text).unwrap();
        assert!(summary.ends_with('.') && summary.len() < 120, "{}: {summary}", rule.name);
        for part in rule.text.split("\n## ").skip(1) {
            let (heading, body) = part.split_once('\n').unwrap();
            assert!(body.trim().len() > 20, "{}: {heading} says nothing", rule.name);
        }
    }
}

#[test]
fn examples_break_their_rule_and_the_cure_cures() {
    for rule in ALL {
        let examples = page::examples(rule.text);
        let labels: Vec<&str> = examples.iter().map(|(label, _)| *label).collect();
        // A page says which other rule its mistake cannot but break as well.
        let also = labels[0].strip_prefix("broken and ");
        assert_eq!((also.map_or(labels[0], |_| "broken"), labels[1]), ("broken", "cured"), "{}", rule.name);
        let expected: BTreeSet<String> = [rule.name].into_iter().chain(also).map(str::to_owned).collect();
        let found = broken_by(&format!("{} broken", rule.name), examples[0].1);
        assert_eq!(found, expected, "{} broken", rule.name);
        let found = broken_by(&format!("{} cured", rule.name), examples[1].1);
        assert_eq!(found, BTreeSet::new(), "{} cured", rule.name);
    }
}

#[test]
fn the_severity_on_the_page_is_the_one_found() {
    for rule in ALL {
        let source = Source::from_text(rule.name, page::examples(rule.text)[0].1).unwrap();
        let findings = check(&lower(&source).unwrap());
        let weights: BTreeSet<_> =
            findings.iter().filter(|f| f.is_open()).map(|f| f.weight().word()).collect();
        assert_eq!(weights, BTreeSet::from([page::severity(rule.text).unwrap()]), "{}", rule.name);
    }
}

#[test]
fn every_fault_names_a_rule_or_the_bench_and_every_rule_a_fault() {
    let mut named = BTreeSet::new();
    let numbered = faults::PAGE.lines().filter(|line| line.starts_with(|c: char| c.is_ascii_digit()));
    assert_eq!(numbered.count(), faults::all().len(), "a line of the page is not understood");
    for (index, fault) in faults::all().iter().enumerate() {
        assert_eq!(fault.number, index + 1, "{}", fault.what);
        assert!(fault.what.ends_with('.') && !fault.what.contains('('), "{}", fault.what);
        for rule in &fault.rules {
            assert!(ALL.iter().any(|r| r.name == *rule), "{}: {rule}", fault.number);
            named.insert(*rule);
        }
    }
    for rule in ALL {
        assert!(named.contains(rule.name), "no fault names {}", rule.name);
    }
}

#[test]
fn what_no_rule_tells_has_a_test_of_one_sentence_for_the_bench() {
    assert!(!faults::bench_only().is_empty());
    for fault in faults::all() {
        // The mark on the page and the test beside it go together.
        let line = format!("\n{}. ", fault.number);
        let (_, rest) = faults::PAGE.split_once(&line).unwrap();
        let marked = rest.lines().next().unwrap().contains("`bench`");
        assert_eq!(marked, fault.test.is_some(), "{}", fault.number);
        assert!(marked || !fault.rules.is_empty(), "{}", fault.number);
        if let Some(test) = fault.test {
            assert!(test.ends_with('.') && test.len() > 30, "{test}");
        }
    }
    let only: Vec<usize> = faults::bench_only().iter().map(|fault| fault.number).collect();
    let without: Vec<usize> = faults::all().iter().filter(|f| f.rules.is_empty()).map(|f| f.number).collect();
    assert_eq!(only, without);
}

#[test]
fn endpoints_that_agree_when_exchanged_are_named_as_not_exchanged() {
    let help = |fixture: &str| {
        let text = std::fs::read_to_string(format!("tests/fixtures/mistakes/{fixture}.yaml")).unwrap();
        let findings = check(&lower(&Source::from_text(fixture, &text).unwrap()).unwrap());
        let open = findings.iter().filter(|f| f.is_open() && f.rule == "measured-differs");
        open.map(|f| {
            f.help.iter().filter(|line| line.contains("endpoints of this channel exchanged")).count()
        })
        .collect::<Vec<_>>()
    };
    assert_eq!(help("endpoints-not-exchanged"), [1, 1]);
    assert_eq!(help("measured-otherwise"), [0]);
}

/// Where the linkage of Plover's rudder may pass a dead centre after a change to her file: the states, and
/// what shows it.
fn dead_centres(changes: &[(&str, &str)]) -> Vec<(String, Option<String>)> {
    let mut text = std::fs::read_to_string("tests/fixtures/clean/plover.yaml").unwrap();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replacen(from, to, 1);
    }
    let findings = check(&lower(&Source::from_text("plover", &text).unwrap()).unwrap());
    let open = findings.into_iter().filter(|f| f.is_open() && f.rule == "dead-centre-within-reach");
    open.map(|f| (f.state, f.witness.map(|w| w.words))).collect()
}

#[test]
fn a_dead_centre_is_found_wherever_a_hand_a_mix_a_stage_or_a_preset_brings_the_servo() {
    // Her rudder's first dead centre lies at 104 % with this horn, as `lidcard endpoints` says too.
    let longer_horn = ("horn: 12 mm ± 0.2 mm", "horn: 17 mm ± 0.2 mm");
    assert_eq!(dead_centres(&[longer_horn]), []);
    let carries_on = ("past_full_stick: cut off", "past_full_stick: carries on");
    let further = ("starboard: 85 %", "starboard: 94 %");
    assert_eq!(dead_centres(&[longer_horn, further]), []);
    let found = dead_centres(&[longer_horn, further, carries_on]);
    let [(state, Some(words))] = &found[..] else { panic!("{found:?}") };
    assert!(state == "piloting" && words.contains("helm trim: 15 % towards starboard"), "{found:?}");

    let mix = ("starboard: 85 %}", "starboard: 94 %}, mixes: [{add: 20 %, of: dive}]");
    let found = dead_centres(&[longer_horn, mix, carries_on]);
    assert!(found[0].1.as_ref().unwrap().contains("dive: dive held fully"), "{found:?}");

    let preset = ("receiver: {on_loss: no pulses}", "receiver: {on_loss: {1: +112 %, 3: 0 %}}");
    assert_eq!(dead_centres(&[longer_horn, preset]), [("waiting".to_owned(), None)]);
    let stage = (
        "devices:",
        "fail_safe: {channels: [1], wait: 2 s, stages: [{name: turn, set: {1: +112 %}}]}\ndevices:",
    );
    assert_eq!(dead_centres(&[longer_horn, stage]), [("stage turn".to_owned(), None)]);
    // The other way there is room.
    let other = (stage.0, &*stage.1.replace("+112 %", "-112 %"));
    assert_eq!(dead_centres(&[longer_horn, other]), []);
}
