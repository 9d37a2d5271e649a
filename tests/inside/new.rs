//! `lidcard new` as whoever has no file yet meets it.

use crate::help::{Ran, run};
use std::path::Path;

const ANSWERS: &str = "tests/fixtures/answers/stickleback.yaml";

/// The program with a file of answers, writing into a folder.
fn written(home: &Path, answers: &str) -> Ran {
    let script = home.join("answers.yaml");
    std::fs::write(&script, answers).unwrap();
    run(&["new", &home.join("newt.yaml").to_string_lossy(), "--answers", &script.to_string_lossy()])
}

fn answers() -> String {
    std::fs::read_to_string(ANSWERS).unwrap()
}

#[test]
fn the_first_question_is_what_empties_the_tank() {
    let ran = run(&["new", "--questions"]);
    let told: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap();
    assert_eq!(told["version"], 1);
    assert_eq!(told["questions"][0]["id"], "boat.empties");
    assert_eq!(told["questions"][0]["ask"], "What empties the tank?");
    assert!(told["questions"][0]["answer"].is_null() && ran.status == 0);
}

#[test]
fn a_boat_from_answers_passes_its_check_and_is_not_written_over() {
    let home = tempfile::tempdir().unwrap();
    let ran = written(home.path(), &answers());
    assert!(ran.status == 0 && ran.stdout.contains("next: lidcard check"), "{}{}", ran.stdout, ran.stderr);
    let file = home.path().join("newt.yaml");
    let checked = run(&["check", "--strict", &file.to_string_lossy()]);
    assert!(checked.status == 0 && checked.stdout.contains("nothing found"), "{}", checked.stdout);
    let before = std::fs::read(&file).unwrap();
    let again = written(home.path(), &answers());
    assert!(
        again.status == 2 && again.stderr.contains("is there already: give another name"),
        "{}",
        again.stderr
    );
    assert_eq!(std::fs::read(&file).unwrap(), before);
}

#[test]
fn what_is_open_is_asked_for_and_nothing_is_written() {
    let home = tempfile::tempdir().unwrap();
    let open = answers().replace("channel.4.endpoint.blow: \"75 %\"\n", "");
    let ran = written(home.path(), &open);
    let told = "no answer yet to `channel.4.endpoint.blow`, tank valves: the endpoint of blow?";
    assert!(ran.status == 1 && ran.stderr.contains(told), "{}", ran.stderr);
    assert!(!home.path().join("newt.yaml").exists());
}

#[test]
fn an_answer_that_makes_no_sense_is_told_with_what_would() {
    let home = tempfile::tempdir().unwrap();
    for (from, to, told) in [
        (
            "\"75 %\"",
            "\"75 volts\"",
            "`channel.4.endpoint.blow` cannot be `75 volts`: write a number with `%`, such as `90 %`",
        ),
        ("\"75 %\"", "\"?\"", "`channel.4.endpoint.blow` cannot be `?`: this has to be known"),
        ("\"pump\"\n", "\"steam\"\n", "`boat.empties` cannot be `steam`: write one of `pump`"),
        ("channel.4.endpoint.blow", "channel.4.endpoint.blew", "`channel.4.endpoint.blew` is not asked"),
    ] {
        let ran = written(home.path(), &answers().replacen(from, to, 1));
        assert!(ran.status == 2 && ran.stderr.contains(told), "{told}: {}", ran.stderr);
        assert!(!home.path().join("newt.yaml").exists());
    }
}

#[test]
fn what_is_not_known_becomes_not_measured_and_never_a_figure() {
    let home = tempfile::tempdir().unwrap();
    let unknown = answers()
        .replace("set.accuracy: \"2 us\"", "set.accuracy: \"?\"")
        .replace("channel.1.longer: \"starboard\"", "channel.1.longer: \"?\"")
        .replace("channel.4.work.vent.releases: \"1324 us\"", "channel.4.work.vent.releases: \"?\"");
    let ran = written(home.path(), &unknown);
    assert_eq!(ran.status, 0, "{}", ran.stderr);
    let text = std::fs::read_to_string(home.path().join("newt.yaml")).unwrap();
    for line in
        ["accuracy: not measured}", "# longer: not seen on the meter yet", "± 12 us, releases: not measured}"]
    {
        assert!(text.contains(line), "{line}: {text}");
    }
}

#[test]
fn without_a_terminal_it_says_how_to_answer() {
    let home = tempfile::tempdir().unwrap();
    let ran = run(&["new", &home.path().join("newt.yaml").to_string_lossy()]);
    assert!(ran.status == 2 && ran.stderr.contains("give the answers with --answers"), "{}", ran.stderr);
}
