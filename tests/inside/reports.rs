//! The reports as their readers meet them: every format for a broken, an accepted and a clean boat.

use crate::help::{Ran, run, run_with};
use serde_json::Value;

const BROKEN: &str = "tests/fixtures/mistakes/blow-reaches-gas.yaml";
const ACCEPTED: &str = "tests/fixtures/accepted/blow-reaches-gas.yaml";
const CLEAN: &str = "boats/sprat.yaml";

fn check(format: &str, file: &str) -> (i32, String) {
    let ran = run(&["check", "--format", format, file]);
    (ran.status, ran.stdout)
}

fn json(format: &str, file: &str) -> Value {
    serde_json::from_str(&check(format, file).1).unwrap()
}

/// The accepted boat with one thing written otherwise.
fn otherwise(from: &str, to: &str) -> String {
    let text = std::fs::read_to_string(ACCEPTED).unwrap();
    assert!(text.contains(from), "{from}");
    text.replacen(from, to, 1)
}

#[test]
fn a_broken_boat_in_every_format() {
    let (status, human) = check("human", BROKEN);
    assert_eq!(status, 1);
    assert!(human.starts_with("error: emergency-within-reach\n"), "{human}");
    assert!(human.contains(&format!("1 error in {BROKEN}, at line 91\n")), "{human}");
    insta::assert_snapshot!(check("short", BROKEN).1, @r"
    tests/fixtures/mistakes/blow-reaches-gas.yaml:91:36: error[emergency-within-reach]: piloting can reach tank_servo.gas, the emergency gas valve (tank_servo.gas, piloting)
    1 error in 1 file: begin at line 91 of tests/fixtures/mistakes/blow-reaches-gas.yaml
    ");
    let finding = &json("json", BROKEN)["files"][0]["findings"][0];
    assert_eq!(finding["accepted"], Value::Null);
    assert_eq!(finding["outcome"], "broken");
    let log = json("sarif", BROKEN);
    let results = log["runs"][0]["results"].as_array().unwrap();
    assert_eq!(results.len(), 1);
    let result = &results[0];
    assert_eq!((&result["ruleId"], &result["level"]), (&"emergency-within-reach".into(), &"error".into()));
    assert_eq!(result["suppressions"], Value::Array(vec![]));
    let place = &result["locations"][0]["physicalLocation"];
    assert_eq!(place["artifactLocation"]["uri"], BROKEN);
    assert_eq!(place["region"]["startLine"], 91);
    assert_eq!(place["region"]["startColumn"], 36);
}

#[test]
fn an_accepted_boat_in_every_format() {
    let (status, human) = check("human", ACCEPTED);
    assert_eq!(status, 0);
    assert!(human.starts_with("accepted: emergency-within-reach at tank_servo.gas, piloting (line 92): "));
    assert!(human.contains("wants the gas at hand") && human.ends_with("; 1 accepted\n"), "{human}");
    insta::assert_snapshot!(check("short", ACCEPTED).1, @r"
    tests/fixtures/accepted/blow-reaches-gas.yaml:92:36: accepted[emergency-within-reach]: piloting can reach tank_servo.gas, the emergency gas valve (tank_servo.gas, piloting) because the owner wants the gas at hand
    nothing found in 1 file, 1 accepted: next, try it on the bench
    ");
    let file = &json("json", ACCEPTED)["files"][0];
    assert_eq!(file["status"], "clean");
    assert_eq!(file["findings"][0]["accepted"], "the owner wants the gas at hand");
    let log = json("sarif", ACCEPTED);
    let suppression = &log["runs"][0]["results"][0]["suppressions"][0];
    assert_eq!(suppression["status"], "accepted");
    assert_eq!(suppression["justification"], "the owner wants the gas at hand");
    assert_eq!(run(&["check", "--strict", ACCEPTED]).status, 0);
}

#[test]
fn a_clean_boat_in_every_format() {
    let (status, human) = check("human", CLEAN);
    assert_eq!((status, human.lines().count()), (0, 1));
    assert!(human.starts_with("boats/sprat.yaml: nothing found; "), "{human}");
    assert_eq!(check("short", CLEAN).1, "nothing found in 1 file: next, try it on the bench\n");
    assert_eq!(json("json", CLEAN)["files"][0]["findings"], Value::Array(vec![]));
    let log = json("sarif", CLEAN);
    assert_eq!(log["version"], "2.1.0");
    assert_eq!(log["runs"].as_array().unwrap().len(), 1);
    assert_eq!(log["runs"][0]["results"], Value::Array(vec![]));
    let rules = log["runs"][0]["tool"]["driver"]["rules"].as_array().unwrap();
    for rule in lidcard::rule::ALL {
        assert!(rules.iter().any(|r| r["id"] == rule.name), "{}", rule.name);
    }
}

#[test]
fn emergency_gas_within_reach_is_not_accepted_unless_the_card_tells() {
    let silent = otherwise(", on_card: yes", "");
    let Ran { status, stdout: out, .. } = run_with(&["check", "-"], &silent);
    assert_eq!(status, 1);
    assert!(out.contains("on_card: yes"), "{out}");
    let folder = tempfile::tempdir().unwrap();
    let card = folder.path().join("card.svg");
    let status = run_with(&["card", "-", "-o", card.to_str().unwrap()], &silent).status;
    assert_eq!((status, card.exists()), (1, false));
}

#[test]
fn the_card_tells_what_was_accepted_within_reach() {
    let folder = tempfile::tempdir().unwrap();
    let card = folder.path().join("card.svg");
    let on_card = ["card", ACCEPTED, "--size", "148x105", "-o", card.to_str().unwrap()];
    let Ran { status, stderr: err, .. } = run_with(&on_card, "");
    assert_eq!(status, 0, "{err}");
    let pages = std::fs::read_dir(folder.path()).unwrap().map(|e| e.unwrap().path());
    let pages: String = pages.map(|page| std::fs::read_to_string(page).unwrap()).collect();
    // Lines break where the card has no more room.
    let texts = pages.split("</text>").filter_map(|piece| piece.rsplit_once('>').map(|(_, text)| text));
    let pages = texts.collect::<Vec<_>>().join(" ");
    assert!(pages.contains("within reach of “blow” (rear left, upper)"), "{pages}");
    assert!(pages.contains("may open gas"), "{pages}");
    let template = folder.path().join("mute.tera");
    std::fs::write(&template, "page: {}\n").unwrap();
    let mute = ["card", ACCEPTED, "-o", card.to_str().unwrap(), "--template", template.to_str().unwrap()];
    let Ran { status, stderr: err, .. } = run_with(&mute, "");
    assert!(status == 2 && err.contains("within_reach"), "{err}");
}

#[test]
fn an_acceptance_must_be_complete_and_name_a_rule() {
    for (from, to, wanted) in [
        (
            "rule: emergency-within-reach",
            "rule: emergency-within-reech",
            "did you mean `emergency-within-reach`?",
        ),
        ("rule: emergency-within-reach", "rule: acceptance-stale", "cannot be accepted"),
        ("rule: emergency-within-reach", "rule: beyond-stop", "no words for"),
        ("rule: emergency-within-reach, ", "", "lacks the key `rule`"),
        ("where: tank_servo.gas, ", "", "lacks the key `where`"),
        (", because: the owner wants the gas at hand", "", "lacks the key `because`"),
        ("because: the owner wants the gas at hand", "because: ''", "is empty"),
    ] {
        let Ran { status, stdout: out, .. } = run_with(&["check", "-"], &otherwise(from, to));
        assert!(status == 2 && out.contains(wanted), "{wanted}: {status}\n{out}");
    }
}

#[test]
fn an_acceptance_that_matches_nothing_is_a_warning_at_its_place() {
    let Ran { status, stdout: out, .. } = run_with(
        &["check", "--format", "short", "-"],
        &otherwise("where: tank_servo.gas", "where: tank_servo.gaz"),
    );
    assert_eq!(status, 1, "what was to be accepted is open");
    assert!(
        out.contains("warning[acceptance-stale]") && out.contains("error[emergency-within-reach]"),
        "{out}"
    );
}

#[test]
fn reports_go_to_files_beside_the_screen() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    let to = |format: &str, name: &str| format!("{format}:{}", path(name).display());
    let (sarif, short) = (to("sarif", "r.sarif"), to("short", "r.txt"));
    let Ran { status, stdout: out, .. } =
        run_with(&["check", BROKEN, "--output", &sarif, "--output", &short], "");
    assert_eq!((status, out), check("human", BROKEN));
    assert_eq!(std::fs::read_to_string(path("r.sarif")).unwrap(), check("sarif", BROKEN).1);
    assert_eq!(std::fs::read_to_string(path("r.txt")).unwrap(), check("short", BROKEN).1);
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 2, "nothing half-written is left");
    assert_eq!(run(&["check", BROKEN, "--output", &sarif, "--output", &sarif]).status, 2);
    assert_eq!(run(&["check", BROKEN, "--output", &format!("json:{BROKEN}")]).status, 2);
    assert_eq!(run(&["check", BROKEN, "--output", "paper:x"]).status, 2);
}

#[test]
fn several_files_end_with_one_line_that_says_where_to_begin() {
    let out = run(&["check", CLEAN, BROKEN, ACCEPTED]).stdout;
    let last = out.lines().last().unwrap();
    assert_eq!(last, format!("1 error in 3 files, 1 accepted: begin at line 91 of {BROKEN}"));
}

#[test]
fn a_certificate_is_written_where_one_is_asked_for_and_is_the_same_every_time() {
    let folder = tempfile::tempdir().unwrap();
    let [one, two] = ["one.json", "two.json"].map(|name| folder.path().join(name).display().to_string());
    let plain = run(&["check", BROKEN]);
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
    for target in [&one, &two] {
        let certified = run(&["check", BROKEN, "--certificate", target]);
        assert_eq!((certified.status, &certified.stdout), (plain.status, &plain.stdout));
    }
    let text = std::fs::read_to_string(&one).unwrap();
    assert_eq!(text, std::fs::read_to_string(&two).unwrap());
    let certificate: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(certificate["version"], 1);
    let broken = certificate["questions"].as_array().unwrap().iter().find(|q| q["outcome"] == "broken");
    assert_eq!(broken.unwrap()["why"]["steps"][0]["says"], "here");
}

#[test]
fn a_certificate_is_of_one_boat_that_was_read_and_takes_no_boats_place() {
    let folder = tempfile::tempdir().unwrap();
    let target = folder.path().join("c.json").display().to_string();
    let two = run(&["check", BROKEN, BROKEN, "--certificate", &target]);
    assert_eq!(two.status, 2);
    assert!(two.stderr.contains("a certificate is of one boat"), "{}", two.stderr);
    let unread = run_with(&["check", "-", "--certificate", &target], "lidcard: 1\n");
    assert_eq!(unread.status, 2);
    assert!(unread.stderr.contains("has no certificate"), "{}", unread.stderr);
    assert_eq!(run(&["check", BROKEN, "--certificate", BROKEN]).status, 2);
    assert!(!std::path::Path::new(&target).exists());
}
