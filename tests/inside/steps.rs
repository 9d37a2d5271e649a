//! `lidcard bench --steps`: a page goes to the bench with it, one answer in each run.

use super::help::{Ran, run_in};
use serde_json::Value;
use std::fs;
use tempfile::TempDir;

const SEAT: [&str; 8] =
    ["--by", "KL", "--conditions", "cold, hull open", "--extreme", "no", "--meter", "pulse meter = 2 us"];

/// A folder with a boat in it.
fn home(boat: &str) -> TempDir {
    let home = tempfile::tempdir().unwrap();
    fs::copy(boat, home.path().join("boat.yaml")).unwrap();
    home
}

fn record(home: &TempDir) -> String {
    fs::read_to_string(home.path().join("boat.bench.yaml")).unwrap_or_default()
}

/// A run with these lines of answers, always at the same moment.
fn bench(home: &TempDir, typed: Option<&str>, more: &[&str]) -> Ran {
    let at = |name: &str| home.path().join(name).to_str().unwrap().to_owned();
    let mut words = vec!["bench".to_owned(), at("boat.yaml")];
    if let Some(typed) = typed {
        fs::write(at("answers.txt"), typed).unwrap();
        words.extend(["--answers".to_owned(), at("answers.txt")]);
    }
    words.extend(more.iter().map(|word| (*word).to_owned()));
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    run_in(&words, &[("SOURCE_DATE_EPOCH", "1780000000")])
}

fn steps(home: &TempDir, typed: Option<&str>, more: &[&str]) -> Value {
    let ran = bench(home, typed, &[&["--steps"], more].concat());
    serde_json::from_str(&ran.stdout).unwrap_or_else(|_| panic!("{}{}", ran.stdout, ran.stderr))
}

/// One answer to the step that comes next, or to this one.
fn answer(home: &TempDir, step: u64, typed: &str) -> Value {
    steps(home, Some(typed), &["--go-on", "--step", &step.to_string()])
}

fn next(told: &Value) -> u64 {
    told["next"].as_u64().unwrap_or_else(|| panic!("{told}"))
}

/// Whoever shuts the page after each answer keeps the same record as whoever stays; only sitting down is not written
/// again.
#[test]
fn one_answer_at_a_time_leaves_the_same_record_as_all_at_once() {
    let typed: Vec<String> = fs::read_to_string("tests/fixtures/bench/an-hour.txt")
        .unwrap()
        .lines()
        .skip(4)
        .map(|line| format!("{line}\n"))
        .collect();
    let whole = home("boats/moonfish.yaml");
    bench(&whole, Some(&typed.concat()), &SEAT);
    let single = home("boats/moonfish.yaml");
    let mut at = next(&steps(&single, None, &SEAT));
    for line in typed.iter().filter(|line| line.trim() != "stop") {
        // Back is the step before.
        let told = answer(&single, at, line);
        at = next(&told);
    }
    assert!(record(&whole).lines().count() > 15);
    assert_eq!(record(&single), record(&whole));
}

#[test]
fn who_only_looks_writes_nothing_and_sees_every_step_in_the_language_asked_for() {
    let home = home("boats/moonfish.yaml");
    let told = steps(&home, None, &["--language", "de"]);
    assert!(record(&home).is_empty() && told["sitting"].is_null());
    let first = &told["steps"][0];
    assert_eq!(first["what"], "Gasflasche ausbauen und die Leitung leer laufen lassen.");
    assert_eq!(first["of"], "Take the gas bottle out and let the line run empty.");
    assert!(first["gate"] == true && first["state"] == "open" && first["reads"] == "seen", "{first}");
    let kinds =
        |kind: &str| told["steps"].as_array().unwrap().iter().filter(|step| step["reads"] == kind).count();
    assert!(["seen", "pulse", "point", "seconds"].iter().all(|kind| kinds(kind) > 0));
}

#[test]
fn what_keeps_from_harm_is_not_passed_by() {
    let home = home("boats/moonfish.yaml");
    steps(&home, None, &SEAT);
    let before = record(&home);
    assert_eq!(next(&answer(&home, 40, " \n")), 1);
    assert_eq!(record(&home), before, "an answer to another step");
    assert_eq!(next(&answer(&home, 1, " \n")), 2);
    let told = answer(&home, 2, "skip\n");
    assert!(next(&told) == 2 && told["said"][0].as_str().unwrap().contains("cannot be left out"), "{told}");
    let told = answer(&home, 2, "no\n");
    assert!(told["danger"].as_str().unwrap().contains("is not so. Put that right"), "{told}");
    assert_eq!(told["steps"][1]["state"], "bad");
}

/// Moonfish's rest of channel 1 is 1488 us by her file.
#[test]
fn what_does_not_agree_is_written_down_when_it_is_said_to_be_so() {
    let home = home("boats/moonfish.yaml");
    steps(&home, None, &SEAT);
    let told = answer(&home, 1, &" \n".repeat(13));
    let at = next(&told);
    let step = &told["steps"][at as usize - 1];
    assert!(step["reads"] == "pulse" && step["of"] == "1/rest", "{step}");
    let before = record(&home);
    let told = answer(&home, at, "1540 us\n");
    assert!(told["held"][0]["agrees"] == false && next(&told) == at, "{told}");
    assert!(told["said"].to_string().contains("as the file says: NO"), "{told}");
    assert_eq!(record(&home), before);
    let told = answer(&home, at, "1540 us\n \n");
    assert!(told["held"] == Value::Array(Vec::new()) && next(&told) == at + 1, "{told}");
    let step = &told["steps"][at as usize - 1];
    assert!(step["state"] == "bad" && step["last"]["read"][0] == "1540 us", "{step}");
    // Once more, and right.
    let told = answer(&home, at, "1488 us\n");
    assert_eq!(told["steps"][at as usize - 1]["state"], "good");
    let told = answer(&home, next(&told), "skip\n");
    assert_eq!(told["steps"][next(&told) as usize - 2]["state"], "skipped");
}

#[test]
fn nobody_goes_on_where_nobody_sat_down_with_the_file_as_it_is() {
    let home = home("boats/moonfish.yaml");
    let refused = |ran: Ran| {
        assert!(ran.status == 2 && ran.stderr.contains("nobody has sat down yet"), "{}", ran.stderr)
    };
    refused(bench(&home, None, &["--steps", "--go-on"]));
    steps(&home, None, &SEAT);
    assert_eq!(steps(&home, None, &["--go-on"])["sitting"]["by"], "KL");
    let text = fs::read_to_string(home.path().join("boat.yaml")).unwrap();
    fs::write(home.path().join("boat.yaml"), text.replace("revision: C", "revision: D")).unwrap();
    refused(bench(&home, None, &["--steps", "--go-on"]));
}

#[test]
fn two_meters_are_compared_once_in_a_sitting() {
    let home = home("boats/moonfish.yaml");
    steps(&home, None, &[&SEAT[..], &["--meter", "other = 3 us"]].concat());
    let told = answer(&home, 1, &" \n".repeat(13));
    let at = next(&told);
    assert_eq!(told["compare"].as_array().unwrap().len(), 2, "{told}");
    let told = answer(&home, at, "1500 us\n1509 us\n");
    assert!(told["compare"].as_array().unwrap().len() == 2 && next(&told) == at, "{told}");
    assert!(told["said"].to_string().contains("differ by 9 us, more than"), "{told}");
    let told = answer(&home, at, "1500 us\n1504 us\n");
    assert!(told["compare"] == Value::Array(Vec::new()) && next(&told) == at, "{told}");
    assert_eq!(next(&answer(&home, at, "1488 us\n")), at + 1);
}

#[test]
fn a_boat_with_errors_has_no_steps() {
    let home = home("tests/fixtures/mistakes/blow-reaches-gas.yaml");
    let ran = bench(&home, None, &["--steps"]);
    assert!(
        ran.status == 1 && ran.stdout.is_empty() && ran.stderr.contains("not to the bench yet"),
        "{}",
        ran.stderr
    );
}
