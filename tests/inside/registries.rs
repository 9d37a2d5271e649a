//! What can be added is known in as few places as `DEVELOPERS.md` promises: whatever else knew one of the
//! documents, report shapes, rules or kinds by name would have to be found by whoever adds the next one.

use std::collections::BTreeSet;
use std::path::Path;

use crate::help::run;
use lidcard::device::{self, works};
use lidcard::{document, report, rule};

/// Every source of the program by its path, without what tests it.
fn sources() -> Vec<(String, String)> {
    fn walk(folder: &Path, all: &mut Vec<(String, String)>) {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let stem = path.file_stem().unwrap().to_string_lossy().into_owned();
            let tests = stem == "tests";
            if path.is_dir() {
                walk(&path, all);
            } else if path.extension().is_some_and(|e| e == "rs")
                && !tests
                && stem != "samples"
                && !stem.ends_with("_tests")
            {
                let text = std::fs::read_to_string(&path).unwrap();
                all.push((path.to_string_lossy().into_owned(), without_tests(&text)));
            }
        }
    }
    let mut all = Vec::new();
    for stage in [
        "src",
        "crates/boat",
        "crates/proof",
        "crates/check",
        "crates/report",
        "crates/paper",
        "crates/bench",
        "crates/probe",
    ] {
        walk(Path::new(stage), &mut all);
    }
    assert!(all.len() > 200, "only {} sources", all.len());
    all
}

/// A module of tests stands at the end of its file.
fn without_tests(text: &str) -> String {
    let starts = text.match_indices("#[cfg(test)]").map(|(at, _)| at);
    let is_module = |at: &usize| {
        let head: Vec<&str> = text[*at..].lines().take(3).collect();
        head.iter().any(|line| line.starts_with("mod ") && line.ends_with('{'))
    };
    starts.into_iter().find(is_module).map_or(text, |at| &text[..at]).to_owned()
}

/// The sources that name something, as a word of its own.
fn naming(sources: &[(String, String)], word: &str) -> BTreeSet<String> {
    let part = |c: char| c.is_alphanumeric() || c == '_';
    let names = |text: &str| {
        text.match_indices(word)
            .any(|(at, _)| !text[..at].ends_with(part) && !text[at + word.len()..].starts_with(part))
    };
    sources.iter().filter(|(_, text)| names(text)).map(|(path, _)| path.clone()).collect()
}

/// What a list of a registry holds, such as `card::Card`, read off its source.
fn listed(file: &str) -> Vec<(String, String)> {
    let text = std::fs::read_to_string(file).unwrap();
    let list =
        text.split_once("pub const ALL:").unwrap().1.split_once('=').unwrap().1.split_once('[').unwrap().1;
    let items = list.split_once("];").unwrap().0.split(',').map(|item| item.trim().trim_start_matches('&'));
    let items = items.filter_map(|item| item.split_once("::"));
    items.map(|(module, name)| (module.to_owned(), name.to_owned())).collect()
}

/// Nobody but these files names something.
fn known_only_to(sources: &[(String, String)], word: &str, places: &[&str]) {
    let odd: Vec<String> =
        naming(sources, word).into_iter().filter(|f| !places.contains(&f.as_str())).collect();
    assert!(odd.is_empty(), "{odd:?} know {word}: DEVELOPERS.md promises that {places:?} do alone");
}

#[test]
fn a_document_is_known_to_its_file_and_the_list_and_has_its_command() {
    let sources = sources();
    let list = listed("crates/paper/src/lib.rs");
    assert_eq!(list.len(), document::ALL.len());
    for (module, name) in list {
        // What goes into a handover is said there, and what is made of a boat file alone.
        let places = ["crates/paper/src/lib.rs", "src/cli/handover.rs", "src/cli/alone.rs"];
        known_only_to(&sources, &format!("{module}::{name}"), &places);
    }
    let commands = run(&["--help"]).stdout;
    for document in document::ALL {
        let quoted = format!("\"{}\"", document.name());
        let of_commands: Vec<_> = sources.iter().filter(|(f, _)| f.starts_with("src/cli")).cloned().collect();
        known_only_to(&of_commands, &quoted, &[]);
        assert!(commands.contains(&format!("\n  {} ", document.name())), "{commands}");
        let help = run(&[document.name(), "--help"]);
        assert!(help.status == 0 && help.stdout.contains(document.about()), "{}{}", help.stdout, help.stderr);
        assert!(Path::new("templates").join(document.template().name).is_file(), "{}", document.name());
    }
}

#[test]
fn a_shape_of_the_report_is_known_to_its_file_and_the_list_and_can_be_asked_for() {
    let sources = sources();
    let list = listed("crates/report/src/lib.rs");
    assert_eq!(list.len(), report::ALL.len());
    for ((module, name), format) in list.into_iter().zip(report::ALL) {
        let own = format!("crates/report/src/{module}.rs");
        known_only_to(&sources, &format!("{module}::{name}"), &["crates/report/src/lib.rs"]);
        known_only_to(&sources, &format!("\"{}\"", format.name()), &[&own]);
        let ran = run(&["check", "--format", format.name(), "boats/sprat.yaml"]);
        assert!(ran.status == 0 && !ran.stdout.is_empty(), "{}: {}", format.name(), ran.stderr);
        assert!(run(&["check", "--help"]).stdout.contains(format.about()), "{}", format.name());
    }
}

#[test]
fn a_kind_of_device_is_known_to_its_file_and_the_list() {
    let sources = sources();
    let list = listed("crates/boat/src/device/mod.rs");
    assert_eq!(list.len(), device::ALL.len());
    for ((module, name), kind) in list.into_iter().zip(device::ALL) {
        let own = format!("crates/boat/src/device/{module}.rs");
        known_only_to(&sources, &format!("{module}::{name}"), &["crates/boat/src/device/mod.rs"]);
        // The examples of keys stand on some device.
        known_only_to(
            &sources,
            &format!("\"{}\"", kind.name),
            &[&own, "crates/boat/src/setup/keys/device.rs"],
        );
    }
}

#[test]
fn a_kind_of_works_is_known_to_the_list_alone() {
    let sources = sources();
    for kind in works::ALL {
        // A word of other lists, too: what else a boat can be, which thing a gap holds.
        if kind.nameless {
            continue;
        }
        let places = ["crates/boat/src/device/works.rs", "crates/boat/src/setup/keys/work.rs"];
        known_only_to(&sources, &format!("\"{}\"", kind.name), &places);
    }
}

#[test]
fn a_rule_is_known_by_name_to_its_file_alone() {
    let sources = sources();
    for rule in rule::ALL {
        let stem = rule.name.replace('-', "_");
        let own = format!("crates/check/src/rule/{stem}.rs");
        assert!(Path::new(&own).is_file() && own != "crates/check/src/rule/mod.rs", "{own}");
        // An example of the key `rule` names one.
        let example = "crates/boat/src/setup/keys/boat.rs";
        known_only_to(&sources, &format!("\"{}\"", rule.name), &[&own, example]);
    }
}
