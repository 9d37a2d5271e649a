//! `lidcard bench` where it meets the disk and the check; `check_bench.py` goes through all of it.

use std::fs;

use super::help::run;

const ANSWERS: &str = "tests/fixtures/bench/an-hour.txt";

fn bench(boat: &str, record: &str, more: &[&str]) -> super::help::Ran {
    run(&[&["bench", boat, "--record", record], more].concat())
}

#[test]
fn a_boat_that_fails_its_check_does_not_go_to_the_bench() {
    let home = tempfile::tempdir().unwrap();
    let record = home.path().join("r.yaml").to_str().unwrap().to_owned();
    let ran = bench("tests/fixtures/mistakes/blow-reaches-gas.yaml", &record, &["--answers", ANSWERS]);
    assert_eq!(ran.status, 1);
    assert!(ran.stderr.contains("not to the bench yet: first put right 1 error"), "{}", ran.stderr);
    assert!(fs::metadata(&record).is_err());
}

#[test]
fn what_was_answered_is_in_the_record_and_what_was_not_is_named() {
    let home = tempfile::tempdir().unwrap();
    let record = home.path().join("r.yaml").to_str().unwrap().to_owned();
    let ran = bench("boats/moonfish.yaml", &record, &["--answers", ANSWERS]);
    assert_eq!((ran.status, ran.stderr.as_str()), (0, ""));
    assert!(
        ran.stdout.contains("\n16 of ") && ran.stdout.contains(" done and as they should be, "),
        "{}",
        ran.stdout
    );
    let text = fs::read_to_string(&record).unwrap();
    assert!(text.contains("by: \"KL\"") && text.contains("meters: {\"pulse meter\": \"2 us\"}"), "{text}");
    assert!(text.contains("of: \"1/rest\"") && text.contains("read: [\"1488 us\"]"), "{text}");
    assert!(text.contains("skipped: yes"), "{text}");
    let ran = bench("boats/moonfish.yaml", &record, &["--answers", ANSWERS]);
    assert!(ran.stdout.contains("done already: 16 of "), "{}", ran.stdout);
    assert!(fs::read_to_string(&record).unwrap().starts_with(&text));
}

#[test]
fn the_boat_file_the_answers_and_what_is_no_record_are_left_alone() {
    let ran = bench("boats/moonfish.yaml", "boats/moonfish.yaml", &["--answers", ANSWERS]);
    assert!(
        ran.status == 2 && ran.stderr.contains("the boat file boats/moonfish.yaml itself"),
        "{}",
        ran.stderr
    );
    let ran = bench("boats/moonfish.yaml", ANSWERS, &["--answers", ANSWERS]);
    assert!(ran.status == 2 && ran.stderr.contains("the answers themselves"), "{}", ran.stderr);
    let ran = bench("boats/moonfish.yaml", "tests/fixtures/example.yaml", &["--answers", ANSWERS]);
    assert!(ran.status == 2 && ran.stderr.contains("is no bench record"), "{}", ran.stderr);
}

#[test]
fn meters_that_differ_by_more_than_both_can_be_off_are_told_first() {
    let home = tempfile::tempdir().unwrap();
    let record = home.path().join("r.yaml").to_str().unwrap().to_owned();
    let answers = home.path().join("a.txt");
    for (second, told) in [("1504 us", false), ("1509 us", true)] {
        fs::write(&answers, format!("1500 us\n{second}\nstop\n")).unwrap();
        let meters = ["--by", "KL", "--conditions", "warm", "--meter", "one = 2 us", "--meter", "two = 3 us"];
        let asked = [&["--answers", answers.to_str().unwrap()][..], &meters].concat();
        let ran = bench("boats/moonfish.yaml", &record, &asked);
        assert_eq!(ran.stdout.contains("one and two differ by 9 us"), told, "{}", ran.stdout);
    }
}

#[test]
fn readings_are_put_in_only_where_somebody_says_yes() {
    let home = tempfile::tempdir().unwrap();
    let boat = home.path().join("moonfish.yaml");
    fs::copy("boats/moonfish.yaml", &boat).unwrap();
    let before = fs::read_to_string(&boat).unwrap();
    let file = boat.to_str().unwrap();
    let code = run(&["verify", file]).stdout[..9].to_owned();
    let read = "[\"1648 us\", \"+37 %\", \"1646 us\", \"1648 us\", \"1650 us\"]";
    let record = format!(
        "bench: 1\nentries:\n- {{run: \"2026-05-09T14:03:11Z\", code: \"{code}\"}}\n\
         - {{of: \"tank_servo.pump clicks\", read: {read}}}\n\
         - {{of: \"2/rise held\", read: [\"1700 us\"], agrees: \"no\", safe: \"yes\"}}\n"
    );
    fs::write(home.path().join("moonfish.bench.yaml"), record).unwrap();
    let answers = home.path().join("answers.txt");
    let adopt = |answer: &str| {
        fs::write(&answers, answer).unwrap();
        run(&["adopt", file, "--answers", answers.to_str().unwrap()])
    };
    let ran = adopt("no\n");
    assert!(ran.stdout.contains("contradicts the file: 2/rise held: read 1700 us"), "{}", ran.stdout);
    assert_eq!(ran.status, 1);
    assert_eq!(fs::read_to_string(&boat).unwrap(), before);
    let ran = adopt("yes\n");
    assert!(ran.stdout.contains("window of 4/blow: 45 % to 65 %; then 4"), "{}", ran.stdout);
    let old = "clicks: [+36 %, +38 %, +35 %, +37 %, +36 %]";
    let new = "clicks: [1648 us, +37 %, 1646 us, 1648 us, 1650 us]";
    assert_eq!(fs::read_to_string(&boat).unwrap(), before.replace(old, new));
    assert_eq!(fs::read_to_string(home.path().join("moonfish.yaml.bak")).unwrap(), before);
    // Its code is another now, and nothing was read of it yet.
    let ran = adopt("yes\n");
    assert!(ran.status == 0 && ran.stdout.contains("nothing was read of"), "{}", ran.stdout);
}
