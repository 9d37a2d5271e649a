//! The papers against published guidance: what `docs/papers-guidance.md` names is there, and what it promises of words.

use crate::help::{files_in, judged};
use lidcard::document::guide::Guide;
use lidcard::document::labels::Labels;
use lidcard::document::{Document, Request};
use lidcard::language;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// The guide as a page of HTML.
fn page(text: &str, labels: Labels) -> String {
    let request = Request { labels: Some(labels), ..Request::default() };
    judged(text, |job| Guide.html(job, &request).expect("a page").expect("of HTML"))
}

fn read(file: &str) -> String {
    std::fs::read_to_string(file).expect("readable")
}

/// Every source in which a check may stand, by the name that the page gives it.
fn sources(stem: &str) -> Vec<PathBuf> {
    let mut all: Vec<PathBuf> = vec![
        format!("tests/inside/{stem}.rs").into(),
        format!("tests/outside/{stem}.py").into(),
        format!("tests/web/{stem}.mjs").into(),
    ];
    let mut folders = vec![PathBuf::from("crates/page/src"), PathBuf::from("crates/paper/src")];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder).expect("a folder").flatten() {
            let path = entry.path();
            if path.is_dir() {
                folders.push(path);
            } else if path.file_stem().is_some_and(|name| name == stem) {
                all.push(path);
            }
        }
    }
    all.into_iter().filter(|path| path.is_file()).collect()
}

fn is_there(name: &str) -> bool {
    let Some((stem, words)) = name.split_once(' ') else { return false };
    let holds = |path: &Path| {
        let text = read(&path.display().to_string());
        let is_rust = path.extension().is_some_and(|ending| ending == "rs");
        if is_rust { text.contains(&format!("fn {words}()")) } else { text.contains(words) }
    };
    sources(stem).iter().any(|path| holds(path))
}

#[test]
fn every_recommendation_has_a_check_that_is_there_or_the_reason_why_not() {
    let page = read("docs/papers-guidance.md");
    let rows = page.lines().filter(|line| line.starts_with("| ") && !line.starts_with("| recommended"));
    let mut count = 0;
    for row in rows {
        let cells: Vec<&str> = row.trim_matches('|').split(" | ").collect();
        let [_, here, checks] = cells[..] else { panic!("three cells: {row}") };
        let names: Vec<&str> = checks.split('`').skip(1).step_by(2).collect();
        for name in &names {
            assert!(is_there(name), "`{name}` is no check: {row}");
        }
        let reasoned = here.trim().starts_with("Exception: ") || checks.contains("*looked at*");
        assert!(!names.is_empty() || reasoned, "neither check nor reason: {row}");
        count += 1;
    }
    assert!(count > 40, "{count} recommendations");
    assert!(!is_there("card a_test_that_nobody_wrote") && !is_there("check_family words of nobody"));
}

/// What is said in sentences and points, each told once: 25 letters and more, so that names and words are none.
fn sentences(html: &str) -> Vec<String> {
    const SHORTEST: usize = 25;
    let body = &html[html.find("<body>").expect("a body")..];
    let mut all = Vec::new();
    for tag in ["<p>", "<li>"] {
        for part in body.split(tag).skip(1) {
            let part = part.split("</").next().unwrap_or_default();
            all.extend(part.split_inclusive(['.', '!', '?']).map(|s| s.trim().to_owned()));
        }
    }
    all.retain(|sentence| sentence.len() >= SHORTEST && !sentence.contains('<'));
    all
}

#[test]
fn the_guide_says_nothing_twice() {
    for (_, language) in language::ALL {
        for file in files_in("boats").into_iter().chain(files_in("tests/fixtures/clean")) {
            let html = page(&read(&file), Labels::of(*language));
            let mut said: BTreeMap<String, usize> = BTreeMap::new();
            for sentence in sentences(&html) {
                *said.entry(sentence).or_default() += 1;
            }
            let twice: Vec<&String> = said.iter().filter(|(_, n)| **n > 1).map(|(s, _)| s).collect();
            assert!(said.len() > 30 && twice.is_empty(), "{file}: {twice:?}");
        }
    }
}

#[test]
fn steam_fire_and_pressure_have_their_caution_where_they_are_and_nowhere_else() {
    let said = |file: &str| page(&read(file), Labels::english());
    let (steam, gas, plain) =
        (said("tests/fixtures/clean/skerry.yaml"), said("boats/moonfish.yaml"), said("boats/sprat.yaml"));
    let boiler = "fire, steam and hot oil burn and scald, and a boiler bursts";
    assert!(steam.contains(boiler) && !gas.contains(boiler) && !plain.contains(boiler));
    let bursts = "A filled bottle that is heated by a flame or thrown on a fire bursts.";
    assert!(gas.contains(bursts) && !steam.contains(bursts) && !plain.contains(bursts));
    let gun = read("tests/fixtures/mistakes/gun-left-at-fire.yaml");
    let shot = "Nobody in front of it or above it, eyes protected";
    assert!(page(&gun, Labels::english()).contains(shot) && !steam.contains(shot) && !gas.contains(shot));
}
