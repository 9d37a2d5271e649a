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
fn a_record_of_many_years_is_read_to_its_end() {
    let reading =
        "- {at: \"2026-05-01T09:10:00Z\", test: \"3.1\", of: \"1/rest\", read: [\"1488 us\"], agrees: yes}\n";
    let run = "- {run: \"2025-05-01T09:00:00Z\", by: \"OM\", code: \"AAAA-AAAA\"}\n";
    let home = home(&format!("{run}{}{}", reading.repeat(700), lines()));
    assert!(pages(home.path(), &[]).contains("no (key is missing)"));
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
fn it_comes_as_a_page_for_a_screen_with_all_that_was_read() {
    let home = home(&lines());
    let file = home.path().join("moonfish.yaml").to_string_lossy().into_owned();
    for (language, said) in [("en", "as in the file"), ("de", "wie in der Datei")] {
        let out = home.path().join("record.html").to_string_lossy().into_owned();
        let ran = run(&["record", &file, "-o", &out, "--language", language]);
        assert_eq!(ran.status, 0, "{}", ran.stderr);
        let page = std::fs::read_to_string(&out).unwrap();
        for said in ["KL 2026-05-09 14:05", "(key is missing)", "1471 us", "AAAA-AAAA", &code(), said] {
            assert!(page.contains(said), "{language}: {said}");
        }
    }
}

/// A record of a trial in water with these words of its own.
fn trial(code: &str, taken: &str) -> String {
    format!(
        "- {{run: \"2026-05-09T14:03:11Z\", by: \"KL\", code: \"{code}\"}}\n\
         - {{at: \"2026-05-09T16:40:00Z\", test: \"14.9\", of: \"comes up by herself\", {taken}}}\n"
    )
}

/// What the guide says of a trial.
fn tried(lines: &str, more: &[&str]) -> String {
    let home = home(lines);
    let file = home.path().join("moonfish.yaml").to_string_lossy().into_owned();
    let out = home.path().join("guide.html").to_string_lossy().into_owned();
    let ran = run(&[&["guide", &file, "-o", &out], more].concat());
    assert_eq!(ran.status, 0, "{}", ran.stderr);
    let page = std::fs::read_to_string(&out).unwrap();
    let words = if more.contains(&"de") { "Erprobt am" } else { "Tried on" };
    let said = page.split("<p>").chain(page.split("<strong>")).find(|part| part.starts_with(words));
    said.map_or(String::new(), |part| part.split('<').next().unwrap_or_default().replace('\u{a0}', " "))
}

#[test]
fn the_guide_tells_how_she_was_tried_inside_its_cover() {
    let good = trial(&code(), "agrees: \"yes\", read: [\"10.1 s\", \"9.7 s\", \"11.4 s\"]");
    assert_eq!(
        tried(&good, &[]),
        "Tried on 2026-05-09 at 1 m, transmitter off: she came up by herself after 9.7\u{2013}11.4 s (estimate \
         9\u{2013}14 s). Trials: 3."
    );
    assert!(tried(&good, &["--language", "de"]).contains("nach 9,7\u{2013}11,4 s von selbst hoch"));
    assert!(tried(&good, &["--units", "us"]).contains("at 3.2 ft"));
    let late = trial(&code(), "agrees: \"no\", read: [\"25 s\"]");
    assert!(tried(&late, &[]).contains("after 25 s, NOT as estimated (9\u{2013}14 s)"));
    let never = trial(&code(), "seen: no");
    assert!(tried(&never, &[]).contains("she did NOT come up by herself"));
}

#[test]
fn the_guide_tells_nothing_of_another_state_of_the_file_of_what_was_changed_since_or_in_a_draft() {
    let read = "agrees: \"yes\", read: [\"10.1 s\"]";
    assert_eq!(tried(&trial("AAAA-AAAA", read), &[]), "");
    let good = trial(&code(), read);
    assert_ne!(tried(&good, &[]), "");
    let changed = format!("{good}- {{changed: \"tank_servo\", void: [\"comes up by herself\"]}}\n");
    assert_eq!(tried(&changed, &[]), "");
    assert_eq!(tried(&good, &["--draft"]), "");
    assert_eq!(tried(&trial(&code(), "skipped: yes"), &[]), "");
}

#[test]
fn the_hand_over_tells_it_from_the_record_beside_the_boat_file_or_from_the_one_named() {
    let good = trial(&code(), "agrees: \"yes\", read: [\"10.1 s\"]");
    let home = home(&good);
    let file = home.path().join("moonfish.yaml").to_string_lossy().into_owned();
    let page = |folder: &str, more: &[&str]| {
        let out = home.path().join(folder).to_string_lossy().into_owned();
        let ran = run(&[&["handover", &file, "-o", &out], more].concat());
        assert_eq!(ran.status, 0, "{}", ran.stderr);
        std::fs::read_to_string(home.path().join(folder).join("moonfish-guide.html")).unwrap()
    };
    assert!(page("beside", &[]).contains("after 10.1"));
    let other = home.path().join("other.yaml");
    std::fs::write(&other, "bench: 1\nentries:\n").unwrap();
    assert!(!page("named", &["--record", &other.to_string_lossy()]).contains("Tried on"));
    let missing = home.path().join("none.yaml").to_string_lossy().into_owned();
    let ran = run(&["guide", &file, "--record", &missing, "-o", "-"]);
    assert!(ran.status == 2 && ran.stderr.contains("there is no record"), "{}", ran.stderr);
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
