//! The page in `desk/` against the program: without building it, what it asks for is what there is.

use crate::help::{command, ran};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// Commands that are put behind others.
const BEHIND: [&str; 7] = ["draft", "language", "seat", "meter", "go_on", "step", "changed"];
const ANSWERS: &str = "tests/fixtures/answers/stickleback.yaml";

fn file(name: &str) -> String {
    std::fs::read_to_string(format!("desk/src/{name}")).unwrap()
}

fn texts(name: &str) -> BTreeMap<String, String> {
    serde_json::from_str(&file(name)).unwrap()
}

/// What stands between each of these and the next quotation mark.
fn quoted_after(text: &str, before: &str) -> BTreeSet<String> {
    text.split(before).skip(1).filter_map(|rest| rest.split('"').next()).map(str::to_owned).collect()
}

/// The gaps of a text, in braces.
fn gaps(text: &str) -> BTreeSet<String> {
    text.split('{').skip(1).filter_map(|rest| rest.split('}').next()).map(str::to_owned).collect()
}

fn scripts() -> String {
    let all = std::fs::read_dir("desk/src").unwrap().map(|entry| entry.unwrap().path());
    all.filter(|path| path.extension().is_some_and(|ending| ending == "js"))
        .map(|path| std::fs::read_to_string(path).unwrap())
        .collect()
}

/// Runs a command of the page on a boat of her own folder, as the page does.
fn asked(name: &str, more: &[&str]) -> (i32, BTreeSet<String>, String) {
    let commands: BTreeMap<String, Vec<String>> = serde_json::from_str(&file("commands.json")).unwrap();
    let folder = tempfile::tempdir().unwrap();
    // A new boat is written where there is none yet.
    let given: &[&str] = if name == "new" { &["answers.yaml"] } else { &["answers.yaml", "sprat.yaml"] };
    for (from, to) in [("boats/sprat.yaml", "sprat.yaml"), (ANSWERS, "answers.yaml")] {
        if given.contains(&to) {
            std::fs::copy(from, folder.path().join(to)).unwrap();
        }
    }
    let words: Vec<String> = commands[name].iter().map(|word| filled(word)).collect();
    assert!(words.iter().all(|word| !word.contains('{')), "{words:?}");
    let words: Vec<&str> = words.iter().map(String::as_str).chain(more.iter().copied()).collect();
    let done = ran(command(&words).current_dir(folder.path()), "");
    let made =
        std::fs::read_dir(folder.path()).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap());
    (done.status, made.filter(|name| !given.contains(&name.as_str())).collect(), done.stdout + &done.stderr)
}

/// A word of a command with its gaps filled.
fn filled(word: &str) -> String {
    let pairs = [
        ("boat", "sprat.yaml"),
        ("stem", "sprat"),
        ("paper", "card"),
        ("rule", "mixes"),
        ("language", "de"),
        ("by", "KL"),
        ("conditions", "cold, hull open"),
        ("extreme", "no"),
        ("meter", "pulse meter = 2 us"),
        ("step", "1"),
        ("what", "transmitter"),
        ("older", "sprat.yaml"),
        ("code", "7K3M-Q2XD"),
    ];
    pairs.iter().fold(word.to_owned(), |word, (gap, with)| word.replace(&format!("{{{gap}}}"), with))
}

#[test]
fn every_command_of_the_page_is_one_of_the_program_and_makes_what_the_page_takes() {
    let commands: BTreeMap<String, Vec<String>> = serde_json::from_str(&file("commands.json")).unwrap();
    let made = |names: &[&str]| names.iter().map(|name| (*name).to_owned()).collect::<BTreeSet<_>>();
    let wanted = [
        ("check", made(&[])),
        ("endpoints", made(&[])),
        ("solve", made(&["sprat.yaml.bak"])),
        ("questions", made(&[])),
        ("bench", made(&[])),
        ("new", made(&["sprat.yaml"])),
        ("explain", made(&[])),
        ("schema", made(&[])),
        ("version", made(&[])),
        ("code", made(&[])),
        ("since", made(&[])),
        ("picture", made(&["card-1.svg", "card-2.svg"])),
        ("png", made(&["sprat-card-1.png", "sprat-card-2.png"])),
        ("pdf", made(&["sprat-card.pdf"])),
        ("try", made(&["sprat-practice.html"])),
        ("handover", made(&["sprat-handover"])),
    ];
    // What is not run by itself is put behind others, below.
    let all: BTreeSet<&str> = wanted.iter().map(|(name, _)| *name).chain(BEHIND).collect();
    assert_eq!(commands.keys().map(String::as_str).collect::<BTreeSet<_>>(), all);
    for (name, files) in wanted {
        let (status, made, said) = asked(name, &[]);
        // No card with that code was made for her.
        assert_eq!(status, i32::from(name == "since"), "{name}: {said}");
        // Nothing to solve leaves no copy.
        assert!(made == files || (name == "solve" && made.is_empty()), "{name}: {made:?}");
    }
    let more = [commands["draft"][0].as_str(), commands["language"][0].as_str(), "de"];
    for name in ["picture", "png", "pdf", "try"] {
        let (status, _, said) = asked(name, &more);
        assert_eq!(status, 0, "{name}: {said}");
    }
    for name in ["questions", "new", "bench"] {
        let (status, _, said) = asked(name, &more[1..]);
        assert_eq!(status, 0, "{name}: {said}");
    }
    let at_the_bench = |names: &[&str]| {
        let words = names.iter().flat_map(|name| commands[*name].iter());
        let words: Vec<String> = words.map(|word| filled(word)).collect();
        asked("bench", &words.iter().map(String::as_str).collect::<Vec<_>>())
    };
    let (status, made_there, said) = at_the_bench(&["seat", "meter"]);
    assert!(status == 0 && made_there == made(&["sprat.bench.yaml"]), "{made_there:?} {said}");
    let (status, made_there, said) = at_the_bench(&["changed"]);
    assert!(status == 0 && made_there == made(&["sprat.bench.yaml"]), "{made_there:?} {said}");
    // Nobody sat down yet.
    let (status, made_there, said) = at_the_bench(&["go_on"]);
    assert!(status == 2 && made_there.is_empty() && said.contains("nobody has sat down yet"), "{said}");
    // Nothing was typed yet.
    let (status, made_there, said) = at_the_bench(&["go_on", "step"]);
    assert!(status == 2 && made_there.is_empty() && said.contains("answers.txt"), "{said}");
}

#[test]
fn the_scripts_ask_for_commands_that_are_listed_and_no_other() {
    let commands: BTreeMap<String, Vec<String>> = serde_json::from_str(&file("commands.json")).unwrap();
    let mut used = quoted_after(&scripts(), "args(\"");
    // Asked for by the name of what is taken away.
    used.extend(["pdf", "png", "try", "handover"].map(str::to_owned));
    assert_eq!(used, commands.keys().cloned().collect());
}

#[test]
fn what_the_page_reads_in_the_reports_is_there() {
    let (_, _, said) = asked("check", &[]);
    let report: Value = serde_json::from_str(&said).unwrap();
    let file = &report["files"][0];
    for key in ["status", "findings", "mistakes", "proved"] {
        assert!(file.get(key).is_some(), "{key}");
    }
    let (_, _, said) = asked("code", &[]);
    let verified: Value = serde_json::from_str(&said).unwrap();
    assert!(verified["code"].as_str().is_some_and(|code| code.len() == 9), "{said}");
    let (_, _, said) = asked("since", &[]);
    let verified: Value = serde_json::from_str(&said).unwrap();
    assert!(verified["differences"].as_array().is_some_and(Vec::is_empty), "{said}");
    let (_, _, said) = asked("bench", &[]);
    let bench: Value = serde_json::from_str(&said).unwrap();
    let steps = [
        "steps",
        "next",
        "minutes",
        "danger",
        "compare",
        "held",
        "said",
        "noted",
        "things",
        "can_go_on",
        "sitting",
    ];
    for key in steps {
        assert!(bench.get(key).is_some(), "{key}");
    }
    let (_, _, said) = asked("endpoints", &[]);
    let endpoints: Value = serde_json::from_str(&said).unwrap();
    let keys =
        ["channel", "name", "way", "set", "place", "windows", "best", "as_set", "low_limit", "high_limit"];
    for key in keys.into_iter().chain(["but", "not_moved", "crossing"]) {
        assert!(endpoints["ways"][0].get(key).is_some(), "{key}");
    }
    for key in ["device", "about", "channel", "ways", "half", "lanes"] {
        assert!(endpoints["axes"][0].get(key).is_some(), "{key}");
    }
    for key in ["shows", "work", "about", "emergency", "perhaps", "surely", "marks", "value"] {
        assert!(endpoints["axes"][0]["lanes"][0].get(key).is_some(), "{key}");
    }
}

#[test]
fn every_language_has_the_same_words_with_the_same_gaps_and_none_is_missing_or_left_over() {
    let english = texts("words/en.json");
    for (name, _) in lidcard::language::ALL {
        let words = texts(&format!("words/{name}.json"));
        assert!(file("words.js").contains(&format!("./words/{name}.json")), "{name} is not in the page");
        assert_eq!(words.keys().collect::<Vec<_>>(), english.keys().collect::<Vec<_>>(), "{name}");
        for (key, text) in &words {
            assert!(!text.trim().is_empty(), "{name}: {key}");
            assert_eq!(gaps(text), gaps(&english[key]), "{name}: {key}");
        }
    }
    let html = file("page.html");
    let scripts = scripts();
    let mut used = quoted_after(&html, "data-word=\"");
    used.extend(quoted_after(&html, "data-name=\""));
    used.extend(quoted_after(&scripts, "word(\""));
    used.extend(
        ["kept", "not_kept", "cannot_keep", "opened", "opened.draft", "opened.new"].map(str::to_owned),
    );
    for key in &used {
        assert!(english.contains_key(key), "{key} is used and has no words");
    }
    // Those whose last part is a word of a report or of the page are made of two.
    let page = ["group.", "view.", "theme.", "as_set.", "lane.", "paper."];
    let bench = ["bench.state.", "bench.safe.", "bench.agrees.", "bench.seen."];
    for key in english.keys() {
        assert!(
            used.contains(key) || page.iter().chain(&bench).any(|start| key.starts_with(start)),
            "{key} is nowhere used"
        );
    }
}

#[test]
fn the_page_carries_every_boat_to_start_from() {
    let bundle = std::fs::read_to_string("desk/bundle.mjs").unwrap();
    for entry in std::fs::read_dir("boats").unwrap() {
        let name = entry.unwrap().path().file_stem().unwrap().to_string_lossy().into_owned();
        assert!(bundle.contains(&format!("\"{name}\"")), "{name}");
    }
}
