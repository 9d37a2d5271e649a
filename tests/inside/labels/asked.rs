//! Which labels are asked for: those that a template names are there with their gaps, and none is there
//! that nobody asks for.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use lidcard::document::labels::{KEPT, Labels, WORDS};

/// Every text of the English labels by its path.
fn texts() -> Vec<(String, String)> {
    fn walk(value: &serde_json::Value, path: &str, all: &mut Vec<(String, String)>) {
        match value {
            serde_json::Value::Object(section) => {
                for (key, value) in section {
                    walk(value, &if path.is_empty() { key.clone() } else { format!("{path}.{key}") }, all);
                }
            }
            text => all.push((path.to_owned(), text.as_str().expect("a text").to_owned())),
        }
    }
    let mut all = Vec::new();
    walk(&Labels::english().tree(), "", &mut all);
    all
}

fn files(folder: &Path, all: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("folder") {
        let path = entry.expect("entry").path();
        if path.is_dir() { files(&path, all) } else { all.push(path) }
    }
}

/// All files below a folder with one of some endings, each with its text.
fn below(folder: &str, endings: &[&str]) -> Vec<(PathBuf, String)> {
    let mut all = Vec::new();
    files(Path::new(folder), &mut all);
    all.retain(|path| path.extension().is_some_and(|e| endings.iter().any(|known| e == *known)));
    all.sort();
    let text = |path: PathBuf| (path.clone(), std::fs::read_to_string(path).expect("text"));
    all.into_iter().map(text).collect()
}

fn is_part(c: char) -> bool {
    c.is_ascii_alphanumeric() || c == '_'
}

/// What a template calls labels: `labels` itself, and each `{% set name = labels.section %}`.
fn names_for_labels(template: &str) -> Vec<(String, String)> {
    let mut names = vec![("labels".to_owned(), String::new())];
    for (at, _) in template.match_indices("set ") {
        let Some((name, value)) = template[at + 4..].split_once(" = ") else { continue };
        let Some(value) = value.strip_prefix("labels.") else { continue };
        let end = value.find(|c| !is_part(c) && c != '.').unwrap_or(value.len());
        // What is more than a path is no section.
        if name.chars().all(is_part) && value[end..].trim_start().starts_with(['-', '%']) {
            names.push((name.to_owned(), format!("{}.", &value[..end])));
        }
    }
    names
}

/// The labels and sections that a template names, each with the gaps that it fills at once.
fn named_in(template: &str) -> Vec<(String, BTreeSet<String>)> {
    let mut all = Vec::new();
    let template = &without_remarks(template);
    for (name, section) in names_for_labels(template) {
        let call = format!("{name}.");
        for (at, _) in template.match_indices(&call) {
            if template[..at].ends_with(|c| is_part(c) || c == '.') {
                continue;
            }
            let rest = &template[at + call.len()..];
            let end = rest.find(|c| !is_part(c) && c != '.').unwrap_or(rest.len());
            let path = rest[..end].trim_end_matches('.');
            let mut gaps = BTreeSet::new();
            let mut after = &rest[end..];
            while let Some(more) = after.strip_prefix(" | replace(from=\"{") {
                let (gap, more) = more.split_once("}\"").expect("a gap");
                gaps.insert(gap.to_owned());
                after = more.split_once(')').map_or("", |(_, after)| after);
            }
            // How long a text is may be asked without saying it.
            if !after.starts_with(" | length") {
                all.push((format!("{section}{path}"), gaps));
            }
        }
    }
    all
}

fn without_remarks(template: &str) -> String {
    let mut parts = template.split("{#");
    let first = parts.next().unwrap_or_default().to_owned();
    parts.fold(first, |text, part| text + part.split_once("#}").map_or("", |(_, after)| after))
}

fn gaps(text: &str) -> BTreeSet<String> {
    let after = text.split('{').skip(1).filter_map(|rest| rest.split_once('}'));
    after.map(|(name, _)| name.to_owned()).collect()
}

/// What is wrong with the labels of a template.
fn faults(template: &str) -> Vec<String> {
    let texts = texts();
    let mut faults = Vec::new();
    for (path, filled) in named_in(template) {
        let section = || texts.iter().any(|(known, _)| known.starts_with(&format!("{path}.")));
        match texts.iter().find(|(known, _)| *known == path) {
            Some((_, text)) if gaps(text) != filled => {
                faults.push(format!("`{path}` has the gaps {:?}, filled are {filled:?}", gaps(text)));
            }
            Some(_) => {}
            None if section() => {}
            None => faults.push(format!("no label `{path}`")),
        }
    }
    faults
}

#[test]
fn every_label_that_a_template_names_is_there_with_its_gaps() {
    let mut asked = 0;
    for (file, text) in below("templates", &["tera", "html"]) {
        assert_eq!(faults(&text), Vec::<String>::new(), "{}", file.display());
        asked += named_in(&text).len();
    }
    assert!(asked > 90, "only {asked} labels were found in the templates");
}

#[test]
fn a_label_that_a_template_misspells_is_found_whatever_the_template_calls_its_section() {
    assert_eq!(faults("{{ labels.card.lots | json }}"), ["no label `card.lots`"]);
    let own = "{%- set say = labels.sheet -%}{{ say.signed.titel | json }}";
    assert_eq!(faults(own), ["no label `sheet.signed.titel`"]);
    assert_eq!(faults("{{ labels.card.memory | json }}").len(), 1);
    assert_eq!(faults("{{ labels.card.memory | replace(from=\"{memory}\", to=memory) }}").len(), 0);
    assert_eq!(faults("{{ labels.card.lost | replace(from=\"{memory}\", to=memory) }}").len(), 1);
}

/// How the program names a label: `signed::TITLE`, `common::Mix`.
fn in_rust(path: &str, text: &str) -> String {
    let keys: Vec<&str> = path.rsplitn(3, '.').collect();
    let word = keys[0].replace([' ', '-'], "_");
    let name = if gaps(text).is_empty() {
        word.to_uppercase()
    } else {
        word.split('_').map(|part| part[..1].to_uppercase() + &part[1..]).collect()
    };
    keys.get(1).map_or(name.clone(), |section| format!("{section}::{name}"))
}

#[test]
fn no_label_is_there_that_nobody_asks_for() {
    let sources = ["src", "crates/paper", "crates/bench"].map(|stage| below(stage, &["rs"])).concat();
    let templates = below("templates", &["tera", "html"]);
    let named: BTreeSet<String> =
        templates.iter().flat_map(|(_, text)| named_in(text)).map(|(path, _)| path).collect();
    // A template picks one of these by the signal word.
    let by_word = WORDS.iter().chain(&["rules", "sheet.faults"]);
    let by_word: Vec<String> = by_word.map(|section| format!("{section}.")).collect();
    for (path, text) in texts() {
        if named.contains(&path) || by_word.iter().any(|section| path.starts_with(section)) {
            continue;
        }
        let name = in_rust(&path, &text);
        let asks = |source: &str| {
            let follows = |at: usize| source[at + name.len()..].starts_with(is_part);
            source.match_indices(&name).any(|(at, _)| !follows(at))
        };
        assert!(
            sources.iter().any(|(_, source)| asks(source)),
            "nobody asks for the label `{path}`: take it out of templates/labels/*.yaml"
        );
    }
}

#[test]
fn every_caution_that_stays_as_it_is_is_a_label() {
    let texts = texts();
    for kept in KEPT {
        let within = |path: &str| path == *kept || path.starts_with(&format!("{kept}."));
        assert!(texts.iter().any(|(path, _)| within(path)), "KEPT names `{kept}`, which is no label");
    }
}
