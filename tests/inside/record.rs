//! `lidcard record`: what came back from the bench, as paper.

use crate::help::run;
use std::path::Path;

/// Moonfish in a folder, with a record of these lines.
fn home(lines: &str) -> tempfile::TempDir {
    let home = tempfile::tempdir().unwrap();
    std::fs::copy("boats/moonfish.yaml", home.path().join("moonfish.yaml")).unwrap();
    let record = format!("bench: 1\nentries:\n{lines}");
    std::fs::write(home.path().join("moonfish.bench.yaml"), record).unwrap();
    home
}

/// The code of Moonfish as she is.
fn code() -> String {
    let source = lidcard::source::Source::load("boats/moonfish.yaml").unwrap();
    lidcard::fingerprint::Code::of(&source).to_string()
}

fn pages(home: &Path, more: &[&str]) -> String {
    let file = home.join("moonfish.yaml").to_string_lossy().into_owned();
    let out = home.join("record.svg").to_string_lossy().into_owned();
    let ran = run(&[&["record", &file, "-o", &out], more].concat());
    assert_eq!(ran.status, 0, "{}", ran.stderr);
    let mut pages: Vec<_> = std::fs::read_dir(home).unwrap().map(|entry| entry.unwrap().path()).collect();
    pages.retain(|path| path.extension().is_some_and(|e| e == "svg"));
    pages.sort();
    pages.iter().map(|page| std::fs::read_to_string(page).unwrap()).collect()
}

fn lines() -> String {
    format!(
        "- {{run: \"2026-05-09T14:03:11Z\", by: \"KL\", code: \"{}\", meters: {{\"pulse meter\": \"2 us\"}}}}\n\
         - {{at: \"2026-05-09T14:04:02Z\", test: \"1.1\", of: \"Gas out.\", seen: yes}}\n\
         - {{at: \"2026-05-09T14:05:00Z\", test: \"1.2\", of: \"Propellers off.\", seen: no, remark: \"key is missing\"}}\n\
         - {{run: \"2026-05-01T09:00:00Z\", by: \"OM\", code: \"AAAA-AAAA\"}}\n\
         - {{at: \"2026-05-01T09:10:00Z\", test: \"3.1\", of: \"1/rest\", read: [\"1471 us\"], agrees: no}}\n",
        code()
    )
}

#[test]
fn what_was_read_is_printed_with_who_and_when_and_what_is_open() {
    let home = home(&lines());
    let text = pages(home.path(), &[]);
    for said in
        ["Bench record: Moonfish", "KL 2026-05-09", "pulse meter ± 2 us", "no (key is missing)", "OPEN"]
    {
        assert!(text.contains(said), "{said}");
    }
    assert!(text.contains("As they should be: 1 of "), "one was seen");
    assert!(text.contains("Not as they should be: 1."), "one was seen to be otherwise");
}

#[test]
fn what_was_read_of_another_state_of_the_file_stands_apart() {
    let home = home(&lines());
    let text = pages(home.path(), &[]);
    let (before, after) = text.split_once("Read of another state of the boat file").unwrap();
    assert!(!before.contains("1471 us") && after.contains("1471 us"));
}

#[test]
fn a_record_of_this_state_alone_has_no_part_for_others() {
    let own = lines();
    let own = own.split_once("- {run: \"2026-05-01").unwrap().0;
    assert!(!pages(home(own).path(), &[]).contains("Read of another state"));
}

#[test]
fn it_speaks_the_language_asked_for() {
    assert!(pages(home(&lines()).path(), &["--language", "de"]).contains("Protokoll vom Prüfstand"));
}

#[test]
fn without_a_record_it_says_what_makes_one() {
    let ran = run(&["record", "boats/sprat.yaml"]);
    assert!(
        ran.status == 2 && ran.stderr.contains("`lidcard bench boats/sprat.yaml` makes one"),
        "{}",
        ran.stderr
    );
}
